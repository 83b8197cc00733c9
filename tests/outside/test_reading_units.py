"""Units: our factors and the reader's figures against published definitions and against pint's registry.

Published values:
- avoirdupois pound 0.453 592 37 kg, ounce 28.349 523 125 g, inch 2.54 cm, all exact: international yard and pound
  agreement of 1959; NIST Special Publication 811 (2008), appendix B.8 (from memory);
- US cup 236.588 2 ml (8 US fluid ounces), tablespoon 14.786 76 ml, teaspoon 4.928 922 ml: the same appendix (from
  memory); NIST Handbook 44, appendix C: 16 tablespoons or 48 teaspoons a cup;
- stone of 14 pounds: UK Weights and Measures Act 1985, schedule 1 (from memory);
- 32 °F is 0 °C, 212 °F is 100 °C: the definition of the Fahrenheit scale in SP 811;
- progesterone C21H30O2 with IUPAC's abridged atomic weights (C 12.011, H 1.008, O 15.999).

Pint carries the same definitions in `default_en.txt`, written and reviewed by others.
"""

from __future__ import annotations

import pint
import pytest

from core import units
from core.entries import Height, Meal, Temperature, Weight
from tests.outside.reading_kennel import kennel, only

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()

# What people write, and pint's name for it.
MASSES = {
    "kg": "kilogram",
    "kilos": "kilogram",
    "g": "gram",
    "grams": "gram",
    "lb": "pound",
    "lbs": "pound",
    "pounds": "pound",
    "oz": "ounce",
    "ounces": "ounce",
    "stone": "stone",
}
MEASURES = {
    "cups": "cup",
    "tablespoons": "tablespoon",
    "tbsp": "tablespoon",
    "teaspoons": "teaspoon",
    "tsp": "teaspoon",
    "ml": "milliliter",
    "dl": "deciliter",
}


def quantity(value: float, unit: str) -> pint.Quantity[float]:
    """A quantity of pint's."""
    return REGISTRY.Quantity(value, unit)


@pytest.mark.parametrize(
    ("ours", "published"),
    [
        (units.KG_PER_LB, 0.45359237),
        (units.KG_PER_OZ, 0.028349523125),
        (units.KG_PER_STONE, 14 * 0.45359237),
        (units.CM_PER_INCH, 2.54),
    ],
)
def test_exact_definitions(ours: float, published: float) -> None:
    """Exact by definition, so equal to the last digit that a float holds."""
    assert ours == pytest.approx(published, rel=1e-15)


@pytest.mark.parametrize(
    ("ours", "published", "digit"),
    [
        (units.ML_PER_CUP, 236.5882, 1e-4),
        (units.ML_PER_CUP / units.TBSP_PER_CUP, 14.78676, 1e-5),
        (units.ML_PER_CUP / units.TSP_PER_CUP, 4.928922, 1e-6),
        (units.ML_PER_FL_OZ, 29.57353, 1e-5),
    ],
)
def test_us_measures(ours: float, published: float, digit: float) -> None:
    """Within half of the last published digit."""
    assert ours == pytest.approx(published, abs=digit / 2)


@pytest.mark.parametrize(
    ("ours", "unit", "in_unit"),
    [
        (units.KG_PER_LB, "pound", "kilogram"),
        (units.KG_PER_OZ, "ounce", "kilogram"),
        (units.G_PER_OZ, "ounce", "gram"),
        (units.KG_PER_STONE, "stone", "kilogram"),
        (units.CM_PER_INCH, "inch", "centimeter"),
        (units.ML_PER_CUP, "cup", "milliliter"),
        (units.ML_PER_FL_OZ, "fluid_ounce", "milliliter"),
        (units.TBSP_PER_CUP, "cup", "tablespoon"),
        (units.TSP_PER_CUP, "cup", "teaspoon"),
    ],
)
def test_factors_are_pints(ours: float, unit: str, in_unit: str) -> None:
    assert ours == pytest.approx(quantity(1, unit).to(in_unit).magnitude, rel=1e-9)


@pytest.mark.parametrize("fahrenheit", [32.0, 95.0, 101.5, 104.0, 212.0])
def test_fahrenheit(fahrenheit: float) -> None:
    """There and back, beside pint; 32 and 212 are the fixed points."""
    assert units.celsius(fahrenheit) == pytest.approx(quantity(fahrenheit, "degF").to("degC").magnitude, abs=1e-9)
    assert units.fahrenheit(units.celsius(fahrenheit)) == pytest.approx(fahrenheit)


def test_fixed_points() -> None:
    assert units.celsius(32) == 0
    assert units.celsius(212) == pytest.approx(100)


def test_progesterone() -> None:
    """1 ng/ml is 1000 / M nmol/l: 21 C, 30 H and 2 O by IUPAC's abridged weights."""
    molar_mass = 21 * 12.011 + 30 * 1.008 + 2 * 15.999
    assert pytest.approx(1000 / molar_mass, abs=0.005) == units.NMOL_PER_NG_PROGESTERONE
    assert units.ng_per_ml(31.8, "nmol/l") == pytest.approx(31.8 * molar_mass / 1000, rel=0.001)


