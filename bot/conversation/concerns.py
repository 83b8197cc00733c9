"""A worrying word about one of our dogs that no kind of sign fits ("wobbly on the back legs again", "drinking loads"):
nothing is written down, but the breeder has it before her eyes, with how often it was said lately."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from bot.conversation.about import LATELY, dogs_named
from bot.conversation.heard import LONGEST, patterns, phrases
from bot.conversation.hearing import Hearing
from bot.replies import say_units
from core.entries import Entry, Sign
from core.roster import BREEDER, Dog
from shared.texts import text

DAYS = 21  # the same again within three weeks is counted; common practice, no source
MOST_KEPT, QUOTE = 60, 160
_CLAUSE = re.compile(r"[^.,;:!?\n]+[?]?")
_WORD = re.compile(r"[\w'-]+")


@dataclass(frozen=True, slots=True)
class Concern:
    """A dog and what kind of thing was said of it: legs, thirst, lump, eyes, skin, pain."""

    dog: str
    about: str


def tell(entries: Sequence[Entry], hearing: Hearing) -> None:
    """One line to the breeder for each dog of whom a worrying word was said that is in none of these entries."""
    if hearing.message.edit or hearing.only_keep or hearing.person.role == "buyer":
        return
    signed = {e.dog for e in entries if isinstance(e, Sign)}
    for found in dict.fromkeys(heard(hearing)):
        if found.dog not in signed:
            _tell(found, hearing)


def heard(hearing: Hearing) -> Iterator[Concern]:
    """The worrying words of the message; none in a joke, a denial, a plan, or of people and other dogs."""
    said = hearing.message.text.replace("’", "'")
    if not said or len(said) > LONGEST or any(p.search(said) for p in patterns("joke.laugh")):
        return
    for clause in _CLAUSE.findall(said):
        if any(p.search(clause) for name in ("not_ours", "asked") for p in patterns(f"concern_unless.{name}")):
            continue
        for about in phrases()["concern"]:
            match = next((m for p in patterns(f"concern.{about}") if (m := p.search(clause))), None)
            if match is None or _is_denied(clause, match):
                continue
            dog = _whose(clause, match, hearing)
            if dog is not None:
                yield Concern(dog=dog.name, about=about)


def _is_denied(clause: str, match: re.Match[str]) -> bool:
    before, after = clause[: match.start()], clause[match.end() :]
    return any(p.search(before) for p in patterns("concern_unless.before")) or any(
        p.search(after) for p in patterns("concern_unless.after")
    )


def _whose(clause: str, match: re.Match[str], hearing: Hearing) -> Dog | None:
    """Of whom it is said: the name nearest before the words, else the first after them, else "he" or "she"."""
    dogs = {n.casefold(): d for d in hearing.kennel.living() for n in (d.name, *d.also)}
    people = {n.casefold() for p in hearing.scene.kennel.people for n in (p.name, *p.also)}
    before, after = (
        [w for w in _names(part) if w in dogs or w in people]
        for part in (clause[: match.start()], clause[match.end() :])
    )
    if before or after:
        name = before[-1] if before else after[0]
        return dogs.get(name) if name not in people else None
    own = hearing.kennel.living()
    if hearing.person.role == "buyer" and len(own) == 1:
        return own[0]
    if not any(p.search(clause) for p in patterns("concern_unless.pronoun")):
        return None
    return _spoken_of(hearing)


def _names(words: str) -> Iterable[str]:
    return (w.casefold().removesuffix("'s").removesuffix("'") for w in _WORD.findall(words))


def _spoken_of(hearing: Hearing) -> Dog | None:
    """The one dog that the message names, else that the same person named just now."""
    lately = [
        m.text
        for m in reversed(hearing.scene.recent)
        if m.sender == hearing.message.sender and hearing.at - m.sent_at <= LATELY
    ]
    for said in (hearing.message.text, *lately):
        named = dogs_named(said, hearing)
        if named:
            return named[0] if len(named) == 1 else None
    return None


def _tell(found: Concern, hearing: Hearing) -> None:
    since = hearing.on - timedelta(days=DAYS - 1)
    told = [t for t in hearing.mind(BREEDER).facts.get("concerns") or [] if date.fromisoformat(t["on"]) >= since]
    same = {t["on"] for t in told if (t["dog"], t["about"]) == (found.dog, found.about)}
    today = hearing.on.isoformat()
    if today in same:
        return  # told once that day
    new = {"dog": found.dog, "about": found.about, "on": today}
    hearing.keep(BREEDER, concerns=[*told, new][-MOST_KEPT:])
    quote = " ".join(hearing.message.text.split())[:QUOTE]
    said = text(
        "remarks.concern.own" if hearing.is_breeder else "remarks.concern.said",
        said=quote,
        who=hearing.person.name,
        dog=found.dog,
    )
    times = say_units.times(len(same) + 1)
    hearing.tell_breeder(
        text("remarks.concern.often", said=said, times=times, days=DAYS)
        if same
        else text("remarks.concern.once", said=said)
    )
