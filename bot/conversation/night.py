"""Whelping night: the clock from the drop of temperature to the last pup, kept in mind in the breeder's line.

A line such as "2.14 boy 342 white toe placenta y" puts a pup on the roster with its weight. The clock counts minutes
and pups owed, and rings for the vet by the kennel's lines (`core.whelping`), also when nobody writes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from bot.conversation import alarms, remarks, roster_changes
from bot.conversation.about import dogs_named, found
from bot.conversation.births import Birth, birth_said, moment, pup_name
from bot.conversation.hearing import Hearing
from bot.conversation.night_kept import Night, begin, keep, of, on_now
from bot.conversation.red_words import vet
from bot.replies import nights as words
from core import breeding
from core.entries import Mating, Temperature, Weight, Whelping
from core.ledger import Posted
from core.messages import URGENT, Say
from core.red_signs import lengths_of_time
from core.roster import BREEDER, Dog, Kennel, Litter
from core.turns import Memory
from core.units import celsius
from core.wording import words as words_of
from shared.tables import facts
from shared.texts import text

MOST_REPEATS = 12
WHELPING = "whelping clock"  # the sign of an alarm that the clock raised
OVER_WITH_IT = frozenset({WHELPING, "hard whelping", "green discharge"})  # alarms that end with the last pup
BODY_C, BODY_F = (35.0, 41.0), (95.0, 106.0)  # what can be a bitch's temperature


def heard(hearing: Hearing) -> bool:
    """Note that somebody sees to the clock's line, which no talk of something else does; never the end of the way."""
    on = on_now(hearing)
    if on is not None and hearing.message.room in (on.told["room"], BREEDER) and alarms.says_seen_to(hearing):
        keep(hearing, on, heard=hearing.at.isoformat())
    return False


def answer(hearing: Hearing) -> bool:
    """True where the message was about a whelping, and is written down."""
    if hearing.person.role == "buyer":
        return False
    if _count(hearing) or _bare_temperature(hearing) or _birth(hearing) or _told(hearing):
        _noted(hearing)
        return True
    return _begun(hearing)


def beside_alarm(hearing: Hearing) -> bool:
    """True where red words told of a birth or of pushing too: it is kept and the clock runs; nothing more is said."""
    return hearing.person.role != "buyer" and (_birth(hearing) or (on_now(hearing) is None and _begun(hearing)))


def edited(hearing: Hearing) -> bool:
    """True where an edited message had told of a birth: the weight is put right, the pup stays."""
    on = on_now(hearing)
    birth = next((b for b in on.births if b["key"] == hearing.message.key), None) if on else None
    said = birth_said(hearing.message.text)
    if birth is None or said is None:
        return False
    old = next(iter(hearing.ledger.of_message(hearing.message.room, hearing.message.key)), None)
    weight = next((p for p in hearing.ledger.of(birth["pup"], Weight) if p.message == hearing.message.key), None)
    if said.kg is not None and old is not None:
        entry = Weight(dog=birth["pup"], on=old.entry.on, kg=said.kg, said=hearing.message.text, replaces=bool(weight))
        hearing.post(entry, replaces=weight.id if weight else None)
        hearing.mark()
    return True


def stillborn(hearing: Hearing) -> bool:
    """True where a stillborn pup belongs to the night that is on; it is counted, and how many live is said."""
    on = on_now(hearing)
    dam = hearing.house.dog(on.dam) if on else None
    if on is None or dam is None:
        return False
    named = [d for d in dogs_named(hearing.message.text, hearing) if d.litter == dam.name and d.is_newborn(hearing.on)]
    if named:
        roster_changes.set_gone(hearing, named[0], "died")
    else:
        at = moment(hearing.message.text, hearing.at, hearing.kennel)
        births = [*on.births, {"key": hearing.message.key, "at": at.isoformat(), "pup": "", "alive": False}]
        keep(hearing, on, births=births, pushing=None)
        _post_count(hearing, dam, len(births), at)
    living = [d for d in hearing.house.pups_of(dam.name) if d.is_newborn(hearing.on)]
    hearing.say(words.stillborn(len(living)), about="loss")
    return True


def watch(memory: Mapping[str, Memory], kennel: Kennel, start: datetime, end: datetime) -> Iterator[Say]:
    """The vet's line when a line is reached after `start` and not after `end` and nobody writes; then every ten
    minutes until somebody does."""
    on = of(memory, end)
    if on is None:
        return
    first = on.clock(datetime.fromisoformat(on.told["heard"])).next_line_at
    if first is None:
        return
    every = timedelta(minutes=float(facts("reproduction")["clock"]["repeat_minutes"]))
    number = (end - first) // every
    if not 0 <= number <= MOST_REPEATS or not start < first + number * every <= end:
        return
    said = words.ring(on.dam, on.clock(end), vet(kennel, end))
    for room in dict.fromkeys((on.told["room"], BREEDER)):
        yield Say(
            key=f"whelping:{on.dam}:{first.isoformat()}:{room}:{number}",
            room=room,
            text=said,
            about="urgent",
            priority=URGENT,
            buttons=(text("urgent.on_it"),),
        )


