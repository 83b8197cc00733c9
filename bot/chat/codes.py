"""Codes of invitations as people write them: in a link, after "join", or alone, with dashes or without."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

from core.messages import Say

# As `bot.storage.codes` makes them: 26 characters of Crockford's base 32.
_CODE = re.compile(r"[0-9A-HJKMNP-TV-Z]{26}", re.ASCII)
_JOIN = re.compile(r"(?:join|code)\b[\s:]*", re.IGNORECASE)
_GROUPS = (0, 5, 10, 15, 20, 26)  # where the dashes stand
_LONGEST = 80  # characters of a message that may be a code
# Letters that the alphabet has not are taken for the figures that they look like (crockford.com/base32.html).
_LOOKS_LIKE = str.maketrans({"O": "0", "I": "1", "L": "1", "-": "", "–": "", "—": "", " ": "", "\u00a0": ""})


def code_in(said: str, *, sure: bool = False) -> str:
    """The code that the message gives, "" where it gives none.

    Args:
        sure: true where the words came as one (behind `/start`): then whatever stands there is a code, if a wrong one.
    """
    words = said.strip()
    if not words or len(words) > _LONGEST:
        return "?" if sure and words else ""
    asked = _JOIN.match(words)
    bare = words[asked.end() :] if asked else words
    plain = bare.strip(" .\"'“”").upper().translate(_LOOKS_LIKE)
    # Twenty-six letters with spaces between may be a sentence: a code has figures, or stands in one piece.
    whole = sure or len(bare.split()) == 1 or (asked is not None and any(c.isdigit() for c in bare))
    if whole and _CODE.fullmatch(plain):
        return plain
    # "join 12345" is a try; "join us for a walk" is talk.
    tried = sure or (asked is not None and len(bare.split()) == 1 and any(c.isdigit() for c in bare))
    return "?" if tried else ""


def shown(code: str) -> str:
    """The code in groups, for reading and typing."""
    return "-".join(code[a:b] for a, b in pairwise(_GROUPS))


def link(username: str, code: str) -> str:
    """The deep link that opens a private chat with the bot and says the code (core.telegram.org/api/links)."""
    return f"https://t.me/{username}?start={code}"


def with_code(say: Say, code: str, username: str) -> Say:
    """What is said, with the link and the code in their places; where there is no bot to link to, the code alone."""
    words = say.text
    if username:
        words = words.replace("{link}", link(username, code))
    else:
        words = "\n".join(line for line in words.split("\n") if line != "{link}")
    return replace(say, text=words.replace("{code}", shown(code)))
