"""Phrases that a dog's name interrupts: "ribs on Tank hard to find", "can't feel Pip's ribs".

The phrases of the file know "his" and "the" in such a place, but no names; where a name stands there, the words
around it are looked up once more without it.
"""

from __future__ import annotations

from bot.reading.lexicon import Tags, lexicon, words_of
from bot.reading.tokens import Words

_INTERRUPTED = ("ribs", "tooth", "season")
_LEADS = words_of("cues", "before_interrupting_name")
_BEFORE, _AFTER = 4, 6  # words of a phrase looked at on either side of the name (own choice)


def mark(words: Words) -> None:
    """Adds the meanings of phrases that a name interrupts, where their first word stands."""
    for j, tags in enumerate(words.tags):
        if j and ("dog" in tags or "dogs" in tags):
            n = (tags.get("dog") or tags["dogs"])[1]
            _around(words, j, j + n)


def _around(words: Words, lo: int, hi: int) -> None:
    """Looks up what stands around the name from place lo to hi."""
    stop = lo - 1 if words.w[lo - 1] in _LEADS else lo
    after = words.w[hi : hi + _AFTER]
    for i in range(stop - 1, max(-1, stop - 1 - _BEFORE), -1):
        if words.kind[i] != "w":
            return
        found: Tags = {}
        lexicon().at(words.w[i:stop] + after, 0, found)
        for meaning in _INTERRUPTED:
            if meaning in found and found[meaning][1] > stop - i:
                which, n = found[meaning]
                words.tags[i].setdefault(meaning, (which, n + hi - stop))
