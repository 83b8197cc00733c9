"""A long text cut into messages that Telegram takes, never inside a character, a word or a line where it can be helped.

Telegram counts in UTF-16 units: an emoji is two, and a family of four joined by joiners is eleven.
"""

from __future__ import annotations

import unicodedata

# Source: Telegram Bot API, sendMessage ("1-4096 characters after entities parsing") and sendPhoto (caption,
# "0-1024 characters"); that the units are UTF-16 is said in its MessageEntity.
TEXT_UNITS = 4096
CAPTION_UNITS = 1024

_JOINER = "\u200d"


def units(text: str) -> int:
    """Length in UTF-16 units."""
    return len(text) + sum(1 for c in text if c > "\uffff")


def split(text: str, limit: int = TEXT_UNITS) -> tuple[str, ...]:
    """The text in parts of at most `limit` units; one part, as it is, where it fits.

    Cut at the last line break that fits, else the last space, else between two whole characters. The white space
    at a cut is dropped; nothing else is.
    """
    parts: list[str] = []
    rest = text
    while units(rest) > limit:
        room = _fitting(rest, limit)
        cut = _cut(rest, room)
        part = rest[:cut].rstrip()
        if part:
            parts.append(part)
        rest = rest[cut:].lstrip()
    if rest or not parts:
        parts.append(rest)
    return tuple(parts)


def _fitting(text: str, limit: int) -> int:
    """How many characters from the front fit into that many units."""
    used = 0
    for i, c in enumerate(text):
        used += 2 if c > "\uffff" else 1
        if used > limit:
            return i
    return len(text)


def _cut(text: str, room: int) -> int:
    """Where to cut within the first `room` characters."""
    for mark in ("\n", " "):
        # A cut far from the end would make many short messages of one long word after one short line.
        found = text.rfind(mark, room // 2, room + 1)
        if found > 0:
            return found
    cut = room
    # At most 64 marks are stepped over: a text of nothing but combining marks is cut wherever.
    while cut > max(1, room - 64) and _hangs_on(text, cut):
        cut -= 1
    return cut if not _hangs_on(text, cut) else room


def _hangs_on(text: str, at: int) -> bool:
    """True where the character at this place belongs to the one before it."""
    after, before = text[at], text[at - 1]
    return (
        after == _JOINER
        or before == _JOINER
        or unicodedata.combining(after) != 0
        or "\ufe00" <= after <= "\ufe0f"  # variation selectors
        or "\U0001f3fb" <= after <= "\U0001f3ff"  # skin tones
    )
