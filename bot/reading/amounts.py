"""Numbers with their units: how much of what.

Figures, number words, fractions and the mixes that people say ("nine and a half", "2 3/4", "9kg4", "20 lb 11",
"a cup and a half", "two stone three"). What the unit means is looked up in the phrases; factors are in `core.units`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from bot.reading.lexicon import book, words_of
from bot.reading.numbers import can_begin, figure, number_at, part_at, typed_fraction
from bot.reading.tokens import Words
from core import units

_PRICED_BY = words_of("priced_by")

_ASKERS_AFTER_CAN = words_of("cues", "askers_after_can")
_ORDINAL_ENDINGS = words_of("cues", "ordinal_endings")
_FILLED = words_of("cues", "filled")
_REST_BEFORE = words_of("cues", "rest_before")
_SHORT_UNITS = words_of("cues", "short_units")
MASS = {"kg": 1.0, "lb": units.KG_PER_LB, "oz": units.KG_PER_OZ, "g": 0.001, "stone": units.KG_PER_STONE}
CUPS = {
    "cup": 1.0,
    "tbsp": 1 / units.TBSP_PER_CUP,
    "tsp": 1 / units.TSP_PER_CUP,
    "ml": 1 / units.ML_PER_CUP,
    "dl": 100 / units.ML_PER_CUP,
    "litre": 1000 / units.ML_PER_CUP,
}
LENGTH = {"cm": 1.0, "inch": units.CM_PER_INCH}
# A smaller unit that may follow without a new word between: "20 lb 11 (oz)", "two stone three (lb)", "9kg4".
_SMALLER = {"lb": "oz", "stone": "lb"}
_CLOCK = re.compile(r"([01]?\d|2[0-3])[:.]([0-5]\d)", re.ASCII)
MONEY = frozenset("£$€")


@dataclass(slots=True)
class Amount:
    """One quantity in the message.

    Attributes:
        i, n: its first word and how many words it takes, unit included.
        value: the figure as said. unit: `kg`, `lb`, `cup`, … or None. other: a unit that is never kept
            (`money`, `duration`, …) or None. kg: the mass in kilograms where the unit is one of mass.
        whole: true for a figure without a fraction. clock: (hour, minute) where it can be a time of day.
        form: `digits`, `words`, `fraction` or `article` ("a cup").
        of: the second figure of "3/5" (scores, dates). sign: "+" or "-" where one was written before it.
        ordinal: "3rd".
    """

    i: int
    n: int
    value: float
    unit: str | None = None
    other: str | None = None
    kg: float | None = None
    whole: bool = True
    clock: tuple[int, int] | None = None
    form: str = "digits"
    of: float | None = None
    sign: str = ""
    ordinal: bool = False

    @property
    def end(self) -> int:
        """The first word after it."""
        return self.i + self.n


def find(words: Words) -> list[Amount]:
    """Every quantity in the message, in order."""
    found: list[Amount] = []
    i, end = 0, len(words)
    while i < end:
        kind = words.kind[i]
        if kind == "n" or kind == "f" or (kind == "w" and can_begin(words.w[i], words.tags[i])):
            amount = _amount_at(words, i)
            if amount is not None:
                found.append(amount)
                i = amount.end
                continue
        i += 1
    return found


def _amount_at(words: Words, i: int) -> Amount | None:
    number = number_at(words, i)
    if number is None:
        return None
    value, j, form = number
    amount = Amount(i=i, n=j - i, value=value, whole=value == int(value), form=form)
    text = words.w[i]
    if form == "digits":
        clock = _CLOCK.fullmatch(text)
        if clock and j == i + 1:
            amount.clock = (int(clock[1]), int(clock[2]))
        if i and words.w[i - 1] in MONEY:
            amount.other = "money"
            return amount
        if i and words.w[i - 1] in ("+", "-", "–", "—") and words.end[i - 1] == words.start[i]:
            # "+19" in brackets is a gain; "9-10" and a dash between words are not signs
            if i < 2 or words.end[i - 2] != words.start[i - 1] or words.kind[i - 2] in "ps":
                amount.sign = "+" if words.w[i - 1] == "+" else "-"
        if j < len(words) and words.w[j] in _ORDINAL_ENDINGS and words.start[j] == words.end[j - 1]:
            amount.ordinal = True
            amount.n += 1
            return amount
        if j + 1 < len(words) and words.w[j] in ("/", "x") and words.kind[j + 1] == "n":
            of = figure(words.w[j + 1])
            if of is not None and words.w[j] == "/":
                amount.of = of
                amount.n += 2
                j += 2
                if j + 1 < len(words) and words.w[j] == "/" and words.kind[j + 1] == "n":
                    amount.n += 2  # a date with its year
                    amount.other = "date"
                return _with_unit(words, amount, amount.end)
    return _with_unit(words, amount, j)


def _with_unit(words: Words, amount: Amount, j: int) -> Amount:
    """Adds the unit that stands at j, and the smaller unit after it."""
    end = len(words)
    # "of an inch", "of a cup", "7-month", "9.4-kg"
    k = j
    if k < end and words.w[k] == "-" and k + 1 < end and words.end[k] == words.start[k + 1]:
        k += 1
    if k + 1 < end and words.w[k] == "of" and words.w[k + 1] in ("a", "an"):
        k += 2
    elif k + 1 < end and amount.form == "fraction" and words.w[k] in ("a", "an", "of"):
        k += 1
    if k + 1 < end and words.w[k] in _FILLED and "unit" in words.tags[k + 1]:
        k += 1  # "one whole tin", "two level cups"
    if k >= end:
        return amount
    tags = words.tags[k]
    if amount.form == "digits" and words.w[j] in ("a", "per", "each") and j + 1 < end and words.w[j + 1] in _PRICED_BY:
        amount.other = "money"
        amount.n = j + 2 - amount.i
        return amount
    if words.w[k] in MONEY:
        amount.other = "money"
        return amount
    if "unit" in tags and _is_unit(words, amount, k):
        unit, n = tags["unit"]
        amount.unit = unit
        amount.n = k + n - amount.i
        _smaller(words, amount)
        _and_a_half(words, amount)
        if unit in MASS and amount.kg is None:
            amount.kg = amount.value * MASS[unit]
        if amount.unit == "lb" and amount.end < end and words.w[amount.end] == "sterling":
            amount.other = "money"
        return amount
    if words.w[k] == "in" and any(words.has(h, "height") for h in range(max(0, amount.i - 3), min(end, k + 5))):
        amount.unit, amount.n = "inch", k + 1 - amount.i  # "22 in at the withers", "22.5 in. tall"
        return amount
    rare = rare_units().get(words.w[k])
    if rare is not None:
        measure = units.rarer(rare)
        if measure is not None and amount.form != "article":
            amount.unit, factor = measure
            amount.value *= factor
            amount.whole = False
            amount.n = k + 1 - amount.i
            amount.kg = amount.value if amount.unit == "kg" else None
            return amount
    if "ounit" in tags:
        other, n = tags["ounit"]
        amount.other = other
        amount.n = k + n - amount.i
        return amount
    if "thing" in tags:
        amount.other = "things"
    return amount


@cache
def rare_units() -> dict[str, str]:
    """Seldom said measures by the name that pint has for them."""
    return dict(book()["rare_units"])


def _is_unit(words: Words, amount: Amount, k: int) -> bool:
    """Short unit letters must stand close: "9 g" yes, "9 c" of another word no; "pounds" may be money."""
    word = words.w[k]
    if word in _SHORT_UNITS:
        # a letter on its own: fine right after digits ("101.5f", "9 g"), never after a number word
        return amount.form != "words" or word == "g"
    if word in ('"', "''"):
        return words.end[k - 1] == words.start[k]
    if word == "can" and amount.form == "article":
        return True
    return not (word in ("can", "tin") and k + 1 < len(words) and words.w[k + 1] in _ASKERS_AFTER_CAN)


def _smaller(words: Words, amount: Amount) -> None:
    """'20 lb 11 oz', '20lb 11', 'two stone three', '9kg4': the rest in the smaller unit."""
    j, end = amount.end, len(words)
    unit = amount.unit or ""
    if j >= end:
        return
    if unit == "kg" and words.kind[j] == "n" and words.start[j] == words.end[j - 1]:
        digits = words.w[j]
        if digits.isascii() and digits.isdigit() and len(digits) <= 3 and amount.whole:
            amount.value += float(f"0.{digits}")
            amount.whole = False
            amount.n += 1
        return
    if unit == "kg" and amount.whole:
        _and_grams(words, amount)
        return
    smaller = _SMALLER.get(unit)
    if smaller is None or not amount.whole:
        return
    k = j + 1 if words.w[j] in ("and", "n", "&", ",", "-") and j + 1 < end else j
    number = number_at(words, k)
    if number is None:
        return
    value, k2, form = number
    has_unit = k2 < end and words.tags[k2].get("unit", ("",))[0] == smaller
    limit = 16 if smaller == "oz" else 14
    if value >= limit or form == "article":
        return
    if not has_unit:
        # without its unit only right behind ("20 lb 11"), with nothing after it that it could count
        if k != j or (
            k2 < end
            and words.kind[k2] == "w"
            and words.w[k2] not in _REST_BEFORE
            and not words.has(k2, "between", "day", "dog", "late")
        ):
            return
        if k2 < end and words.w[k2] in (":", "/"):
            return
    amount.kg = amount.value * MASS[unit] + value * MASS[smaller]
    amount.n = (k2 + 1 if has_unit else k2) - amount.i
    if smaller == "lb" and has_unit:
        # stone, pounds and ounces
        third = number_at(words, amount.end) if amount.end < end else None
        if third and third[1] < end and words.tags[third[1]].get("unit", ("",))[0] == "oz":
            amount.kg += third[0] * MASS["oz"]
            amount.n = third[1] + 1 - amount.i


def _and_grams(words: Words, amount: Amount) -> None:
    """'18 kilos and 400 grams', '9 kg 250 g', '9 kilo 400': the grams over the kilograms."""
    j, end = amount.end, len(words)
    k = j + 1 if words.w[j] in ("and", "n", "&") and j + 1 < end else j
    number = number_at(words, k) if k < end else None
    if number is None:
        return
    value, after, form = number
    has_unit = after < end and words.tags[after].get("unit", ("",))[0] == "g"
    if form == "article" or not 10 <= value < 1000 or not (has_unit or (k == j and value >= 100 and value % 10 == 0)):
        return
    last = after + 1 if has_unit else after
    if last < end and (words.w[last] == "of" or words.has(last, "food", "treat", "meal", "unit", "ounit")):
        return  # "9 kg and 400 g of mince"
    amount.kg = amount.value + value / 1000
    amount.n = last - amount.i


def _and_a_half(words: Words, amount: Amount) -> None:
    """'a cup and a half', 'a kilo and a half', 'two cups and a quarter'."""
    j, end = amount.end, len(words)
    if amount.kg is not None or j + 1 >= end or words.w[j] not in ("and", "n", "&"):
        return
    k = j + 1
    if words.w[k] in ("a", "an", "one"):
        k += 1
    elif words.w[k] == "three":
        if k + 1 < end and "s quarter" in words.tags[k + 1]:
            amount.value += 0.75
            amount.whole = False
            amount.n = k + 2 - amount.i
        return
    typed = typed_fraction(words, k) if words.kind[k] == "n" else None
    part = part_at(words, k) if typed is None else typed
    if part is not None:
        k += 2 if typed is not None else 0  # "1 cup and 3/4"
        # "a cup and a half cup of water" is another amount
        if k + 1 < end and "unit" in words.tags[k + 1]:
            return
        amount.value += part
        amount.whole = False
        amount.n = k + 1 - amount.i
