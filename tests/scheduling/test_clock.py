"""The clock: set only when told, waits on the monotonic side."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from bot.scheduling.clock import SetClock, SystemClock


async def test_a_set_clock_moves_only_when_told() -> None:
    """Waiting passes on the monotonic side alone."""
    start = datetime(2026, 3, 14, 8, 0, tzinfo=ZoneInfo("Europe/London"))
    clock = SetClock(start)
    await clock.wait(90)
    assert clock.now() == start and clock.now().tzinfo is UTC and clock.monotonic() == 90
    clock.set(start + timedelta(hours=1))
    assert clock.monotonic() == 90 + 3600
    clock.set(start - timedelta(days=3))
    assert clock.monotonic() == 90 + 3600  # a clock put back takes no wait away


async def test_the_machines_clock_is_aware_and_monotonic() -> None:
    """Now is in UTC, and the monotonic side never falls."""
    clock = SystemClock()
    assert clock.now().utcoffset() == timedelta(0)
    before = clock.monotonic()
    await clock.wait(-1)
    assert clock.monotonic() >= before
