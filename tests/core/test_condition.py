"""Condition on every scale, from scores and from ribs."""

from __future__ import annotations

from datetime import date

import growth_book as b
import pytest

from core import condition
from core.entries import Condition, Weight
from core.roster import Dog

DAY = date(2026, 7, 5)
GROWN = Dog(name="Bran", sex="m", born=date(2021, 1, 1))


@pytest.mark.parametrize(
    ("said", "hands", "nine"),
    [
        ({"score": 5, "scale": 9}, 3, 5),
        ({"score": 4, "scale": 9}, 3, 4),
        ({"score": 4.5, "scale": 9}, 3, 4.5),
        ({"score": 6.5, "scale": 9}, 4, 6.5),
        ({"score": 8}, 5, 8),
        ({"score": 1, "scale": 9}, 1, 1),
        ({"score": 3, "scale": 5}, 3, 5),
        ({"score": 3.5, "scale": 5}, 3.5, 6),
        ({"score": 5, "scale": 5}, 5, 9),
        ({"ribs": "easy"}, 3, 4.5),
        ({"ribs": "sharp"}, 2, 3),
        ({"ribs": "hard"}, 4, 6.5),
        ({"score": 7, "scale": 9, "ribs": "hard"}, 4, 7),
    ],
)
def test_hands_and_nine_points(said: dict, hands: float, nine: float) -> None:
    """Hands 3 is 4 to 5 of 9; a score goes before the ribs."""
    found = condition.latest(GROWN, b.book(Condition(dog="Bran", on=DAY, **said)), DAY)
    assert found is not None
    assert (found.hands, found.nine) == (hands, nine)
    assert found.is_ideal == (hands == 3)


def test_none_where_nobody_felt() -> None:
    """No record, no condition; nor from tomorrow's."""
    assert condition.latest(GROWN, b.book(), DAY) is None
    assert condition.latest(GROWN, b.book(Condition(dog="Bran", on=date(2026, 7, 6), ribs="easy")), DAY) is None


def test_ideal_weight_of_a_grown_dog_and_none_for_a_pup() -> None:
    """22 kg at 6 of 9 is 20 kg; a pup is weighed against its curve instead, a thin dog is for the vet."""
    ledger = b.book(Weight(dog="Bran", on=DAY, kg=22.0), Condition(dog="Bran", on=DAY, score=6, scale=9))
    found = condition.latest(GROWN, ledger, DAY)
    assert found is not None
    assert found.ideal_kg == pytest.approx(20.0)
    young = b.pup()
    ledger = b.book(*b.weighed([(DAY, 9.4)]), Condition(dog="Tinder", on=DAY, score=6, scale=9))
    found = condition.latest(young, ledger, DAY)
    assert found is not None
    assert found.ideal_kg is None
    assert "pup_weigh_against_curve" in found.caution
    thin = condition.latest(GROWN, b.book(Condition(dog="Bran", on=DAY, score=2, scale=9)), DAY)
    assert thin is not None
    assert thin.over_ideal_pct is None
    assert "thin_ask_vet" in thin.caution


def test_old_hands_do_not_count_for_today() -> None:
    """A pup's hands are old after two weeks."""
    ledger = b.book(Condition(dog="Tinder", on=date(2026, 6, 10), ribs="hard"))
    found = condition.latest(b.pup(), ledger, DAY)
    assert found is not None
    assert not found.fresh
    assert "hands_old" in found.caution
