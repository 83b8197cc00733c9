"""Top-ups beside the scales: with and without, littermates, who gave them."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

import pytest

from core.entries import Meal, Weight
from core.ledger import Ledger
from core.roster import Dog, Kennel
from core.topups import TopUps, assess
from tests.books import Book, day

BORN = day("2026-06-28")
GREEN, BLUE, RED = (Dog(name=n, born=BORN, litter="Runa") for n in ("Green", "Blue", "Red"))
HOUSE = Kennel(name="Larkrise", dogs=(GREEN, BLUE, RED))


def weigh(book: Book, dog: Dog, weights: dict[tuple[int, int], int]) -> None:
    """Grams by (day of age, hour)."""
    for (age, hour), grams in weights.items():
        on = BORN + timedelta(days=age)
        book.add(Weight(dog=dog.name, on=on, kg=grams / 1000, clock=time(hour)), at=f"{hour:02d}:00")


def top_up(book: Book, age: int, hour: int, times: int = 1, by: str = "Tom") -> None:
    """A top-up of Green's."""
    on = BORN + timedelta(days=age)
    book.add(Meal(dog="Green", on=on, amount=float(times), unit="times"), at=f"{hour:02d}:00", by=by)


def seen(book: Book, age: int, hour: int) -> TopUps:
    at = datetime(2026, 6, 28, hour, 30, tzinfo=UTC) + timedelta(days=age)
    return assess(GREEN, book.ledger, HOUSE, at)


def test_six_grams_with_and_none_without() -> None:
    """Day 2 without top-ups: no gain; day 3 on four of them: 6 g in 12 hours; littermates gain as they did."""
    book = Book()
    weigh(book, GREEN, {(0, 4): 318, (1, 8): 305, (1, 20): 305, (2, 8): 305, (2, 20): 311, (3, 8): 317})
    weigh(book, BLUE, {(0, 4): 361, (1, 8): 370, (1, 20): 384, (2, 8): 398, (2, 20): 413, (3, 8): 428})
    top_up(book, 2, 10, times=2)
    top_up(book, 2, 22, by="Maya")
    top_up(book, 3, 2, by="Maya")
    found = seen(book, 3, 9)
    assert found.with_ is not None and found.without is not None
    assert found.with_.gain_g == pytest.approx(6)
    assert (found.with_.stretches, found.with_.times, found.without.gain_g) == (2, 4, 0)
    assert found.with_.mates_g == pytest.approx(15)
    assert found.without.mates_g == pytest.approx(14)
    assert [(g.by, g.times) for g in found.givers] == [("Maya", 2), ("Tom", 2)]
    assert found.level == "slow"  # half of 8 % a day of 317 g is 6.3 g in 12 hours


def test_levels() -> None:
    """A loss on top-ups is for the vet; a good gain that is no better than without them is said as that."""
    book = Book()
    weigh(book, GREEN, {(0, 4): 318, (2, 8): 330, (2, 20): 329})
    top_up(book, 2, 10)
    assert seen(book, 2, 21).level == "not_gaining"
    book = Book()
    weigh(book, GREEN, {(0, 4): 318, (2, 8): 330, (2, 20): 345, (3, 8): 359})
    top_up(book, 2, 22)
    assert seen(book, 3, 9).level == "no_better"
    book = Book()
    weigh(book, GREEN, {(0, 4): 318, (2, 8): 330, (2, 20): 342, (3, 8): 359})
    top_up(book, 2, 22)
    assert seen(book, 3, 9).level == "gaining"


def test_the_first_day_is_left_out() -> None:
    """A dip of the first 24 hours speaks neither for nor against top-ups."""
    book = Book()
    weigh(book, GREEN, {(0, 4): 318, (0, 16): 310, (1, 2): 309})
    top_up(book, 0, 20)
    found = seen(book, 1, 3)
    assert (found.with_, found.without, found.times, found.level) == (None, None, 1, "unknown")


def test_top_ups_after_the_last_weighing_wait_for_the_next() -> None:
    """No weight speaks of them yet."""
    book = Book()
    weigh(book, GREEN, {(0, 4): 318, (2, 8): 330})
    top_up(book, 2, 9, times=3)
    found = seen(book, 2, 10)
    assert (found.since_weighed, found.level) == (3, "unknown")


def test_gruel_is_no_top_up() -> None:
    """From the third week on a bowl may be the first gruel; and an empty book says nothing."""
    book = Book()
    weigh(book, GREEN, {(20, 8): 1400, (22, 8): 1500})
    top_up(book, 21, 9)
    assert seen(book, 22, 10).times == 0
    assert assess(GREEN, Ledger(), HOUSE, datetime(2026, 7, 1, tzinfo=UTC)).level == "unknown"


def test_littermates_on_top_ups_are_no_yardstick() -> None:
    """A littermate that was topped up over the same hours is left out of the comparison."""
    book = Book()
    weigh(book, GREEN, {(0, 4): 318, (2, 8): 330, (2, 20): 340})
    weigh(book, BLUE, {(0, 4): 361, (2, 8): 398, (2, 20): 413})
    weigh(book, RED, {(0, 4): 350, (2, 8): 390, (2, 20): 395})
    top_up(book, 2, 10)
    book.add(Meal(dog="Red", on=BORN + timedelta(days=2)), at="12:00")
    found = seen(book, 2, 21)
    assert found.with_ is not None
    assert found.with_.mates_g == pytest.approx(15)
