"""Promise 26: a number is what a person meant: never `float()`'s own ideas of one.

`float()` takes "nan", "1e400", "1_000" and digits of every script (Python's documentation of `float`); the reader takes
digits with one point or comma, at most so long, within bounds, and the fractions and words of a kitchen.
"""

from __future__ import annotations

from datetime import date, datetime
from math import isfinite

import pytest

from bot.enrolment import heard
from bot.reading import read
from core.entries import Weight
from tests.dialogue_house import demo

KENNEL = demo().kennel


def weights(said: str) -> list[float]:
    """Kilograms that are kept of the message, without a doubt."""
    found = read(said, "Maya", datetime(2026, 3, 14, 8, tzinfo=KENNEL.tz), KENNEL, ())
    return [round(e.kg, 3) for e in found.entries if isinstance(e, Weight)]


@pytest.mark.parametrize(
    ("said", "kg"),
    [("Nugget 9.4 kg", 9.4), ("Nugget 9,4 kg", 9.4), ("Nugget 9 ½ kg", 9.5), ("Nugget 9½ kg", 9.5),
     ("Nugget 9400 g", 9.4), ("Nugget 9.40 kg", 9.4), ("Nugget nine and a half kilos", 9.5)],
)  # fmt: skip
def test_what_people_write(said: str, kg: float) -> None:
    assert weights(said) == [kg]


@pytest.mark.parametrize(
    "number",
    ["nan", "NaN", "inf", "-inf", "1e400", "9e0", "1e1", "0x9", "9_4", "1_000", "-9.4", "- 9.4", "−9.4", "9.4.1",
     "9..4", "٩.٤", "९.४", "９.４", "𝟗.𝟒", "9²", "²", "Ⅸ",
     "⑨", "9.4e0", "9999999999", "0", "0.0", "00000009.4000000001"],
)  # fmt: skip
def test_what_no_person_means_is_no_weight(number: str) -> None:
    """Not kept as it stands: silence, or a question. What is kept can be a dog's weight."""
    for said in (f"Nugget {number} kg", f"Nugget weighs {number} kg", f"{number} kg Nugget"):
        kept = weights(said)
        assert all(isfinite(kg) and 4 <= kg <= 20 for kg in kept), (said, kept)
        if number in ("nan", "NaN", "inf", "-inf", "1e400", "0x9", "1_000", "-9.4", "−9.4", "9999999999", "0", "0.0",
                      "9..4", "9.4.1"):  # fmt: skip
            assert kept == [], (said, kept)


@pytest.mark.parametrize("said", ["1e9 kcal", "nan kcal", "٤٠٠ kcal", "99999999999 kcal"])
def test_a_cup_is_never_a_number_that_no_bag_says(said: str) -> None:
    kcal = heard.food_said(f"Puppy Plus, {said}").kcal
    assert kcal is None or kcal <= 9999


@pytest.mark.parametrize("said", ["٣.٤.٢٠٢٥", "99.99.9999", "0/0/0", "1e3/1/2025"])
def test_a_day_is_never_one_that_no_calendar_has(said: str) -> None:
    assert heard.day_said(said, date(2026, 3, 14), day_first=True) is None
