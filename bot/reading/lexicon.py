"""The words that are heard, loaded from `shared/phrases/en.yaml` into one trie.

Every position of a message is looked up once; all meanings of the phrases that start there come back
together, the longest for each meaning, so that "left half" can be an ear and a bowl at the same time
and each subject's reader picks the sense that it knows.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import yaml

import shared

Tags = dict[str, tuple[Any, int]]  # meaning -> (which, how many words)

END = ""  # the key under which a node holds the meanings of the phrase that ends there


_MOODS = {
    "not": "neg",
    "near": "near",
    "plan": "plan",
    "wish": "wish",
    "joke": "joke",
    "quoted": "quote",
    "late": "late",
}


def phrase_words(phrase: str) -> list[str]:
    """The words of a phrase as the tokens of a message would have them: folded, no apostrophes, no hyphens."""
    for mark in "'’":
        if len(phrase) > 2:
            phrase = phrase.replace(mark, "")
    out: list[str] = []
    for word in phrase.casefold().replace("-", " ").split():
        if len(word) > 1 and "/" in word:
            head, _, tail = word.partition("/")
            out += [head, "/", tail]
        else:
            out.append(word)
    return out


class Trie:
    """Phrases by their words, each with its meanings."""

    def __init__(self) -> None:
        self.root: dict[str, Any] = {}

    def add(self, phrase: str, meaning: str, which: Any) -> None:
        """Files a phrase under a meaning; the first `which` filed for a meaning stays."""
        words = phrase_words(phrase)
        short = words[:1] + [w for w in words[1:-1] if w not in LOOSE] + words[1:][-1:]
        if sum(1 for w in short if w not in LOOSE) >= 2:
            words = short  # "the whole lot" keeps its "whole": two words would mean too much
        node = self.root
        for word in words:
            node = node.setdefault(word, {})
        node.setdefault(END, {}).setdefault(meaning, which)

    def at(self, words: list[str], i: int, tags: Tags, owner: list[bool] | None = None) -> None:
        """Adds to `tags` what starts at word i: for each meaning its longest phrase.

        Args:
            owner: which words ended in 's; they also match without it ("one of them's been sick").
        """
        first = self.root.get(words[i])
        if first is None:
            return
        end = len(words)
        open_ = [(first, i + 1, False)]  # the last says that what ends at the node has been filed
        while open_:
            node, j, filed = open_.pop()
            found = None if filed else node.get(END)
            if found:
                n = j - i
                for meaning, which in found.items():
                    if meaning not in tags or tags[meaning][1] < n:
                        tags[meaning] = (which, n)
            if j >= end or len(node) == (END in node):
                continue
            word = words[j]
            if word in LOOSE and j + 1 < end and j - i < 9:
                open_.append((node, j + 1, True))  # a skipped word does not make what ended here longer
            following = node.get(word)
            if following is None and owner is not None and owner[j] and word.endswith("s"):
                following = node.get(word[:-1])
            if following is not None:
                open_.append((following, j + 1, False))


@cache
def book(language: str = "en") -> Mapping[str, Any]:
    """The phrases file as it is written; every value a string, a list or a mapping of them."""
    path = Path(shared.__file__).parent / "phrases" / f"{language}.yaml"
    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)  # base: "no", "on" and "1" stay words
    with path.open("rb") as f:
        loaded: Mapping[str, Any] = yaml.load(f, Loader=loader)
    return loaded


@cache
def words_of(*path: str) -> frozenset[str]:
    """The phrases of one block of the file as a plain set, for looking at a single word."""
    block: Any = book()
    for step in path:
        block = block[step]
    return frozenset(str(p) for p in block)


# Words that may stand inside a phrase without changing it: "licked (his) bowl clean", "see (all) (her) ribs".
LOOSE = words_of("loose")


@cache
def lexicon(language: str = "en") -> Trie:
    """The trie of that language's phrases."""
    trie = Trie()
    for phrase, meaning, which in _entries(book(language)):
        trie.add(phrase, meaning, which)
    return trie


def _entries(b: Mapping[str, Any]) -> Iterator[tuple[str, str, Any]]:
    for value, phrases in b["numbers"].items():
        yield from _same(phrases, "num", float(value))
    for block, meaning in (
        ("units", "unit"),
        ("other_units", "ounit"),
        ("things", "thing"),
        ("meals", "meal"),
        ("eaten", "eaten"),
        ("treats", "treat"),
        ("signs", "sign"),
        ("ribs", "ribs"),
        ("ear_positions", "earp"),
        ("groups", "group"),
        ("pronouns", "pron"),
        ("weigh", "weigh"),
        ("fed", "fed"),
        ("season_words", "season"),
        ("whelping", "whelp"),
        ("swallow", "swallow"),
        ("tooth", "tooth"),
        ("mating", "mate"),
    ):
        for which, phrases in b[block].items():
            yield from _same(phrases, meaning, which)
    for block, meaning in (("groom", "groom"), ("doses", "dose")):
        for which, forms in b[block].items():
            for form, phrases in forms.items():
                yield from _same(phrases, meaning, (which, form))
    for block, meaning in (
        ("food", "food"),
        ("harmful", "harm"),
        ("giving", "give"),
        ("temperature", "temp"),
        ("height", "height"),
        ("progesterone", "prog"),
        ("condition", "cond"),
        ("ear_words", "earw"),
        ("tooth_words", "toothw"),
        ("tooth_lost", "toothl"),
        ("pups_words", "pupw"),
        ("question_words", "qword"),
        ("other_dogs", "otherdog"),
        ("elsewhere", "else"),
        ("between", "between"),
    ):
        yield from _same(b[block], meaning, True)
    for which, phrases in b["mood"].items():
        yield from _same(phrases, _MOODS[which], True)
    for which, phrases in b["ask"].items():
        yield from _same(phrases, f"ask {which}", True)
    for which, phrases in b["fix"].items():
        yield from _same(phrases, f"fix {which}", True)
    for which, phrases in b["human"].items():
        yield from _same(phrases, which, True)
    for which, phrases in b["small"].items():
        yield from _same(phrases, f"s {which}", True)
    for phrase, value in b["ordinals"].items():
        yield phrase, "ordinal", int(value)
    yield from _same(b["people_around"], "around", True)
    yield from _same(b["body"], "body", True)
    for i, pair in enumerate(b["groom_pairs"]):
        yield from _same(pair["verbs"], f"gv {i}", pair["task"])
        yield from _same(pair["objects"], f"go {i}", pair["task"])
    times = b["times"]
    for value, phrases in times["day"].items():
        yield from _same(phrases, "day", int(value))
    for block, meaning in (("weekday", "weekday"), ("month", "month")):
        for value, phrases in times[block].items():
            yield from _same(phrases, meaning, int(value))
    for which in ("ago", "since", "last", "next", "before_last"):
        yield from _same(times[which], f"t {which}", True)


def _same(phrases: Iterable[str], meaning: str, which: Any) -> Iterator[tuple[str, str, Any]]:
    for phrase in phrases:
        yield phrase, meaning, which
