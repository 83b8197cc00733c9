"""The one place that converts units, the common ones by exact factors, the rest by pint.

Inside: kilograms, centimetres, degrees Celsius, cups and grams of food.

Factors are exact by definition: the international avoirdupois pound is 0.45359237 kg and the inch
2.54 cm (international yard and pound agreement, 1959); the US customary cup is 236.5882365 ml, 16
tablespoons or 48 teaspoons (NIST Handbook 44, appendix C). `tests/outside` checks them against pint.
"""

from __future__ import annotations

from functools import cache
from typing import Any

KG_PER_LB = 0.45359237
KG_PER_OZ = KG_PER_LB / 16
KG_PER_STONE = KG_PER_LB * 14
G_PER_OZ = KG_PER_OZ * 1000
CM_PER_INCH = 2.54
ML_PER_CUP = 236.5882365
TBSP_PER_CUP = 16
TSP_PER_CUP = 48
ML_PER_FL_OZ = ML_PER_CUP / 8
NMOL_PER_NG_PROGESTERONE = 3.18  # 1 ng/ml is 3.18 nmol/l: molar mass of progesterone 314.46 g/mol (PubChem CID 5994)


@cache
def registry() -> Any:
    """Pint's definitions; loaded only when a rarer unit is met, because it costs half a second."""
    import pint

    return pint.UnitRegistry()


@cache
def rarer(unit: str) -> tuple[str, float] | None:
    """What one of a seldom used unit is: (`kg`, `cup` or `cm`, how many), None where it measures something else.

    The definitions are pint's (`pint.UnitRegistry`, default definitions file).

    Args:
        unit: a name that pint knows ("quart", "hand"); never a person's own text.
    """
    one = registry().Quantity(1.0, unit)
    for ours, theirs in (("kg", "kilogram"), ("cup", "cup"), ("cm", "centimeter")):
        if one.check(registry().Quantity(1.0, theirs).dimensionality):
            return ours, float(one.to(theirs).magnitude)
    return None


def celsius(fahrenheit: float) -> float:
    """Degrees Celsius of degrees Fahrenheit."""
    return (fahrenheit - 32) / 1.8


def fahrenheit(celsius_: float) -> float:
    """Degrees Fahrenheit of degrees Celsius."""
    return celsius_ * 1.8 + 32


def ng_per_ml(value: float, unit: str) -> float:
    """Progesterone in ng/ml of a value in `ng/ml` or `nmol/l`.

    Raises:
        ValueError: another unit.
    """
    if unit == "ng/ml":
        return value
    if unit == "nmol/l":
        return value / NMOL_PER_NG_PROGESTERONE
    raise ValueError(f"progesterone is in ng/ml or nmol/l, not {unit!r}")
