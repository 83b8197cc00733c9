"""Wall-clock times of a local day as instants, on the nights on which clocks change too."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

_MINUTE = timedelta(minutes=1)
_DAY = timedelta(days=1)


def instant(on: date, clock: time, zone: ZoneInfo) -> datetime:
    """The instant (UTC) at which the clocks of that zone show that time on that day.

    A time that comes twice is the first; one that does not exist is the first minute after the gap (which is on
    the next day where the gap reaches over midnight).
    """
    wall = datetime.combine(on, clock)
    first = wall.replace(tzinfo=zone, fold=0).astimezone(UTC)
    if first.astimezone(zone).replace(tzinfo=None) == wall:
        return first
    # Read with the offset from before the gap it lies after it, with the other before it (PEP 495): the change
    # is between the two.
    after, before = first, wall.replace(tzinfo=zone, fold=1).astimezone(UTC)
    offset = after.astimezone(zone).utcoffset()
    while after - before > _MINUTE:
        middle = before + (after - before) / 2
        middle -= timedelta(seconds=middle.second, microseconds=middle.microsecond)
        if middle <= before:
            middle = before + _MINUTE
        if middle.astimezone(zone).utcoffset() == offset:
            after = middle
        else:
            before = middle
    return after


def exists(on: date, zone: ZoneInfo) -> bool:
    """False for a day that a zone left out (Apia, 30 December 2011)."""
    return instant(on, time(12), zone).astimezone(zone).date() == on


def days_between(start: datetime, end: datetime, zone: ZoneInfo) -> Iterator[date]:
    """The local days that exist, from the one before `start`'s to `end`'s (a time in a gap may move a day on)."""
    # By way of UTC: a moment that was made from a wall-clock time in a gap still shows it.
    on, last = (at.astimezone(UTC).astimezone(zone).date() for at in (start, end))
    on -= _DAY
    while on <= last:
        if exists(on, zone):
            yield on
        on += _DAY


def within(clock: time, start: time, end: time) -> bool:
    """True where a time of day lies after `start` and before `end`, over midnight where `end` is the earlier.

    Both ends are outside: a reminder at the very minute at which the quiet begins may still be given.
    """
    if start == end:
        return False
    if start < end:
        return start < clock < end
    return clock > start or clock < end
