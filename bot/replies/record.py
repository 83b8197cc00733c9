"""The record in words: a dog's story, its weights, parents and tests, a day of the house, who wrote what."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from bot.replies import kept, say_units
from bot.replies.answers.asker import Asker
from core import pedigree
from core.entries import (
    Ears,
    Entry,
    HealthTest,
    LeaveItem,
    Meal,
    Photo,
    Season,
    Sign,
    Treat,
    Weight,
    Whelping,
)
from core.ledger import Posted
from core.roster import Dog
from core.rota import MEALS, meal_of
from shared.texts import listed, text

GENERATIONS = 3  # of a pedigree in the chat; more is for paper
SIGN_DAYS = 30
NEAREST = timedelta(days=60)


# One dog


def story(dog: Dog, asker: Asker) -> list[str]:
    """Who it is, then each day with what was written of it, newest first; everyday bowls and treats left out."""
    days: dict[date, list[Entry]] = {}
    for p in asker.ledger.of(dog.name, until=asker.on):
        if not isinstance(p.entry, Treat) and not (isinstance(p.entry, Meal) and p.entry.eaten in (None, "all")):
            days.setdefault(p.entry.on, []).append(p.entry)
    if not days:
        return [head(dog, asker), text("record.nothing", dog=dog.name)]
    told = [_line(on, "; ".join(_facts(days[on], asker)), asker) for on in sorted(days, reverse=True)]
    return [head(dog, asker), *told]


def head(dog: Dog, asker: Asker) -> str:
    """ "Nugget, dog, born 15 November 2025, 17 weeks."""
    sex = text(f"record.sex.{dog.sex or 'any'}")
    return text("record.head", dog=dog.name, sex=sex, day=_born(dog, asker), age=say_units.age(dog, asker.on))


def age(dog: Dog, asker: Asker) -> str:
    """When it was born, and its age today."""
    return text("record.born", dog=dog.name, day=_born(dog, asker), age=say_units.age(dog, asker.on))


def weights(dog: Dog, asker: Asker) -> list[str]:
    """Its weighings, newest first, each with its change."""
    found = asker.ledger.entries(dog.name, Weight, until=asker.on)
    if not found:
        return [text("record.weights_none", dog=dog.name)]
    lines = []
    for n in range(len(found) - 1, -1, -1):
        shown = text("record.first", weight=_kg(found[n], dog, asker))
        if n:
            gain = say_units.signed(found[n].kg - found[n - 1].kg, asker.unit, dog.is_newborn(found[n].on))
            shown = text("record.weighed", weight=shown, change=text("record.change", gain=gain))
        lines.append(_line(found[n].on, shown, asker))
    return [text("record.weights_head", dog=dog.name), *lines]


def weight_on(dog: Dog, on: date, asker: Asker, at_birth: bool = False) -> str:
    """Its weight of that day; where there is none, the nearest ones before and after, with their days."""
    found = asker.ledger.entries(dog.name, Weight, until=asker.on)
    that_day = next((w for w in reversed(found) if w.on == on), None)
    if that_day is not None:
        name = "record.at_birth" if at_birth else "record.on_day"
        return text(name, dog=dog.name, weight=_kg(that_day, dog, asker), day=_when(on, asker))
    said = text("record.not_that_day", dog=dog.name, day=_when(on, asker))
    before = [w for w in found if on - NEAREST <= w.on < on][-1:]
    after = [w for w in found if on < w.on <= on + NEAREST][:1]
    near = [text("record.near", weight=_kg(w, dog, asker), day=_when(w.on, asker)) for w in (*before, *after)]
    return text("record.nearest", said=said, near=listed(near)) if near else said


def seasons(dog: Dog, asker: Asker) -> str:
    """The first days of her seasons, newest first, with the days between."""
    if dog.sex == "m":
        return text("record.male", dog=dog.name)
    days = sorted({s.on for s in asker.ledger.entries(dog.name, Season, until=asker.on)})
    if not days:
        return text("record.seasons_none", dog=dog.name)
    told = []
    for n in range(len(days) - 1, -1, -1):
        day = say_units.calendar_day(days[n], asker.kennel, asker.on)
        told.append(text("record.season_gap", day=day, n=(days[n] - days[n - 1]).days) if n else day)
    return text("record.seasons", dog=dog.name, days="; ".join(told))


