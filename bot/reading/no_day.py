"""A day that the calendar does not have: "31 February", "Feb 30th", "31/4/2026"."""

from __future__ import annotations

from calendar import monthrange
from datetime import date

from bot.reading import amounts, dates, tokens, written
from bot.reading.amounts import Amount
from bot.reading.lexicon import words_of
from bot.reading.tokens import Words

_DATE_LEADS = words_of("cues", "date_leads")
_LEAP = 2000  # a year with a 29 February: where no year is said, some year has that day


def days_in(text: str, today: date, day_first: bool) -> list[date]:
    """The days, none of them ahead, that a short answer names ("28 Feb", "yesterday")."""
    words = tokens.cut(text)
    found = amounts.find(words)
    if named(words, found, day_first):
        return []
    return [w.on for w in dates.find(words, found, today, day_first) if w.on <= today]


def named(words: Words, found: list[Amount], day_first: bool) -> str:
    """The first such day as it was written, "" where every day named exists; its figures are marked as a date's."""
    for i in range(len(words)):
        parts = written.full_parts(words, i, day_first) if words.kind[i] == "n" else None
        if parts is not None and 1 <= parts[1] <= 12 and parts[0] <= 31 and not _exists(*parts[:3]):
            for a in found:
                if i <= a.i < i + parts[3]:
                    a.other = "date"
            return words.said(i, i + parts[3])
    for a in found:
        if not (a.whole and a.form == "digits" and a.unit is None and 1 <= a.value <= 31):
            continue
        span = _slashed(words, a, day_first) if a.of is not None else _beside_month(words, a)
        if span is not None:
            a.other = "date"
            return words.said(*span)
    return ""


def _beside_month(words: Words, a: Amount) -> tuple[int, int] | None:
    """The words of "31 February", "31st of Feb 2026", "February 31st" where there is no such day."""
    if "." in words.w[a.i] or "," in words.w[a.i]:
        return None
    k = a.end + 1 if a.end < len(words) and words.w[a.end] == "of" else a.end
    if k < len(words) and _is_month(words, k):
        month, n = words.tags[k]["month"]
        year, took = _year(words, k + n)
        return None if _exists(int(a.value), month, year) else (a.i, k + n + took)
    for j in (a.i - 1, a.i - 2):
        if j >= 0 and _is_month(words, j) and j + words.tags[j]["month"][1] == a.i:
            year, took = _year(words, a.end)
            return None if _exists(int(a.value), words.tags[j]["month"][0], year) else (j, a.end + took)
    return None


def _is_month(words: Words, k: int) -> bool:
    """True for the name of a month that is not the name of one of the dogs."""
    return "month" in words.tags[k] and "dog" not in words.tags[k]


def _slashed(words: Words, a: Amount, day_first: bool) -> tuple[int, int] | None:
    """The words of "on 31/2", "30/2/2026" where there is no such day."""
    before = words.w[a.i - 1] if a.i else ""
    if a.of is None or a.of != int(a.of) or not (before in _DATE_LEADS or a.other == "date"):
        return None
    day, month = (int(a.value), int(a.of)) if day_first else (int(a.of), int(a.value))
    if month > 12 >= day:
        day, month = month, day
    year = words.w[a.end - 1] if a.other == "date" and a.n >= 5 else ""
    if not 1 <= month <= 12 or day > 31 or _exists(day, month, int(year) if year.isdigit() and len(year) == 4 else 0):
        return None
    return a.i, a.end


def _year(words: Words, k: int) -> tuple[int, int]:
    if k < len(words) and words.kind[k] == "n" and len(words.w[k]) == 4 and words.w[k].isdigit():
        return int(words.w[k]), 1
    return 0, 0


def _exists(day: int, month: int, year: int) -> bool:
    return day <= monthrange(year if 1990 <= year <= 2100 else _LEAP, month)[1]
