"""Newborns to the gram: every line, the litter's worst first, and the hours that count."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import growth_book as b
import pytest

from core import newborn
from core.entries import Temperature, Weight
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel

BIRTH = datetime(2026, 7, 1, 2, 0, tzinfo=UTC)  # 04:00 in the kennel
DAM = Dog(name="Runa", sex="f", born=date(2021, 1, 1))
COLLARS = ("Green", "Red", "Blue", "White", "Yellow")


def house(*names: str, breed: str = "Norwegian Buhund") -> Kennel:
    pups = [Dog(name=n, sex="f", born=date(2026, 7, 1), litter="Runa", breed=breed) for n in names or ("Green",)]
    return b.kennel(DAM, *pups)


def told(**grams: list[tuple[float, float]]) -> Ledger:
    """For each pup, pairs of hours since birth and grams."""
    rows = sorted((h, name, g) for name, pairs in grams.items() for h, g in pairs)
    posted = []
    for i, (hours, name, g) in enumerate(rows):
        at = BIRTH + timedelta(hours=hours)
        day = at.astimezone(house().tz).date()
        posted.append(Posted(id=i + 1, entry=Weight(dog=name, on=day, kg=g / 1000), at=at))
    return Ledger(posted)


def at(hours: float) -> datetime:
    return BIRTH + timedelta(hours=hours)


LINES = [
    # what, (hours, grams)…, level, key that must be there (None: no key at all)
    ("gains from the start", [(0, 318), (12, 325), (36, 345)], "clear", None),
    ("a dip of 3 % on the first day", [(0, 318), (12, 309)], "clear", None),
    ("a dip of 5 % on the first day", [(0, 320), (12, 304)], "amber", "early_dip"),
    ("more than that", [(0, 320), (12, 303)], "amber", "early_loss"),
    ("-4.7 % at day 2", [(0, 318), (50, 303)], "red", "under_birth_four_percent"),
    ("-4.0 % exactly at day 2", [(0, 300), (50, 288)], "red", "under_birth_four_percent"),
    ("-3.9 % at day 2", [(0, 1000), (50, 961)], "amber", "lost"),
    ("any loss after the first day", [(0, 318), (30, 340), (42, 338)], "amber", "lost"),
    ("loss twice", [(0, 318), (24, 340), (36, 338), (48, 336)], "red", "lost_twice"),
    ("a tenth in one step, above birth", [(0, 300), (60, 400), (72, 358)], "red", "lost_ten_percent"),
    ("a tenth on the first day", [(0, 300), (10, 269)], "red", "lost_ten_percent"),
    ("gaining but under birth at 40 h", [(0, 318), (20, 310), (40, 314)], "amber", "below_birth_weight"),
    ("not back by 72 h", [(0, 318), (48, 312), (72, 316)], "red", "not_back_to_birth_weight"),
    ("back at 72 h", [(0, 318), (48, 312), (72, 319)], "clear", None),
    ("no gain for a day", [(0, 318), (48, 340), (72, 340)], "amber", "no_gain_for_a_day"),
    ("not doubled by day 14", [(0, 300), (312, 560), (336, 590)], "amber", "not_doubled"),
    ("doubled on day 13", [(0, 300), (312, 600), (336, 640)], "clear", None),
]


@pytest.mark.parametrize(("what", "pairs", "level", "key"), LINES, ids=[row[0] for row in LINES])
def test_the_lines(what: str, pairs: list[tuple[float, float]], level: str, key: str | None) -> None:
    """Red and amber where they belong, in the minute of the last weighing."""
    found = newborn.assess(house().dog("Green"), told(Green=pairs), house(), at(pairs[-1][0]))  # type: ignore[arg-type]
    assert found.level == level, found.warnings
    assert found.warnings == () if key is None else key in found.warnings


def test_percentages_and_paces() -> None:
    """318 to 303 is −15 g, −4.7 %; 318 to 371 in two days is 8 % a day."""
    found = newborn.assess(house().dog("Green"), told(Green=[(0, 318), (50, 303)]), house(), at(50))  # type: ignore[arg-type]
    assert found.g_since_birth == pytest.approx(-15)
    assert found.pct_since_birth == pytest.approx(-4.717, abs=0.001)
    assert "mila-2015" in found.source
    fast = newborn.assess(house().dog("Green"), told(Green=[(0, 318), (48, 318 * 1.08**2)]), house(), at(48))  # type: ignore[arg-type]
    assert fast.pace_pct == pytest.approx(8.0, abs=0.01)
    assert fast.expected_pct == 8.0


def test_the_pup_in_trouble_comes_first() -> None:
    """The litter's day: worst first, ranks, the watch list from birth, who is not weighed yet."""
    ledger = told(
        Green=[(0, 318), (50, 303)], Red=[(0, 340), (50, 372)], Blue=[(0, 350), (50, 381)],
        White=[(0, 335), (50, 366)], Yellow=[(0, 330)],
    )
    day = newborn.litter(DAM, ledger, house(*COLLARS), at(50))
    assert day.pups[0].dog == "Green"
    assert day.level == "red"
    assert day.not_weighed == ("Yellow",)
    assert day.watch == ("Green",)
    assert day.smallest == "Green"
    assert (day.pups[0].rank, day.pups[0].rank_of) == (4, 4)
    assert not day.litter_slow
    assert "some_slow" in day.warnings


