"""The growth of one dog, held against the worked ear window of the trade's own example and against odd records.

The worked window (common practice, no source): dog pup born 8 March, 7.9 kg and hands right at 15 weeks.
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import growth_book as b
import pytest

from core import growth
from core.curve import reference
from core.entries import Condition, Mating, Sign, Weight, Whelping
from core.roster import Dog, KnownWeight

WINDOW = (
    # day, kg, gain a week, lean line, over it, warnings that must and must not be there
    (date(2026, 6, 21), 7.9, None, 7.9, 0.0, set(), {"over_line", "under_line"}),
    (date(2026, 6, 28), 8.6, 0.7, 8.5, 0.1, set(), {"over_line", "fast_twice"}),
    (date(2026, 7, 5), 9.4, 0.8, 9.0, 0.4, {"over_line"}, {"slow", "flat", "far_over_line"}),
    (date(2026, 7, 9), 9.5, None, 9.3, 0.2, set(), {"slow", "flat", "over_line"}),
    (date(2026, 7, 12), 9.7, 0.3, 9.5, 0.2, set(), {"slow", "flat", "over_line"}),
    (date(2026, 7, 16), 9.7, 0.2, 9.8, -0.1, {"flat"}, {"flat_twice", "under_line"}),
    (date(2026, 7, 19), 9.7, 0.0, 10.1, -0.4, {"flat_twice", "under_line"}, {"over_line"}),
    (date(2026, 7, 26), 10.1, 0.4, 10.6, -0.5, {"under_line"}, {"flat", "flat_twice", "slow_twice"}),
)


@pytest.mark.parametrize("row", WINDOW, ids=[str(r[0]) for r in WINDOW])
def test_the_worked_ear_window(row: tuple) -> None:
    """Every weigh-in of the example: gain, lean line, over and under, and only the warnings that it deserves."""
    day, _, gain, line, over, must, must_not = row
    told = [(d, kg) for d, kg, *_ in WINDOW if d <= day]
    ledger = b.book(*b.weighed(told), Condition(dog="Tinder", on=date(2026, 6, 21), ribs="easy"))
    g = growth.assess(b.pup(), ledger, b.kennel(b.pup()), day)
    if gain is not None:
        assert g.gain_g_per_day is not None
        assert round(g.gain_g_per_day * 7 / 1000, 2) == gain
    assert g.lean_line_kg == pytest.approx(line, abs=0.06)
    assert g.over_kg == pytest.approx(over, abs=0.06)
    assert must <= set(g.warnings)
    assert not must_not & set(g.warnings)


def test_expected_gain_of_the_example() -> None:
    """Between weeks 16 and 17 of an 18 kg dog half a kilogram and a bit is expected (0.54 on the rough curve)."""
    ledger = b.book(*b.weighed([(d, kg) for d, kg, *_ in WINDOW[:3]]))
    g = growth.assess(b.pup(), ledger, b.kennel(b.pup()), date(2026, 7, 5))
    assert g.expected_gain_g_per_day is not None
    assert g.expected_gain_g_per_day * 7 / 1000 == pytest.approx(0.54, abs=0.05)


def test_nothing_known_is_said_plainly() -> None:
    """No weight: the prior alone, wide, and a caution; never an exception."""
    dog = Dog(name="Moss", born=b.PUP_BORN)
    g = growth.assess(dog, b.book(), b.kennel(dog), b.on(16))
    assert g.last is None
    assert g.n_weights == 0
    assert g.basis == ("no_breed",)
    assert {"no_weights", "breed_unknown"} <= set(g.caution)
    assert g.adult_high_kg is not None
    assert g.adult_low_kg is not None
    assert g.adult_high_kg / g.adult_low_kg > 3


def test_not_born_yet() -> None:
    """A birth date in the future gives a result without figures."""
    g = growth.assess(b.pup(), b.book(), b.kennel(b.pup()), b.PUP_BORN - timedelta(days=3))
    assert g.age_days == -3
    assert g.expected_kg is None
    assert g.caution == ("not_born",)
    assert growth.weight_band(b.pup(), b.book(), b.kennel(b.pup()), date(2026, 1, 1), date(2026, 2, 1)) == ()


def test_one_weight_has_no_gain_but_an_expectation() -> None:
    """One weight: no gain, the coming week's expected gain, an adult range."""
    g = growth.assess(b.pup(), b.book(*b.weighed([(b.on(16), 8.6)])), b.kennel(b.pup()), b.on(16))
    assert g.gain_g_per_day is None
    assert g.expected_gain_g_per_day is not None
    assert g.expected_gain_g_per_day > 0
    assert g.n_weights == 1


