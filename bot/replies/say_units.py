"""Figures in the family's words: weights, cups, grams, clock, days and ages. Rounded here, once."""

from __future__ import annotations

from datetime import date, datetime, time
from fractions import Fraction

from core.roster import Dog, Kennel, Person, months_between
from core.units import CM_PER_INCH, KG_PER_LB, KG_PER_OZ, fahrenheit
from shared.texts import text

_EIGHTHS = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")


def unit_of(kennel: Kennel, person: Person | None) -> str:
    """The weight unit in which this person is answered: their own, else the kennel's (`kg` or `lb`)."""
    return (person.unit if person else None) or kennel.weight_unit


def number(value: float, places: int = 1) -> str:
    """A figure with at most so many decimals, none of them idle; a real minus sign."""
    shown = f"{abs(value):.{places}f}"
    if "." in shown:
        shown = shown.rstrip("0").rstrip(".")
    return ("−" if value < 0 and float(shown) else "") + shown


def weight(kg: float, unit: str, newborn: bool = False) -> str:
    """A weight: "9.4 kg" or "20 lb 11 oz"; a newborn's in "303 g" or "10.7 oz"."""
    if newborn:
        return text("units.oz", n=number(kg / KG_PER_OZ)) if unit == "lb" else text("units.g", n=number(kg * 1000, 0))
    if unit == "lb":
        ounces = round(kg / KG_PER_OZ)
        lb, oz = divmod(ounces, 16)
        if lb == 0:
            return text("units.oz", n=oz)
        return text("units.lb_oz", lb=lb, oz=oz) if oz else text("units.lb", lb=lb)
    # As exact as a scale says it: hundredths only where they were said, or below 5 kg, where they matter.
    exact = abs(kg * 100 - round(kg * 100)) < 1e-6
    return text("units.kg", n=number(kg, 2 if exact or kg < 5 else 1))


def difference(kg: float, unit: str, newborn: bool = False) -> str:
    """A change of weight without its sign: "0.8 kg", "12 oz", "15 g"."""
    kg = abs(kg)
    if newborn:
        return weight(kg, unit, newborn=True)
    if unit == "lb":
        return weight(kg, unit)
    return text("units.kg", n=number(kg, 1 if kg >= 0.1 else 2))


def signed(kg: float, unit: str, newborn: bool = False) -> str:
    """A change of weight with its sign: "+0.8 kg", "−15 g"."""
    return ("−" if kg < 0 else "+") + difference(kg, unit, newborn)


def whole_weights(low_kg: float, high_kg: float, unit: str) -> tuple[str, str]:
    """Both ends of a range in whole kilograms or pounds, the unit on the second alone."""
    low, high = (k / KG_PER_LB if unit == "lb" else k for k in (low_kg, high_kg))
    return number(low, 0), text(f"units.{'lb' if unit == 'lb' else 'kg'}_whole", n=number(high, 0))


def days(n: int) -> str:
    """A length of time in days: "1 day", "11 days"."""
    return text("units.age.day") if n == 1 else text("units.age.days", n=n)


def times(n: int) -> str:
    """How often: "once", "twice", "3 times"."""
    return text(("units.once", "units.twice")[n - 1]) if n in (1, 2) else text("units.times", n=n)


def percent(fraction: float, places: int = 1, sign: bool = False) -> str:
    """A share as "4.7%"; with its sign where asked: "+4.7%", "−4.7%"."""
    shown = number(fraction * 100, places)
    return ("+" if sign and fraction > 0 else "") + text("units.percent", n=shown)


def eighths(cups: float) -> str:
    """Cups to the nearest eighth, as a number alone: "1⅜", "¾", "2", "0"."""
    whole, part = divmod(round(cups * 8), 8)
    return (str(whole) if whole or not part else "") + _EIGHTHS[part]


def cups(amount: float) -> str:
    """Cups with the word: "¾ cup", "1⅜ cups"."""
    return text("units.cup" if Fraction(round(amount * 8), 8) <= 1 else "units.cups", n=eighths(amount))


def grams(g: float) -> str:
    """Grams of food to the gram: "138 g"."""
    return text("units.g", n=number(g, 0))


def amount(value: float, unit: str) -> str:
    """An amount of food in `cup`, `g`, `can` or `piece`."""
    if unit == "cup":
        return cups(value)
    if unit == "g":
        return grams(value)
    return text(f"units.{unit}" if value <= 1 else f"units.{unit}s", n=number(value, 2))


def temperature(celsius_: float, unit: str) -> str:
    """A body temperature: Celsius beside kilograms, Fahrenheit beside pounds."""
    if unit == "lb":
        return text("units.fahrenheit", n=number(fahrenheit(celsius_)))
    return text("units.celsius", n=number(celsius_))


def height(cm: float, unit: str) -> str:
    """A height: centimetres beside kilograms, inches beside pounds."""
    return text("units.inch", n=number(cm / CM_PER_INCH)) if unit == "lb" else text("units.cm", n=number(cm))


def clock(at: datetime | time, kennel: Kennel) -> str:
    """A wall-clock time in the kennel's zone: "07:04", or "7:04 am"."""
    moment = kennel.local(at).time() if isinstance(at, datetime) else at
    if kennel.clock_24:
        return f"{moment.hour:02d}:{moment.minute:02d}"
    shown = f"{moment.hour % 12 or 12}:{moment.minute:02d}"
    return text("units.am" if moment.hour < 12 else "units.pm", time=shown)


def weekday(on: date) -> str:
    """The name of the weekday."""
    return text(f"units.weekday.{on.weekday()}")


def calendar_day(on: date, kennel: Kennel, near: date | None = None) -> str:
    """A day of the calendar: "8 March" or "March 8"; with the year where it is not the year of `near`."""
    month = text(f"units.month.{on.month}")
    order = "units.day_month" if kennel.day_first else "units.month_day"
    shown = text(order, day=on.day, month=month)
    return shown if near is None or near.year == on.year else text("units.with_year", day=shown, year=on.year)


def day(on: date, today: date, kennel: Kennel) -> str:
    """A day as said today: "today", "yesterday", "tomorrow", a weekday within six days, else the calendar day."""
    away = (on - today).days
    if away in (-1, 0, 1):
        return text(("units.yesterday", "units.today", "units.tomorrow")[away + 1])
    if abs(away) <= 6:
        return weekday(on)
    return calendar_day(on, kennel, today)


def on_day(on: date, today: date, kennel: Kennel) -> str:
    """The same after a verb: "today", "yesterday", "on Sunday", "on 8 March"."""
    shown = day(on, today, kennel)
    return shown if abs((on - today).days) <= 1 else text("units.on_day", day=shown)


def moment(at: datetime, today: date, kennel: Kennel) -> str:
    """A moment as said today: "19:30", or with its day "yesterday 19:30"."""
    on = kennel.day_of(at)
    shown = clock(at, kennel)
    return shown if on == today else f"{day(on, today, kennel)} {shown}"


def age(dog: Dog, on: date) -> str:
    """An age: days to two weeks, weeks to 26 weeks, months to two years, then years."""
    days = max(dog.age_days(on), 0)
    if days < 14:
        return text("units.age.day") if days == 1 else text("units.age.days", n=days)
    if days < 26 * 7:
        return text("units.age.weeks", n=days // 7)
    months = months_between(dog.born, on)
    if months < 24:
        return months_said(months)
    return text("units.age.years", n=months // 12)


def months_said(n: int) -> str:
    """"1 month", "6 months"."""
    return text("units.age.month") if n == 1 else text("units.age.months", n=n)
