"""Whether a word is ordinary English, so that no typing slip turns it into a dog."""

from __future__ import annotations

from bot.reading.lexicon import lexicon
from shared.ordinary import listed as _listed

_ENDINGS = ("s", "es", "ed", "d", "ing", "er", "r", "est", "ly", "y", "ies", "ied")


def is_listed(word: str) -> bool:
    """True for a word of the list itself."""
    return word in _listed()


def is_ordinary(word: str) -> bool:
    """True for a common English word, also with an everyday ending."""
    listed = _listed()
    if word in listed or word in lexicon().root:
        return True
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            stem = word[: -len(ending)]
            if ending in ("d", "r") and not stem.endswith("e"):
                continue  # "cleand" is no word
            if ending == "s" and stem in lexicon().root:
                return True
            if stem in listed or stem + "e" in listed or (ending in ("ies", "ied") and stem + "y" in listed):
                return True
            if len(stem) > 3 and stem[-1] == stem[-2] and stem[:-1] in listed:
                return True
    return False
