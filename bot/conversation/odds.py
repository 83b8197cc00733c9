"""Small things that the reader leaves to the conversation: a joke with a risk, a part left of what, two fangs, the
heat of the whelping box."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta

from bot.conversation import once, red_words
from bot.conversation.about import dog_meant, dogs_named, every, found
from bot.conversation.doubts import ANSWERS, pack, unpack
from bot.conversation.heard import patterns, phrases, plain, speaks_of, yes_or_no
from bot.conversation.hearing import Hearing
from bot.replies import say_units
from core import care, fed
from core.entries import Entry, Meal, Reading, Sign, Tooth
from core.roster import BREEDER, FAMILY, Dog
from core.times import instant
from core.turns import Asked
from core.units import celsius
from core.urgent import NOW, Alarm
from shared.tables import facts
from shared.texts import text

JOKE = "joke"  # the question whether any of it was swallowed
BOX_FROM_F = 60  # a box figure from here on is Fahrenheit


def answer(hearing: Hearing) -> bool:
    """True where one of these was said, and has been seen to."""
    return _joke(hearing) or _box(hearing)


def added(reading: Reading, hearing: Hearing) -> Reading:
    """The reading with what was left in a bowl, and with a milk fang beside its new one, where it has neither."""
    return _with_fangs(_with_parts(_eaten_up(reading, hearing), hearing), hearing)


def ask(reading: Reading, hearing: Hearing) -> bool:
    """True where one question was asked about what was added: "left a quarter" is kept, but of what is not clear."""
    match = found("part_left.quarter", hearing)
    dog = _left_by(match, hearing) if match else None
    if match is None or dog is None or hearing.message.edit or hearing.only_keep:
        return False
    entry = next((e for e in reading.entries if isinstance(e, Meal) and e.dog == dog.name), None)
    if entry is None:
        return False
    part = match["part"].casefold()
    choices = (text("doubts.part.cup"), text("doubts.part.bowl"))
    asked = text("doubts.part.ask", part=part[0].upper() + part[1:], same=part)
    hearing.ask("part left", asked, choices, {"entry": pack(entry)})
    return True


def tell(hearing: Hearing) -> None:
    """Tell the breeder until when a milk fang may stand beside its new one."""
    dog = dog_meant(hearing) if found("two_fangs", hearing) and not hearing.message.edit else None
    if dog is not None:
        day = say_units.day(hearing.on + _fang_days(), hearing.on, hearing.kennel)
        hearing.tell_breeder(text("remarks.two_fangs", dog=dog.name, day=day))
        if hearing.house.breeder is not None:
            at = instant(hearing.on + _fang_days(), once.AT, hearing.kennel.tz)
            said = text("remarks.two_fangs_again", dog=dog.name)
            once.keep(hearing, at, hearing.house.breeder, said, f"fangs:{dog.name}:{hearing.on}")


def _fang_days() -> timedelta:
    """So long may a milk fang stand beside its new one before the vet looks at it."""
    return timedelta(days=int(facts("ears")["teeth"]["beside_vet_days"]))


def _joke(hearing: Hearing) -> bool:
    laugh = next((m for p in patterns("joke.laugh") if (m := p.search(hearing.message.text))), None)
    ate = found("joke.ate", hearing)
    if laugh is None or ate is None:
        return False
    hearing.took(ate, laugh)
    breeder = hearing.scene.kennel.breeder
    if breeder is not None and not hearing.is_breeder:
        quote = " ".join(hearing.message.text.split())[:160]
        dogs = dogs_named(ate[0], hearing)
        hearing.ask(
            JOKE,
            text("remarks.joke", who=hearing.person.name, said=quote),
            (text("doubts.yes"), text("doubts.no")),
            {"dog": dogs[0].name if len(dogs) == 1 else "", "said": quote},
            room=BREEDER,
            person=breeder.name,
        )
    return True


def _joke_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    """It was swallowed, or may have been: the alarm for that dog. Not sure counts as yes."""
    swallowed = True if speaks_of("joke.unsure", said) else yes_or_no(said)
    if swallowed is None and speaks_of("joke.part", said):
        swallowed = True
    if swallowed is None:
        return False
    if not swallowed:
        hearing.mark()
        return True
    dog = str(asked.facts["dog"])
    if dog:
        hearing.post(Sign(dog=dog, on=hearing.on, sign="swallowed", said=str(asked.facts["said"])))
    red_words.ring(Alarm(id="object", level=NOW, text_key="urgent.object", dog=dog, words=said), hearing)
    return True


# "left about a quarter"


def _with_parts(reading: Reading, hearing: Hearing) -> Reading:
    """Each bowl of which a part was left: its own entry, or said of the bowl that the message tells of."""
    entries = list(reading.entries)
    for match in (*every("part_left.quarter", hearing), *every("part_left.clear", hearing)):
        dog = _left_by(match, hearing)
        bowls = [e for e in entries if isinstance(e, Meal) and dog is not None and e.dog == dog.name]
        if dog is None or any(e.eaten for e in bowls):
            continue
        if bowls:
            entries[entries.index(bowls[-1])] = replace(bowls[-1], eaten="some", said=hearing.message.text)
            continue
        meal = fed.today(hearing.ledger, hearing.kennel, hearing.at).latest_meal or None
        entries.append(Meal(dog=dog.name, on=hearing.on, meal=meal, eaten="some", said=hearing.message.text))
    return replace(reading, entries=tuple(entries))


def _eaten_up(reading: Reading, hearing: Hearing) -> Reading:
    """ "Fjord ate his after all": the bowl that stands in the book was eaten; nobody put down a second."""
    eaten = {d.name for m in every("ate_up", hearing) for d in dogs_named(m[0], hearing)}
    board = fed.today(hearing.ledger, hearing.kennel, hearing.at)

    def told(entry: Entry) -> Entry:
        if not isinstance(entry, Meal) or entry.dog not in eaten or entry.eaten or entry.amount or entry.replaces:
            return entry
        meal = entry.meal or board.latest_meal
        logged = any(b.meal == meal and b.state == fed.LOGGED for b in board.of(entry.dog))
        return replace(entry, meal=meal, eaten="all") if logged and entry.on == hearing.on else entry

    return replace(reading, entries=tuple(told(e) for e in reading.entries))


def _left_by(match: re.Match[str], hearing: Hearing) -> Dog | None:
    """Who left it: named in the words themselves, else whom the message is about."""
    named = dogs_named(match[0], hearing)
    dog = named[0] if len(named) == 1 else None if named else dog_meant(hearing)
    return None if dog is None or dog.is_newborn(hearing.on) else dog


def _part_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    low = plain(said)
    known = phrases()["cup_or_bowl"]
    if not any(low == w for words in known.values() for w in words):
        return False
    entry = unpack(asked.facts["entry"])
    old = next((p for p in reversed(hearing.ledger.of(entry.dog, Meal)) if p.message == asked.message), None)
    told = replace(
        entry,
        said=f"{entry.said} ({said})",
        replaces=old is not None,
        clock=entry.clock or hearing.kennel.local(asked.at).time().replace(second=0, microsecond=0),
    )
    hearing.post(told, replaces=old.id if old else None)
    hearing.mark()
    return True


# A milk fang beside its new one


def _with_fangs(reading: Reading, hearing: Hearing) -> Reading:
    dog = dog_meant(hearing) if found("two_fangs", hearing) else None
    if dog is None or any(isinstance(e, Tooth) and e.dog == dog.name for e in reading.entries):
        return reading
    tooth = Tooth(dog=dog.name, on=hearing.on, said=hearing.message.text)
    return replace(reading, entries=(*reading.entries, tooth))


# The heat of the whelping box


def _box(hearing: Hearing) -> bool:
    match = found("box_heat", hearing)
    pups = _youngest(hearing)
    if match is None or not pups or hearing.person.role == "buyer":
        return False
    n = float(match["n"].replace(",", "."))
    unit = (match["unit"] or "").casefold()
    heat = celsius(n) if unit == "f" or (not unit and n >= BOX_FROM_F) else n
    warmth = care.box_warmth(pups[0].age_days(hearing.on), heat)
    if warmth is None:
        return False
    key, low, high = warmth
    hearing.keep(FAMILY, box={"at": hearing.at.isoformat(), "celsius": round(heat, 1)})
    if key is None:
        hearing.mark()
        return True
    shown = [say_units.temperature(t, hearing.unit) for t in (heat, low, high)]
    day = pups[0].age_days(hearing.on)
    hearing.say(text(f"newborn.box.{key}", heat=shown[0], low=shown[1], high=shown[2], n=day))
    return True


def _youngest(hearing: Hearing) -> list[Dog]:
    """The newborns that the box is of: those named, else the youngest."""
    dogs = dogs_named(hearing.message.text, hearing) or hearing.kennel.at_home()
    return sorted((d for d in dogs if d.is_newborn(hearing.on)), key=lambda d: d.age_days(hearing.on))


ANSWERS["part left"] = _part_answered
ANSWERS[JOKE] = _joke_answered
