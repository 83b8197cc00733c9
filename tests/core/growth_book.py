"""A small invented kennel and a pen to write its book with, for the tests of growth, newborns, condition and ears."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta

from core.entries import Entry, Weight
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel

PUP_BORN = date(2026, 3, 8)
LITTER_BORN = date(2026, 7, 1)


def pup(**changed: object) -> Dog:
    """Tinder, a dog pup of 8 March of whom 18 kg is expected."""
    known: dict[str, object] = {
        "name": "Tinder",
        "sex": "m",
        "born": PUP_BORN,
        "breed": "Norwegian Buhund",
        "adult_kg": 18.0,
        "ear_watch": True,
    }
    return Dog(**(known | changed))  # type: ignore[arg-type]


def kennel(*dogs: Dog) -> Kennel:
    """A kennel of these dogs in a zone that changes its clocks."""
    return Kennel(name="Larkrise", zone="Europe/Oslo", dogs=dogs)


def book(*entries: Entry, at: Sequence[datetime] = ()) -> Ledger:
    """These entries as posted in this order, each at noon of its day (UTC) unless moments are given."""
    moments = at or [datetime.combine(e.on, time(12), UTC) for e in entries]
    return Ledger(Posted(id=i + 1, entry=e, at=m) for i, (e, m) in enumerate(zip(entries, moments, strict=True)))


def weighed(kgs: Sequence[tuple[date, float]], dog: str = "Tinder") -> list[Entry]:
    """One weight for each day and kilograms."""
    return [Weight(dog=dog, on=on, kg=kg) for on, kg in kgs]


def on(week: float, born: date = PUP_BORN) -> date:
    """The day on which a pup is so many weeks old."""
    return born + timedelta(days=round(7 * week))
