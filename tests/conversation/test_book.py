"""The book by its short ways is the book by the long way: entries added, and entries looked up by kind and day."""

from __future__ import annotations

import random
from datetime import date, timedelta

import pytest

from core.entries import Ears, Entry, Meal, Treat, Weight
from core.ledger import Ledger, Posted
from tests.dialogue_house import House

HOUSE = House.of_demo()
ON = date(2026, 3, 14)


@pytest.mark.parametrize("seed", range(5))
def test_what_is_added_stands_where_a_new_book_would_put_it(seed: int) -> None:
    """The same entries, by day, dog and kind, whatever the days of what is added."""
    chance = random.Random(seed)
    top = HOUSE.ledger.history()[-1].id
    dogs = [d.name for d in HOUSE.kennel.dogs]
    new = [
        Posted(
            id=top + n, at=HOUSE.now - timedelta(hours=chance.randint(0, 900)), by="Tom", message="x",
            entry=Weight(dog=chance.choice(dogs), on=ON - timedelta(days=chance.randint(0, 60)), kg=chance.random()),
        )
        for n in range(1, 8)
    ]
    short, long = HOUSE.ledger.added(new), HOUSE.ledger.with_posted(new)
    assert list(short) == list(long) and short.history() == long.history()
    for dog in dogs:
        assert short.of(dog) == long.of(dog) and short.of(dog, Weight) == long.of(dog, Weight)


@pytest.mark.parametrize("kinds", [(), (Weight,), (Entry,), (Meal, Treat), (Ears, Weight, Meal)])
@pytest.mark.parametrize(("since", "until"), [(None, None), (ON, None), (None, ON), (ON - timedelta(days=9), ON)])
def test_looked_up_by_kind_and_day_it_is_what_going_through_all_finds(
    kinds: tuple[type[Entry], ...], since: date | None, until: date | None
) -> None:
    """Both ends are included."""
    for dog in ("Nugget", "Heather", "Nobody"):
        plain = tuple(
            p for p in HOUSE.ledger
            if p.entry.dog == dog
            and (not kinds or isinstance(p.entry, kinds))
            and (since is None or p.entry.on >= since)
            and (until is None or p.entry.on <= until)
        )
        assert HOUSE.ledger.of(dog, *kinds, since=since, until=until) == plain


def test_undone_replacements_count_in_neither() -> None:
    """A book with a withdrawn correction is the same both ways."""
    old = Posted(id=1, entry=Weight(dog="A", on=ON, kg=1), at=HOUSE.now, replaced_by=2)
    gone = Posted(id=2, entry=Weight(dog="A", on=ON, kg=2), at=HOUSE.now, withdrawn=True)
    new = Posted(id=3, entry=Weight(dog="A", on=ON, kg=3), at=HOUSE.now)
    book = Ledger([old, gone])
    assert [p.id for p in book.added([new])] == [p.id for p in book.with_posted([new])] == [1, 3]