@pytest.mark.parametrize("said", sorted(MASSES))
@pytest.mark.parametrize("kg", [2.5, 9.4, 33.0, 68.0])
@pytest.mark.parametrize("habit", ["kg", "lb"])
def test_weights_as_pint_has_them(said: str, kg: float, habit: str) -> None:
    """A weight in any unit is kept as pint converts the figure that was written."""
    figure = round(quantity(kg, "kilogram").to(MASSES[said]).magnitude, 2)
    entry = only(f"Zorvik weighs {figure:.2f} {said}", kennel(kg, unit=habit))
    assert isinstance(entry, Weight)
    assert entry.kg == pytest.approx(quantity(figure, MASSES[said]).to("kilogram").magnitude, abs=5e-4)


@pytest.mark.parametrize(
    ("said", "parts"),
    [
        ("20 lb 11 oz", {"pound": 20, "ounce": 11}),
        ("20lb 11oz", {"pound": 20, "ounce": 11}),
        ("20 pounds 11 ounces", {"pound": 20, "ounce": 11}),
        ("20 lbs and 11 oz", {"pound": 20, "ounce": 11}),
        ("twenty pounds eleven ounces", {"pound": 20, "ounce": 11}),
        ("20 lb 11", {"pound": 20, "ounce": 11}),
        ("20 lb 0.5 oz", {"pound": 20, "ounce": 0.5}),
        ("1 stone 6 lb", {"stone": 1, "pound": 6}),
        ("one stone six", {"stone": 1, "pound": 6}),
        ("1 stone 6 lb 8 oz", {"stone": 1, "pound": 6, "ounce": 8}),
        ("9kg4", {"kilogram": 9, "gram": 400}),
        ("9 kilos and a half", {"kilogram": 9, "gram": 500}),
        ("9 and a half kilos", {"kilogram": 9, "gram": 500}),
        ("20½ lb", {"pound": 20.5}),
        ("20 1/2 lb", {"pound": 20.5}),
        ("9400 g", {"gram": 9400}),
        ("9,400 g", {"gram": 9400}),
        ("9,4 kg", {"gram": 9400}),
    ],
)
def test_mixed_weights_as_pint_adds_them(said: str, parts: dict[str, float]) -> None:
    """The sum of the parts, added by pint."""
    whole = sum((quantity(n, unit).to("kilogram") for unit, n in parts.items()), quantity(0, "kilogram")).magnitude
    entry = only(f"Zorvik weighs {said}", kennel(9.3))
    assert isinstance(entry, Weight)
    assert entry.kg == pytest.approx(whole, abs=5e-4)


@pytest.mark.parametrize("said", sorted(MEASURES))
@pytest.mark.parametrize("cups", [0.5, 1.0, 2.0])
def test_food_by_volume_as_pint_has_it(said: str, cups: float) -> None:
    """Spoons and millilitres of food become cups."""
    figure = round(quantity(cups, "cup").to(MEASURES[said]).magnitude, 1)
    entry = only(f"Zorvik had {figure:g} {said} of kibble for dinner", kennel())
    assert isinstance(entry, Meal)
    assert entry.unit == "cup"
    assert entry.amount == pytest.approx(quantity(figure, MEASURES[said]).to("cup").magnitude, rel=1e-3)


@pytest.mark.parametrize(("said", "unit"), [("oz", "ounce"), ("ounces", "ounce"), ("kg", "kilogram"), ("g", "gram")])
def test_food_by_weight_as_pint_has_it(said: str, unit: str) -> None:
    """Ounces and kilograms of food become grams."""
    figure = round(quantity(250, "gram").to(unit).magnitude, 2)
    entry = only(f"Zorvik had {figure:g} {said} of kibble for dinner", kennel())
    assert isinstance(entry, Meal)
    assert entry.unit == "g"
    assert entry.amount == pytest.approx(quantity(figure, unit).to("gram").magnitude, rel=1e-3)


@pytest.mark.parametrize("fahrenheit", [99.0, 100.4, 101.5, 102.9, 104.0])
@pytest.mark.parametrize("written", ["{}F", "{} °F", "{} degrees F", "{} fahrenheit", "{}"])
def test_temperatures_as_pint_has_them(fahrenheit: float, written: str) -> None:
    entry = only(f"Zorvik's temp is {written.format(fahrenheit)}", kennel())
    assert isinstance(entry, Temperature)
    assert entry.celsius == pytest.approx(quantity(fahrenheit, "degF").to("degC").magnitude, abs=0.01)


@pytest.mark.parametrize(
    "written",
    [
        "22.5 inches",
        '22.5"',
        "twenty two and a half inches",
        pytest.param("22½ in"),
    ],
)
def test_heights_as_pint_has_them(written: str) -> None:
    entry = only(f"Zorvik is {written} at the withers", kennel())
    assert isinstance(entry, Height)
    assert entry.cm == pytest.approx(quantity(22.5, "inch").to("centimeter").magnitude, abs=0.01)
