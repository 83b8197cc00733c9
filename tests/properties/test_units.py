"""Unit changes change nothing, and neither does the order in which the newer records arrive.

What the family weighs in, how it writes days and times, and whose unit an answer is in are matters of words: the
assessments are the same. A weight typed in pounds is the weight typed in kilograms.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.reading import read
from core import bile, ears, feeding, growth, regrowth, topups
from core.entries import Condition, Entry, Groom, Meal, Sign, Weight
from core.ledger import Ledger, Posted
from core.roster import Dog, Food, Kennel, Person
from core.units import KG_PER_LB, KG_PER_OZ

BORN, ON = date(2026, 3, 8), date(2026, 7, 5)
PUP = Dog(name="Nugget", sex="m", born=BORN, breed="Norwegian Buhund", adult_kg=18.0, ear_watch=True)
HOUSE = Kennel(
    name="Larkrise", dogs=(PUP,), foods=(Food(name="F", kcal_per_cup=400, g_per_cup=110),),
    people=(Person(name="Maya", role="breeder"), Person(name="Tom", role="partner")),
)  # fmt: skip
days = st.integers(60, 119).map(lambda n: BORN + timedelta(days=n))


def records() -> st.SearchStrategy[Entry]:
    """Weights, bowls, snacks given and left, bile, trims and hands of the last weeks."""
    mine = {"dog": st.just("Nugget"), "on": days}
    clock = st.one_of(st.none(), st.integers(5, 22).map(time))
    return st.one_of(
        st.builds(Weight, kg=st.floats(4, 12), **mine),
        st.builds(Meal, meal=st.sampled_from(["breakfast", "dinner", "bedtime"]), amount=st.just(0.5),
                  unit=st.just("cup"), clock=clock, **mine),
        st.builds(Meal, meal=st.just("bedtime"), eaten=st.just("none"), clock=clock, **mine),
        st.builds(Sign, sign=st.just("bile"), clock=clock, **mine),
        st.builds(Groom, task=st.sampled_from(["ear trim", "ear hair back"]), cm=st.sampled_from([None, 1.0]), **mine),
        st.builds(Condition, ribs=st.sampled_from(["easy", "hard"]), **mine),
    )  # fmt: skip


def everything(ledger: Ledger, kennel: Kennel) -> tuple[object, ...]:
    """What the core makes of the book on one day."""
    dog = kennel.by_name["Nugget"]
    at = datetime.combine(ON, time(20), UTC)
    return (
        growth.assess(dog, ledger, kennel, ON),
        feeding.assess(dog, ledger, kennel, ON),
        ears.assess(dog, ledger, kennel, ON),
        bile.mornings(dog, ledger, kennel, ON),
        regrowth.assess(dog, ledger, kennel, ON),
        topups.assess(dog, ledger, kennel, at),
    )


def posted(found: list[Entry]) -> list[Posted]:
    return [
        Posted(id=n, entry=e, at=datetime.combine(e.on, e.clock or time(8), UTC) + timedelta(seconds=n), by="Tom")
        for n, e in enumerate(found, 1)
    ]


@settings(deadline=None, max_examples=40)
@given(st.lists(records(), max_size=30), st.sampled_from(["kg", "lb"]), st.booleans(), st.booleans())
def test_how_the_family_writes_changes_no_assessment(told: list[Entry], unit: str, day_first: bool, h24: bool) -> None:
    other = replace(
        HOUSE, weight_unit=unit, day_first=day_first, clock_24=h24,
        people=tuple(replace(p, unit=unit) for p in HOUSE.people),
    )  # fmt: skip
    ledger = Ledger(posted(told))
    assert everything(ledger, HOUSE) == everything(ledger, other)


@settings(deadline=None, max_examples=40)
@given(st.lists(records(), min_size=2, max_size=24), st.randoms(use_true_random=False))
def test_any_order_of_arrival(told: list[Entry], dice: object) -> None:
    rows = posted(told)
    shuffled = list(rows)
    dice.shuffle(shuffled)  # type: ignore[attr-defined]
    renumbered = [replace(p, id=n) for n, p in enumerate(shuffled, 1)]
    assert everything(Ledger(rows), HOUSE) == everything(Ledger(renumbered), HOUSE)


@settings(deadline=None, max_examples=40)
@given(st.integers(80, 260))
def test_pounds_typed_are_kilograms_typed(tenths: int) -> None:
    """One weight in four ways of writing: the same kilograms but for the last digit that was typed."""
    kg = tenths / 10
    pounds, ounces = divmod(round(kg / KG_PER_OZ), 16)
    grown = replace(PUP, born=date(2022, 3, 8), last_weight=None)
    house = replace(HOUSE, dogs=(grown,))
    at = datetime.combine(ON, time(8), UTC)
    ways = {
        f"Nugget {kg} kg": 1e-9,
        f"Nugget {kg * 1000:.0f} g": 1e-9,
        f"Nugget {kg / KG_PER_LB:.3f} lb": 0.001,
        f"Nugget {pounds} lb {ounces} oz": KG_PER_OZ / 2 + 1e-4,  # kept to a tenth of a gram
    }
    for said, near in ways.items():
        entries = read(said, "Maya", at, house).entries
        assert len(entries) == 1, said
        assert isinstance(entries[0], Weight), said
        assert entries[0].kg == pytest.approx(kg, abs=near), said
