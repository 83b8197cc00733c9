"""Which dog a message is about, where plain words to Fettle leave it open."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from functools import lru_cache

from bot.conversation.heard import LONGEST, phrases
from bot.conversation.hearing import Hearing
from core.roster import Dog

LATELY = timedelta(minutes=10)  # "he" is the dog that the same person named last within so long
JUST_NOW = timedelta(minutes=6)  # or, in a question alone, the one that somebody else named just now
_PRONOUN = re.compile(r"\b(she|he|her|him|his)\b", re.IGNORECASE)


def dogs_named(said: str, hearing: Hearing) -> tuple[Dog, ...]:
    """The dogs of the sender's view that the words name, in roster order."""
    low = said[:LONGEST].replace("’", "'")
    return tuple(d for d in hearing.kennel.living() if _name((d.name, *d.also)).search(low))


def only_named(hearing: Hearing, beside: str) -> tuple[Dog, ...]:
    """The dogs of a message that says their names and no other word than those of that list."""
    dogs = dogs_named(hearing.message.text, hearing)
    names = {w for d in dogs for n in (d.name, *d.also) for w in n.casefold().split()}
    words = re.findall(r"[^\W_]+", hearing.message.text.casefold())
    return dogs if words and set(words) <= names | set(phrases()[beside]) else ()


def dog_meant(hearing: Hearing) -> Dog | None:
    """The one dog that the message is about: named in it, else by the same person just now, else the only one."""
    named = dogs_named(hearing.message.text, hearing)
    if named:
        return named[0] if len(named) == 1 else None
    for before in reversed(hearing.scene.recent):
        if before.sender != hearing.message.sender or hearing.at - before.sent_at > LATELY:
            continue
        named = dogs_named(before.text, hearing)
        if named:
            return named[0] if len(named) == 1 else None
    living = hearing.kennel.living()
    watched = [d for d in living if d.ear_watch and not d.home] if hearing.person.role != "buyer" else living
    return watched[0] if len(watched) == 1 else None


def dog_of_pronoun(hearing: Hearing) -> Dog | None:
    """Whom "he" or "she" means in a question: the dog of that sex that was named last, by the same person first."""
    said = _PRONOUN.search(hearing.message.text)
    if said is None:
        return None
    sex = "f" if said[1].casefold() in ("she", "her") else "m"
    for own, lately in ((True, LATELY), (False, JUST_NOW)):
        for before in reversed(hearing.scene.recent):
            if (before.sender == hearing.message.sender) is not own or hearing.at - before.sent_at > lately:
                continue
            named = [d for d in dogs_named(before.text, hearing) if d.sex in ("", sex)]
            if named:
                return named[0] if len(named) == 1 else None
    return None


def found(name: str, hearing: Hearing) -> re.Match[str] | None:
    """Where one of these patterns stands in the message; "DOG" in them is any dog's name, "he", "she" or "they"."""
    return next(every(name, hearing), None)


def took(name: str, hearing: Hearing) -> re.Match[str] | None:
    """The same; those words are seen to then, and the rest of the message is left to others."""
    match = found(name, hearing)
    if match is not None:
        hearing.took(match)
    return match


def every(name: str, hearing: Hearing) -> Iterator[re.Match[str]]:
    """Each place where one of these patterns stands in the message, pattern by pattern."""
    said = hearing.message.text
    if not said or len(said) > LONGEST:
        return
    called = tuple(n for d in hearing.kennel.living() for n in (d.name, *d.also))
    low = said.replace("’", "'")
    for pattern in _patterns(name, called):
        yield from pattern.finditer(low)


@lru_cache(maxsize=512)
def _name(called: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{'|'.join(re.escape(c) for c in called)})(?:'?s)?\b", re.IGNORECASE)


@lru_cache(maxsize=256)
def _patterns(name: str, called: tuple[str, ...]) -> tuple[re.Pattern[str], ...]:
    node = phrases()
    for part in name.split("."):
        node = node[part]
    # "nuggets ears": thumbs leave the apostrophe out.
    names = [re.escape(c) if c.casefold().endswith("s") else f"{re.escape(c)}s?" for c in called]
    who = "|".join([*names, *phrases()["anybody"]])
    return tuple(re.compile(p.replace("DOG", rf"\b(?:{who})\b"), re.IGNORECASE) for p in node)
