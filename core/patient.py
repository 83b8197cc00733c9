"""Of whom a sentence tells: a dog of ours, a person, or somebody else's animal.

Rules, not grammar: the nearest somebody before a word is its subject; "he" and "she" go back to the last
somebody named; where nobody is named, it is a dog of ours that a kennel's message is about. The lists of
words are in `shared/reference/urgent.toml`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from core.roster import Kennel
from core.wording import Word, hits
from shared.tables import facts


class Who(StrEnum):
    """Whom a word stands for."""

    OURS = "ours"
    """A dog of ours, by name or as "the pup"."""
    PRONOUN = "pronoun"
    """He, she, they, it."""
    HUMAN = "human"
    """A person."""
    ELSEWHERE = "elsewhere"
    """Somebody else's animal."""
    UNKNOWN = "unknown"
    """A word where somebody stands, that is on no list."""
    NOBODY = "nobody"
    """Nobody is named."""


@dataclass(frozen=True, slots=True)
class Somebody:
    """Somebody named in a text: the word's place, whom it stands for, and the dog's name on the roster or "".

    `spelt` is of how many words the name is, the last of them at `at`; 0 for a slip, which may be another word.
    """

    at: int
    who: Who
    dog: str = ""
    spelt: int = 0
    owner: bool = False  # only named as the owner of something: "Tom's back", "my eye"


@cache
def _set(*path: str) -> frozenset[str]:
    node: object = facts("urgent")
    for key in path:
        node = node[key]  # type: ignore[index]
    assert isinstance(node, tuple)
    return frozenset(node)


def named(text: Sequence[Word], kennel: Kennel) -> tuple[Somebody, ...]:
    """Everybody named in the text, in order."""
    dogs = _dog_names(kennel)
    people = {n.casefold() for p in kennel.people for n in (p.name, *p.also)}
    own_breeds = {w for d in kennel.dogs for w in d.breed.casefold().replace("-", " ").split()}
    own_breeds |= {w + "s" for w in own_breeds}
    foreign = {i for start, end in hits(facts("urgent")["who"]["elsewhere"], text) for i in range(start, end)}
    found: list[Somebody] = []
    skip_to = 0
    for i, word in enumerate(text):
        if i < skip_to:
            continue
        name, length = _dog_at(text, i, dogs)
        if name and length == 1 and _is_colour(text, i, dogs):
            continue
        if name:
            found.append(Somebody(i + length - 1, Who.OURS, name, spelt=length))
            skip_to = i + length
        elif i in foreign or word.text in _set("who", "animals") or (word.text in _set("who", "breeds") - own_breeds):
            found.append(Somebody(i, Who.ELSEWHERE))
        elif word.text in _set("who", "ours"):
            found.append(Somebody(i, _whose(text, i, people)))
        elif word.text in people or word.text in _set("who", "human"):
            found.append(Somebody(i, Who.HUMAN, owner=word.s and not _is_contraction(text, i)))
        elif word.text in _set("who", "owners"):
            found.append(Somebody(i, Who.HUMAN, owner=True))
        elif word.text in _set("who", "pronouns") and not _owns(text, i):
            found.append(Somebody(i, Who.PRONOUN))
        elif len(word.text) >= 4 and (near := _near_name(word.text, dogs)):
            found.append(Somebody(i, Who.OURS, near))
    return tuple(found)


def _dog_names(kennel: Kennel) -> dict[tuple[str, ...], str]:
    """Every name and nickname as its words, with the call name on the roster."""
    out: dict[tuple[str, ...], str] = {}
    for dog in kennel.living():
        for said in (*dog.also, dog.name):
            if parts := tuple(said.casefold().replace("'", "").split()):
                out[parts] = dog.name
    return out


def _dog_at(text: Sequence[Word], i: int, dogs: dict[tuple[str, ...], str]) -> tuple[str, int]:
    for length in (3, 2, 1):
        parts = tuple(w.text for w in text[i : i + length])
        if len(parts) == length and parts in dogs:
            return dogs[parts], length
    return "", 0


def _is_colour(text: Sequence[Word], i: int, dogs: dict[tuple[str, ...], str]) -> bool:
    """True where the name of a collar is the colour of something: "gums gone white", "has green discharge"."""
    word = text[i]
    if word.s or word.text not in _set("colour", "names"):
        return False
    clause = [j for j, w in enumerate(text) if w.clause == word.clause]
    before = [text[j] for j in clause if j < i]
    after = [text[j] for j in clause if j > i]
    if any(w.text in _set("colour", "stuff") for w in after[:2]):
        return True
    if not before:
        return len(after) == 1 and after[0].text in _set("colour", "parts")
    last = before[-1].text
    if last in _set("colour", "turned") | _set("colour", "parts"):
        return True
    if last in _set("colour", "copulas"):
        return len(before) > 1 and before[-2].text not in _set("colour", "askers")
    if not after or after[0].text not in _set("colour", "parts"):
        return False
    return last in _set("colour", "articles") or before[-1].s or (last,) in dogs


def _near_name(word: str, dogs: dict[tuple[str, ...], str]) -> str:
    """The dog whose name of five letters or more is one slip away ("nuget", "nuggett"); "" for none."""
    for parts, name in dogs.items():
        if len(parts) == 1 and len(parts[0]) >= 5 and one_slip(word, parts[0]):
            return name
    return ""


