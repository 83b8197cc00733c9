"""Rules of growth, newborns, condition and ears that hold for any book.

Any order of arrival of the same records gives the same assessment; a corrected weight gives the same answer as if it
had been right at first; unit changes change nothing; an assessment never raises; intervals hold their middle.
"""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import UTC, date, datetime, timedelta
from math import isfinite

from hypothesis import given, settings
from hypothesis import strategies as st

from core import condition, ears, growth, newborn
from core.entries import Condition, Ears, Entry, Groom, Sign, Tooth, Weight
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel
from core.units import KG_PER_LB

BORN = date(2026, 3, 8)
MOMENT = datetime(2026, 3, 8, 6, tzinfo=UTC)
positions = st.sampled_from(["down", "half", "up"])


def pups() -> st.SearchStrategy[Dog]:
    """A pup of which more or less is known."""
    return st.builds(
        Dog,
        name=st.just("Pup"),
        sex=st.sampled_from(["m", "f", ""]),
        born=st.just(BORN),
        breed=st.sampled_from(["Norwegian Buhund", "Shiba", ""]),
        adult_kg=st.one_of(st.none(), st.floats(2, 60)),
        ear_watch=st.booleans(),
    )


def entries(longest: int = 400) -> st.SearchStrategy[Entry]:
    """Any record of the pup that the growth side looks at, right or wrong."""
    days = st.integers(-3, longest).map(lambda d: BORN + timedelta(days=d))
    mine = {"dog": st.just("Pup"), "on": days}
    return st.one_of(
        st.builds(Weight, kg=st.floats(0.05, 60), **mine),
        st.builds(Weight, kg=st.floats(0.05, 60), **mine),
        st.builds(Condition, score=st.floats(1, 9), scale=st.sampled_from([9, None]), **mine),
        st.builds(Condition, ribs=st.sampled_from(["sharp", "easy", "hard"]), **mine),
        st.builds(Ears, left=positions, right=positions, **mine),
        st.builds(Ears, one=positions, **mine),
        st.builds(Tooth, **mine),
        st.builds(Groom, task=st.just("ear trim"), **mine),
        st.builds(Sign, sign=st.sampled_from(["itch", "diarrhoea"]), said=st.sampled_from(["", "his ear"]), **mine),
    )


def posted(found: list[Entry]) -> list[Posted]:
    """Each record posted a minute after the one before, whatever its own day."""
    return [Posted(id=i + 1, entry=e, at=MOMENT + timedelta(minutes=i)) for i, e in enumerate(found)]


def everything(dog: Dog, ledger: Ledger, on: date) -> tuple[object, ...]:
    """All assessments of the growth side."""
    kennel = Kennel(name="k", zone="Europe/Oslo", dogs=(dog, Dog(name="Dam", born=date(2020, 1, 1))))
    at = datetime(on.year, on.month, on.day, 20, tzinfo=UTC)
    return (
        growth.assess(dog, ledger, kennel, on),
        growth.weight_band(dog, ledger, kennel, on - timedelta(days=2), on + timedelta(days=2)),
        newborn.assess(dog, ledger, kennel, at),
        newborn.litter(dog, ledger, kennel, at),
        condition.latest(dog, ledger, on),
        ears.assess(dog, ledger, kennel, on),
    )


@given(pups(), st.lists(entries(), max_size=14), st.integers(-5, 420))
@settings(deadline=None, max_examples=120)
def test_never_an_exception_and_only_finite_figures(dog: Dog, told: list[Entry], day: int) -> None:
    """Odd weights, odd days, unborn dogs: a result, and its figures are numbers."""
    found = everything(dog, Ledger(posted(told)), BORN + timedelta(days=day))
    g = found[0]
    assert isinstance(g, growth.Growth)
    assert all(isfinite(v) for v in (getattr(g, f.name) for f in fields(g)) if isinstance(v, float))
    if g.expected_kg is not None:
        assert g.expected_low_kg is not None and g.expected_high_kg is not None
        assert 0 < g.expected_low_kg <= g.expected_kg <= g.expected_high_kg
    if g.adult_kg is not None:
        assert g.adult_low_kg is not None and g.adult_high_kg is not None
        assert g.adult_low_kg <= g.adult_kg <= g.adult_high_kg


