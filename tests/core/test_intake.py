"""What a dog was measured to eat: a bowl told in two messages counts once."""

from __future__ import annotations

from datetime import timedelta

import pytest

from core.entries import Meal
from core.intake import measured
from core.roster import Dog, Food, Kennel, Ration
from tests.books import Book, day

ON = day("2026-07-05")
NUGGET = Dog(
    name="Nugget", born=day("2026-03-08"),
    ration=(Ration(meal="breakfast", cups=0.75), Ration(meal="dinner", cups=0.75), Ration(meal="bedtime", cups=0.25)),
)
KENNEL = Kennel(name="Larkrise", dogs=(NUGGET,), foods=(Food(name="Red bag", kcal_per_cup=400, g_per_cup=110),))

Told = tuple[str, str | None, float | None, str | None]  # clock, meal, cups, eaten


def week(*told: Told, fed: bool = True) -> Book:
    """Seven days of the ordered bowls, 700 kcal a day; the last dinner as it is told here."""
    book = Book()
    for ago in range(7, 0, -1):
        on = ON - timedelta(days=ago)
        book.add(Meal(dog="Nugget", on=on, meal="breakfast"), at="07:05")
        if ago > 1 or fed:
            book.add(Meal(dog="Nugget", on=on), at="17:34")
        book.add(Meal(dog="Nugget", on=on, meal="bedtime"), at="21:50")
    for clock, meal, cups, eaten in told:
        last, unit = ON - timedelta(days=1), "cup" if cups else None
        book.add(Meal(dog="Nugget", on=last, meal=meal, amount=cups, unit=unit, eaten=eaten), at=clock)
    return book


# A dinner is 0.75 cups of 400 kcal = 300 kcal; "left some" stands for three quarters of it, 225 kcal.
@pytest.mark.parametrize(
    ("told", "fed", "kcal"),
    [
        ((), True, 700.0),
        ((("18:10", "dinner", None, "some"),), True, 700 - 75 / 7),  # not 700 + 225 / 7 = 732
        ((("18:10", None, None, "some"),), True, 700 - 75 / 7),
        ((("18:10", "dinner", None, "all"),), True, 700.0),  # "licked it clean"
        ((("18:10", "dinner", None, "none"),), True, 700 - 300 / 7),
        ((("18:10", "dinner", None, "none"), ("19:00", "dinner", None, "some")), True, 700 - 75 / 7),  # the last word
        ((("17:20", "dinner", None, "some"),), True, 700 - 75 / 7),  # told before the feeding was
        ((("18:10", "dinner", None, "some"),), False, 700 - 75 / 7),  # nobody wrote the feeding
        ((("18:10", "dinner", 0.5, None),), True, 700 + 200 / 7),  # a real second bowl
        ((("18:10", "dinner", 0.5, "all"),), True, 700 + 200 / 7),
        ((("18:10", "dinner", 0.5, None), ("18:30", "dinner", None, "none")), True, 700.0),  # of the newest bowl
    ],
)
def test_a_bowl_counts_once(told: tuple[Told, ...], fed: bool, kcal: float) -> None:
    """How much was eaten changes the bowl that was fed; only food put down again is another."""
    found = measured(NUGGET, week(*told, fed=fed).ledger, KENNEL, ON - timedelta(days=7), ON - timedelta(days=1))
    assert found is not None
    assert found.kcal_day == pytest.approx(kcal)
