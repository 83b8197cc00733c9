"""A nursing dam off her food: twelve hours without are for the vet (common practice, no source)."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest

from core.appetite import off_food
from core.entries import Meal, Whelping
from core.roster import Dog, Duty, Kennel
from tests.books import Book, day

HEATHER = Dog(name="Heather", sex="f", born=day("2022-03-30"))
ON = day("2026-03-14")
WHELPED = day("2026-03-09")
KENNEL = Kennel(name="K", dogs=(HEATHER,), duties=(Duty(what="breakfast", at=time(7), who="Tom"),))


def book(*bowls: tuple[str, str | None, str | None], whelped: date = WHELPED) -> Book:
    """Bowls as (time told, eaten, the words said)."""
    made = Book().add(Whelping(dog="Heather", on=whelped, pups=5))
    for at, eaten, said in bowls:
        made.add(Meal(dog="Heather", on=ON, eaten=eaten, said=said or ""), at=at)
    return made


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 3, 14, hour, minute, tzinfo=UTC)


@pytest.mark.parametrize(
    ("bowls", "off"),
    [
        ((("08:30", "none", None),), True),
        ((("08:30", "none", None), ("12:40", "all", None)), False),
        ((("08:30", "none", None), ("12:40", "some", None)), False),
        # A bowl that was put down is not a bowl that was eaten.
        ((("08:30", "none", None), ("12:40", None, "fed everyone")), True),
        ((("08:30", "none", None), ("12:40", None, "Heather ate")), False),
        ((("08:30", "all", None),), False),
        ((), False),
    ],
)
def test_since_she_ate(bowls: tuple[tuple[str, str | None, str | None], ...], off: bool) -> None:
    assert (off_food(HEATHER, book(*bowls).ledger, KENNEL, at(20)) is not None) is off


def test_twelve_hours_from_the_first_bowl_she_refused() -> None:
    """The bowl's own time where the meal is named; the first refusal, not the newest."""
    told = book(("08:30", "none", None), ("12:40", "none", None)).ledger
    found = off_food(HEATHER, told, KENNEL, at(13))
    assert found is not None and (found.since, found.vet_at) == (at(8, 30), at(20, 30))
    named = Book().add(Whelping(dog="Heather", on=WHELPED))
    named.add(Meal(dog="Heather", on=ON, meal="breakfast", eaten="none"), at="09:10")
    found = off_food(HEATHER, named.ledger, KENNEL, at(13))
    assert found is not None and found.vet_at == at(19)


def test_since_this_morning_is_counted_from_the_morning() -> None:
    told = book(("17:40", "none", "Heather not eating since this morning")).ledger
    found = off_food(HEATHER, told, KENNEL, at(18))
    assert found is not None and found.vet_at == at(19)


def test_a_bowl_eaten_before_the_one_she_refused_takes_nothing_back() -> None:
    made = Book().add(Whelping(dog="Heather", on=WHELPED))
    made.add(Meal(dog="Heather", on=ON, meal="lunch", eaten="none"), at="12:40")
    made.add(Meal(dog="Heather", on=ON, meal="breakfast", eaten="all"), at="13:00")
    assert off_food(HEATHER, made.ledger, KENNEL, at(14)) is not None
    made.add(Meal(dog="Heather", on=ON, meal="dinner", eaten="all"), at="18:00")
    assert off_food(HEATHER, made.ledger, KENNEL, at(19)) is None


def test_only_a_dam_with_pups() -> None:
    told = book(("08:30", "none", None), whelped=day("2025-12-01")).ledger
    assert off_food(HEATHER, told, KENNEL, at(13)) is None
