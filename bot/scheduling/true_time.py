"""How far the machine's clock is from the chat server's: nothing is announced by a clock that is far off."""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.scheduling.clock import Clock

# A reminder a few minutes off is still one; common practice, no source.
FAR = timedelta(minutes=5)


class TrueTime:
    """Told of the server's time whenever one is heard; `off` is what the machine's clock is ahead of it."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self.off = timedelta(0)

    def heard(self, server: datetime) -> None:
        """Notes the server's time, as it stands now."""
        self.off = self._clock.now() - server

    @property
    def is_far(self) -> bool:
        """True where the machine's clock cannot be trusted."""
        return abs(self.off) > FAR
