"""Days ahead as people write them: "12 sept", "on Saturday", "10–14", "from Friday to Monday"."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

from bot.conversation.heard import LONGEST
from bot.replies import say_units
from core.roster import Kennel
from shared.texts import text

_NUMBER = r"(?P<d>\d{1,2})(?:st|nd|rd|th)?"
_ISO = re.compile(r"\b(\d{4})-(\d{2})-(\d{2})\b")
_SLASH = re.compile(r"(?<![\d.])(\d{1,2})[/.](\d{1,2})(?:[/.](\d{4}|\d{2}))?(?![\d/])")
_RANGE = re.compile(r"\b(\d{1,2})(?:st|nd|rd|th)?\s*(?:-|–|—|to|till|until)\s*(\d{1,2})(?:st|nd|rd|th)?\b")
_BARE = re.compile(r"\b(?:the\s+)(\d{1,2})(?:st|nd|rd|th)\b|\b(\d{1,2})(?:st|nd|rd|th)\b")


def day_ahead(said: str, on: date, kennel: Kennel) -> date | None:
    """The first day that the words name, today or later (with its year, any day); None where they name none."""
    return next(iter(sorted(_days(said[:LONGEST].casefold(), on, kennel))), (0, None))[1]


def span_ahead(said: str, on: date, kennel: Kennel) -> tuple[date, date] | None:
    """The first and last of the days that the words name; a single day is both; None where they name none."""
    low = said[:LONGEST].casefold()
    found = _RANGE.search(low)
    if found:
        first = _of_month(int(found[1]), _month_near(low, on), on)
        last = _of_month(int(found[2]), first.month if first else None, first or on)
        if first and last and first <= last:
            return first, last
    days = [day for _, day in sorted(_days(low, on, kennel))]
    if not days:
        return None
    first = days[0]
    last = next((d for d in days[1:] if d >= first), first)
    return first, last


def _days(low: str, on: date, kennel: Kennel) -> Iterator[tuple[int, date]]:
    """Each day named, with its place in the words."""
    for m in _ISO.finditer(low):
        if day := _date(int(m[1]), int(m[2]), int(m[3])):
            yield m.start(), day
    for m in _SLASH.finditer(low):
        first, second = int(m[1]), int(m[2])
        d, month = (first, second) if kennel.day_first else (second, first)
        if m[3]:
            year = int(m[3]) + (2000 if len(m[3]) == 2 else 0)
            day = _date(year, month, d)
        else:
            day = _of_month(d, month, on)
        if day:
            yield m.start(), day
    names = {text(f"units.month.{n}").casefold(): n for n in range(1, 13)}
    months = "|".join(f"{name}|{name[:3]}|{name[:4]}" for name in names)
    year_said = r"(?:,?\s+(?P<y>20\d{2}))?"
    for pattern in (
        rf"\b{_NUMBER}\s*(?:of\s+)?(?P<m>{months})\b{year_said}",
        rf"\b(?P<m>{months})\.?\s+{_NUMBER}\b{year_said}",
    ):
        for m in re.finditer(pattern, low):
            month = next(n for name, n in names.items() if name.startswith(m["m"]))
            if day := _date(int(m["y"]), month, int(m["d"])) if m["y"] else _of_month(int(m["d"]), month, on):
                yield m.start(), day
    for m in re.finditer(rf"\b(?:in|during)\s+(?P<m>{months})\b(?!\.?\s*\d)", low):
        month = next(n for name, n in names.items() if name.startswith(m["m"]))
        if day := on if month == on.month else _of_month(1, month, on):
            yield m.start(), day
    for m in _BARE.finditer(low):
        if day := _of_month(int(m[1] or m[2]), None, on):
            yield m.start() + 1, day  # after the same number with its month
    for word, ahead in ((text("units.today"), 0), (text("units.tomorrow"), 1)):
        if named := re.search(rf"\b{word}\b", low):
            yield named.start(), on + timedelta(days=ahead)
    for ahead in range(1, 8):
        name = say_units.weekday(on + timedelta(days=ahead)).casefold()
        if said := re.search(rf"\b(?:{name}|{name[:3]}|{name[:4]})\b", low):
            yield said.start(), on + timedelta(days=ahead)


def _month_near(low: str, on: date) -> int | None:
    for n in range(1, 13):
        name = text(f"units.month.{n}").casefold()
        if re.search(rf"\d\s*(?:of\s+)?(?:{name}|{name[:3]}|{name[:4]})\b|\b(?:{name}|{name[:3]})\.?\s+\d", low):
            return n
    return None


def _of_month(day: int, month: int | None, on: date) -> date | None:
    """The next such day of the month, today or later."""
    for ahead in range(0, 13):
        n = on.month - 1 + ahead
        year, m = on.year + n // 12, n % 12 + 1
        if month is not None and m != month:
            continue
        found = _date(year, m, day)
        if found is not None and found >= on:
            return found
    return None


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
