"""Dates in figures and with months: "3/4", "28.6.2026", "13.3.", "1 March", "March 3rd", "the twelfth of January"."""

from __future__ import annotations

from datetime import date

from bot.reading.ago import ago_from
from bot.reading.amounts import Amount
from bot.reading.days import latest, latest_of_month
from bot.reading.lexicon import words_of
from bot.reading.tokens import Words
from bot.reading.when import When

_DATE_LEADS = words_of("cues", "date_leads")
_AFTER_HEADING_DATE = frozenset(":,(–—|")
_HEADING_OF_DAY = ("groom", "go 0", "meal", "cond", "temp", "weigh", "dose", "earw", "height", "prog")
_DOTTED_DATE_LEADS = words_of("cues", "dotted_date_leads")
_MONTH_DAY_LEADS = words_of("cues", "month_day_leads")
_NAMED_MONTH_LEADS = words_of("cues", "named_month_leads")
_NTH_LEADS = words_of("cues", "nth_leads")
_SCORES = words_of("cues", "scores")


def full_parts(words: Words, i: int, day_first: bool) -> tuple[int, int, int, int] | None:
    """'2026-07-01' (ISO 8601), '28.6.2026', '28-06-2026' as day, month and year, and how many words it takes."""
    parts, n = words.w[i].split("."), 1
    if len(parts) == 1 and i + 4 < len(words) and words.w[i + 1] == words.w[i + 3] == "-":
        if all(words.end[k] == words.start[k + 1] for k in range(i, i + 4)):
            parts, n = [words.w[i], words.w[i + 2], words.w[i + 4]], 5
    if len(parts) != 3 or not all(p.isascii() and p.isdigit() for p in parts):
        return None
    first, second, third = (int(p) for p in parts)
    if first >= 1990:
        year, month, day = first, second, third
    elif third >= 1990:
        day, month, year = (first, second, third) if day_first or first > 12 or n == 1 else (second, first, third)
    else:
        return None
    return day, month, year, n


def full_date(words: Words, amounts: list[Amount], i: int, day_first: bool) -> When | None:
    parts = full_parts(words, i, day_first)
    if parts is None:
        return None
    day, month, year, n = parts
    try:
        on = date(year, month, day)
    except ValueError:
        return None
    for a in amounts:
        if i <= a.i < i + n:
            a.other = "date"
    return When(i, n, on)


def from_amount(words: Words, starts: dict[int, Amount], i: int, today: date, day_first: bool) -> When | None:
    """The day that the figure at `i` is, None where it is none; the figure is then marked `other="date"`."""
    a = starts[i]
    if a.other == "duration":
        if i > 1 and words.w[i - 1] == "and" and words.tags[i - 2].get("ounit", ("",))[0] == "duration":
            return None  # "a month and two weeks ago" is one length
        return ago_from(words, i, a.value, words.w[a.end - 1], a.end, today)
    if _slashed(words, a):
        return _from_slashes(words, a, today, day_first)
    return _before_month(words, a, today) or _nth(words, a, today) or _dotted(words, a, today, day_first)


def _slashed(words: Words, a: Amount) -> bool:
    """'3/3', '11/3/2026', '3/15', where they are no part and no score."""
    if a.of is None or a.form != "digits" or a.unit is not None or not a.whole or a.of != int(a.of):
        return False
    before = words.w[a.i - 1] if a.i else ""
    return before in _DATE_LEADS or a.other == "date" or _date_like(words, a)


def _from_slashes(words: Words, a: Amount, today: date, day_first: bool) -> When | None:
    first, second, year = int(a.value), int(a.of or 0), None
    if a.other == "date" and a.n >= 5 and words.w[a.end - 1].isdigit():
        year = int(words.w[a.end - 1])
        year += 2000 if year < 100 else 0
    day, month = (first, second) if day_first else (second, first)
    if month > 12 >= day:
        day, month = month, day
    return _mark(a, latest(day, month, year, today), a.n)


def _before_month(words: Words, a: Amount, today: date) -> When | None:
    """'1 March', '15 November 2025', '3rd of March'."""
    if not _day_figure(a) or words.kind[a.i] != "n" or "." in words.w[a.i]:
        return None
    k = a.end + 1 if a.end < len(words) and words.w[a.end] == "of" else a.end
    if k >= len(words) or "month" not in words.tags[k]:
        return None
    before = words.w[a.i - 1] if a.i else ""
    if words.w[k] == "may" and k == a.end and not a.ordinal:
        if not _year(words, k + 1) and before not in _MONTH_DAY_LEADS:
            return None  # "2 may be in season"
    month, n = words.tags[k]["month"]
    year, took = _year(words, k + n) or (None, 0)
    return _mark(a, latest(int(a.value), month, year, today), k + n + took - a.i)


def _nth(words: Words, a: Amount, today: date) -> When | None:
    """'on 9th', 'since the 9th'."""
    before = words.w[a.i - 1] if a.i else ""
    if not a.ordinal or not _day_figure(a) or before not in ("the", "on"):
        return None
    if before == "on" or (a.i > 1 and words.w[a.i - 2] in _NTH_LEADS):
        return _mark(a, latest_of_month(int(a.value), today), a.n)
    return None


