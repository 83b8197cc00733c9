"""What the reader took for a note and is none: a question without its mark, and a dog that is not the buyer's.

"Has Nugget been wormed" tells of no dose; and where a buyer names another dog, nothing of it is written of theirs.
Whether there is such a dog makes no difference.
"""

from __future__ import annotations

from dataclasses import replace

from bot.conversation.heard import patterns, phrases
from bot.conversation.hearing import Hearing
from bot.reading import tokens
from bot.reading.dogs import mark, mentions, roster_of
from bot.reading.tokens import Words
from core.entries import Entry, Reading, Sign

LEAST_LETTERS = 3  # of a name that nobody here knows; the reader's own measure


def sift(reading: Reading, hearing: Hearing) -> Reading:
    """The reading without what only looks like a note."""
    return replace(reading, entries=tuple(e for e in reading.entries if not _is_none(e, hearing)))


def of_another(reading: Reading, hearing: Hearing) -> bool:
    """True where something was left out because a buyer said it of a dog that is not theirs."""
    return any(_of_another(e, hearing) for e in reading.entries)


def _is_none(entry: Entry, hearing: Hearing) -> bool:
    asked = not isinstance(entry, Sign) and any(p.match(_clause(entry, hearing)) for p in patterns("given.unmarked"))
    return asked or _of_another(entry, hearing)


def _clause(entry: Entry, hearing: Hearing) -> str:
    return (entry.said or hearing.message.text).strip().replace("’", "'")


def _of_another(entry: Entry, hearing: Hearing) -> bool:
    """True where a buyer's clause begins with another dog, or a name that nobody here knows, and not with theirs."""
    if hearing.person.role != "buyer":
        return False
    cut = tokens.cut(_clause(entry, hearing))
    own = _first_own(cut, hearing)
    other = min((i for i in (_first_of_house(cut, hearing), _first_unknown(cut)) if i >= 0), default=-1)
    return other >= 0 and (own < 0 or other < own)


def _first_own(cut: Words, hearing: Hearing) -> int:
    """Where their own dog or "she", "he", "it" or "we" first stands, -1 for nowhere."""
    known = {w for d in hearing.kennel.dogs for n in (d.name, *d.also) for w in n.casefold().split()}
    heads = {*known, *(f"{w}s" for w in known), *phrases()["given"]["own_subject"]}
    return next((i for i, w in enumerate(cut.w) if w in heads), -1)


def _first_of_house(cut: Words, hearing: Hearing) -> int:
    """Where a dog of the house that is not theirs is first named, -1 for nowhere."""
    house = hearing.house
    own = {d.name for d in hearing.kennel.dogs}
    words = tokens.cut(cut.text)
    roster = roster_of(house)
    mark(words, roster)
    named = [m for m in mentions(words, roster, hearing.on) if m.kind == "name" and not own & set(m.names)]
    return named[0].i if named else -1


def _first_unknown(cut: Words) -> int:
    """Where a word that nobody knows stands as the subject ("Zorro was 9 kg", "has Zorro been …"), -1 for nowhere."""
    words = phrases()["given"]
    at = 0
    while at < len(cut) and cut.w[at] in words["opener"]:
        at += 1
    if at + 1 >= len(cut) or cut.kind[at] != "w" or cut.tags[at] or len(cut.w[at]) < LEAST_LETTERS:
        return -1
    after = cut.w[at + 1]
    return at if after in words["after_subject"] or cut.kind[at + 1] == "n" else -1