def litters(dog: Dog, asker: Asker) -> list[str]:
    """The litters of a bitch, or by a dog, newest first, with the pups that are on the roster."""
    found = {(x.dam, x.born): (x.sire, x.counted) for x in asker.kennel.litters if x.born and x.born <= asker.on}
    for p in asker.ledger.of(dog.name, Whelping, until=asker.on):
        if isinstance(p.entry, Whelping):
            found.setdefault((dog.name, p.entry.on), (None, p.entry.pups))
    own = {k: v for k, v in found.items() if dog.name in (k[0], v[0])}
    if not own:
        return [text("record.litters_none", dog=dog.name)]
    return [_litter(*key, *own[key], asker) for key in sorted(own, key=lambda k: k[1] or date.min, reverse=True)]


def parents(dog: Dog, asker: Asker, which: str = "") -> str:
    """Its sire and dam, or the one asked for."""
    sire, dam = pedigree.parents_of(asker.kennel).get(dog.name, (None, None))
    shown = {"sire": sire or text("record.unknown"), "dam": dam or text("record.unknown")}
    if which == "sire":
        return text("record.sire", dog=dog.name, sire=shown["sire"])
    if which == "dam":
        return text("record.dam", dog=dog.name, dam=shown["dam"])
    return text("record.parents", dog=dog.name, **shown)


def ancestors(dog: Dog, asker: Asker) -> list[str]:
    """The pedigree by generations, sire before dam, with how much of it is known."""
    known = pedigree.parents_of(asker.kennel)
    lines, names, places = [], [dog.name], 0
    for n in range(1, GENERATIONS + 1):
        pairs = [known.get(name, (None, None)) if name else (None, None) for name in names]
        names = [name or "" for pair in pairs for name in pair]
        if not any(names):
            break
        places += sum(bool(x) for x in names)
        unknown = text("record.unknown")
        shown = [text("record.pair", sire=sire or unknown, dam=dam or unknown) for sire, dam in pairs if sire or dam]
        lines.append(text(f"record.generation.{n}", names="; ".join(shown)))
    of = 2 ** (GENERATIONS + 1) - 2
    return [head(dog, asker), *lines, text("record.places", known=places, of=of, n=GENERATIONS)]


def tests(dog: Dog, asker: Asker) -> str:
    """Its health tests, newest first, with how long each is good for."""
    found = asker.ledger.entries(dog.name, HealthTest, until=asker.on)
    if not found:
        return text("record.tests_none", dog=dog.name)
    lines = []
    for t in reversed(found):
        day = say_units.calendar_day(t.on, asker.kennel, asker.on)
        said = text("record.tests_line", test=t.test, what=t.result or text("record.tested"), day=day)
        if t.until is None:
            lines.append(text("record.no_end", said=said))
            continue
        name = "record.ran_out" if t.until < asker.on else "record.good_until"
        lines.append(text(name, said=said, day=say_units.calendar_day(t.until, asker.kennel, t.on)))
    return text("record.line", day=dog.name, what="; ".join(lines))


def chip(dog: Dog, asker: Asker) -> str:
    """Whether it is chipped: the number itself is kept nowhere here."""
    done = [i for i in asker.ledger.entries(dog.name, LeaveItem, until=asker.on) if i.item == "chip"]
    if not done:
        return text("record.chip_none", dog=dog.name)
    return text("record.chip", dog=dog.name, day=_when(done[-1].on, asker))


def sign(dog: Dog, name: str, asker: Asker) -> str:
    """When a sign was last written of it, by whom, and how often of late."""
    what = text(f"kept.sign.{name}")
    found = [
        p for p in asker.ledger.of(dog.name, Sign, until=asker.on)
        if isinstance(p.entry, Sign) and (p.entry.sign == name or (name == "vomit" and p.entry.sign == "bile"))
    ]  # fmt: skip
    if not found:
        return text("record.sign_none", dog=dog.name, sign=what)
    last = found[-1]
    by = text("record.by_whom", who=last.by) if last.by else ""
    shown = kept.fact(last.entry, asker.kennel, asker.unit)
    said = text("record.sign", dog=dog.name, sign=shown, day=_when(last.entry.on, asker), by=by)
    lately = {p.entry.on for p in found if (asker.on - p.entry.on).days < SIGN_DAYS}
    if len(lately) < 2:
        return said
    return text("record.sign_times", said=said, times=_capital(say_units.times(len(lately))), days=SIGN_DAYS)


# The house


