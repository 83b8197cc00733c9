"""A worrying word about one of our dogs that no kind of sign fits ("wobbly on the back legs again", "drinking loads"):
kept in the sender's own words, and the breeder has it before her eyes, with how often it was said lately."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import timedelta

from bot.conversation.about import LATELY, dogs_named
from bot.conversation.heard import LONGEST, patterns, phrases
from bot.conversation.hearing import Hearing
from bot.replies import say_units
from core import breeding
from core.entries import Concern, Doubt, Entry, Reading, Sign
from core.messages import Say
from core.roster import Dog
from shared.texts import text

DAYS = 21  # the same again within three weeks is counted; common practice, no source
QUOTE = 160
# What the vet should see the same day, and what is only for the breeder to know; common practice, no source.
TODAY, NOTE = frozenset({"stagger", "blood"}), frozenset({"worms", "slime", "soft"})
OF_POO = frozenset({"blood", *NOTE})  # said of no dog by name as often as not: "worms in poo"
SHORT = 8  # words; in a longer message nobody's poo is no question
# A discharge is right in a bitch that is in season, about to whelp or nursing.
RIGHT = frozenset({breeding.IN_SEASON, breeding.MATED, breeding.NEAR, breeding.NURSING})
_CLAUSE = re.compile(r"[^.,;:!?\n]+[?]?")
_WORD = re.compile(r"[\w'-]+")


def added(reading: Reading, hearing: Hearing) -> Reading:
    """The reading with the worrying words that are in none of its signs; whose they are is asked where it is open.

    A buyer's go to the breeder as a worry (`worries`).
    """
    if hearing.person.role == "buyer":
        return reading
    new = [c for c in heard(hearing) if c.dog or not reading]
    open_ = [Doubt(about="dog", entry=c, said=c.said) for c in new if not c.dog]
    return replace(
        reading,
        entries=(*reading.entries, *_unsigned(new, reading.entries)),
        doubts=(*reading.doubts, *open_[:1]),
    )


def tell(entries: Sequence[Entry], hearing: Hearing) -> None:
    """One line to the breeder for each dog of whom a worrying word was said that is no sign among these entries;
    what was not in the reading is kept here."""
    if hearing.message.edit or hearing.only_keep or hearing.person.role == "buyer":
        return
    found = _unsigned(heard(hearing), entries)
    kept = [p.entry for p in hearing.posts]
    late = [c for c in found if c not in kept]
    for concern in late:
        hearing.post(concern)
    if late and not any(isinstance(o, Say) and o.about == "doubt" for o in hearing.out):
        hearing.mark()
    for dog in dict.fromkeys(c.dog for c in found):
        _tell([c for c in found if c.dog == dog], hearing)
    if not found and any(isinstance(e, Concern) for e in _of_nobody(hearing)) and not hearing.is_breeder:
        quote = " ".join(hearing.message.text.split())[:QUOTE]
        hearing.tell_breeder(text("remarks.concern.nobody", who=hearing.person.name, said=quote))


def _of_nobody(hearing: Hearing) -> list[Concern]:
    return [c for c in heard(hearing) if not c.dog]


def _unsigned(found: Iterable[Concern], entries: Sequence[Entry]) -> list[Concern]:
    """Those of a dog of which no sign is among these entries, each once."""
    signed = {e.dog for e in entries if isinstance(e, Sign)}
    return list(dict.fromkeys(c for c in found if c.dog and c.dog not in signed))


def heard(hearing: Hearing) -> Iterator[Concern]:
    """The worrying words of the message, of no dog ("") where it is of nobody by name in a few words about poo; none
    in a joke, a denial, a plan, or of people and other dogs."""
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
            if dog is not None and not (about == "discharge" and _is_right(dog, hearing)):
                yield Concern(dog=dog.name, on=hearing.on, about=about, said=hearing.message.text)
            elif dog is None and about in OF_POO and len(said.split()) <= SHORT and not _somebody(said, hearing):
                yield Concern(dog="", on=hearing.on, about=about, said=hearing.message.text)


def _is_right(dog: Dog, hearing: Hearing) -> bool:
    return breeding.status(dog, hearing.ledger, hearing.kennel, hearing.on).phase in RIGHT


def _somebody(said: str, hearing: Hearing) -> bool:
    """True where the words name a person or a dog."""
    people = {n.casefold() for p in hearing.scene.kennel.people for n in (p.name, *p.also)}
    return bool(dogs_named(said, hearing)) or any(w in people for w in _names(said))


def _is_denied(clause: str, match: re.Match[str]) -> bool:
    before, after = clause[: match.start()], clause[match.end() :]
    return any(p.search(before) for p in patterns("concern_unless.before")) or any(
        p.search(after) for p in patterns("concern_unless.after")
    )


def _whose(clause: str, match: re.Match[str], hearing: Hearing) -> Dog | None:
    """Of whom it is said: the name nearest before the words, else the first in or after them, else "he" or "she", else,
    where the breath has no subject of its own, the one dog of the message ("Moss 13.9 kg, a bit stiff")."""
    dogs = {n.casefold(): d for d in hearing.kennel.living() for n in (d.name, *d.also)}
    people = {n.casefold() for p in hearing.scene.kennel.people for n in (p.name, *p.also)}
    before, after = (
        [w for w in _names(part) if w in dogs or w in people]
        for part in (clause[: match.start()], clause[match.start() :])
    )
    if before or after:
        name = before[-1] if before else after[0]
        return dogs.get(name) if name not in people else None
    own = hearing.kennel.living()
    if hearing.person.role == "buyer" and len(own) == 1:
        return own[0]
    if any(p.search(clause) for p in patterns("concern_unless.pronoun")):
        return _spoken_of(hearing)
    goes_on = any(p.search(clause[: match.start()]) for p in patterns("concern_unless.goes_on"))
    named = dogs_named(hearing.message.text, hearing) if goes_on else ()
    return named[0] if len(named) == 1 and not any(w in people for w in _names(hearing.message.text)) else None


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


def _tell(found: Sequence[Concern], hearing: Hearing) -> None:
    """One line about one dog; nothing where all of it was told that day already."""
    dog, since = found[0].dog, hearing.on - timedelta(days=DAYS - 1)
    before = hearing.ledger.entries(dog, Concern, since=since, until=hearing.on)
    days = {c.about: {b.on for b in before if b.about == c.about} for c in found}
    new = [c for c in found if hearing.on not in days[c.about]]
    if not new:
        return
    quote = " ".join(hearing.message.text.split())[:QUOTE]
    said = text(
        "remarks.concern.own" if hearing.is_breeder else "remarks.concern.said",
        said=quote,
        who=hearing.person.name,
        dog=dog,
    )
    abouts = {c.about for c in new}
    level = "_today" if abouts & TODAY else "_note" if abouts <= NOTE else ""
    often = max(len(days[about]) for about in abouts)
    if often:
        line = text(f"remarks.concern.often{level}", said=said, times=say_units.times(often + 1), days=DAYS)
    else:
        line = text(f"remarks.concern.{level.removeprefix('_') or 'once'}", said=said)
    if not any(isinstance(o, Say) and o.text == line for o in hearing.out):
        hearing.tell_breeder(line)
