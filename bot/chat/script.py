"""The lines that a person or a script types into the terminal room, as steps.

    [2026-03-14 08:10] Maya: Nugget 9.4 kg        a message in the family room
    [2026-03-14 08:12] Maya in breeder: ...       in another room
    [2026-03-14 08:13] Maya edits: ...            her last message, written anew
    [2026-03-14 08:14] Maya presses yes           a button
    [2026-03-14 08:15] Maya in breeder sends weights.csv      a table from a file
    [2026-03-14 08:15] Maya: [photo] Nugget front    a photo with its caption ("[photo front.jpg]" names it)
    [2026-03-14 21:45]                            the clock alone

Without a stamp the clock stands still. Empty lines and lines that start with # are skipped.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

WRITES, EDITS, PRESSES, SENDS, MOVES = "writes", "edits", "presses", "sends", "moves"

MAX_NAME = 60  # letters of a name; more before the colon is plain text

_STAMP = re.compile(r"\[(\d{4})-(\d{2})-(\d{2})[ T](\d{1,2}):(\d{2})\]", re.ASCII)
_SPOKEN = re.compile(rf"([^:\n]{{1,{2 * MAX_NAME}}}):(?:\s|$)")
_PRESSED = re.compile(rf"([^:\n]{{1,{MAX_NAME}}}?)\s+presses\s+(\S.*)")
_SENT = re.compile(rf"([^:\n]{{1,{2 * MAX_NAME}}}?)\s+sends\s+(\S.*\.[ct]sv)", re.IGNORECASE)
_PHOTO = re.compile(r"\[photo(?:\s+([^\]\s]{1,80}))?\]")
_IN_ROOM = re.compile(r"(.+?)\s+in\s+(\S.*)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line: what is done, when (wall clock, None for now), by whom, in which room, with which words and photo."""

    does: str
    at: datetime | None = None
    who: str = ""
    room: str = ""
    text: str = ""
    picture: str = ""


class ScriptError(ValueError):
    """A line that can't be read: the text says why."""


def read_line(line: str) -> Step | None:
    """The step of one line, None for an empty line or a remark.

    Raises:
        ScriptError: the stamp is no date, or nobody speaks in the line.
    """
    line = line.strip()
    if not line or line.startswith("#"):
        return None
    at, rest = _stamped(line)
    if not rest:
        return Step(does=MOVES, at=at)
    return spoken(rest, at)


def spoken(text: str, at: datetime | None = None) -> Step:
    """The step of a line without its stamp.

    Raises:
        ScriptError: nobody speaks in it.
    """
    if found := _SPOKEN.match(text):
        who, said = found[1].strip(), text[found.end() :].strip()
        if who.endswith(" edits") and len(who) > 6:
            return _step(EDITS, at, who[:-6], said)
        return _step(WRITES, at, who, said)
    if found := _PRESSED.fullmatch(text):
        return _step(PRESSES, at, found[1], found[2].strip())
    if found := _SENT.fullmatch(text):
        return _step(SENDS, at, found[1], found[2].strip())
    raise ScriptError("nobody speaks here; write it as `Maya: text`, after a stamp as [2026-03-14 08:10] if you like")


def _step(does: str, at: datetime | None, who: str, text: str) -> Step:
    room = ""
    if found := _IN_ROOM.fullmatch(who.strip()):
        who, room = found[1], found[2].strip()
    who = who.strip()
    if not who or len(who) > MAX_NAME:
        raise ScriptError("the name before the colon is missing or too long")
    photo = _PHOTO.match(text)
    if photo is None or does == PRESSES:
        return Step(does=does, at=at, who=who, room=room, text=text)
    return Step(does=does, at=at, who=who, room=room, text=text[photo.end() :].strip(), picture=photo[1] or "photo")


def _stamped(line: str) -> tuple[datetime | None, str]:
    if not line.startswith("["):
        return None, line
    found = _STAMP.match(line)
    if not found:
        raise ScriptError("a stamp is written as [2026-03-14 08:10]")
    try:
        at = datetime(*(int(n) for n in found.groups()))  # type: ignore[arg-type]
    except ValueError:
        raise ScriptError(f"{found[0]} is no date and time") from None
    return at, line[found.end() :].strip()
