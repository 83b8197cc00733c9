"""A litter's newborn weeks as gains since birth, pup by pup, for one sheet to be looked at."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from core import newborn
from core.ledger import Ledger
from core.newborn import Newborn
from core.newborn_lines import CLEAR
from core.roster import NEWBORN_DAYS, Dog, Kennel

FIRST_DAYS = 2.0  # until when a pup under its birth weight is judged by the lines of core.newborn alone


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """One weighing: days since the first one (or since the day of birth began), grams, percent since the first."""

    day: float
    grams: float
    pct: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PupGains:
    """One pup's newborn weeks.

    Attributes:
        gains: its weighings of the newborn weeks, in order; the first is at 0 %.
        from_birth: true where the first was on the day of birth, so that the percentages are since birth.
        stands: how it stands at the instant asked (its level and warnings).
        lost: true where the last weighing was under the one before it, or still under the first.
    """

    dog: str
    gains: tuple[Gain, ...]
    from_birth: bool
    stands: Newborn

    @property
    def lost(self) -> bool:
        """True for a pup that is losing or not back to its birth weight."""
        if len(self.gains) < 2:
            return False
        last, previous = self.gains[-1], self.gains[-2]
        if last.pct < 0 and self.stands.level == CLEAR and last.day <= FIRST_DAYS:
            return False  # a small dip of the first day is usual
        return last.grams < previous.grams or last.pct < 0

    @property
    def watched(self) -> bool:
        """True where a line is crossed at the instant asked, or the pup lost weight while it was a newborn."""
        return self.lost or self.stands.level not in (CLEAR, "unknown")


@dataclass(frozen=True, slots=True, kw_only=True)
class LitterGains:
    """The newborn weeks of a dam's newest litter: the pup in most trouble first; `past` once they are over."""

    dam: str
    born: date | None = None
    age_days: int = 0
    past: bool = False
    pups: tuple[PupGains, ...] = ()


def of_litter(dam: Dog, ledger: Ledger, kennel: Kennel, at: datetime) -> LitterGains:
    """The newest litter's gains as of an instant; no pups where the dam has no litter, or none of it is followed."""
    found = newborn.litter(dam, ledger, kennel, at)
    if found.born is None or found.age_days is None:
        return LitterGains(dam=dam.name)
    pups = tuple(of_pup(n, ledger, kennel, at) for n in found.pups)
    past = found.age_days >= NEWBORN_DAYS
    return LitterGains(dam=dam.name, born=found.born, age_days=found.age_days, past=past, pups=pups)


def of_pup(stands: Newborn, ledger: Ledger, kennel: Kennel, at: datetime) -> PupGains:
    """One pup's newborn weeks as of an instant, told with how it stands then."""
    dog = kennel.by_name[stands.dog]
    grams = [g for g in newborn.grams_of(dog, ledger, kennel, at) if dog.is_newborn(g.on)]
    if not grams:
        return PupGains(dog=dog.name, gains=(), from_birth=False, stands=stands)
    first = grams[0]
    start = newborn.birth_of(dog, grams, kennel)
    gains = tuple(
        Gain(
            day=(g.at - start).total_seconds() / 86400,
            grams=g.grams,
            pct=round(100 * (g.grams / first.grams - 1), 6),
        )
        for g in grams
    )
    return PupGains(dog=dog.name, gains=gains, from_birth=first.on == dog.born, stands=stands)