def test_roster_weight_counts_where_the_book_has_none() -> None:
    """A weight that came with the roster is a weighing."""
    dog = b.pup(last_weight=KnownWeight(kg=8.6, on=b.on(16)))
    g = growth.assess(dog, b.book(), b.kennel(dog), b.on(17))
    assert g.last == (8.6, b.on(16))


def test_one_bad_reading_hardly_moves_the_adult_weight() -> None:
    """A pound-for-kilogram slip among weekly weights moves the forecast under two percent, and is marked."""
    shape = reference()
    right = [(b.on(w), round(18 * shape.fraction(7 * w), 1)) for w in range(8, 21)]
    wrong = [(d, kg * 2.2 if i == 8 else kg) for i, (d, kg) in enumerate(right)]
    good = growth.assess(b.pup(), b.book(*b.weighed(right)), b.kennel(b.pup()), b.on(20))
    bad = growth.assess(b.pup(), b.book(*b.weighed(wrong)), b.kennel(b.pup()), b.on(20))
    assert good.adult_kg is not None
    assert bad.adult_kg == pytest.approx(good.adult_kg, rel=0.02)
    fresh = growth.assess(b.pup(), b.book(*b.weighed(wrong[:9])), b.kennel(b.pup()), b.on(16))
    assert "odd_reading" in fresh.warnings


def test_parents_move_the_prior_and_sons_outweigh_daughters() -> None:
    """Heavy parents, heavier pup; and males over females by Helmink's ratio where nothing else is known."""
    def adult(sire_kg: float, sex: str) -> float:
        sire = Dog(name="Bran", sex="m", born=date(2020, 1, 1), breed="Norwegian Buhund", ideal_kg=sire_kg)
        dog = b.pup(adult_kg=None, sire="Bran", sex=sex)
        g = growth.assess(dog, b.book(), b.kennel(dog, sire), b.on(10))
        assert "parents" in g.basis
        assert g.adult_kg is not None
        return g.adult_kg

    assert adult(20.0, "m") > adult(16.0, "m")
    assert adult(16.0, "m") / adult(16.0, "f") == pytest.approx(31.4 / 26.7, rel=0.01)


def test_six_grown_dogs_make_the_kennels_own_line() -> None:
    """With six grown dogs that grew late a pup is expected to follow them; with five it is not."""
    late, shape = 1.15, reference()
    grown, entries = [], []
    for i in range(6):
        born = date(2023, 1, 1) + timedelta(days=40 * i)
        name = f"Old{i}"
        grown.append(Dog(name=name, sex="m", born=born, breed="Norwegian Buhund", ideal_kg=18.0))
        entries += [
            Weight(dog=name, on=b.on(w, born), kg=round(18 * shape.fraction(7 * w / late), 1)) for w in range(8, 40, 2)
        ]
    dog, day = b.pup(adult_kg=None), b.on(16)
    few = growth.assess(dog, b.book(*entries), b.kennel(dog, *grown[:5]), day)
    line = growth.assess(dog, b.book(*entries), b.kennel(dog, *grown), day)
    assert few.own_line_dogs == 0
    assert line.own_line_dogs == 6
    assert line.basis == ("own_line",)
    assert few.expected_kg is not None and line.expected_kg is not None
    assert few.adult_kg is not None and line.adult_kg is not None
    truth = shape.fraction(112 / late)
    assert line.expected_kg / line.adult_kg == pytest.approx(truth, abs=0.02)
    assert few.expected_kg / few.adult_kg == pytest.approx(shape.fraction(112), abs=0.02)
    assert line.adult_kg == pytest.approx(18.0, rel=0.03)


