"""Typed digits, number words and fractions to numbers. The one place where typed figures become floats.

A figure is ASCII digits with one point or comma, at most seven long.
"""

from __future__ import annotations

import re
from functools import cache

from bot.reading.lexicon import Tags, book, words_of
from bot.reading.tokens import FRACTIONS, Words

_BEFORE_TIME = words_of("cues", "before_time")
_FILLED = words_of("cues", "filled")
_PART_OF = words_of("cues", "part_of")
_SPOKEN_NOUGHTS = words_of("cues", "spoken_noughts")
_PLAIN = re.compile(r"\d{1,7}(?:[.,]\d{1,4})?|\.\d{1,4}", re.ASCII)
_THOUSANDS = re.compile(r"\d{1,3},\d{3}", re.ASCII)
_COUNTING = frozenset({"num", "s half", "s quarter", "s third", "s eighth"})  # meanings that begin a quantity


@cache
def sounds() -> dict[str, int]:
    """Words that dictation writes for figures ("ate point six")."""
    return {word: int(value) for word, value in book()["sounds_like"].items()}


def figure(said: str) -> float | None:
    """The number of plainly typed digits; None for anything else. A comma may be the decimal point."""
    if _PLAIN.fullmatch(said):
        return float(said.replace(",", "."))
    return None


def can_begin(word: str, tags: Tags) -> bool:
    """True where a quantity can begin with this word."""
    return word in ("a", "an", "the", "cup") or word in sounds() or not _COUNTING.isdisjoint(tags)


def part_at(words: Words, k: int) -> float | None:
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


def number_at(words: Words, i: int) -> tuple[float, int, str] | None:
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
    part = part_at(words, i)
    if part is not None:
        j = i + 1
        if j + 1 < end and "s half" in tags and words.w[j] == "a":
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
    if word == "the" and i + 2 < end and words.w[i + 1] in ("full", "whole", "entire"):
        if words.tags[i + 2].get("unit", ("",))[0] in ("can", "cup"):
            return 1.0, i + 1, "article"  # "it was the full tin"
    if i and words.w[i - 1] in ("his", "her", "their") and tags.get("unit", ("",))[0] == "cup" and i + 1 < end:
        return (1.0, i, "article") if words.w[i + 1] in ("and", "n", "&", "of") else None  # "got his cup and a half"
    if word in ("a", "an"):
        if i + 1 < end:
            following = words.tags[i + 1]
            part = part_at(words, i + 1)
            if part is not None and words.kind[i + 1] == "w":
                # "a half", "a quarter of a cup", "a third"
                return part, i + 2, "fraction"
            if words.w[i + 1] in _FILLED and i + 2 < end and "unit" in words.tags[i + 2]:
                following = words.tags[i + 2]  # "a whole can"
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
            part = typed_fraction(words, j)
            if part is not None:
                return value + part, j + 3, "digits"  # 2 3/4
        if (j + 1 < end and words.w[j] in ("and", "n", "&")) or (j < end and words.w[j] == "-" and j + 1 < end):
            k = j + 1
            if words.w[k] in ("a", "an") and k + 1 < end:
                k += 1
            if words.w[j] != "-" or words.tags[k].get("s half") or words.tags[k].get("s quarter"):
                part = typed_fraction(words, k) if words.kind[k] == "n" else part_at(words, k)
                if part is not None:
                    return value + part, k + (3 if words.kind[k] == "n" else 1), "digits"  # 2 and a half
        if j + 1 < end and words.w[j] == "/" and words.kind[j + 1] == "n":
            part = typed_fraction(words, i)
            if part is not None and _fraction_context(words, i + 3):
                return part, i + 3, "fraction"  # 1/2 cup
        if j < end and words.w[j] == "point" and j + 1 < end:
            decimals = _spoken_decimals(words, j + 1)
            if decimals is not None:
                return value + decimals[0], decimals[1], "words"
    return value, j, "digits"


def typed_fraction(words: Words, i: int) -> float | None:
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
    return words.has(k, "unit", "meal", "food", "treat") or words.w[j] == "each"


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
    if n == 1 and 1 <= value < 10 and j < end and words.has(j, "num") and not _may_be_time(words, i, j):
        tens = _spoken(words, j)
        if tens is not None and words.tags[j]["num"][0] >= 20 and tens[0] < 100 and tens[2] == "words":
            return value * 100 + tens[0], tens[1], "words"  # "four seventy three" grams
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
            part = part_at(words, j) or 0
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
            rest = part_at(words, k)
            if rest is not None and k > j + 1:
                return value + rest, k + 1, "words"
            if words.w[j + 1] == "three" and words.has(j + 2, "s quarter"):
                return value + 0.75, j + 3, "words"
    return float(value), j, "words"


def _may_be_time(words: Words, i: int, j: int) -> bool:
    """'at seven thirty', 'about nine forty': the figures of a clock, unless right behind a dog's name."""
    if words.has(i - 1, "dog"):
        return False
    minutes = words.tags[j]["num"][0] % 15 == 0 or words.has(j + 1, "num")
    return (i > 0 and words.w[i - 1] in _BEFORE_TIME) or minutes


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
