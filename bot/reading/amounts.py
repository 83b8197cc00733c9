"""Digits and words with units to numbers. The one place where typed figures become floats.

A figure is ASCII digits with one point or comma, at most seven long; number words, fractions and the mixes
that people say ("nine and a half", "2 3/4", "9kg4", "20 lb 11", "a cup and a half", "two stone three") are
put together here. What the unit means is looked up in the phrases; factors are in `core.units`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from bot.reading.lexicon import Tags, book, words_of
from bot.reading.tokens import FRACTIONS, Words
from core import units

_ASKERS_AFTER_CAN = words_of("cues", "askers_after_can")
_ORDINAL_ENDINGS = words_of("cues", "ordinal_endings")
_PART_OF = words_of("cues", "part_of")
_SHORT_UNITS = words_of("cues", "short_units")
_SPOKEN_NOUGHTS = words_of("cues", "spoken_noughts")

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

_PLAIN = re.compile(r"\d{1,7}(?:[.,]\d{1,4})?|\.\d{1,4}", re.ASCII)
_THOUSANDS = re.compile(r"\d{1,3},\d{3}", re.ASCII)
_CLOCK = re.compile(r"([01]?\d|2[0-3])[:.]([0-5]\d)", re.ASCII)
_COUNTING = frozenset({"num", "s half", "s quarter", "s third", "s eighth"})  # meanings that begin a quantity
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
        after_share: true for the second half of "3/5" (scores, dates), which `of` holds.
        sign: "+" or "-" where one was written before it.
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


@cache
def sounds() -> dict[str, int]:
    """Words that dictation writes for figures ("ate point six")."""
    return {word: int(value) for word, value in book()["sounds_like"].items()}


def figure(said: str) -> float | None:
    """The number of plainly typed digits; None for anything else. A comma may be the decimal point."""
    if _PLAIN.fullmatch(said):
        return float(said.replace(",", "."))
    return None


def find(words: Words) -> list[Amount]:
    """Every quantity in the message, in order."""
    found: list[Amount] = []
    i, end = 0, len(words)
    while i < end:
        kind = words.kind[i]
        if kind == "n" or kind == "f" or (kind == "w" and _may_count(words.w[i], words.tags[i])):
            amount = _amount_at(words, i)
            if amount is not None:
                found.append(amount)
                i = amount.end
                continue
        i += 1
    return found


def _may_count(word: str, tags: Tags) -> bool:
    return word in ("a", "an") or word in sounds() or not _COUNTING.isdisjoint(tags)


def _amount_at(words: Words, i: int) -> Amount | None:
    number = _number_at(words, i)
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
    if k >= end:
        return amount
    tags = words.tags[k]
    if (
        amount.form == "digits"
        and words.w[j] in ("a", "per", "each")
        and j + 1 < end
        and words.w[j + 1] in words_of("priced_by")
    ):
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
        if amount.unit in ("lb",) and amount.end < end and words.w[amount.end] in ("sterling",):
            amount.other = "money"
        return amount
    if "ounit" in tags:
        other, n = tags["ounit"]
        amount.other = other
        amount.n = k + n - amount.i
        return amount
    if "thing" in tags:
        amount.other = "things"
    return amount


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
    smaller = _SMALLER.get(unit)
    if smaller is None or not amount.whole:
        return
    k = j + 1 if words.w[j] in ("and", "n", "&", ",", "-") and j + 1 < end else j
    number = _number_at(words, k)
    if number is None:
        return
    value, k2, form = number
    has_unit = k2 < end and words.tags[k2].get("unit", ("",))[0] == smaller
    limit = 16 if smaller == "oz" else 14
    if value >= limit or form == "article":
        return
    if not has_unit:
        # without its unit only right behind ("20 lb 11"), with nothing after it that it could count
        if k != j or (k2 < end and words.kind[k2] == "w" and not words.has(k2, "between", "day", "dog")):
            return
        if k2 < end and words.w[k2] in (":", "/"):
            return
    amount.kg = amount.value * MASS[unit] + value * MASS[smaller]
    amount.n = (k2 + 1 if has_unit else k2) - amount.i
    if smaller == "lb" and has_unit:
        # stone, pounds and ounces
        third = _number_at(words, amount.end) if amount.end < end else None
        if third and third[1] < end and words.tags[third[1]].get("unit", ("",))[0] == "oz":
            amount.kg += third[0] * MASS["oz"]
            amount.n = third[1] + 1 - amount.i


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
    part = _part(words, k)
    if part is not None:
        # "a cup and a half cup of water" is another amount
        if k + 1 < end and "unit" in words.tags[k + 1]:
            return
        amount.value += part
        amount.whole = False
        amount.n = k + 1 - amount.i


def _part(words: Words, k: int) -> float | None:
    """½, ¼ … as a character or a word, None for anything else."""
    if k >= len(words):
        return None
    if words.kind[k] == "f":
        return FRACTIONS[words.w[k]]
    tags = words.tags[k]
    for name, part in (("s half", 0.5), ("s quarter", 0.25), ("s third", 1 / 3), ("s eighth", 0.125)):
        if name in tags:
            return part
    return None


def _number_at(words: Words, i: int) -> tuple[float, int, str] | None:
    """The number that starts at i: its value, the place after it, its form."""
    end = len(words)
    if i >= end:
        return None
    kind, word = words.kind[i], words.w[i]
    if kind == "n":
        return _digits(words, i)
    if kind == "f":
        return FRACTIONS[word], i + 1, "fraction"
    if kind != "w":
        return None
    tags = words.tags[i]
    if "ordinal" in tags and word != "second":
        return None
    if "num" in tags:
        return _spoken(words, i)
    part = _part(words, i)
    if part is not None:
        j = i + 1
        if j + 1 < end and "s half" in tags and words.w[j] in ("a",):
            return part, j, "fraction"
        return part, j, "fraction"
    sound = sounds().get(word)
    if sound is not None and i + 1 < end:
        if words.w[i + 1] == "point":
            decimals = _spoken_decimals(words, i + 2) if i + 2 < end else None
            if decimals is not None:
                return sound + decimals[0], decimals[1], "words"
        if sound in (2, 4) and words.tags[i + 1].get("unit", ("",))[0] == "cup" and words.w[i + 1].startswith("cup"):
            return float(sound), i + 1, "words"
    if word in ("a", "an"):
        if i + 1 < end:
            following = words.tags[i + 1]
            part = _part(words, i + 1)
            if part is not None and words.kind[i + 1] == "w":
                # "a half", "a quarter of a cup", "a third"
                return part, i + 2, "fraction"
            if "unit" in following and following["unit"][0] in ("cup", "can", "tbsp", "tsp", "kg", "lb", "litre", "oz"):
                return 1.0, i + 1, "article"
    return None


def _digits(words: Words, i: int) -> tuple[float, int, str] | None:
    word, end = words.w[i], len(words)
    if ":" in word:
        return None
    if _THOUSANDS.fullmatch(word) and not word.startswith("0"):
        value: float | None = float(word.replace(",", ""))
        after = words.tags[i + 1].get("unit") if i + 1 < end else None
        if after is not None and after[0] not in ("g", "ml"):
            value = figure(word)
    else:
        value = figure(word)
    if value is None:
        return None
    j = i + 1
    if (
        j + 1 < end
        and words.kind[j] == "n"
        and len(words.w[j]) == 3
        and words.w[j].isdigit()
        and len(word) <= 3
        and (words.tags[j + 1].get("unit", ("",))[0] == "g" and word.isdigit())
    ):
        return float(word + words.w[j]), j + 1, "digits"  # 20 900 gram
    if value == int(value) and "." not in word and "," not in word:
        if j < end and words.kind[j] == "f":
            return value + FRACTIONS[words.w[j]], j + 1, "digits"  # 2½, 2 ¾
        if j + 2 < end and words.kind[j] == "n" and words.w[j + 1] == "/" and words.kind[j + 2] == "n":
            part = _typed_fraction(words, j)
            if part is not None:
                return value + part, j + 3, "digits"  # 2 3/4
        if (j + 1 < end and words.w[j] in ("and", "n", "&")) or (j < end and words.w[j] == "-" and j + 1 < end):
            k = j + 1
            if words.w[k] in ("a", "an") and k + 1 < end:
                k += 1
            if words.w[j] != "-" or words.tags[k].get("s half") or words.tags[k].get("s quarter"):
                part = _typed_fraction(words, k) if words.kind[k] == "n" else _part(words, k)
                if part is not None:
                    return value + part, k + (3 if words.kind[k] == "n" else 1), "digits"  # 2 and a half
        if j + 1 < end and words.w[j] == "/" and words.kind[j + 1] == "n":
            part = _typed_fraction(words, i)
            if part is not None and _fraction_context(words, i + 3):
                return part, i + 3, "fraction"  # 1/2 cup
        if j < end and words.w[j] == "point" and j + 1 < end:
            decimals = _spoken_decimals(words, j + 1)
            if decimals is not None:
                return value + decimals[0], decimals[1], "words"
    return value, j, "digits"


def _typed_fraction(words: Words, i: int) -> float | None:
    """'3/4' at i as a part of one; None where it is no common part of a cup."""
    if i + 2 >= len(words) or words.w[i + 1] != "/":
        return None
    try:
        top, bottom = int(words.w[i]), int(words.w[i + 2])
    except ValueError:
        return None
    if bottom in (2, 3, 4, 8) and 0 < top < bottom:
        return top / bottom
    return None


def _fraction_context(words: Words, j: int) -> bool:
    """True where '1/2' is a measure, not a date: a unit of food or its words follow, or nothing that fits a date."""
    if j >= len(words):
        return False
    k = j + 1 if words.w[j] in ("a", "an", "of") and j + 1 < len(words) else j
    if k + 1 < len(words) and words.w[j] == "of" and words.w[k] in _PART_OF:
        k += 1
    return words.has(k, "unit", "meal", "food", "treat") or words.w[j] in ("each",)


def _spoken(words: Words, i: int) -> tuple[float, int, str] | None:
    """'twenty nine', 'seventeen point four', 'sixteen and a half', 'three quarters', 'two thirds'."""
    end = len(words)
    value, n = words.tags[i]["num"]
    j = i + n
    if n == 1 and value >= 20 and j < end and words.kind[j] == "w":
        k = j
        unit = words.tags[k].get("num")
        if unit is not None and unit[1] == 1 and unit[0] < 10:
            value += unit[0]
            j = k + 1
    if (n == 1 and value < 100 and j < end and words.w[j] == "hundred") or value == 100:
        if value != 100:
            value *= 100
            j += 1
        k = j + 1 if j < end and words.w[j] == "and" else j
        under = _spoken(words, k) if k < end and "num" in words.tags[k] else None
        if under is not None and under[0] < 100:
            value += under[0]
            j = under[1]
    if j < end and words.w[j] == "-" and j + 1 < end and value >= 20:
        unit = words.tags[j + 1].get("num")
        if unit is not None and unit[1] == 1 and unit[0] < 10:
            value += unit[0]
            j += 2
    if n == 1 and j < end:
        tags = words.tags[j]
        if value in (2, 3, 5, 7) and ("s quarter" in tags or "s third" in tags or "s eighth" in tags):
            part = _part(words, j) or 0
            if value * part < 1:
                return value * part, j + 1, "fraction"
        if value == 1 and "s quarter" in tags:
            return 0.25, j + 1, "fraction"
        if value == 1 and words.has(j, "s half"):
            return 0.5, j + 1, "fraction"
        if words.w[j] == "point" and j + 1 < end:
            decimals = _spoken_decimals(words, j + 1)
            if decimals is not None:
                return value + decimals[0], decimals[1], "words"
        if words.w[j] in ("and", "n", "&") and j + 1 < end:
            k = j + 1
            if words.w[k] in ("a", "an", "one"):
                k += 1
            rest = _part(words, k)
            if rest is not None and k > j + 1:
                return value + rest, k + 1, "words"
            if words.w[j + 1] == "three" and words.has(j + 2, "s quarter"):
                return value + 0.75, j + 3, "words"
    return float(value), j, "words"


def _spoken_decimals(words: Words, k: int) -> tuple[float, int] | None:
    """The figures after 'point': 'four', 'two five', 'oh five', '4'."""
    digits = ""
    while k < len(words) and len(digits) < 3:
        if words.kind[k] == "n" and words.w[k].isascii() and words.w[k].isdigit() and len(words.w[k]) <= 2:
            digits += words.w[k]
            k += 1
            break
        if words.w[k] in _SPOKEN_NOUGHTS:
            digits += "0"
        else:
            number = words.tags[k].get("num")
            if number is None or number[1] != 1 or words.w[k] in ("couple", "dozen"):
                break
            if number[0] >= 10:
                if digits:
                    break
                digits += str(int(number[0]))
                k += 1
                break
            digits += str(int(number[0]))
        k += 1
    if not digits:
        return None
    return float(f"0.{digits}"), k
