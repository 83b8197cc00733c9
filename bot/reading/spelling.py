"""Typing slips in the words that are heard: "swalowed", "brekfast", "choclate"."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Container
from functools import cache, lru_cache

from rapidfuzz.distance import DamerauLevenshtein

from bot.reading.lexicon import END, lexicon
from bot.reading.ordinary import is_listed, is_ordinary

SHORTEST_TYPED = 5  # a shorter word is one letter away from too many others (own choice)
SHORTEST_MEANT = 6
SHORTEST_VOWEL = 8
_VOWELS = frozenset("aeiouy")


def mend(words: list[str], kinds: list[str], said: Callable[[int], str], known: Container[str]) -> None:
    """Writes the heard word for one that nobody knows and that is one slip of the finger away from it.

    Args:
        words: the folded words, changed in place. kinds: "w" for a word. said: a word by its place, as it was typed.
        known: names on the roster, which are never mended.
    """
    heard = lexicon().root
    for i, word in enumerate(words):
        if len(word) < SHORTEST_TYPED or word in heard or kinds[i] != "w" or word in known:
            continue
        meant = _meant(word)
        if not meant:
            continue
        typed = said(i)
        if i and kinds[i - 1] == "w" and typed[0].isupper() and typed[1:].islower():
            continue  # "with Brushy": a name of somebody else's
        words[i] = meant


@lru_cache(maxsize=4096)
def _meant(word: str) -> str:
    """The one heard word that this is a slip of, "" where it is a word itself or a slip of none or several."""
    groups = _heard()
    if word in groups["all"] or not word.isalpha() or is_ordinary(word):
        return ""
    fits = [w for n in (-1, 0, 1) for w in groups[f"{word[0]}{len(word) + n}"] if _is_slip(word, w)]
    # "cleand" is "cleaned" rather than "cleans": a letter left out is the commonest slip
    longer = [w for w in fits if len(w) > len(word)]
    for some in (fits, longer, [w for w in longer if is_listed(w)]):
        if len(some) == 1:
            return some[0]
    return ""


def _is_slip(typed: str, meant: str) -> bool:
    """A letter left out, doubled or too many, two changed about, or one vowel for another."""
    if DamerauLevenshtein.distance(typed, meant, score_cutoff=1) != 1 or typed + "s" == meant or typed == meant + "s":
        return False
    if len(typed) != len(meant) or sorted(typed) == sorted(meant):
        return True
    if len(typed) < SHORTEST_VOWEL:
        return False  # "peppers" are no "puppers"
    at = next(k for k in range(len(typed)) if typed[k] != meant[k])
    return typed[at] in _VOWELS and meant[at] in _VOWELS


@cache
def _heard() -> dict[str, frozenset[str]]:
    """The words of all phrases by first letter and length; "all" for every one of them, short ones too."""
    every: set[str] = set()
    open_ = [lexicon().root]
    while open_:
        node = open_.pop()
        for word, below in node.items():
            if word != END:
                every.add(word)
                open_.append(below)
    groups: dict[str, set[str]] = defaultdict(set)
    for word in every:
        if len(word) >= SHORTEST_MEANT and word.isalpha():
            groups[f"{word[0]}{len(word)}"].add(word)
    found = defaultdict(frozenset, {k: frozenset(v) for k, v in groups.items()})
    found["all"] = frozenset(every)
    return found
