"""Which dog a message is about, where plain words to Fettle leave it open."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from functools import lru_cache

from bot.conversation.heard import LONGEST, phrases, plain
from bot.conversation.hearing import Hearing
from core.roster import Dog

LATELY = timedelta(minutes=10)  # "he" is the dog that the same person named last within so long
JUST_NOW = timedelta(minutes=6)  # or, in a question alone, the one that somebody else named just now
_PRONOUN = re.compile(r"\b(she|he|her|him|his)\b", re.IGNORECASE)


def dogs_named(said: str, hearing: Hearing, gone: bool = False) -> tuple[Dog, ...]:
    """The dogs of the sender's view that the words name, in roster order; with `gone` those no longer followed too."""
    low = said[:LONGEST].replace("’", "'")
    dogs = hearing.kennel.dogs if gone else hearing.kennel.living()
    return tuple(d for d in dogs if _name((d.name, *d.also)).search(low))


def dog_alone(said: str, hearing: Hearing) -> Dog | None:
    """The dog whose name is all that the words say, as the answer to "Which dog?" ("it's Moss, sorry"); else None."""
    low = plain(said)
    exact = [d for d in hearing.kennel.living() if low in {n.casefold() for n in (d.name, *d.also)}]
    named = exact or dogs_named(low, hearing)
    if len(named) != 1:
        return None
    beside = re.findall(r"[\w']+", _name((named[0].name, *named[0].also)).sub(" ", low))
    return named[0] if all(w in phrases()["beside_a_name"] for w in beside) else None


def only_named(hearing: Hearing, beside: str) -> tuple[Dog, ...]:
    """The dogs of a message that says their names and no other word than those of that list."""
    dogs = dogs_named(hearing.message.text, hearing)
    names = {w for d in dogs for n in (d.name, *d.also) for w in n.casefold().split()}
    words = re.findall(r"[^\W_]+", hearing.message.text.casefold())
    return dogs if words and set(words) <= names | set(phrases()[beside]) else ()


def dog_meant(hearing: Hearing) -> Dog | None:
    """The one dog that the message is about: named in it, else by the same person just now, else the only one."""
    named = dogs_named(hearing.message.text, hearing) or next(_named_before(hearing, True, LATELY), ())
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
        fitting = ([d for d in named if d.sex in ("", sex)] for named in _named_before(hearing, own, lately))
        named = next((dogs for dogs in fitting if dogs), [])
        if named:
            return named[0] if len(named) == 1 else None
    return None


def _named_before(hearing: Hearing, own: bool, lately: timedelta) -> Iterator[tuple[Dog, ...]]:
    """The dogs of each earlier message that names any, the newest first: the sender's own messages, or the others'."""
    for before in reversed(hearing.scene.recent):
        if (before.sender == hearing.message.sender) is own and hearing.at - before.sent_at <= lately:
            if named := dogs_named(before.text, hearing):
                yield named


def dogs_written_of(hearing: Hearing) -> tuple[str, ...]:
    """The one dog of what the sender wrote down last, where that was in the last few messages of this room; else none.

    A pronoun in an alarm is of it: what was read stands nearer than what was named.
    """
    lately = {m.key for m in hearing.scene.recent}
    if not lately:
        return ()
    first = min(m.sent_at for m in hearing.scene.recent)
    newest, named = "", []
    # From the newest back: a book of years is not gone through for each message.
    for posted in reversed(hearing.ledger.history()):
        if posted.at < first:
            break
        if not posted.counts or posted.by != hearing.person.name or posted.room != hearing.message.room:
            continue
        newest = newest or posted.message
        if posted.message == newest:
            named.append(posted.entry.dog)
    dogs = tuple(dict.fromkeys(named)) if newest in lately else ()
    return dogs if len(dogs) == 1 else ()


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


def joined(match: re.Match[str], hearing: Hearing) -> tuple[int, int]:
    """Where the words stand together with the names joined to them: "Ash and" before "Birch chipped".

    A name behind them that has a figure of its own is not joined ("chipped Ash, Birch 2.9").
    """
    said = hearing.message.text.replace("’", "'")
    before, after = _joined(tuple(n for d in hearing.kennel.living() for n in (d.name, *d.also)))
    first, last = before.search(said, 0, match.start()), after.match(said, match.end())
    return (first.start() if first else match.start()), (last.end() if last else match.end())


@lru_cache(maxsize=64)
def _joined(called: tuple[str, ...]) -> tuple[re.Pattern[str], re.Pattern[str]]:
    name, link = rf"\b(?:{'|'.join(re.escape(c) for c in called)})\b", r"\s*(?:,\s*and|,|and|&|\+)\s*"
    return (
        re.compile(rf"(?:{name}{link})+\Z", re.IGNORECASE),
        re.compile(rf"(?:{link}{name}(?!'s?\b|\s*\d|\s+\w))+", re.IGNORECASE),
    )


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