def _noted(hearing: Hearing) -> None:
    """Somebody wrote of the night: the clock's line is theirs to see."""
    on = on_now(hearing)
    if on is not None:
        keep(hearing, on, heard=hearing.at.isoformat())


# What is told


def _count(hearing: Hearing) -> bool:
    """ "Runa x-ray 6 pups": how many are counted inside."""
    match = found("night.xray", hearing)
    dam = _carrying(hearing) if match else None
    if match is None or dam is None:
        return False
    house, n = hearing.house, int(match["n"])
    before = roster_changes.litters_told(house)
    roster_changes.remember(hearing, dam, litters=before)
    old = next((x for x in house.litters if x.dam == dam.name and x.born is None), None)
    sire = old.sire if old else _sire(hearing, dam)
    new = Litter(dam=dam.name, sire=sire, born=None, counted=n)
    litters = tuple(new if x is old else x for x in house.litters) if old else (*house.litters, new)
    hearing.change(replace(house, litters=litters))
    on = on_now(hearing)
    if on is not None and on.dam == dam.name:
        keep(hearing, on, counted=n)
    hearing.mark()
    return True


def _bare_temperature(hearing: Hearing) -> bool:
    """ "Runa 36.9" of a bitch near her day is her temperature, whatever the unit of weights."""
    match = found("night.bare", hearing)
    named = dogs_named(hearing.message.text, hearing) if match else ()
    if match is None or len(named) != 1 or named[0].sex != "f":
        return False
    n = float(match["n"].replace(",", "."))
    heat = n if BODY_C[0] <= n <= BODY_C[1] else celsius(n) if BODY_F[0] <= n <= BODY_F[1] else None
    if heat is None or not _is_near(named[0], hearing):
        return False
    hearing.post(Temperature(dog=named[0].name, on=hearing.on, celsius=heat, said=hearing.message.text))
    hearing.mark()
    remarks.make(hearing)
    return True


def _birth(hearing: Hearing) -> bool:
    said = birth_said(hearing.message.text)
    if said is None:
        return False
    on = on_now(hearing)
    dam = hearing.house.dog(on.dam) if on else _near(hearing)
    if dam is None:
        return False
    before = on.told if on else None
    on = on or begin(hearing, dam)
    _put_down(hearing, on, dam, said, before)
    hearing.mark()
    return True


def _put_down(hearing: Hearing, on: Night, dam: Dog, said: Birth, before: Mapping[str, Any] | None) -> None:
    """The pup on the roster, its weight and the count in the book, the birth on the clock."""
    at = moment(hearing.message.text, hearing.at, hearing.kennel)
    births = on.births
    first = datetime.fromisoformat(births[0]["at"]) if births else at
    born = hearing.kennel.day_of(min(first, at))
    house = hearing.house
    name = pup_name(said, len(births) + 1, dam, house)
    sire = next((x.sire for x in house.litters if x.dam == dam.name and x.born is None), None) or _sire(hearing, dam)
    pup = Dog(name=name, sex=said.sex, born=born, breed=dam.breed, litter=dam.name, sire=sire, notes=said.marks)
    litters = roster_changes.litters_told(house)
    hearing.change(replace(house, dogs=(*house.dogs, pup), litters=_litters(house, dam, sire, born)))
    births.append({"key": hearing.message.key, "at": at.isoformat(), "pup": name, "alive": True})
    births.sort(key=lambda b: str(b["at"]))
    keep(hearing, on, births=births, pushing=None)
    alarms.end(hearing, lambda told: told.get("sign") in OVER_WITH_IT)
    _post_count(hearing, dam, len(births), at)
    if said.kg is not None:
        clock_said = hearing.kennel.local(at).time().replace(second=0, microsecond=0)
        hearing.post(
            Weight(dog=name, on=hearing.kennel.day_of(at), kg=said.kg, clock=clock_said, said=hearing.message.text)
        )
    roster_changes.remember_all(hearing, {name: {"new": True}}, litters=litters, night=before)


def _litters(house: Kennel, dam: Dog, sire: str | None, born: Any) -> tuple[Litter, ...]:
    """The litters with this one's day of birth."""
    if any(x.dam == dam.name and x.born == born for x in house.litters):
        return house.litters
    waiting = next((x for x in house.litters if x.dam == dam.name and x.born is None), None)
    if waiting is None:
        return (*house.litters, Litter(dam=dam.name, sire=sire, born=born))
    return tuple(replace(x, born=born) if x is waiting else x for x in house.litters)


