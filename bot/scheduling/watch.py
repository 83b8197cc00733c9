"""Is everything still at work? Each part counts its own rounds; one whose count stands still too long hangs.

A part that fails and tries again is at work: a restart would not make room on a disk, nor bring a network back.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(slots=True)
class _Part:
    name: str
    count: Callable[[], int]
    longest_s: float
    busy: Callable[[], bool]
    last: int
    since: float


class Watch:
    """The parts of a serving process, by name; all times are seconds of one monotonic clock that is handed in."""

    def __init__(self) -> None:
        self._parts: list[_Part] = []

    def add(
        self, name: str, count: Callable[[], int], longest_s: float, now: float,
        busy: Callable[[], bool] = lambda: True,
    ) -> None:
        """Watches a part whose count rises at least every so many seconds while it is well and `busy`."""
        self._parts.append(_Part(name, count, longest_s, busy, count(), now))

    def hanging(self, now: float) -> dict[str, bool]:
        """Each part: true where its count has stood still for too long."""
        for part in self._parts:
            if (count := part.count()) != part.last or not part.busy():
                part.last, part.since = count, now
        return {part.name: now - part.since > part.longest_s for part in self._parts}
