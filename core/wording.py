"""A text as words with their places, and phrases that can be looked for in them.

The red words (`core.urgent`) are phrases in a reference file: words in order, "a|b" for one of several, "~" for up to
three words between, "#" for a figure, "#3" for a number of at least three and "#g" for a figure with its unit ("20g").
Matching is by whole words, without case, apostrophes and possessive 's.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from shared.tables import facts

LONGEST_TEXT = 2000  # characters looked at: a red word comes early, and a huge paste must not cost time
GAP = 3  # words that a "~" may stand for
LONGEST_FIGURE = 6  # digits of a number that is looked at

_WORD = re.compile(r"[^\W_]+(?:['’‘`][^\W_]+)*|[.!?;,:\n()]", re.UNICODE)
_BREAKS = frozenset(".!?;\n")
_PAUSES = frozenset(",:()")
_DIGITS = "0123456789"
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


@dataclass(frozen=True, slots=True)
class Figure:
    """A slot for a number: at least `least`, written with `unit` right behind it where that is not ""."""

    least: float = 0
    unit: str = ""

    def takes(self, said: str) -> bool:
        """True where the word is such a number, in figures or in words."""
        digits = len(said) - len(said.lstrip(_DIGITS))
        if digits == 0:
            return not self.unit and _number_words().get(said, -1) >= self.least
        return digits <= LONGEST_FIGURE and said[digits:] == self.unit and float(said[:digits]) >= self.least


@cache
def _number_words() -> Mapping[str, float]:
    found: Mapping[str, float] = facts("urgent")["time"]["numbers"]
    return found


Phrase = tuple[frozenset[str] | Figure | None, ...]  # None is a gap


@cache
def phrase(written: str) -> Phrase:
    """The phrase as slots: a set of words each, None for a gap."""
    return tuple(_slot(slot) for slot in written.split())


def _slot(written: str) -> frozenset[str] | Figure | None:
    if written == "~":
        return None
    if not written.startswith("#"):
        return frozenset(written.split("|"))
    least = written[1:]
    return Figure(float(least)) if least.isdecimal() else Figure(unit=least)


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
    if at >= len(text) or text[at].sentence != sentence or not _takes(wanted, text[at].text):
        return None
    return _ends(pattern, slot + 1, text, at + 1, sentence)


def _takes(wanted: frozenset[str] | Figure, said: str) -> bool:
    return wanted.takes(said) if isinstance(wanted, Figure) else said in wanted


@cache
def _by_first_word(patterns: tuple[str, ...]) -> dict[str, tuple[Phrase, ...]]:
    found: dict[str, tuple[Phrase, ...]] = {}
    for written in patterns:
        slots = phrase(written)
        assert isinstance(slots[0], frozenset), f"a phrase begins with a word: {written}"
        for word in slots[0]:
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