def one_slip(a: str, b: str) -> bool:
    """True where one letter more, less, other, or two swapped, makes one word the other."""
    if a == b:
        return True
    if abs(len(a) - len(b)) > 1:
        return False
    i = 0
    while i < min(len(a), len(b)) and a[i] == b[i]:
        i += 1
    if len(a) == len(b):
        return a[i + 1 :] == b[i + 1 :] or (a[i : i + 2] == b[i : i + 2][::-1] and a[i + 2 :] == b[i + 2 :])
    longer, shorter = (a, b) if len(a) > len(b) else (b, a)
    return longer[i + 1 :] == shorter[i:]


def _whose(text: Sequence[Word], i: int, people: set[str]) -> Who:
    """Whether "the pup" is ours: "Sam's dog", "their puppy", "a dog" and dogs at large are not."""
    dogs = _set("who", "dogs")
    if text[i].text not in dogs:
        return Who.OURS
    before = [w for w in text[max(0, i - 2) : i] if w.sentence == text[i].sentence]
    if before and before[-1].text in _set("who", "not_ours_before"):
        return Who.ELSEWHERE
    if any(w.s and w.text not in _set("who", "no_owners") for w in before):
        return Who.ELSEWHERE
    # "cousin rays dog": the apostrophe left out.
    if len(before) == 2 and before[1].text.endswith("s") and before[0].text in _set("who", "human") | people:
        return Who.ELSEWHERE
    plural_alone = text[i].text == "dogs" and not (before and before[-1].text in _set("who", "definite"))
    return Who.ELSEWHERE if plural_alone else Who.OURS


def _is_contraction(text: Sequence[Word], i: int) -> bool:
    """True for "Dad's eaten it" (has, is), false for "Dad's chocolate"."""
    return i + 1 < len(text) and (text[i + 1].text in _set("who", "contracted") or text[i + 1].text.endswith("ing"))


def _owns(text: Sequence[Word], i: int) -> bool:
    """True where her, its or them is no subject: "her sock"."""
    return text[i].text == "its" or (text[i].text == "her" and i + 1 < len(text))


def subject(
    text: Sequence[Word], everybody: Sequence[Somebody], at: int, dogs: Sequence[str] = (), *, owners: bool = False
) -> Somebody:
    """Of whom the word at a place tells: the nearest before it in its sentence, pronouns traced back.

    `dogs` are the dogs that the message is already known to be about; they stand behind a pronoun, and behind nobody.
    `owners`: whether people named only as owners count behind a pronoun or nobody ("Tom's back went, he can't get up").
    """
    sentence = text[at].sentence
    people = everybody if owners else [s for s in everybody if not s.owner]
    here = [s for s in everybody if s.at < at and text[s.at].sentence == sentence and not s.owner]
    while len(here) > 1 and here[-1].who is Who.PRONOUN and text[here[-1].at].text == "it":
        here.pop()
    if here:
        return _behind(text, people, here[-1], dogs)
    after = [s for s in everybody if s.at > at and text[s.at].sentence == sentence and not s.owner]
    if after and after[0].who is not Who.PRONOUN and after[0].at - at <= facts("urgent")["near_words"]:
        return after[0]
    own = [s for s in people if s.owner and text[s.at].sentence == sentence]
    if own:
        return own[-1]
    earlier = [s for s in everybody if s.at < at and not s.owner]
    if earlier and not dogs:
        return _behind(text, people, earlier[-1], dogs)
    return _known(at, dogs) or Somebody(at, Who.NOBODY)


def _known(at: int, dogs: Sequence[str]) -> Somebody | None:
    return Somebody(at, Who.OURS, dogs[0] if len(dogs) == 1 else "") if dogs else None


def _behind(text: Sequence[Word], everybody: Sequence[Somebody], one: Somebody, dogs: Sequence[str]) -> Somebody:
    """Whom somebody stands for: a pronoun goes back to the last dog of ours, else the last other that fits it."""
    if one.who is not Who.PRONOUN:
        return one
    # Somebody called to, right before the pronoun, is not it: "Dad, he's …".
    earlier = [s for s in everybody if s.at < one.at - 1 and s.who is not Who.PRONOUN and _fits(text, s, one)]
    earlier += [s for s in everybody if s.at == one.at - 1 and s.who is Who.OURS]
    ours = [s for s in earlier if s.who is Who.OURS]
    if ours:
        return ours[-1]
    if known := _known(one.at, dogs):
        return known
    if not earlier:
        return one
    # Somebody who drops or gives a thing is not the one who then eats it: "Max dropped a grape and he had it".
    between = {w.text for w in text[earlier[-1].at : one.at]}
    return one if between & _set("taking", "giving") else earlier[-1]


def _fits(text: Sequence[Word], somebody: Somebody, pronoun: Somebody) -> bool:
    word, said = text[somebody.at].text, text[pronoun.at].text
    if word in _set("who", "speakers"):
        return False
    if said in {"he", "hes", "him"}:
        return word not in _set("who", "female")
    if said in {"she", "shes", "her"}:
        return word not in _set("who", "male")
    return True
