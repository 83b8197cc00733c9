"""A dog's weighings day by day, as the growth and newborn parts use them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from statistics import median

from core.entries import Mating, Weight, Whelping
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """The weight of one day in kilograms: `kg` the day's last reading, `middle_kg` the median of all of that day;
    `carrying` where it is that of pregnancy or nursing."""

    on: date
    kg: float
    middle_kg: float
    carrying: bool = False


def daily(dog: Dog, ledger: Ledger, on: date) -> tuple[Weighing, ...]:
    """The dog's weighings in kg up to a day, one for each day, in order; the roster's last weight where the book has
    none of that day. Weights before birth or not above zero are left out."""
    days: dict[date, list[float]] = {}
    for w in ledger.entries(dog.name, Weight, until=on):
        if w.kg > 0 and w.on >= dog.born:
            days.setdefault(w.on, []).append(w.kg)
    known = dog.last_weight
    if known is not None and known.kg > 0 and dog.born <= known.on <= on:
        days.setdefault(known.on, [known.kg])
    spans = _carrying_spans(dog, ledger) if days else ()
    return tuple(
        Weighing(
            on=d,
            kg=kgs[-1],
            middle_kg=kgs[0] if len(kgs) == 1 else median(kgs),
            carrying=any(start <= d <= end for start, end in spans),
        )
        for d, kgs in sorted(days.items())
    )


def instant(p: Posted, kennel: Kennel) -> datetime:
    """When an entry happened, in UTC: its clock on its day, else the moment of the message if that was the same local
    day, else noon of its day."""
    if p.entry.clock is not None:
        return datetime.combine(p.entry.on, p.entry.clock, kennel.tz).astimezone(UTC)
    if kennel.day_of(p.at) == p.entry.on:
        return p.at.astimezone(UTC)
    return datetime.combine(p.entry.on, time(12), kennel.tz).astimezone(UTC)


def grown_kg(dog: Dog, ledger: Ledger, on: date) -> float | None:
    """A grown dog's lean weight in kg: what the breeder's hands called right, else what she expects, else the median of
    the last year's weighings outside pregnancy and nursing; None for a dog under a year or without any of these."""
    if dog.ideal_kg:
        return dog.ideal_kg
    if dog.adult_kg:
        return dog.adult_kg
    grown = dog.born + timedelta(days=365)
    since = max(grown, on - timedelta(days=365))
    kgs = [w.middle_kg for w in daily(dog, ledger, on) if w.on >= since and not w.carrying]
    return median(kgs) if kgs else None


def _carrying_spans(dog: Dog, ledger: Ledger) -> tuple[tuple[date, date], ...]:
    """The days on which a bitch's weight is that of pregnancy or nursing: 63 days before a whelping to 60 after, and
    70 days from a mating."""
    if dog.sex == "m":
        return ()
    whelped = [(w.on - timedelta(days=63), w.on + timedelta(days=60)) for w in ledger.entries(dog.name, Whelping)]
    mated = [(m.on, m.on + timedelta(days=70)) for m in ledger.entries(dog.name, Mating)]
    return (*whelped, *mated)
