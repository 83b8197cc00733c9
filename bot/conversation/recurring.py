"""Errands that come again: "every evening", "every Sunday", "every 2 hours", kept as facts, and their moments.

What is kept is one of `{"hours": 2}` (elapsed, as newborns need it), `{"days": 14}` and `{"weekdays": [6]}` (by the
house's clock).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from bot.conversation.heard import patterns
from bot.enrolment import weekdays_said
from bot.replies import say_units
from core.roster import Kennel
from core.times import instant
from shared.texts import listed, text

MOST_HOURS, MOST_DAYS = 23, 366
_NUMBERS = {
    "other": 2, "second": 2, "couple of": 2, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "eight": 8,
    "ten": 10, "twelve": 12,
}  # fmt: skip
_DAYS_IN = {"day": 1, "week": 7, "fortnight": 14, "month": 30}


def taken(said: str) -> tuple[dict[str, Any] | None, str]:
    """How often, as the words say it, and the words without it; None where they name no such thing."""
    for pattern in patterns("remind_every"):
        m = pattern.search(said)
        every = _every(m) if m else None
        if m is not None and every is not None:
            part = m.groupdict().get("part")  # "every evening at 8": the evening makes it 20:00
            return every, f"{said[: m.start()]} {f'in the {part}' if part else ''} {said[m.end() :]}"
    return None, said


def _every(m: re.Match[str]) -> dict[str, Any] | None:
    told = {name: " ".join(value.casefold().split()) for name, value in m.groupdict().items() if value}
    n = _NUMBERS.get(told["n"]) or int(told["n"]) if "n" in told else 1
    if "hour" in told:
        return {"hours": n} if 1 <= n <= MOST_HOURS else None
    if "weekday" in told:
        days = weekdays_said(told["weekday"])
        return {"weekdays": list(days)} if days else None
    days_between = n * _DAYS_IN[told["unit"].rstrip("s")] if "unit" in told else 1
    return {"days": days_between} if 1 <= days_between <= MOST_DAYS else None


def first(every: Mapping[str, Any], clock: time, now: datetime, kennel: Kennel) -> datetime:
    """When it comes for the first time after `now`."""
    if "hours" in every:
        return (now + timedelta(hours=every["hours"])).replace(second=0, microsecond=0)
    return next(at for at in _by_clock(every, clock, kennel.day_of(now), kennel.tz) if at > now)


def moments(one: Mapping[str, Any], start: datetime, end: datetime) -> Iterator[datetime]:
    """Its moments after `start` and not after `end`; of one that comes once its only one."""
    at, every = datetime.fromisoformat(one["at"]), one.get("every")
    if not every:
        if start < at <= end:
            yield at
        return
    zone = ZoneInfo(one["zone"])
    if "hours" in every:
        step = timedelta(hours=every["hours"])
        when = at + max(0, (start - at) // step) * step
        while when <= end:
            if when > start:
                yield when
            when += step
        return
    begin = at.astimezone(zone)
    for when in _by_clock(every, begin.time(), begin.date(), zone, since=start.astimezone(zone).date()):
        if when > end:
            return
        if when > start and when >= at:
            yield when


def shown(every: Mapping[str, Any], at: datetime, kennel: Kennel) -> str:
    """In words: "every day at 21:00", "on Sundays at 10:00", "every 2 hours from 13:06"."""
    clock = say_units.clock(at, kennel)
    if "hours" in every:
        n = every["hours"]
        how = text("setup.every_hour") if n == 1 else text("setup.every_hours", n=n)
        return text("reminders.every.from", every=how, time=clock)
    if "weekdays" in every:
        days = listed([text("setup.on_each", day=text(f"units.weekday.{d}")) for d in every["weekdays"]])
        return text("reminders.every.weekdays", days=days, time=clock)
    n = every["days"]
    return text("reminders.every.day" if n == 1 else "reminders.every.days", n=n, time=clock)


def _by_clock(
    every: Mapping[str, Any], clock: time, begin: date, zone: ZoneInfo, since: date | None = None
) -> Iterator[datetime]:
    step, on = every.get("days", 1), begin
    if since is not None and since > begin:
        on = begin + timedelta(days=max(0, (since - begin).days // step - 1) * step)
    while True:
        if on.weekday() in every.get("weekdays", range(7)):
            yield instant(on, clock, zone)
        on += timedelta(days=step)
