"""The time of day that is said: "at 04:10", "at 3am"."""

from __future__ import annotations

from datetime import time

from bot.reading.amounts import Amount
from bot.reading.tokens import Words


def clock_in(words: Words, lo: int, hi: int, amounts: list[Amount]) -> time | None:
    """The time of day said between two places ("at 04:10", "at 3am", "half six"), None where none was."""
    for a in amounts:
        if not lo <= a.i < hi or a.other not in (None, "speed") or a.unit is not None:
            continue
        before = words.w[a.i - 1] if a.i else ""
        after = words.w[a.end] if a.end < len(words) else ""
        last = words.w[a.end - 1]
        if ":" in words.w[a.i]:
            continue
        if after in ("am", "pm") or last in ("am", "pm") or before == "at" or (a.clock and before in ("@", "about")):
            hour, minute = a.clock if a.clock else (int(a.value), 0)
            if not a.clock and not a.whole:
                continue
            half = after if after in ("am", "pm") else last
            if half == "pm" and hour < 12:
                hour += 12
            if half == "am" and hour == 12:
                hour = 0
            if 0 <= hour < 24:
                return time(hour, minute)
    for i in range(lo, min(hi, len(words))):
        if words.kind[i] == "n" and ":" in words.w[i]:
            parts = words.w[i].split(":")
            if len(parts) == 2 and all(p.isascii() and p.isdigit() for p in parts):
                hour, minute = int(parts[0]), int(parts[1])
                if hour < 24 and minute < 60:
                    if i + 1 < len(words) and words.w[i + 1] == "pm" and hour < 12:
                        hour += 12
                    return time(hour, minute)
    return None