def test_flat_under_sixteen_weeks_is_for_the_vet() -> None:
    """Flat for three days under 16 weeks; older, only beside a stomach or stool sign."""
    kgs = [(b.on(12), 6.3), (b.on(13), 6.9), (b.on(13) + timedelta(days=4), 6.9)]
    young = growth.assess(b.pup(), b.book(*b.weighed(kgs)), b.kennel(b.pup()), kgs[-1][0])
    assert "flat_vet" in young.warnings
    old = [(b.on(18), 9.7), (b.on(19), 10.2), (b.on(19) + timedelta(days=4), 10.2)]
    well = growth.assess(b.pup(), b.book(*b.weighed(old)), b.kennel(b.pup()), old[-1][0])
    assert "flat" in well.warnings
    assert "flat_vet" not in well.warnings
    ledger = b.book(*b.weighed(old), Sign(dog="Tinder", on=old[-1][0], sign="diarrhoea"))
    ill = growth.assess(b.pup(), ledger, b.kennel(b.pup()), old[-1][0])
    assert "flat_vet" in ill.warnings


def test_two_centile_lines_down() -> None:
    """A pup that falls from its line by a fifth of its weight crosses more than two lines; one that keeps it none."""
    shape = reference()
    keeps = [(b.on(w), 18 * shape.fraction(7 * w)) for w in range(12, 28)]
    falls = [(d, kg * (1 - 0.02 * max(0, i - 3))) for i, (d, kg) in enumerate(keeps)]
    home = b.kennel(b.pup())
    assert "two_lines_down" not in growth.assess(b.pup(), b.book(*b.weighed(keeps)), home, b.on(27)).warnings
    assert "two_lines_down" in growth.assess(b.pup(), b.book(*b.weighed(falls)), home, b.on(27)).warnings


def test_hidden_food_shows_as_fast_twice() -> None:
    """Two weigh-ins running at 1.3 times the expected gain or more."""
    kgs = [(b.on(14), 7.4), (b.on(15), 7.95), (b.on(16), 8.9), (b.on(17), 9.9)]
    assert "fast_twice" in growth.assess(b.pup(), b.book(*b.weighed(kgs)), b.kennel(b.pup()), b.on(17)).warnings


def test_a_grown_dog_creeps_and_loses() -> None:
    """Three weigh-ins 3 % over its own ideal; five percent down in a month."""
    dog = Dog(name="Bran", sex="m", born=date(2021, 1, 1), breed="Norwegian Buhund", ideal_kg=18.0)
    days = [date(2026, 1, 5), date(2026, 2, 5), date(2026, 3, 5)]
    up = b.book(*b.weighed(list(zip(days, (18.6, 18.8, 19.0), strict=True)), "Bran"))
    g = growth.assess(dog, up, b.kennel(dog), days[-1])
    assert g.warnings == ("creeping_up",)
    assert g.over_kg == pytest.approx(1.0)
    down = b.book(*b.weighed(list(zip(days, (18.0, 18.0, 17.0), strict=True)), "Bran"))
    assert "lost_in_month" in growth.assess(dog, down, b.kennel(dog), days[-1]).warnings


def test_a_pregnant_bitch_is_not_called_heavy() -> None:
    """Weights of pregnancy and nursing neither warn nor count for the grown weight."""
    dog = Dog(name="Runa", sex="f", born=date(2021, 1, 1), breed="Norwegian Buhund", ideal_kg=15.0)
    days = [date(2026, 5, 1), date(2026, 6, 10), date(2026, 6, 25)]
    mated, whelped = Mating(dog="Runa", on=date(2026, 4, 30)), Whelping(dog="Runa", on=date(2026, 7, 1))
    ledger = b.book(*b.weighed(list(zip(days, (15.0, 17.5, 19.0), strict=True)), "Runa"), mated, whelped)
    g = growth.assess(dog, ledger, b.kennel(dog), days[-1])
    assert g.warnings == ()


def test_the_band_runs_day_by_day_from_birth() -> None:
    """One point a day, low under expected under high, the lean line from the day that hands said right."""
    right = Condition(dog="Tinder", on=b.on(15), score=3, scale=5)
    ledger = b.book(*b.weighed([(b.on(15), 7.9), (b.on(17), 9.4)]), right)
    band = growth.weight_band(b.pup(), ledger, b.kennel(b.pup()), b.PUP_BORN - timedelta(days=9), b.on(30))
    assert band[0].on == b.PUP_BORN
    assert len(band) == 211
    assert all(p.low_kg < p.expected_kg < p.high_kg for p in band)
    assert all(x.expected_kg < y.expected_kg for x, y in pairwise(band))
    assert band[15 * 7 - 1].lean_kg is None
    assert band[17 * 7].lean_kg == pytest.approx(9.0, abs=0.05)
