"""Growth curves against published parameters and statements; each check names its source and how far it was seen."""

from __future__ import annotations

from datetime import UTC, date, datetime
from math import e, exp, log

import pytest

from core import growth, line
from core.centiles import at_z, lines_crossed, z_score
from core.curve import reference
from core.entries import Weight
from core.fitted import Fit
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel

MONTH = 365.25 / 12
NOTHING = ((0.0, 0.0, 0.0),) * 3


def gompertz(adult_kg: float, per_day: float, shift: float = -1.0) -> Fit:
    """Helmink's curve by the project's own: W = A·exp(−exp(−(t−c)/b)), s = 1/b, d = −c/b, with u(t) = t."""
    return Fit(at=(log(adult_kg), log(per_day), shift), covariance=NOTHING)  # type: ignore[arg-type]


def test_weight_at_4b_plus_c_is_98_percent() -> None:
    """Helmink, Shanks & Leighton 2000, J Anim Sci 78:27–32 (form seen: PubMed 10682799) take 4b + c as the end of
    growth; there the curve stands at exp(−exp(−4)) = 98.19 % (computed)."""
    b, c = 60.0, 79.0
    curve = gompertz(31.4, 1 / b, -c / b)
    assert exp(curve.ln_weight(4 * b + c)) / 31.4 == pytest.approx(0.98185, abs=5e-5)


def test_labrador_adult_weights_by_sex() -> None:
    """Helmink 2000: male Labradors 31.4 ± 0.3 kg, females 4.7 ± 0.2 kg less (seen: PubMed 10682799)."""
    def adult(sex: str) -> float:
        dog = Dog(name="Pup", sex=sex, born=date(2026, 3, 1), breed="Labrador Retriever")
        expected = line.expect(dog, Ledger(), Kennel(name="k", dogs=(dog,)), date(2026, 4, 1))
        return exp(expected.prior.mean[0])

    assert adult("m") == pytest.approx(31.4, abs=0.3)
    assert adult("m") - adult("f") == pytest.approx(4.7, abs=0.2)


def test_great_dane_peak_gain() -> None:
    """Great Dane Gompertz A = 55 kg, B = 0.0167 a day (Parks 1982 in PMC7149552 Table 1, seen): the steepest gain is
    A·B/e = 338 g a day at A/e = 20.2 kg (computed)."""
    curve = gompertz(55.0, 0.0167)
    days = [d / 10 for d in range(0, 4000)]
    gains = [(exp(curve.ln_weight(d + 0.1)) - exp(curve.ln_weight(d))) * 10 for d in days]
    top = max(range(len(gains)), key=gains.__getitem__)
    assert gains[top] * 1000 == pytest.approx(338, abs=0.5)
    assert exp(curve.ln_weight(days[top])) == pytest.approx(55 / e, abs=0.05)


@pytest.mark.parametrize(
    ("adult_kg", "half_months", "sd"),
    [(15.0, 4.21, 0.42), (32.0, 5.27, 0.86)],
    ids=["medium", "large"],
)
def test_age_at_half_weight(adult_kg: float, half_months: float, sd: float) -> None:
    """Posada, Gómez & Rosero, Rev MVZ Córdoba article 121 (seen: abstract): half weight at 4.21 ± 0.42 months in
    medium, 5.27 ± 0.86 in large breeds: within one SD. The classes' adult weights are ours."""
    assert abs(_age_at(0.5, adult_kg) / MONTH - half_months) <= sd


def test_small_dogs_reach_half_weight_sooner() -> None:
    """Posada: 3.49 ± 0.03 months in small breeds (seen: abstract). Ours is 3.2: within a tenth, early as the breeders'
    curve is for medium dogs too."""
    ours = _age_at(0.5, 5.0) / MONTH
    assert ours == pytest.approx(3.49, rel=0.10)
    assert ours < _age_at(0.5, 18.0) / MONTH < _age_at(0.5, 32.0) / MONTH


@pytest.mark.parametrize(
    ("adult_kg", "months", "sd"), [(5.0, 9.46, 1.63), (32.0, 14.37, 1.79)], ids=["small", "large"]
)
def test_age_at_99_percent(adult_kg: float, months: float, sd: float) -> None:
    """Posada: 99 % at 9.46 ± 1.63 months in small, 14.37 ± 1.79 in large breeds (seen: abstract): within one SD."""
    assert abs(_age_at(0.99, adult_kg) / MONTH - months) <= sd


def test_half_adult_weight_around_four_months() -> None:
    """SACN5 Box 16-3 p. 295 (seen): dogs up to 25 kg reach about half their adult weight around four months."""
    assert _age_at(0.5, 18.0) / MONTH == pytest.approx(4.0, abs=0.25)


def test_gain_for_each_kilogram_of_adult_weight() -> None:
    """SACN5 Table 16-1 p. 292 (seen): after ten weeks 2–4 g a day for each kg of adult weight; the reference shape's
    mean from week 10 to 30 lies there. (Weeks 12–14 of the breeders' curve give 4.6: its steepest.)"""
    shape = reference()
    mean = (shape.fraction(210) - shape.fraction(70)) / 140 * 1000
    assert 2.0 <= mean <= 4.0