def wrote(entries: Sequence[Posted], who: str, on: date, asker: Asker) -> list[str]:
    """What somebody wrote on a day, one line a message's worth of facts."""
    if not entries:
        return [text("record.wrote_none", who=who, day=_when(on, asker))]
    told = day(entries, asker)
    first = text("record.wrote", who=who, day=_when(on, asker), what=told[0])
    return [first, *told[1:]]


def day(entries: Iterable[Posted], asker: Asker) -> list[str]:
    """The entries of one day: weights in one line, ears in one, the rest, then bowls and treats counted."""
    found = list(entries)
    scales = [p.entry for p in found if isinstance(p.entry, Weight)]
    ears = [p.entry for p in found if isinstance(p.entry, Ears)]
    bowls = [p for p in found if isinstance(p.entry, Meal) and p.entry.eaten in (None, "all")]
    treats = [p.entry for p in found if isinstance(p.entry, Treat)]
    counted = (Weight, Ears, Treat)
    rest = [p.entry for p in found if not isinstance(p.entry, counted) and p not in bowls]
    lines = []
    if scales:
        shown = [text("record.weight_of", dog=w.dog, weight=kept.fact(w, asker.kennel, asker.unit)) for w in scales]
        lines.append(text("record.weights", dogs=", ".join(dict.fromkeys(shown))))
    if ears:
        shown = [text("kept.line", dogs=e.dog, fact=kept.fact(e, asker.kennel, asker.unit)) for e in ears]
        lines.append(text("record.ears", dogs="; ".join(dict.fromkeys(shown))))
    if rest:
        lines += [f"{said}." for said in kept.lines(rest, asker.kennel, asker.unit, rest[0].on)]
    if bowls:
        lines.append(text("record.bowls", meals=", ".join(_counted(bowls, asker))))
    if treats:
        lines.append(text("record.treats", n=sum(int(t.amount or 1) if t.unit == "piece" else 1 for t in treats)))
    return lines


def by_whom(posted: Posted, asker: Asker) -> str:
    """Who wrote one entry, and when."""
    entry = posted.entry
    who = posted.by or text("answers.nobody_named")
    what = kept.fact(entry, asker.kennel, asker.unit)
    shown = {"dog": entry.dog, "what": what, "who": who}
    shown["day"] = say_units.day(entry.on, asker.on, asker.kennel)
    if posted.brought and entry.clock is None:
        return text("record.by_brought", **shown)
    return text("record.by", **shown, time=say_units.clock(entry.clock or posted.at, asker.kennel))


def _counted(bowls: Iterable[Posted], asker: Asker) -> list[str]:
    dogs: dict[str, set[str]] = {}
    for p in bowls:
        dogs.setdefault(meal_of(p, asker.kennel), set()).add(p.entry.dog)
    return [text("record.meal_count", meal=text(f"kept.meal.{m}"), n=len(dogs[m])) for m in MEALS if m in dogs]


def _facts(entries: Iterable[Entry], asker: Asker) -> list[str]:
    found = [e for e in entries if not isinstance(e, Photo)] or list(entries)
    return list(dict.fromkeys(kept.fact(e, asker.kennel, asker.unit) for e in found))


def _litter(dam: str, born: date | None, sire: str | None, counted: int | None, asker: Asker) -> str:
    pups = [d for d in asker.kennel.dogs if d.litter == dam and d.born == born]
    sire = sire or next((p.sire for p in pups if p.sire), None)
    number = counted or len(pups)
    n = text("record.unknown_count")
    if number:
        n = text("record.one_pup") if number == 1 else text("record.pups", n=number)
    day = say_units.calendar_day(born, asker.kennel, asker.on) if born else text("record.unknown")
    if sire:
        said = text("record.litter", dam=dam, sire=sire, day=day, n=n)
    else:
        said = text("record.litter_no_sire", dam=dam, day=day, n=n)
    return text("record.litter_named", said=said, dogs=listed([p.name for p in pups])) if pups else said


def _kg(weight: Weight, dog: Dog, asker: Asker) -> str:
    return say_units.weight(weight.kg, asker.unit, dog.is_newborn(weight.on))


def _born(dog: Dog, asker: Asker) -> str:
    return say_units.calendar_day(dog.born, asker.kennel, asker.on)


def _when(on: date, asker: Asker) -> str:
    return say_units.on_day(on, asker.on, asker.kennel)


def _line(on: date, what: str, asker: Asker) -> str:
    return text("record.line", day=_capital(say_units.day(on, asker.on, asker.kennel)), what=what)


def _capital(said: str) -> str:
    return said[0].upper() + said[1:]