def _dotted(words: Words, a: Amount, today: date, day_first: bool) -> When | None:
    """'13.3.' and 'on 13.3'."""
    i, j, end = a.i, a.end, len(words)
    if words.kind[i] != "n" or words.w[i].count(".") != 1 or a.unit is not None or a.n != 1:
        return None
    left, _, right = words.w[i].partition(".")
    if not (left.isdigit() and right.isdigit() and 1 <= int(left) <= 31 and 1 <= int(right) <= 12 and len(right) <= 2):
        return None
    before = words.w[i - 1] if i else ""
    on = latest(int(left), int(right), None, today)
    if before in _DOTTED_DATE_LEADS or (day_first and _heads(words, i)):
        return _mark(a, on, a.n)
    full_stop = j + 1 < end and words.w[j] == "." and words.start[j] == words.end[i] and words.kind[j + 1] != "l"
    if full_stop and before in ("the", "on") and on != today:
        return _mark(a, on, a.n)
    return None


def _day_figure(a: Amount) -> bool:
    return a.whole and a.form == "digits" and a.unit is None and 1 <= a.value <= 31


def _mark(a: Amount, on: date | None, n: int) -> When | None:
    if on is None:
        return None
    a.other = "date"
    return When(a.i, n, on)


def _heads(words: Words, i: int) -> bool:
    """'Nails 22.10: Storm, Saga', '19.10: 2,9', '01.11' on a line alone, "whelped 13.10": a date with a dot."""
    start = next((k + 1 for k in range(i - 1, -1, -1) if words.kind[k] in "ls"), 0)
    after = words.w[i + 1] if i + 1 < len(words) else ""
    closes = after in _AFTER_HEADING_DATE or (i + 1 < len(words) and words.kind[i + 1] == "l")
    if i and words.has(i - 1, "whelp", "mate", "season"):
        return True
    if i == start:
        alone = len(words.w[i]) == 5 and i + 2 < len(words) and words.kind[i + 1] == "l"
        return after == ":" or alone  # "9.4" on a line alone is a weight
    heading = range(start, i)
    named = any(words.has(k, "dog", "dogs") for k in heading)
    return closes and not named and i - start <= 4 and any(words.has(k, *_HEADING_OF_DAY) for k in heading)


def spoken_date(words: Words, i: int, today: date) -> When | None:
    """'the twelfth of January', 'on the ninth'."""
    day, n = words.tags[i]["ordinal"]
    k = i + n
    if k < len(words) and words.w[k] == "of":
        k += 1
    if k < len(words) and "month" in words.tags[k]:
        month, m = words.tags[k]["month"]
        year, took = _year(words, k + m) or (None, 0)
        on = latest(day, month, year, today)
        return When(i, k + m + took - i, on) if on is not None else None
    if i > 1 and words.w[i - 1] == "the" and words.w[i - 2] in ("on", "since", "from"):
        if k < len(words) and words.kind[k] == "w" and not words.has(k, "between", "dog"):
            return None
        on = latest_of_month(day, today)
        return When(i, n, on) if on is not None else None
    return None


def _date_like(words: Words, a: Amount) -> bool:
    """'Biscuit 8.6 (3/3)', '3/14: …' at the start of a line, or a plain "6/12" that is no score and no part."""
    if a.of not in (2, 4, 5, 8, 9, 10) or a.value > a.of:
        near = range(max(0, a.i - 6), min(len(words), a.end + 4))
        if a.of is not None and a.of <= 31 and not any(words.has(k, "cond", "ribs", "unit", "prog") for k in near):
            if not any(words.w[k] in _SCORES for k in near):
                return True
    at_start = a.i == 0 or words.kind[a.i - 1] in "ls"
    after = words.w[a.end] if a.end < len(words) else ""
    return at_start and after in (":", "-", "–", "—", "|", "")


def month_first(words: Words, starts: dict[int, Amount], i: int, today: date) -> When | None:
    """'March 3rd', 'Nov 15, 2025'."""
    month, n = words.tags[i]["month"]
    j = i + n
    if j < len(words) and j in starts and starts[j].whole and 1 <= starts[j].value <= 31 and starts[j].unit is None:
        a = starts[j]
        if a.other not in (None, "date") or "." in words.w[j] or "," in words.w[j]:
            return None
        if "dog" in words.tags[i] and not a.ordinal and not (i and words.w[i - 1] in _NAMED_MONTH_LEADS):
            return None  # a dog called June: "June 14" is her number, "on June 14" a date
        k = a.end
        if k < len(words) and words.w[k] == "," and _year(words, k + 1):
            k += 1
        year, took = _year(words, k) or (None, 0)
        on = latest(int(a.value), month, year, today)
        if on is not None:
            a.other = "date"
            return When(i, (k + took if took else a.end) - i, on)
    return None


def _year(words: Words, k: int) -> tuple[int, int] | None:
    if k < len(words) and words.kind[k] == "n" and len(words.w[k]) == 4 and words.w[k].isdigit():
        year = int(words.w[k])
        if 1990 <= year <= 2100:
            return year, 1
    return None
