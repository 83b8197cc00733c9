"""The kennel's names ready for reading: looked up in every message, typing slips included."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

from rapidfuzz.distance import DamerauLevenshtein

from bot.reading.lexicon import Trie, lexicon
from bot.reading.ordinary import is_ordinary
from bot.reading.tokens import Words
from core.roster import Kennel

SHORTEST_FOR_SLIP = 5  # a shorter name is one letter away from too many words ("Moss", "most", "miss")


@dataclass(slots=True)
class Roster:
    """A kennel made ready for reading: its names as a trie, its people as a set of words."""

    kennel: Kennel
    trie: Trie
    people: frozenset[str]
    plain: dict[str, str] = field(default_factory=dict)  # folded single-word names -> call name, for slips
    doubtful: frozenset[str] = frozenset()  # names that are ordinary words too
    initials: dict[str, str] = field(default_factory=dict)
    called: frozenset[str] = frozenset()  # every dog's names, folded
    known: frozenset[str] = frozenset()  # every word of a dog's or a person's name, also with an s
    breeds: dict[str, frozenset[str]] = field(default_factory=dict)  # "kelpie", "kelpies" -> the dogs of that breed


def roster_of(kennel: Kennel) -> Roster:
    """The kennel's names ready for reading; made once for each state of the roster."""
    return _roster(_Key(kennel))


class _Key:
    """Stands for a kennel in the cache by what the reader needs of it."""

    __slots__ = ("_hash", "kennel", "signature")

    def __init__(self, kennel: Kennel) -> None:
        self.kennel = kennel
        self.signature = (
            tuple((d.name, d.also, d.gone, d.breed) for d in kennel.dogs),
            tuple((p.name, p.also) for p in kennel.people),
        )
        self._hash = hash(self.signature)

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self.signature == other.signature


@lru_cache(maxsize=64)
def _roster(key: _Key) -> Roster:
    kennel = key.kennel
    trie = Trie()
    plain: dict[str, str] = {}
    doubtful = set()
    letters: dict[str, list[str]] = {}
    lexical = lexicon().root
    taken: dict[str, str] = {}
    for dog in kennel.dogs:
        for name in (dog.name, *dog.also):
            folded = name.casefold().replace("'", "").replace("’", "").replace("-", " ").strip()
            if not folded or taken.setdefault(folded, dog.name) != dog.name:
                continue  # the first dog keeps a name that two dogs carry
            trie.add(folded, "dog", dog.name)
            parts = folded.split()
            if len(parts) == 1:
                plain[folded] = dog.name
                if is_ordinary(folded) or folded in lexical:
                    doubtful.add(folded)
                if not folded.endswith("s"):
                    trie.add(folded + "s", "dogs", dog.name)
            elif is_ordinary(parts[0]) and all(is_ordinary(p) for p in parts):
                doubtful.add(folded)
        if not dog.gone:
            letters.setdefault(dog.name[:1].casefold(), []).append(dog.name)
    people: set[str] = set()
    for person in kennel.people:
        for name in (person.name, *person.also):
            people.update(w.casefold() for w in name.split())
    initials = {k: v[0] for k, v in letters.items() if len(v) == 1 and k.isalpha()}
    known = people.union(*(name.split() for name in taken))
    known |= {w + "s" for w in known}
    return Roster(
        kennel,
        trie,
        frozenset(people),
        plain,
        frozenset(doubtful),
        initials,
        called=frozenset(taken),
        known=frozenset(known),
        breeds=_breeds(kennel),
    )


def _breeds(kennel: Kennel) -> dict[str, frozenset[str]]:
    """The last word of each breed's name, one and several: "kelpie", "shepherds"."""
    named: dict[str, set[str]] = {}
    for dog in kennel.dogs:
        kinds = [w for w in dog.breed.casefold().replace("-", " ").split() if w not in ("dog", "hound")]
        if kinds and kinds[-1].isalpha() and not dog.gone:
            named.setdefault(kinds[-1], set()).add(dog.name)
    one = {word: frozenset(dogs) for word, dogs in named.items()}
    return one | {f"{word}s": dogs for word, dogs in one.items()}


def mark(words: Words, roster: Roster) -> None:
    """Adds the meanings `dog`, `dogs` (a name with an s), `breed` and `person` to the words of a message."""
    trie, root = roster.trie, roster.trie.root
    for i, word in enumerate(words.w):
        if words.kind[i] != "w":
            continue
        if word in root:
            trie.at(words.w, i, words.tags[i])
            if "dogs" in words.tags[i] and words.owner[i] and "dog" not in words.tags[i]:
                words.tags[i]["dog"] = words.tags[i]["dogs"]
        elif words.owner[i] and word.endswith("ss") and word[:-1] in roster.plain:
            words.tags[i]["dog"] = (roster.plain[word[:-1]], 1)  # "Duchess's"
        if word in roster.breeds:
            words.tags[i]["breed"] = (roster.breeds[word], 1)
        if word in roster.people:
            words.tags[i]["person"] = (word, 1)
        elif words.owner[i] and word[:-1] in roster.people:
            words.tags[i]["person"] = (word[:-1], 1)


def slips(words: Words, roster: Roster) -> None:
    """Takes a word nobody knows for the one name that it is a typing slip away from."""
    for i, word in enumerate(words.w):
        if len(word) < SHORTEST_FOR_SLIP - 1 or words.kind[i] != "w" or words.tags[i] or not word.isalpha():
            continue
        if is_ordinary(word) or word in roster.plain:
            continue
        fits = {dog for name, dog in roster.plain.items() if _is_slip(word, name)}
        if not fits and word.endswith("s") and len(word) > SHORTEST_FOR_SLIP + 1:
            fits = {dog for name, dog in roster.plain.items() if _is_slip(word[:-1], name)}  # "treacels ears"
        if len(fits) == 1:
            words.tags[i]["dog"] = (fits.pop(), 1)
            words.tags[i]["slip"] = (True, 1)


def _is_slip(word: str, name: str) -> bool:
    if len(name) == SHORTEST_FOR_SLIP - 1:
        # a short name only with a letter doubled or two changed about, both ends right: "kooda", "kdoa"
        if word[0] != name[0] or word[-1] != name[-1] or len(word) < len(name):
            return False
        if len(word) == len(name):
            return sorted(word) == sorted(name) and DamerauLevenshtein.distance(word, name) == 1
        return any(word == name[:k] + name[k] + name[k:] for k in range(len(name)))
    if len(name) < SHORTEST_FOR_SLIP or abs(len(word) - len(name)) > 1 or word[0] != name[0]:
        return False
    return DamerauLevenshtein.distance(word, name, score_cutoff=1) <= 1
