"""Days of the calendar: the latest 3 March, the latest ninth, two months back."""

from __future__ import annotations

from datetime import date


def days_in(unit: str) -> int | None:
    """How many days the unit of a duration has (a month 30, a year 365), None where it is none."""
    if unit.startswith(("min", "sec", "hour", "hr")) or unit == "h":
        return 0
    if unit.startswith(("mo", "mth")):
        return 30
    for stem, days in (("day", 1), ("night", 1), ("week", 7), ("wk", 7), ("fortnight", 14), ("year", 365), ("yr", 365)):
        if unit.startswith(stem):
            return days
    return None


def months_back(today: date, months: int) -> date:
    """The day so many months ago; the last of the month where that has no such day."""
    total = today.year * 12 + today.month - 1 - months
    year, month = divmod(total, 12)
    day = today.day
    while day > 28:
        try:
            return date(year, month + 1, day)
        except ValueError:
            day -= 1
    return date(year, month + 1, day)


def latest(day: int, month: int, year: int | None, today: date) -> date | None:
    """That day and month, the latest one not after today where no year is said."""
    try:
        if year is not None:
            return date(year, month, day)
        on = date(today.year, month, day)
    except ValueError:
        if (month, day) == (2, 29) and year is None:
            for back in range(1, 5):
                try:
                    return date(today.year - back, 2, 29)
                except ValueError:
                    continue
        return None
    if on > today:
        try:
            # a date within the coming half year was meant as planned; the caller sees that it lies ahead
            if (on - today).days < 180:
                return on
            on = date(today.year - 1, month, day)
        except ValueError:
            return None
    return on


def latest_of_month(day: int, today: date) -> date | None:
    """The latest day not after today with that day of the month, None where there is none."""
    year, month = today.year, today.month
    for _ in range(3):
        try:
            on = date(year, month, day)
            if on <= today:
                return on
        except ValueError:
            pass
        month -= 1
        if month == 0:
            year, month = year - 1, 12
    return None
