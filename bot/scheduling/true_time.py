"""How far the machine's clock is from the chat server's: nothing is announced by a clock that is far off."""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.scheduling.clock import Clock

# A reminder a few minutes off is still one; common practice, no source.
FAR = timedelta(minutes=5)


class TrueTime:
    """Told of the server's time whenever one is heard; between two hearings that is carried on by the monotonic clock,
    so that a machine's clock that jumps meanwhile is found out before anything is announced by it."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self.hearings = 0
        self._heard: tuple[datetime, float] | None = None  # the server's time, and the monotonic clock's then

    def heard(self, server: datetime) -> None:
        """Notes the server's time, as it stands now."""
        self.hearings += 1
        self._heard = (server, self._clock.monotonic())

    @property
    def off(self) -> timedelta:
        """What the machine's clock is ahead of the server's; nothing where the server was never heard."""
        if self._heard is None:
            return timedelta(0)
        server, then = self._heard
        return self._clock.now() - server - timedelta(seconds=self._clock.monotonic() - then)

    @property
    def is_far(self) -> bool:
        """True where the machine's clock cannot be trusted."""
        return abs(self.off) > FAR
