"""A message in its parts: an order or a reminder beside a note is taken off it, and the rest goes its own way."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.conversation.hearing import Hearing

MOST = 8  # parts of a message that are tried one by one; a longer one is a story

Span = tuple[int, int]

_SENTENCE_END = re.compile(r"[!?\n]+|\.(?!\d)")
_CLAUSE_END = re.compile(r"[!?\n;]+|\.(?!\d)|,(?!\d)")


def sentences(said: str) -> list[Span]:
    """Where the sentences stand, each with its mark."""
    return _pieces(said, _SENTENCE_END)


def runs(said: str) -> list[Span]:
    """Every run of clauses that stand side by side, the whole message among them; the shortest first."""
    pieces = _pieces(said, _CLAUSE_END)
    if not 1 < len(pieces) <= MOST:
        return [(0, len(said))]
    found = [(pieces[i][0], pieces[j][1]) for i in range(len(pieces)) for j in range(i, len(pieces))]
    return sorted(found, key=lambda s: s[1] - s[0])


def without(said: str, span: Span) -> str:
    """The message without that part."""
    before, after = said[: span[0]].rstrip(" ,;:&-"), said[span[1] :].lstrip(" ,;:.!?&-")
    after = re.sub(r"^(?:and|also|but)\s+", "", after, flags=re.IGNORECASE)
    return f"{before}{'' if before.endswith(('.', '!', '?')) or not before else '.'} {after}".strip(" .")


def reads(said: str, span: Span, hearing: Hearing) -> bool:
    """True where what stands beside that part is a note by itself."""
    left = without(said, span)
    if not any(ch.isalnum() for ch in left):
        return False
    before = (*hearing.scene.recent, replace(hearing.message, text=said[span[0] : span[1]]))
    return bool(hearing.read(left, hearing.person.name, hearing.at, hearing.kennel, before).entries)


def part_off(hearing: Hearing, as_said: str | None = None) -> bool:
    """Take the words that were seen to off the message; true where nothing is left to be heard.

    `as_said`: what the rest may know of them, where that is not the words themselves.
    """
    said, span = hearing.message.text, hearing.taken[-1] if hearing.taken else (0, len(hearing.message.text))
    left = without(said, span)
    if not any(ch.isalnum() for ch in left):
        return True
    taken = replace(hearing.message, text=said[span[0] : span[1]] if as_said is None else as_said)
    hearing.scene = replace(hearing.scene, recent=(*hearing.scene.recent, taken))
    hearing.message = replace(hearing.message, text=left)
    hearing.taken, hearing.exactly, hearing.parted = [], False, True
    return False


def _pieces(said: str, end: re.Pattern[str]) -> list[Span]:
    found, at = [], 0
    for m in end.finditer(said):
        found.append((at, m.end()))
        at = m.end()
    found.append((at, len(said)))
    return [(a, b) for a, b in found if any(ch.isalnum() for ch in said[a:b])]
