"""Whether a person, and no dog, is told of: "washed my hair", "Mum has been sick"."""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work

_OF_MYSELF = words_of("cues", "of_myself")
_OF_US_OR_YOU = words_of("cues", "of_us_or_you")
_PERSON_AS_OBJECT = words_of("cues", "person_as_object")


def own_body(work: Work, c: Clause, i: int) -> bool:
    """True where what is done at word i is done to a person's own body ("brushed my teeth")."""
    if c.named:
        return False
    return (c.pronoun is None and work.says(c, _OF_MYSELF)) or work.words.says(max(c.lo, i - 2), i, _OF_US_OR_YOU)


def subject_is_person(work: Work, c: Clause, i: int) -> bool:
    """True where the word nearest before i that can be a subject is a person's."""
    words = work.words
    for j in range(i - 1, max(c.lo, i - 5) - 1, -1):
        tags = words.tags[j]
        if "dog" in tags or ("pron" in tags and words.w[j] not in ("his", "her")):
            return False
        if "self" in tags or "kin" in tags or "person" in tags:
            return words.w[j] not in _PERSON_AS_OBJECT or j + 1 < len(words)
    return False
