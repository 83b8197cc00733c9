"""Which care tip falls on a day for a buyer's dog: by its age, at most one a week, none while it is ill or gone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from core.entries import Concern, Dose, Sign
from core.ledger import Ledger
from core.roster import Dog, Kennel, Person, months_between

APART_DAYS = 7  # at most one tip a week; own choice
ILL_DAYS = 3  # no tip so soon after a sign of illness or a medicine; own choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Tip:
    """One tip: its key in the texts, and the age at which it is of use.

    Attributes:
        days, months: the age; `months` are calendar months and count where they are given.
        sex: for `m` or `f` alone, "" for both. homes: for `show` or `pet` homes alone, "" for both.
    """

    key: str
    days: int = 0
    months: int | None = None
    sex: str = ""
    homes: str = ""


def tips_on(kennel: Kennel, tips: Sequence[Tip], on: date) -> tuple[tuple[Person, Dog, Tip], ...]:
    """The tips of that day by the dogs' ages, for every buyer who wants them, whatever the book says.

    None before the breeder has let them go out, and none that she dropped.
    """
    return tuple(t for t in of_ages(kennel, tips, on) if kennel.tips_ok)


def of_ages(kennel: Kennel, tips: Sequence[Tip], on: date) -> tuple[tuple[Person, Dog, Tip], ...]:
    """The same, whether or not the breeder has let them go out."""
    found: list[tuple[Person, Dog, Tip]] = []
    for person in kennel.people:
        if person.role != "buyer" or not person.tips:
            continue
        for name in person.dogs:
            dog = kennel.dog(name)
            if dog is not None and not dog.gone:
                year = _year(dog.born, dog.sex, dog.show_home, tuple(tips))
                found.extend((person, dog, tip) for at, tip in year if at == on and kennel.own_tip(tip.key) != "")
    return tuple(found)


def is_well(dog: Dog, ledger: Ledger, on: date) -> bool:
    """True where the book has no sign of illness, no worrying word and no medicine of the last days."""
    since = on - timedelta(days=ILL_DAYS)
    recent = ledger.of(dog.name, Sign, Concern, Dose, since=since, until=on)
    return not any(isinstance(p.entry, Sign | Concern) or getattr(p.entry, "dose", "") == "medicine" for p in recent)


@lru_cache(maxsize=64)
def _year(born: date, sex: str, show_home: bool, tips: tuple[Tip, ...]) -> tuple[tuple[date, Tip], ...]:
    """The tips of such a dog with their days, thinned to one a week: the earlier one stays."""
    fitting = [t for t in tips if t.sex in ("", sex) and t.homes in ("", "show" if show_home else "pet")]
    kept: list[tuple[date, Tip]] = []
    for at, tip in sorted(((_day(t, born), t) for t in fitting), key=lambda d: (d[0], d[1].key)):
        if not kept or (at - kept[-1][0]).days >= APART_DAYS:
            kept.append((at, tip))
    return tuple(kept)


def _day(tip: Tip, born: date) -> date:
    if tip.months is None:
        return born + timedelta(days=tip.days)
    # The first day on which so many calendar months are complete (a birthday on the 31st comes on the 30th).
    at = born + timedelta(days=28 * tip.months)
    while months_between(born, at) < tip.months:
        at += timedelta(days=1)
    return at
