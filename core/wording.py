"""A text as words with their places, and phrases that can be looked for in them.

The red words (`core.urgent`) are phrases in a reference file: words in order, "a|b" for one of several and
"~" for up to three words between. Matching is by whole words, without case, apostrophes and possessive 's.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

LONGEST_TEXT = 2000  # characters looked at: a red word comes early, and a huge paste must not cost time
GAP = 3  # words that a "~" may stand for

_WORD = re.compile(r"[^\W_]+(?:['’‘`][^\W_]+)*|[.!?;,:\n()]", re.UNICODE)
_BREAKS = frozenset(".!?;\n")
_PAUSES = frozenset(",:()")
_APOSTROPHE = re.compile(r"['’‘`]")


@dataclass(frozen=True, slots=True)
class Word:
    """One word of a text.

    Attributes:
        text: casefolded, without apostrophes; possessive or contracted 's is cut off and noted in `s`.
        sentence, clause: which sentence and which part between commas it stands in, counted from 0.
    """

    text: str
    sentence: int
    clause: int
    s: bool = False
    question: bool = False


def words(text: str) -> tuple[Word, ...]:
    """The words of a text (its first `LONGEST_TEXT` characters), in order."""
    cut = unicodedata.normalize("NFC", text[:LONGEST_TEXT]).casefold()[:LONGEST_TEXT]
    found: list[tuple[str, int, int, bool]] = []
    sentence = clause = 0
    asked: set[int] = set()
    for match in _WORD.finditer(cut):
        token = match[0]
        if token in _BREAKS:
            if token == "." and _inside_number(cut, match.start()):
                continue
            if token == "?":
                asked.add(sentence)
            sentence += 1
            clause += 1
        elif token in _PAUSES:
            clause += 1
        else:
            plain = _APOSTROPHE.sub("'", token)
            owned = plain.endswith("'s")
            found.append((plain.removesuffix("'s").replace("'", ""), sentence, clause, owned))
    return tuple(Word(t, s, c, owned, s in asked) for t, s, c, owned in found)


def _inside_number(text: str, at: int) -> bool:
    return 0 < at < len(text) - 1 and text[at - 1].isdigit() and text[at + 1].isdigit()


Phrase = tuple[frozenset[str] | None, ...]  # None is a gap


@cache
def phrase(written: str) -> Phrase:
    """The phrase as slots: a set of words each, None for a gap."""
    return tuple(None if slot == "~" else frozenset(slot.split("|")) for slot in written.split())


def ends_of(pattern: Phrase, text: Sequence[Word], start: int) -> int | None:
    """The place after the phrase where it begins at `start` and stays in one sentence, None where it doesn't."""
    if start >= len(text):
        return None
    return _ends(pattern, 0, text, start, text[start].sentence)


def _ends(pattern: Phrase, slot: int, text: Sequence[Word], at: int, sentence: int) -> int | None:
    if slot == len(pattern):
        return at
    wanted = pattern[slot]
    if wanted is None:
        for skip in range(GAP + 1):
            if (end := _ends(pattern, slot + 1, text, at + skip, sentence)) is not None:
                return end
        return None
    if at >= len(text) or text[at].sentence != sentence or text[at].text not in wanted:
        return None
    return _ends(pattern, slot + 1, text, at + 1, sentence)


@cache
def _by_first_word(patterns: tuple[str, ...]) -> dict[str, tuple[Phrase, ...]]:
    found: dict[str, tuple[Phrase, ...]] = {}
    for written in patterns:
        slots = phrase(written)
        for word in slots[0] or ():
            found[word] = (*found.get(word, ()), slots)
    return found


def hits(patterns: Iterable[str], text: Sequence[Word]) -> list[tuple[int, int]]:
    """Where any of the phrases stands: (first word, place after the last), by place; the longest at each place."""
    index = _by_first_word(tuple(patterns))
    found: list[tuple[int, int]] = []
    for start, word in enumerate(text):
        ends = [e for p in index.get(word.text, ()) if (e := ends_of(p, text, start)) is not None]
        if ends:
            found.append((start, max(ends)))
    return found


def has(patterns: Iterable[str], text: Sequence[Word]) -> bool:
    """True where any of the phrases stands anywhere in these words."""
    index = _by_first_word(tuple(patterns))
    return any(ends_of(p, text, i) is not None for i, word in enumerate(text) for p in index.get(word.text, ()))