def _post_count(hearing: Hearing, dam: Dog, n: int, at: datetime) -> None:
    """The whelping in the book with the pups so far."""
    since = hearing.kennel.day_of(at) - timedelta(days=2)
    old: Posted | None = hearing.ledger.last(dam.name, Whelping)
    if old is not None and old.entry.on < since:
        old = None
    on = old.entry.on if old else hearing.kennel.day_of(at)
    entry = Whelping(dog=dam.name, on=on, pups=n, said=hearing.message.text, replaces=old is not None)
    hearing.post(entry, replaces=old.id if old else None)


def _told(hearing: Hearing) -> bool:
    """Pushing, nothing yet, the last one out: only while a night is on."""
    on = on_now(hearing)
    if on is None:
        return False
    asks = "?" in hearing.message.text or found("night.asks", hearing) is not None
    if not asks and found("night.done", hearing):
        keep(hearing, on, done=True)
        alarms.end(hearing, lambda told: told.get("sign") in OVER_WITH_IT)
        living = [d for d in hearing.house.pups_of(on.dam) if d.is_newborn(hearing.on)]
        hearing.mark()
        hearing.say(words.done(on.dam, len(on.births), len(living)))
        return True
    if asks and (found("night.how_long", hearing) or found("night.pushing", hearing)):
        return _stands(hearing, mark=False)
    if found("night.no_push", hearing):
        keep(hearing, on, pushing=None)
        alarms.end(hearing, lambda told: told.get("sign") == WHELPING)
        hearing.mark()
        return True
    if found("night.pushing", hearing):
        keep(hearing, on, pushing=on.told.get("pushing") or _since(hearing).isoformat())
        return _stands(hearing, mark=True, quiet=True)
    if found("night.how_long", hearing):
        return _stands(hearing, mark=True)
    return False


def _begun(hearing: Hearing) -> bool:
    """ "Sorrel is pushing hard", "she's in labour": of a bitch near her day the night begins, with a push its clock."""
    pushing, labour = found("night.pushing", hearing), found("night.labour", hearing)
    if on_now(hearing) is not None or not (pushing or labour) or "?" in hearing.message.text:
        return False
    if any(found(f"night.{name}", hearing) for name in ("asks", "no_push", "not_hers")):
        return False
    dam = _near(hearing)
    if dam is None or not (dogs_named(hearing.message.text, hearing) or found("night.of_her", hearing)):
        return False
    on = begin(hearing, dam)
    if pushing:
        keep(hearing, on, pushing=_since(hearing).isoformat())
    hearing.mark()
    if not hearing.only_keep:
        now = on_now(hearing)
        assert now is not None
        if now.clock(hearing.at).ring_vet:
            return _stands(hearing, mark=False)
        hearing.say(text("nights.begun", dam=dam.name))
    return True


def _since(hearing: Hearing) -> datetime:
    """Since when she pushes: the clock time that is said, "for 10 minutes", else now."""
    said = hearing.message.text
    told = moment(said, hearing.at, hearing.kennel)
    if told == hearing.at and found("night.for_so_long", hearing):
        told -= timedelta(minutes=min(lengths_of_time(words_of(said)), default=0))
    return told


def _stands(hearing: Hearing, mark: bool, quiet: bool = False) -> bool:
    on = on_now(hearing)
    assert on is not None
    now = on.clock(hearing.at)
    if mark:
        hearing.mark()
    if now.ring_vet:
        line = words.ring(on.dam, now, vet(hearing.scene.kennel, hearing.at))
        hearing.say(line, about="urgent", priority=URGENT)
        alarms.raised(hearing, line, WHELPING, on.dam)
        if not hearing.is_breeder:
            hearing.tell_breeder(line, about="urgent", priority=URGENT)
    elif not quiet:
        hearing.say(words.stands(now))
    return True


# Who


def _is_near(dog: Dog, hearing: Hearing) -> bool:
    return breeding.status(dog, hearing.ledger, hearing.kennel, hearing.on).phase == breeding.NEAR


def _near(hearing: Hearing) -> Dog | None:
    """The bitch near her day that the message names, else the only one there is."""
    bitches = [d for d in hearing.house.at_home() if d.sex == "f" and not d.is_pup(hearing.on)]
    named = [d for d in dogs_named(hearing.message.text, hearing) if d in bitches]
    near = [d for d in named or bitches if _is_near(d, hearing)]
    return near[0] if len(near) == 1 else None


def _carrying(hearing: Hearing) -> Dog | None:
    bitches = [d for d in hearing.house.at_home() if d.sex == "f" and not d.is_pup(hearing.on)]
    named = [d for d in dogs_named(hearing.message.text, hearing) if d in bitches]
    if len(named) == 1:
        return hearing.house.dog(named[0].name)
    waiting = [d for d in bitches if breeding.status(d, hearing.ledger, hearing.kennel, hearing.on).due is not None]
    return waiting[0] if len(waiting) == 1 else None


def _sire(hearing: Hearing, dam: Dog) -> str | None:
    last = hearing.ledger.last(dam.name, Mating)
    return last.entry.with_ if last is not None and isinstance(last.entry, Mating) else None
