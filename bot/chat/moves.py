"""Words that move the demo's clock: "later 2h", "at 17:30", "next morning", "next Sunday"."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta

# When a part of the day begins for whoever asks for the next one; the demo's own choice.
_PARTS = {
    "morning": time(7, 30), "noon": time(12, 30), "afternoon": time(15), "evening": time(18, 30), "night": time(21, 50),
}  # fmt: skip
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

_LATER = re.compile(
    r"(?:later|wait|\+)\s*(\d{1,4})\s*(m|min|mins|minute|minutes|h|hr|hrs|hour|hours|d|day|days|w|week|weeks)", re.ASCII
)
_AT = re.compile(r"(?:at|until)\s+(\d{1,2})[:.](\d{2})", re.ASCII)
_NEXT = re.compile(r"(?:next|tomorrow)\s+(\w+)")
_UNITS = {"m": "minutes", "h": "hours", "d": "days", "w": "weeks"}


def moved(said: str, now: datetime) -> datetime | None:
    """The wall-clock moment that the words mean, seen from `now` (wall clock, no zone); None for other words."""
    low = " ".join(said.casefold().split())
    if found := _LATER.fullmatch(low):
        return now + timedelta(**{_UNITS[found[2][0]]: int(found[1])})
    if found := _AT.fullmatch(low):
        hour, minute = int(found[1]), int(found[2])
        if hour > 23 or minute > 59:
            return None
        return _next_at(now, time(hour, minute))
    if low in ("next day", "tomorrow"):
        return _next_at(now.replace(hour=12), _PARTS["morning"])
    if found := _NEXT.fullmatch(low):
        if found[1] in _PARTS:
            after = now.replace(hour=23, minute=59) if low.startswith("tomorrow") else now
            return _next_at(after, _PARTS[found[1]])
        days = [n for n, day in enumerate(_WEEKDAYS) if len(found[1]) > 2 and day.startswith(found[1])]
        if days:
            ahead = (days[0] - now.weekday() - 1) % 7 + 1
            return datetime.combine(now.date() + timedelta(days=ahead), _PARTS["morning"])
    return None


def _next_at(now: datetime, clock: time) -> datetime:
    at = datetime.combine(now.date(), clock)
    return at if at > now else at + timedelta(days=1)
