"""How soon the next message may leave: arithmetic on a monotonic clock that is handed in.

Limits of Telegram's FAQ for bots ("My bot is hitting limits, how do I avoid this?"): about one message a
second in one chat, twenty a minute in a group, about thirty a second in all. They are kept as strict sliding
windows, because a leaky bucket that is filled at twenty a minute drew refusals when it was measured. Every call
that names a chat counts, a mark too.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Messages that may leave in a window of seconds; the margin is added for the road to the server.

    Measured against a strict window: 20 in 60 s without a margin is refused when two requests travel at
    different speeds.
    """

    chat: int = 1
    chat_s: float = 1.0
    group: int = 20
    group_s: float = 60.0
    all: int = 30
    all_s: float = 1.0
    margin_s: float = 0.1


@dataclass(slots=True)
class Pace:
    """The recent past of what left, by chat; all times are seconds of one monotonic clock."""

    limits: Limits = field(default_factory=Limits)
    _chats: dict[str, deque[float]] = field(default_factory=dict)
    _all: deque[float] = field(default_factory=deque)
    _held: dict[str, float] = field(default_factory=dict)

    def wait(self, chat: str, now: float, *, group: bool) -> float:
        """Seconds until the next message may leave for this chat; 0.0 where it may leave now."""
        lim = self.limits
        left = self._chats.get(chat, deque())
        free = max(
            self._held.get(chat, now),
            _free(left, lim.chat, lim.chat_s + lim.margin_s, now),
            _free(left, lim.group, lim.group_s + lim.margin_s, now) if group else now,
            _free(self._all, lim.all, lim.all_s + lim.margin_s, now),
        )
        return max(0.0, free - now)

    def left(self, chat: str, now: float) -> None:
        """Notes that one message left for this chat now (refused ones count too: the server counted them)."""
        times = self._chats.setdefault(chat, deque(maxlen=self.limits.group))
        times.append(now)
        self._all.append(now)
        while len(self._all) > self.limits.all:
            self._all.popleft()
        if len(self._chats) > 1000:  # chats that have been quiet are forgotten, so that memory stays bounded
            self._forget(now)

    def hold(self, chat: str, until: float) -> None:
        """Notes that the server said to leave this chat alone until then; others go on."""
        self._held[chat] = max(until, self._held.get(chat, until))

    def _forget(self, now: float) -> None:
        longest = max(self.limits.chat_s, self.limits.group_s) + self.limits.margin_s
        self._chats = {c: t for c, t in self._chats.items() if t and now - t[-1] < longest}
        self._held = {c: u for c, u in self._held.items() if u > now}


def _free(left: deque[float], count: int, window: float, now: float) -> float:
    """The moment from which fewer than `count` of these lie within the window."""
    if len(left) < count:
        return now
    return left[-count] + window
