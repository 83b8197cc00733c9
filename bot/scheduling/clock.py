"""What time it is: the only place that asks. Everything else is handed its time.

Instants are aware and in UTC; waits are counted on a monotonic clock, so that a wall clock that is put right
neither stretches nor skips one.
"""

from __future__ import annotations

import asyncio
import time
from datetime import UTC, datetime
from typing import Protocol


class Clock(Protocol):
    """Something that knows the time and can wait."""

    def now(self) -> datetime:
        """The present instant, aware, in UTC."""
        ...

    def monotonic(self) -> float:
        """Seconds on a clock that is never set."""
        ...

    async def wait(self, seconds: float) -> None:
        """Nothing, once that many seconds have passed."""
        ...


class SystemClock:
    """The machine's own clock."""

    def now(self) -> datetime:
        """The present instant, aware, in UTC."""
        return datetime.now(UTC)  # noqa: TID251 (this is the place)

    def monotonic(self) -> float:
        """Seconds on a clock that is never set."""
        return time.monotonic()

    async def wait(self, seconds: float) -> None:
        """Nothing, once that many seconds have passed."""
        await asyncio.sleep(max(0.0, seconds))


class SetClock:
    """A clock that only moves when it is told to: the terminal's, and the tests'."""

    def __init__(self, at: datetime) -> None:
        self._at = at.astimezone(UTC)
        self._monotonic = 0.0

    def now(self) -> datetime:
        """The instant that was set last, in UTC."""
        return self._at

    def monotonic(self) -> float:
        """Seconds waited and moved forward since the clock was made; setting it back takes none away."""
        return self._monotonic

    async def wait(self, seconds: float) -> None:
        """Nothing, at once: waiting moves only the monotonic side, the wall clock stands."""
        self._monotonic += max(0.0, seconds)
        await asyncio.sleep(0)

    def set(self, at: datetime) -> None:
        """Sets the clock to that instant, forward or back."""
        at = at.astimezone(UTC)
        self._monotonic += max(0.0, (at - self._at).total_seconds())
        self._at = at
