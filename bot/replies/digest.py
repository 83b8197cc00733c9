"""The week on Sunday evening, and a litter's week on its birthdays: short, figures first, for the breeder."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from bot.replies import changed, say_units
from bot.replies.answers import due_soon
from bot.replies.answers.asker import Asker
from core import care, newborn
from core.entries import Weight
from core.ledger import Ledger
from core.roster import BREEDER, Dog, Kennel
from shared.texts import listed, text

AHEAD = timedelta(days=7)
MOST_COMING, MOST_NAMES = 4, 5
QUIET_DAYS, QUIET_UNTIL = 60, 183  # a buyer unheard of for so long in the first half year; common practice, no source
DOSES = ("wormer", "vaccine")
DOUBLED = 2.0  # times birth weight


def weekly(kennel: Kennel, ledger: Ledger, at: datetime) -> str:
    """The breeder's week: what changed, what was written down, what comes, which buyers are quiet."""
    if kennel.breeder is None:
        return ""
    asker = Asker(person=kennel.breeder, room=BREEDER, kennel=kennel, ledger=ledger, at=at)
    since = say_units.calendar_day(asker.on - timedelta(days=6), kennel, asker.on)
    told = [text("digest.week", day=since), *changed.lines(asker), *_coming(asker), *_buyers(asker)]
    return "\n".join(told)


def litter(dam: Dog, kennel: Kennel, ledger: Ledger, at: datetime) -> str:
    """A litter's week: pups by the scales, who doubled, the dam, what comes next; "" where no pup is followed."""
    if kennel.breeder is None:
        return ""
    asker = Asker(person=kennel.breeder, room=BREEDER, kennel=kennel, ledger=ledger, at=at)
    born = max((d.born for d in kennel.pups_of(dam.name) if d.born <= asker.on), default=None)
    pups = kennel.pups_of(dam.name, born) if born else ()
    if born is None or not pups:
        return ""
    days = (asker.on - born).days
    said = [text("digest.litter", dam=dam.name, n=days, pups=_count(len(pups)))]
    said += _newborns(dam, asker) if pups[0].is_newborn(asker.on) else _weaned(pups, asker)
    said += [*_dam(dam, born, asker), *_next(pups, asker)]
    if f"digest.at.{days}" in _milestones():
        said.append(text(f"digest.at.{days}"))
    return " ".join(said)


def _newborns(dam: Dog, asker: Asker) -> Iterator[str]:
    found = newborn.litter(dam, asker.ledger, asker.kennel, asker.at)
    if found.mean_pace_pct is not None:
        yield text("digest.pace", mean=say_units.percent(found.mean_pace_pct / 100, 0, sign=True))
    smallest = next((p for p in found.pups if p.dog == found.smallest), None)
    if smallest is not None and smallest.grams is not None:
        weight = say_units.weight(smallest.grams / 1000, asker.unit, newborn=True)
        yield text("digest.smallest", dog=smallest.dog, weight=weight)
    last = max((asker.kennel.day_of(p.weighed_at) for p in found.pups if p.weighed_at), default=asker.on)
    if last < asker.on:
        yield text("digest.last_weighed", day=say_units.on_day(last, asker.on, asker.kennel))
    doubled = [p.dog for p in found.pups if (p.times_birth or 0) >= DOUBLED]
    if doubled:
        name = "digest.all_doubled" if len(doubled) == len(found.pups) else "digest.doubled"
        yield text(name, dogs=listed(doubled))
    missing = [p.dog for p in found.pups if p.grams is None]
    if missing:
        yield text("digest.not_weighed", dogs=_names(missing))


def _weaned(pups: tuple[Dog, ...], asker: Asker) -> Iterator[str]:
    shown, silent = [], []
    for pup in pups:
        weights = asker.ledger.entries(pup.name, Weight, until=asker.on)
        if not weights or asker.on - weights[-1].on >= AHEAD:
            silent.append(pup.name)
            continue
        before = [w for w in weights if w.on <= asker.on - AHEAD]
        now = say_units.weight(weights[-1].kg, asker.unit)
        gain = say_units.signed(weights[-1].kg - before[-1].kg, asker.unit) if before else ""
        shown.append(text("digest.pup_gain" if gain else "digest.pup", dog=pup.name, weight=now, gain=gain))
    if shown:
        yield text("digest.pups", pups=", ".join(shown))
    if silent:
        yield text("digest.not_weighed", dogs=_names(silent))


