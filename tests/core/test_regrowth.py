"""Ear hair after a trim: the window, a dog's own record, and a show's date."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from core import ears
from core.entries import Groom
from core.regrowth import assess
from core.roster import Dog, Kennel
from tests.books import Book, day

NUGGET = Dog(name="Nugget", born=day("2026-03-08"), ear_watch=True)
FERN = Dog(name="Fern", born=day("2024-03-08"))
HOUSE = Kennel(name="Larkrise", dogs=(NUGGET, FERN))
TRIM = day("2026-07-05")


def test_eight_to_ten_weeks_without_a_record() -> None:
    """5 July + 8 to 10 weeks = 30 August to 13 September: 29 August is tight, 12 September likely, mid-August not."""
    book = Book().add(Groom(dog="Nugget", on=TRIM, task="ear trim"))
    found = assess(NUGGET, book.ledger, HOUSE, TRIM)
    assert found is not None
    assert (found.back_from, found.back_to, found.basis) == (day("2026-08-30"), day("2026-09-13"), "custom")
    shows = {"2026-08-15": "too_soon", "2026-08-29": "tight", "2026-09-05": "tight", "2026-09-12": "likely"}
    assert {d: found.by(day(d)) for d in shows} == shows
    assert assess(FERN, book.ledger, HOUSE, TRIM) is None


def test_own_record_stands_above_the_custom_and_above_the_others() -> None:
    """Back after 61 and 70 days before: 54 to 77 days this time, a week wider at each end."""
    book = Book()
    for start, days in (("2025-10-01", 61), ("2026-02-01", 70)):
        on = day(start)
        book.add(Groom(dog="Fern", on=on, task="ear trim"))
        book.add(Groom(dog="Fern", on=on + timedelta(days=days), task="ear hair back"))
    book.add(Groom(dog="Fern", on=TRIM, task="ear trim"), Groom(dog="Nugget", on=TRIM, task="ear trim"))
    own, other = (assess(d, book.ledger, HOUSE, TRIM) for d in (FERN, NUGGET))
    assert own is not None and other is not None
    assert (own.basis, own.records, other.basis, other.records) == ("own", (61, 70), "house", (61, 70))
    assert own.back_from == other.back_from == TRIM + timedelta(days=54)
    assert own.back_to == TRIM + timedelta(days=77)


def test_a_trim_cut_short_and_a_slip_make_no_record() -> None:
    """Trimmed again before it was back: only the second counts; "back" two days later is a slip."""
    book = Book().add(
        Groom(dog="Fern", on=TRIM, task="ear trim"),
        Groom(dog="Fern", on=TRIM + timedelta(days=20), task="ear trim"),
        Groom(dog="Fern", on=TRIM + timedelta(days=80), task="ear hair back"),
        Groom(dog="Fern", on=TRIM + timedelta(days=90), task="ear trim"),
        Groom(dog="Fern", on=TRIM + timedelta(days=92), task="ear hair back"),
    )
    found = assess(FERN, book.ledger, HOUSE, TRIM + timedelta(days=200))
    assert found is not None
    assert found.records == (60,)
    assert found.back_on == TRIM + timedelta(days=92)


@pytest.mark.parametrize(("said", "house", "means"), [("off", "", "off"), (None, "left", "left"), (None, "", ""),
                                                      ("off", "left", "off")])
def test_what_a_length_means(said: str | None, house: str, means: str) -> None:
    """What was said with the trim, else what the breeder always means, else nothing is claimed."""
    book = Book().add(Groom(dog="Nugget", on=TRIM, task="ear trim", cm=1.0, cut=said))
    found = assess(NUGGET, book.ledger, replace(HOUSE, trim_means=house), TRIM)
    assert found is not None
    assert (found.cm, found.means) == (1.0, means)


def test_ears_know_when_the_hair_was_seen_back() -> None:
    """The ear trend carries the day on which it was back."""
    back = TRIM + timedelta(days=50)
    book = Book().add(Groom(dog="Nugget", on=TRIM, task="ear trim"), Groom(dog="Nugget", on=back, task="ear hair back"))
    found = ears.assess(NUGGET, book.ledger, HOUSE, back)
    assert (found.grown_back_from, found.grown_back_to) == (back, back)
