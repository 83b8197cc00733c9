"""Can this value be right for this dog on this day?

Limits are the reading format's: beside a last weight 0.7 to 1.5 times it within 10 days (a newborn may
double), and after that a pup's upper bound grows by 5 % of the last weight a day; temperature 33 to
43 °C, height 5 to 110 cm, condition within its scale.
"""

from __future__ import annotations

from datetime import date

from core.roster import Dog
from core.units import KG_PER_LB, KG_PER_OZ

LOW, HIGH, NEWBORN_HIGH = 0.7, 1.5, 2.0  # times the last weight, within 10 days
NEAR_DAYS = 10
PUP_GROWTH_A_DAY = 0.05  # of the last weight, for each day after the tenth
CELSIUS = (33.0, 43.0)
HEIGHT_CM = (5.0, 110.0)
# With no last weight: the lightest newborn pups weigh about 0.06 kg, the heaviest dogs about 110 kg (common
# practice, no source); only a slip of a unit or a figure falls outside.
ANY_KG = (0.06, 110.0)
_UNITS = {"kg": 1.0, "lb": KG_PER_LB, "g": 0.001, "oz": KG_PER_OZ}


def weight_bounds(dog: Dog, on: date) -> tuple[float, float]:
    """The lowest and highest weight in kilograms that is believed of this dog on that day."""
    last = dog.last_weight
    if last is None:
        if dog.is_newborn(on):
            return ANY_KG[0], 8.0  # no pup of four weeks is heavier (common practice, no source)
        return ANY_KG
    days = abs((on - last.on).days)
    low, high = LOW, HIGH
    if dog.is_newborn(on) or dog.is_newborn(last.on):
        high = NEWBORN_HIGH
    if days > NEAR_DAYS and dog.is_pup(on):
        grown = PUP_GROWTH_A_DAY * (days - NEAR_DAYS)
        if on >= last.on:
            high += grown
        else:  # an old weighing entered late: a pup was smaller then
            low = max(0.02, low - grown)
    return last.kg * low, last.kg * high


def weight_fits(dog: Dog, kg: float, on: date) -> bool:
    """True where the dog can weigh that many kilograms on that day."""
    low, high = weight_bounds(dog, on)
    return low <= kg <= high


def read_weight(dog: Dog, value: float, on: date, kennel_unit: str) -> float | None:
    """The kilograms of a weight said without a unit; None where no unit makes it right.

    The kennel's unit counts where it fits (`kg` or `lb`; for newborns grams or ounces); else the unit in which
    the value fits, the nearest to the last weight where several do.
    """
    newborn = dog.is_newborn(on)
    small = "g" if kennel_unit == "kg" else "oz"
    first = [small, kennel_unit] if newborn else [kennel_unit]
    for unit in first:
        if weight_fits(dog, value * _UNITS[unit], on):
            return value * _UNITS[unit]
    if dog.last_weight is None:
        return None
    fitting = [value * f for u, f in _UNITS.items() if u not in first and weight_fits(dog, value * f, on)]
    if not fitting:
        return None
    return min(fitting, key=lambda kg: abs(kg - dog.last_weight.kg))  # type: ignore[union-attr]


def looks_like_slip(dog: Dog, value: float, on: date, kennel_unit: str) -> tuple[float, ...]:
    """Weights in kilograms that were probably meant: the point a place off, or a nought too many.

    Empty where the value is no such slip.
    """
    found = []
    for factor in (0.1, 10.0):
        kg = read_weight(dog, value * factor, on, kennel_unit)
        if kg is not None:
            found.append(kg)
    return tuple(found)


def celsius_of(value: float, unit: str | None) -> float | None:
    """Degrees Celsius of a body temperature, the scale guessed where none was said; None where it can't be right."""
    from core.units import celsius

    if unit in (None, "c") and CELSIUS[0] <= value <= CELSIUS[1]:
        return value
    if unit in (None, "f") and CELSIUS[0] <= celsius(value) <= CELSIUS[1]:
        return celsius(value)
    return None


def height_fits(cm: float) -> bool:
    """True for a height at the withers that a dog can have."""
    return HEIGHT_CM[0] <= cm <= HEIGHT_CM[1]


def condition_fits(score: float, scale: int) -> bool:
    """True for a condition score within its scale, whole or half points."""
    return 1 <= score <= scale and (score * 2) % 1 == 0