def _dam(dam: Dog, born: date, asker: Asker) -> Iterator[str]:
    weights = asker.ledger.entries(dam.name, Weight, since=born, until=asker.on)
    cups = say_units.cups(sum(r.cups for r in dam.ration)) if dam.ration else ""
    if len(weights) > 1:
        change = say_units.signed(weights[-1].kg - weights[0].kg, asker.unit)
        day = say_units.day(weights[0].on, asker.on, asker.kennel)
        said = text("digest.dam", dam=dam.name, change=change, day=day)
        yield text("digest.dam_cups", said=said, cups=cups) if cups else said + "."
    elif cups:
        yield text("digest.cups", dam=dam.name, cups=cups)


def _next(pups: tuple[Dog, ...], asker: Asker) -> Iterator[str]:
    soon: dict[str, date] = {}
    for pup in pups:
        for due in care.of_dog(pup, asker.ledger, asker.kennel, asker.on):
            if due.what in ("wormer", "vaccine", "nails") and due.on <= asker.on + 2 * AHEAD:
                soon[due.what] = min(soon.get(due.what, due.on), due.on)
    shown = [
        text("digest.next_item", what=text(f"answers.due.what.{what}"), day=_when(on, asker))
        for what, on in sorted(soon.items(), key=lambda s: s[1])
    ]
    if shown:
        yield text("digest.next", what=", ".join(shown))


def _when(on: date, asker: Asker) -> str:
    return say_units.day(max(on, asker.on), asker.on, asker.kennel)


def _coming(asker: Asker) -> Iterator[str]:
    """Doses, weigh-ins and shows of the coming week, each with its dogs."""
    home = {d.name for d in asker.kennel.at_home()}
    every = [d for d in care.due(asker.kennel, asker.ledger, asker.on) if d.dog in home]
    overdue = [d for d in every if d.what in DOSES and d.overdue_days > 0 and d.last is not None]
    found = [
        d
        for d in every
        if d not in overdue and d.on <= asker.on + AHEAD and (d.what in DOSES or (d.what == "bath" and not d.is_due))
    ]
    if overdue:
        yield text("digest.overdue", what=_grouped(overdue))
    if found:
        yield text("digest.coming", what=_grouped(found))


def _grouped(found: list[care.Due]) -> str:
    groups: dict[str, list[str]] = {}
    for due in found:
        groups.setdefault(due_soon.what(due), []).append(due.dog)
    told = [text("digest.group", what=what, dogs=_names(dogs)) for what, dogs in groups.items()]
    return "; ".join(told[:MOST_COMING])


def quiet_buyers(kennel: Kennel, ledger: Ledger, at: datetime) -> list[str]:
    """The buyers of young dogs from whom nothing came for long, a line each."""
    if kennel.breeder is None:
        return []
    return list(_buyers(Asker(person=kennel.breeder, room=BREEDER, kennel=kennel, ledger=ledger, at=at)))


def _buyers(asker: Asker) -> Iterator[str]:
    for dog in asker.kennel.living():
        owner = asker.kennel.person(dog.home) if dog.home else None
        if owner is None or owner.role != "buyer" or dog.age_days(asker.on) > QUIET_UNTIL:
            continue
        told = [p.entry.on for p in asker.ledger.of(dog.name, until=asker.on) if p.by == owner.name]
        quiet = (asker.on - max(told)).days if told else None
        if quiet is not None and quiet > QUIET_DAYS:
            yield text("digest.quiet_buyer", who=owner.name, dog=dog.name, days=say_units.days(quiet))


def _milestones() -> frozenset[str]:
    return frozenset(f"digest.at.{n}" for n in (7, 14, 21, 28, 35, 42, 49, 56))


def _count(n: int) -> str:
    return text("digest.one_pup") if n == 1 else text("digest.pups_count", n=n)


def _names(dogs: list[str]) -> str:
    return listed(dogs) if len(dogs) <= MOST_NAMES else text("answers.due.dogs", n=len(dogs))