@given(pups(), st.lists(entries(), min_size=2, max_size=12), st.randoms(use_true_random=False), st.integers(30, 400))
@settings(deadline=None, max_examples=60)
def test_order_of_arrival_makes_no_difference(dog: Dog, told: list[Entry], dice, day: int) -> None:  # type: ignore[no-untyped-def]
    """The same posted records in any order, and under other numbers, give the same assessments."""
    rows = posted(told)
    shuffled = list(rows)
    dice.shuffle(shuffled)
    renumbered = [replace(p, id=i + 100) for i, p in enumerate(shuffled)]
    on = BORN + timedelta(days=day)
    assert everything(dog, Ledger(rows), on) == everything(dog, Ledger(renumbered), on)


@given(
    pups(), st.lists(entries(), min_size=1, max_size=10), st.integers(0, 9), st.floats(0.05, 60), st.integers(30, 400)
)
@settings(deadline=None, max_examples=60)
def test_a_corrected_weight_is_as_if_right_at_first(
    dog: Dog, told: list[Entry], which: int, wrong_kg: float, day: int
) -> None:
    """A weight replaced by another, said at the same moment, leaves no trace."""
    right = posted(told)
    i = which % len(right)
    if not isinstance(right[i].entry, Weight):
        return
    mistaken = replace(right[i], entry=replace(right[i].entry, kg=wrong_kg), replaced_by=99)
    corrected = [p for j, p in enumerate(right) if j != i] + [mistaken, replace(right[i], id=99)]
    on = BORN + timedelta(days=day)
    assert everything(dog, Ledger(corrected), on) == everything(dog, Ledger(right), on)


@given(st.lists(st.tuples(st.integers(40, 300), st.integers(20, 600)), min_size=1, max_size=8))
@settings(deadline=None, max_examples=40)
def test_pounds_and_kilograms_come_to_the_same(weights: list[tuple[int, int]]) -> None:
    """A weight said in pounds and one said in kilograms are the same weight: nothing but rounding of the last digit."""
    dog = Dog(name="Pup", sex="m", born=BORN, breed="Norwegian Buhund")
    home = Kennel(name="k", dogs=(dog,))
    on = BORN + timedelta(days=320)

    def told(kgs: list[float]) -> growth.Growth:
        made = [Weight(dog="Pup", on=BORN + timedelta(days=d), kg=kg) for (d, _), kg in zip(weights, kgs, strict=True)]
        return growth.assess(dog, Ledger(posted(list(made))), home, on)

    kilograms = told([tenths / 10 for _, tenths in weights])
    pounds = told([tenths / 10 / KG_PER_LB * KG_PER_LB for _, tenths in weights])
    assert pounds.warnings == kilograms.warnings
    assert pounds.adult_kg is not None and kilograms.adult_kg is not None
    assert abs(pounds.adult_kg / kilograms.adult_kg - 1) < 1e-6


@given(st.floats(0.5, 3.0))
@settings(deadline=None, max_examples=30)
def test_a_heavier_line_gives_a_heavier_forecast(times: float) -> None:
    """All weights of a pup times a factor, its adult forecast rises with it."""
    dog = Dog(name="Pup", sex="m", born=BORN)
    home = Kennel(name="k", dogs=(dog,))

    def adult(factor: float) -> float:
        kgs = [(8, 4.1), (10, 5.2), (12, 6.3), (14, 7.5)]
        made: list[Entry] = [Weight(dog="Pup", on=BORN + timedelta(weeks=w), kg=kg * factor) for w, kg in kgs]
        g = growth.assess(dog, Ledger(posted(made)), home, BORN + timedelta(weeks=14))
        assert g.adult_kg is not None
        return g.adult_kg

    assert adult(times * 1.1) > adult(times)