def test_two_thirds_slow_is_the_litter() -> None:
    """Four of five under half of the expected gain: dam, box or illness; one of five: that pup."""
    slow = {c: [(24.0, 320.0), (48.0, 325.0)] for c in COLLARS[:4]}
    day = newborn.litter(DAM, told(**slow, Yellow=[(24, 320), (48, 350)]), house(*COLLARS), at(48))
    assert day.litter_slow
    assert set(day.slow) == set(COLLARS[:4])
    fine = {c: [(24.0, 320.0), (48.0, 348.0)] for c in COLLARS[:4]}
    one = newborn.litter(DAM, told(**fine, Yellow=[(24, 320), (48, 322)]), house(*COLLARS), at(48))
    assert not one.litter_slow
    assert one.slow == ("Yellow",)


def test_a_cold_pup_is_red_without_any_weight() -> None:
    """34.4 °C in week 1 is red, 34.8 amber, 36 nothing."""
    pup = house().dog("Green")
    assert pup is not None
    for celsius, level in ((34.4, "red"), (34.8, "amber"), (36.0, "unknown")):
        heat = Posted(id=1, entry=Temperature(dog="Green", on=date(2026, 7, 1), celsius=celsius), at=at(6))
        assert newborn.assess(pup, Ledger([heat]), house(), at(7)).level == level


def test_odd_records_give_a_plain_result() -> None:
    """No weight, not born, no birth weight, past four weeks, no litter: said, never raised."""
    green = house().dog("Green")
    assert green is not None
    assert newborn.assess(green, Ledger(), house(), at(5)).caution == ("no_weights",)
    assert "not_born" in newborn.assess(green, Ledger(), house(), at(-99)).caution
    late = newborn.assess(green, told(Green=[(120, 400), (144, 425)]), house(), at(144))
    assert late.birth_g is None
    assert late.pct_since_birth is None
    assert "no_birth_weight" in late.caution
    assert "past_newborn" in newborn.assess(green, told(Green=[(0, 300)]), house(), at(24 * 30)).caution
    assert newborn.litter(green, Ledger(), house(), at(5)).caution == ("no_litter",)


def test_hours_are_real_hours_when_clocks_change() -> None:
    """Born at 18:00 before the autumn night of 25 hours: at 17:30 it is 24.5 hours old, so a loss of 3 % counts."""
    pup = Dog(name="Green", born=date(2026, 10, 24), litter="Runa")
    home = b.kennel(DAM, pup)
    day2 = date(2026, 10, 25)
    ledger = b.book(
        Weight(dog="Green", on=date(2026, 10, 24), kg=0.318, clock=time(18)),
        Weight(dog="Green", on=day2, kg=0.308, clock=time(17, 30)),
    )
    found = newborn.assess(pup, ledger, home, datetime(2026, 10, 25, 17, 30, tzinfo=home.tz))
    assert found.age_hours == pytest.approx(24.5)
    assert found.warnings == ("lost",)


def test_a_backdated_weight_takes_its_place() -> None:
    """Told late, "at 6 it was 330" stands before the 8 o'clock weight."""
    home = house()
    green = home.dog("Green")
    assert green is not None
    ledger = b.book(
        Weight(dog="Green", on=date(2026, 7, 1), kg=0.318, clock=time(4)),
        Weight(dog="Green", on=date(2026, 7, 3), kg=0.340, clock=time(8)),
        Weight(dog="Green", on=date(2026, 7, 3), kg=0.345, clock=time(6)),
    )
    found = newborn.assess(green, ledger, home, datetime(2026, 7, 3, 12, tzinfo=UTC))
    assert found.grams == pytest.approx(340)
    assert found.previous_g == pytest.approx(345)
    assert found.warnings == ("lost",)
