"""How long is waited for a server, and between tries when it cannot be reached."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How long the loop waits, in seconds: for news in one call, and between tries when the network is gone."""

    poll_s: int = 50  # the server holds a call up to that long; 50 is its limit
    grace_s: float = 10.0  # more than that beyond the poll, and the connection is taken for dead
    stop_s: float = 5.0  # told to stop, so long is waited for what is under way; the system's own patience is often 10
    first_s: float = 1.0
    longest_s: float = 300.0

    def after(self, failures: int, chance: float) -> float:
        """The wait after so many failures in a row: doubling, with jitter (`chance` from 0 to 1) of half its length."""
        longest = min(self.longest_s, self.first_s * 2.0 ** min(failures - 1, 20))
        return max(self.first_s, longest * (0.5 + 0.5 * chance))