def test_birth_weight_and_its_doubling_in_the_shape() -> None:
    """Hemmings 2018, Vet Nurse 9:458 (seen): pups multiply their birth weight 40–50 times. SACN5 Table 16-1 (seen):
    doubled by day 8–10, tripled by week 3."""
    shape = reference()
    assert 40 <= 1 / shape.fraction(0) <= 50
    assert shape.fraction(8) < 2 * shape.fraction(0) < shape.fraction(10.5)
    assert shape.fraction(21) >= 3 * shape.fraction(0)


def test_percent_of_adult_by_week() -> None:
    """Breeders' rough curve for 15–22 kg (common practice, no source), every point of it, and between points."""
    shape = reference()
    table = {7: 20, 8: 23, 10: 29, 12: 35, 14: 41.5, 16: 48, 18: 54, 20: 60, 22: 65, 24: 70, 26: 74, 30: 81, 36: 88}
    for week, pct in (table | {44: 95, 52: 99}).items():
        assert 100 * shape.fraction(7 * week) == pytest.approx(pct, abs=1e-6)
    assert 100 * shape.fraction(15 * 7) == pytest.approx(44.75, abs=0.1)
    assert 100 * shape.fraction(17 * 7) == pytest.approx(51.0, abs=0.1)


def test_what_will_he_weigh_grown() -> None:
    """Common practice, no source: 9.4 kg at 17 weeks is 9.4 / 0.51 = 18.4 kg grown, within a tenth either way. With
    nothing else known of the dog, ours comes there."""

    dog = Dog(name="Pup", born=date(2026, 3, 8))
    posted = Posted(id=1, entry=Weight(dog="Pup", on=date(2026, 7, 5), kg=9.4), at=datetime(2026, 7, 5, tzinfo=UTC))
    g = growth.assess(dog, Ledger([posted]), Kennel(name="k", dogs=(dog,)), date(2026, 7, 5))
    assert g.adult_kg == pytest.approx(18.4, abs=0.15)
    assert g.adult_low_kg is not None and g.adult_high_kg is not None
    assert g.adult_low_kg == pytest.approx(18.4 * 0.9, rel=0.06)
    assert g.adult_high_kg == pytest.approx(18.4 * 1.1, rel=0.06)


LMS = [
    # L, M, S, z, value: rcpchgrowth 4.6.5, WHO boys' weight at 12 months and at birth, and two made-up rows (seen)
    (0.0645, 9.6479, 0.10925, -2.0, 7.7422006),
    (0.0645, 9.6479, 0.10925, 2.0, 11.9857076),
    (0.0645, 9.6479, 0.10925, 0.3284786, 10.0),
    (0.3487, 3.3464, 0.14602, -2.0, 2.4593),
    (0.3487, 3.3464, 0.14602, 2.0, 4.4194),
    (0.0, 10.0, 0.1, 1.0, 11.051709180756477),
]


@pytest.mark.parametrize(("skew", "middle", "spread", "z", "value"), LMS)
def test_lms_arithmetic(skew: float, middle: float, spread: float, z: float, value: float) -> None:
    """x = M·(1 + L·S·z)^(1/L), for L = 0 M·exp(S·z) (cdc.gov/growthcharts/who-data-files, seen); values of the
    package rcpchgrowth. Human figures test the arithmetic alone."""
    assert at_z(z, skew, middle, spread) == pytest.approx(value, rel=2e-5)
    assert z_score(value, skew, middle, spread) == pytest.approx(z, abs=2e-4)


def test_lms_has_no_value_past_its_end() -> None:
    """1 + L·S·z under zero: rcpchgrowth gives None (seen), so do we."""
    assert at_z(-12, 1.0, 10.0, 0.1) is None


def test_distance_of_centile_lines() -> None:
    """The nine lines 0.4, 2, 9, 25, 50, 75, 91, 98, 99.6 stand two thirds of an SD apart (from memory: Salt 2017 uses
    them): from the 91st to the 25th centile are three lines."""
    z91, z25 = 1.3408, -0.6745
    assert lines_crossed(z91, z25) == pytest.approx(-3.0, abs=0.05)


def _age_at(share: float, adult_kg: float) -> float:
    """Day of age at which a dog of that adult weight has that share of it, by what is expected beforehand."""
    dog = Dog(name="Pup", born=date(2026, 3, 1), adult_kg=adult_kg)
    kennel = Kennel(name="k", dogs=(dog, *_parents(adult_kg)))
    expected = line.expect(Dog(name="Pup", born=dog.born, litter="Dam", sire="Sire", adult_kg=adult_kg), Ledger(),
                           kennel, date(2026, 4, 1))
    return next(d / 10 for d in range(0, 7000) if expected.fraction(d / 10) >= share)


def _parents(kg: float) -> tuple[Dog, Dog]:
    old = date(2020, 1, 1)
    return Dog(name="Dam", born=old, ideal_kg=kg), Dog(name="Sire", born=old, ideal_kg=kg)
