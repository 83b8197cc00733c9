"""Top-ups of one newborn: who gave them when, and its gain with and without them, side by side.

No cause is claimed, and no amount is ever named: what and how much is on the vet's or the label's sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from core.entries import Meal
from core.ledger import Ledger, Posted
from core.newborn import grams_of
from core.newborn_lines import Gram, expected_pace
from core.roster import Dog, Kennel
from core.weighings import instant
from shared.tables import facts

TIMES = "times"  # the unit of a meal of which it was told how often
PER_HOURS = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Giver:
    """How often one person topped the pup up, and when last (UTC)."""

    by: str
    times: int
    last: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """The stretches of one kind: how many, their hours, gain in grams in 12 hours, the littermates' over the same
    hours (None where none was weighed), and the top-ups in them."""

    stretches: int
    hours: float
    gain_g: float
    mates_g: float | None = None
    times: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class TopUps:
    """The top-ups of one newborn at an instant.

    Attributes:
        times: top-ups of the last days (`newborn.toml`). givers: by person, the newest first.
        with_, without: stretches between weighings with and without a top-up told in them; None where there is none.
        since_weighed: top-ups after the last weighing, which no weight speaks of yet.
        level: `not_gaining` (none or a loss with them: the vet), `slow` (under half of what is typical of the age: the
            vet), `no_better` (not more than without), `gaining`, `unknown`.
    """

    dog: str
    at: datetime
    times: int = 0
    givers: tuple[Giver, ...] = ()
    with_: Side | None = None
    without: Side | None = None
    since_weighed: int = 0
    level: str = "unknown"
    source: tuple[str, ...] = ("kennel-lines", "sacn5-growth")
    caution: tuple[str, ...] = ("amounts_are_the_vets", "no_cause_claimed")


@dataclass(frozen=True, slots=True)
class _Stretch:
    a: Gram
    b: Gram
    times: int
    mates: tuple[float, ...]  # gain in grams in 12 hours of each littermate

    @property
    def hours(self) -> float:
        return (self.b.at - self.a.at).total_seconds() / 3600


def assess(dog: Dog, ledger: Ledger, kennel: Kennel, at: datetime) -> TopUps:
    """The pup's top-ups beside its gain in grams in 12 hours, by the records up to an instant.

    A top-up counts for the stretch between two weighings in which it happened (by its clock, else when it was told).
    """
    at = at.astimezone(UTC)
    rule = facts("newborn")["topups"]
    since = at - timedelta(days=rule["days"])
    given = _given(dog, ledger, kennel, since, at)
    grams = grams_of(dog, ledger, kennel, at)
    mates = [d for d in kennel.living() if d.litter and (d.litter, d.born) == (dog.litter, dog.born) and d != dog]
    weighed = [(grams_of(m, ledger, kennel, at), _given(m, ledger, kennel, since, at)) for m in mates]
    stretches = [
        _Stretch(a, b, _times_between(given, a.at, b.at), _mates_gain(weighed, a.at, b.at))
        for a, b in _pairs([g for g in grams if g.at >= since], first=grams[0].at if grams else at)
    ]
    with_ = _side([s for s in stretches if s.times])
    without = _side([s for s in stretches if not s.times])
    return TopUps(
        dog=dog.name,
        at=at,
        times=sum(n for _, n, _ in given),
        givers=_givers(given),
        with_=with_,
        without=without,
        since_weighed=_times_between(given, grams[-1].at, at) if grams else sum(n for _, n, _ in given),
        level=_level(with_, without, _slow_below_g(dog, grams, kennel)),
    )


def _slow_below_g(dog: Dog, grams: Sequence[Gram], kennel: Kennel) -> float:
    """Half of the gain in grams in 12 hours that is typical of the age, at the newest weight (SACN5 Table 16-1)."""
    if not grams:
        return 0.0
    share = expected_pace(dog.age_days(kennel.day_of(grams[-1].at))) / 100 * PER_HOURS / 24
    return float(facts("newborn")["litter"]["slow_below"]) * share * grams[-1].grams


def _level(with_: Side | None, without: Side | None, slow_below_g: float) -> str:
    if with_ is None:
        return "unknown"
    if with_.gain_g <= 0:
        return "not_gaining"
    if with_.gain_g < slow_below_g:
        return "slow"
    return "no_better" if without is not None and with_.gain_g <= without.gain_g else "gaining"


Given = tuple[datetime, int, str]  # when, how often, by whom


def _given(dog: Dog, ledger: Ledger, kennel: Kennel, since: datetime, at: datetime) -> list[Given]:
    until = dog.born + timedelta(days=int(facts("newborn")["topups"]["until_day"]) - 1)
    told = ledger.of(dog.name, Meal, until=min(until, kennel.day_of(at)))
    found = [(min(instant(p, kennel), p.at.astimezone(UTC)), _times(p), p.by) for p in told]
    return [g for g in found if since <= g[0] <= at]


def _times(posted: Posted) -> int:
    entry = posted.entry
    assert isinstance(entry, Meal)
    return int(entry.amount) if entry.unit == TIMES and entry.amount else 1


def _times_between(given: Iterable[Given], start: datetime, end: datetime) -> int:
    return sum(n for when, n, _ in given if start < when <= end)


def _givers(given: Sequence[Given]) -> tuple[Giver, ...]:
    people = {by: [g for g in given if g[2] == by] for _, _, by in given}
    found = [
        Giver(by=by, times=sum(n for _, n, _ in own), last=max(when for when, _, _ in own))
        for by, own in people.items()
    ]
    return tuple(sorted(found, key=lambda g: g.last, reverse=True))


def _pairs(grams: Sequence[Gram], first: datetime) -> list[tuple[Gram, Gram]]:
    """Neighbouring weighings some hours apart, from the second day of life on: a first dip can be normal."""
    rule = facts("newborn")["topups"]
    after = first + timedelta(hours=facts("newborn")["amber"]["after_hours"])
    found: list[tuple[Gram, Gram]] = []
    start: Gram | None = None
    for g in grams:
        if start is None or g.at - start.at > timedelta(hours=rule["most_hours"]):
            start = g if g.at >= after else None
        elif g.at - start.at >= timedelta(hours=rule["least_hours"]):
            found.append((start, g))
            start = g
    return found


def _mates_gain(
    weighed: Iterable[tuple[Sequence[Gram], Sequence[Given]]], start: datetime, end: datetime
) -> tuple[float, ...]:
    """Gain in grams in 12 hours of each littermate weighed at about the same hours and not topped up between them."""
    found = []
    for grams, given in weighed:
        a, b = _near(grams, start), _near(grams, end)
        if a is None or b is None or b.at <= a.at or _times_between(given, a.at, b.at):
            continue
        found.append((b.grams - a.grams) / ((b.at - a.at).total_seconds() / 3600) * PER_HOURS)
    return tuple(found)


def _near(grams: Sequence[Gram], moment: datetime) -> Gram | None:
    within = timedelta(hours=facts("newborn")["topups"]["mates_within_hours"])
    near = [g for g in grams if abs(g.at - moment) <= within]
    return min(near, key=lambda g: abs(g.at - moment), default=None)


def _side(stretches: Sequence[_Stretch]) -> Side | None:
    if not stretches:
        return None
    hours = sum(s.hours for s in stretches)
    beside = [(sum(s.mates) / len(s.mates), s.hours) for s in stretches if s.mates]
    return Side(
        stretches=len(stretches),
        hours=hours,
        gain_g=sum(s.b.grams - s.a.grams for s in stretches) / hours * PER_HOURS,
        mates_g=sum(g * h for g, h in beside) / sum(h for _, h in beside) if beside else None,
        times=sum(s.times for s in stretches),
    )
