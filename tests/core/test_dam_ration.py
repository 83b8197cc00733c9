"""The ration of a dam, carrying and nursing, and of her newborns."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from core.entries import Condition, Mating, Weight, Whelping
from core.feeding import assess, reordered
from core.ration_plan import RationPlan
from core.roster import Dog, Litter
from tests.books import Book, day
from tests.core.nuggets_ration import (
    ON,
    kennel,
    order,
)


def test_a_nursing_dam_eats_by_her_week_and_litter() -> None:
    """19 kg, six pups, week 3: 3,828 kcal, about 9½ cups (76.6 eighths) in four bowls; never a cut."""
    runa = Dog(name="Runa", sex="f", born=day("2022-05-08"))
    born = ON - timedelta(days=16)
    pups = tuple(Dog(name=f"Pup {i}", born=born, litter="Runa") for i in range(6))
    book = Book().add(Weight(dog="Runa", on=ON, kg=19.0), Whelping(dog="Runa", on=born, pups=6))
    book.add(Condition(dog="Runa", on=ON, ribs="hard"))
    found = assess(runa, book.ledger, kennel(runa, *pups), ON)
    assert (found.stage, found.week, found.pups) == ("nursing", 3, 6)
    assert {n: k for n, k, _ in found.tables}["nrc"] == pytest.approx(3828, abs=1)
    assert found.kcal_day == pytest.approx(3828, rel=0.01)
    assert len(found.meals) == 4
    assert found.step is not None
    assert found.step.key == "hold"
    assert {"let_her_eat", "no_calcium"} <= set(found.caution)


def test_a_litter_counted_but_not_named() -> None:
    """Pups that are not on the roster count as the X-ray's number."""
    runa = Dog(name="Runa", sex="f", born=day("2022-05-08"))
    house = replace(kennel(runa), litters=(Litter(dam="Runa", born=ON - timedelta(days=16), counted=6),))
    found = assess(runa, Book().add(Weight(dog="Runa", on=ON, kg=19.0)).ledger, house, ON)
    assert (found.stage, found.pups) == ("nursing", 6)


def test_a_nursing_dam_is_never_cut_short() -> None:
    """NRC 2006 without any milk, 145·kg^0.75 (checked in SACN 5th ed. p. 280): 15.2 kg is 1,116 kcal."""
    born = ON - timedelta(days=5)
    heather = Dog(name="Heather", sex="f", born=day("2022-03-30"), ration=order(2, 2, 1))
    book = Book().add(Weight(dog="Heather", on=ON, kg=15.2), Whelping(dog="Heather", on=born, pups=5)).ledger

    def ordered(*cups: float, on: date = ON) -> RationPlan:
        dog = reordered(heather, kennel(heather), on, ration=order(*cups))
        return assess(dog, book, kennel(dog), on)

    assert ordered(0.75, 0.75, 0.25).floor_kcal == pytest.approx(145 * 15.2**0.75)
    assert {"nursing_under_least", "nursing_cut"} <= set(ordered(0.75, 0.75, 0.25).warnings)
    assert set(ordered(2, 1.875, 1).warnings) == {"nursing_cut"}
    assert not ordered(2, 2.125, 1).warnings
    weaned = ordered(1.5, 1.5, 0.5, on=born + timedelta(days=42))
    assert not {"nursing_under_least", "nursing_cut"} & set(weaned.warnings)


def test_a_dam_whose_pups_nobody_counted_is_asked_about() -> None:
    runa = Dog(name="Runa", sex="f", born=day("2022-05-08"))
    book = Book().add(Weight(dog="Runa", on=ON, kg=19.0), Whelping(dog="Runa", on=ON - timedelta(days=2)))
    found = assess(runa, book.ledger, kennel(runa), ON)
    assert (found.stage, found.missing, found.meals) == ("nursing", ("pups",), ())


def test_a_carrying_bitch_is_fed_up_late_and_never_cut() -> None:
    """From day 35 on the late table; before it as a grown dog."""
    runa = Dog(name="Runa", sex="f", born=day("2022-05-08"))
    book = Book().add(Weight(dog="Runa", on=ON, kg=20.0), Mating(dog="Runa", on=ON - timedelta(days=40)))
    late = assess(runa, book.ledger, kennel(runa), ON)
    assert late.stage == "pregnant"
    assert {n: k for n, k, _ in late.tables}["nrc"] == pytest.approx(1749.5, abs=0.5)
    assert late.step is not None
    assert late.step.reasons == ("never_cut_the_dam",)
    early = assess(runa, book.ledger, kennel(runa), ON - timedelta(days=20))
    assert early.stage == "adult"


def test_newborns_have_milk_and_no_plan() -> None:
    """No ration is ever worked out for a newborn."""
    pup = Dog(name="Green", sex="f", born=ON - timedelta(days=3))
    found = assess(pup, Book().add(Weight(dog="Green", on=ON, kg=0.32)).ledger, kennel(pup), ON)
    assert found.stage == "newborn"
    assert found.kcal_day is None
