"""The key of a Telegram message: chat, message, and where needed the topic and the press of a button.

    -1001234567/45         message 45 of that chat
    -1001234567/45@7       the same in topic 7
    -1001234567/45#99      press 99 of a button under message 45

The chat is in the key because a group that is upgraded begins to count its messages anew under another id.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_KEY = re.compile(r"(-?[0-9]{1,20})/([0-9]{1,20})(?:@([0-9]{1,20}))?(?:#(.{1,64}))?", re.ASCII | re.DOTALL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """The parts of a key; `thread` is the topic, None outside topics; `press` is "" where nothing was pressed."""

    chat: int
    message: int
    thread: int | None = None
    press: str = ""

    def __str__(self) -> str:
        thread = f"@{self.thread}" if self.thread is not None else ""
        press = f"#{self.press}" if self.press else ""
        return f"{self.chat}/{self.message}{thread}{press}"


def parse(key: str | None) -> Key | None:
    """The parts of a key; None for None and for a key that is not Telegram's."""
    found = _KEY.fullmatch(key or "")
    if found is None:
        return None
    chat, message, thread, press = found.groups()
    return Key(chat=int(chat), message=int(message), thread=int(thread) if thread else None, press=press or "")
