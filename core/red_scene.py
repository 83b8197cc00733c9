"""A message as the red words look at it: its words, who is in them, what is denied, and what is over."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from core.ledger import Ledger
from core.patient import Somebody, Who, named, subject
from core.roster import Kennel
from core.wording import Word, has, hits, words
from shared.tables import facts

SHORT = 4  # words of a sentence that only says how the one beside it was meant ("just kidding")
NAME = "\0"  # stands for a name, so that no dog is taken for a colour, a cake or a stone


@dataclass(frozen=True, slots=True)
class Scene:
    """One message: its words as said, the same with each dog's name taken out, and everybody in it."""

    said: tuple[Word, ...]
    text: tuple[Word, ...]
    everybody: tuple[Somebody, ...]
    kennel: Kennel
    on: date
    dogs: tuple[str, ...]
    after_season: frozenset[str] = frozenset()
    ledger: Ledger | None = None

    def subject(self, at: int, *, owners: bool = False) -> Somebody:
        """Of whom the word at this place tells."""
        return subject(self.said, self.everybody, at, self.dogs, owners=owners)

    def quote(self, start: int, end: int) -> str:
        """The words of this stretch."""
        return " ".join(w.text for w in self.said[start:end])

    def dog(self, who: Somebody) -> str:
        """The name of somebody's dog, "" where none is known."""
        return who.dog or (self.dogs[0] if len(self.dogs) == 1 else "")


@dataclass(frozen=True, slots=True)
class Hit:
    """A red word found: the rule of the list, of whom it tells, and where it stands (first word, place after it)."""

    rule: Mapping[str, Any]
    who: Somebody
    start: int
    end: int


def scene(
    text: str, kennel: Kennel, on: date, dogs: Sequence[str], after_season: Collection[str] = (),
    ledger: Ledger | None = None,
) -> Scene:  # fmt: skip
    """The message as a scene; `dogs` are those that it is already known to be about, the rest as in `alarm`."""
    said = words(text)
    everybody = named(said, kennel)
    names = {i for s in everybody if s.dog for i in range(s.at + 1 - s.spelt, s.at + 1)}
    masked = tuple(replace(w, text=NAME) if i in names else w for i, w in enumerate(said))
    return Scene(said, masked, everybody, kennel, on, tuple(dogs), frozenset(after_season), ledger)


def rules() -> Mapping[str, Any]:
    """The list of red words."""
    return facts("urgent")


def word_list(name: str) -> tuple[str, ...]:
    """One of the lists of small words."""
    found: tuple[str, ...] = rules()["words"][name]
    return found


def follows(patterns: Sequence[str], text: Sequence[Word], at: int) -> bool:
    """True where one of the phrases begins right here, in the same part of the sentence as the word before."""
    if at >= len(text) or text[at].clause != text[at - 1].clause:
        return False
    return any(place == 0 for place, _ in hits(patterns, text[at : at + 5]))


# ---- denied --------------------------------------------------------------------------------------------------------


def denied(scene: Scene, start: int) -> bool:
    """True where the few words before a place deny it ("no sign of a …"), or the answer to its question does."""
    text = scene.text
    dogs = {s.at for s in scene.everybody if s.dog}  # "I'm not joking, Nugget ate it": a denial ends at the dog
    first = start
    while (
        first > 0
        and start - first < rules()["deny_words"]
        and text[first - 1].clause == text[start].clause
        and text[first - 1].text not in word_list("joins")
        and first - 1 not in dogs
    ):
        first -= 1
    before = text[first:start]
    in_sentence = [w for w in text[:start] if w.sentence == text[start].sentence]
    if has(word_list("unsure"), in_sentence):
        return False
    return has(word_list("deny"), before) or has(word_list("near"), before) or _answered_no(scene, start)


def _answered_no(scene: Scene, at: int) -> bool:
    """True for "fever? no 38.4": the question's own answer."""
    asked = scene.text[at]
    if not asked.question:
        return False
    answer = [w for w in scene.text if w.sentence == asked.sentence + 1][:2]
    return (
        bool(answer)
        and answer[0].text in word_list("answers_no")
        and not (len(answer) > 1 and answer[1].text in word_list("no_answer"))
    )


# ---- over ----------------------------------------------------------------------------------------------------------


def over(scene: Scene, start: int, *, sign: bool) -> bool:
    """True for what was long ago; for something swallowed also a joke, and what the vet has already spoken on.

    A sign is never dropped for a joke's or the vet's sake: "she said she would be fine, now she is having a seizure".
    """
    text = scene.text
    here = [w for w in text if w.sentence == text[start].sentence]
    if not sign and (_is_joke(scene, start) or _vet_knows(scene, start)):
        return True
    if has(word_list("fresh"), here):
        return False
    if has(word_list("long_ago"), here) or _in_a_past_year(here, scene.on):
        return True
    earlier = [w for w in text if w.sentence == text[start].sentence - 1]
    return not sign and has(word_list("long_ago"), earlier) and scene.subject(start).who is Who.PRONOUN


def _in_a_past_year(here: Sequence[Word], on: date) -> bool:
    """True for "in 1983"; four figures alone may be a time of day ("at 1945")."""
    figures = (here[end - 1].text for _, end in hits(word_list("in_year"), here))
    return any(len(said) == 4 and said.isdecimal() and on.year - 100 < int(said) < on.year for said in figures)


def _is_joke(scene: Scene, start: int) -> bool:
    text = scene.text
    for at, _ in hits(word_list("kidding"), text):
        if has(word_list("no_joke"), text[max(0, at - 3) : at]):
            continue  # "not even kidding", "I wish I was joking"
        apart = abs(text[at].sentence - text[start].sentence)
        beside = apart == 1 and sum(w.sentence == text[at].sentence for w in text) <= SHORT
        if apart == 0 or beside:
            return True
    return False


def _vet_knows(scene: Scene, start: int) -> bool:
    """Whether the vet has spoken on it: in the same part of the sentence, or behind it ("…, vet says it's fine")."""
    text = scene.text
    for at, _ in hits(word_list("vet_spoke"), text):
        if text[at].sentence != text[start].sentence:
            continue
        between = text[min(at, start) : max(at, start)]
        if has(word_list("anew"), between):
            continue
        if at > start or text[at].clause == text[start].clause:
            return True
    return False
