"""A kennel of one dog, for holding the reader's figures and days against other people's arithmetic."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from bot.reading import read
from core.entries import Entry
from core.roster import Dog, Kennel, KnownWeight, Person

NOON = datetime(2026, 7, 8, 12, 0, tzinfo=UTC)
DOG = Dog(name="Zorvik", sex="m", born=date(2015, 5, 4))
KENNEL = Kennel(name="Vexholm", zone="UTC", weight_unit="kg", people=(Person(name="Ottilie"),), dogs=(DOG,))


def kennel(kg: float = 27.0, *, unit: str = "kg", zone: str = "UTC", day_first: bool = True) -> Kennel:
    """The kennel where the dog weighed so much; no other value than one near it is believed."""
    dog = replace(DOG, last_weight=KnownWeight(kg=kg, on=NOON.date()))
    return replace(KENNEL, dogs=(dog,), weight_unit=unit, zone=zone, day_first=day_first)


def only(text: str, where: Kennel, at: datetime = NOON) -> Entry:
    """The one entry that the message records.

    Raises:
        AssertionError: it records none or several, or leaves a doubt.
    """
    found = read(text, "Ottilie", at, where)
    assert len(found.entries) == 1 and not found.doubts, f"{text!r}: {found}"
    return found.entries[0]
