"""Somebody is away for some days: kept, the reminders go to who stands in, and the sitter's sheet is ready."""

from __future__ import annotations

import re
from datetime import date, timedelta

from bot.conversation.about import dogs_named, found
from bot.conversation.days import span_ahead
from bot.conversation.heard import means, patterns
from bot.conversation.hearing import Hearing
from bot.replies import papers, sitter
from core.access import HELPERS
from core.roster import BREEDER, Person
from shared.texts import text

LONGEST = timedelta(days=60)
_CLAUSE_START = re.compile(r"[,;:.!\n]")
_WORD = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)?")


def answer(hearing: Hearing) -> bool:
    """True where the message told of an absence with its days, or a sitter asked for the sheet in a word."""
    if hearing.person.role == "buyer":
        return False
    if hearing.person.role == "sitter" and means("sheet", hearing.message.text):
        hearing.say(sitter.sheet(hearing.house, hearing.on))
        return True
    cue = found("away.cue", hearing)
    if "?" in hearing.message.text or cue is None:
        return False
    span = span_ahead(hearing.message.text, hearing.on, hearing.kennel)
    if span is None or span[1] - span[0] > LONGEST:
        return False
    people = _who(hearing, cue)
    if not people:
        return False
    hearing.took(cue, found("away.sitter", hearing))
    for person in people:
        _keep(hearing, person, *span)
    hearing.mark()
    with_sitter = found("away.sitter", hearing) is not None
    line = sitter.away(people, span, hearing.house, hearing.on)
    hearing.tell_breeder(text("away.with_sheet", line=line) if with_sitter else line)
    if with_sitter:
        sheet = sitter.sheet(hearing.house, span[0])
        hearing.tell_breeder(sheet, document=papers.spec(papers.SITTER, hearing.on))
    return True


def _who(hearing: Hearing, cue: re.Match[str]) -> tuple[Person, ...]:
    """Whom the words before the cue name, else who writes; nobody where it is said of a dog, a buyer or a stranger."""
    said = hearing.message.text.replace("’", "'")
    clause = _CLAUSE_START.split(said[: cue.start()])[-1]
    house = tuple(p for p in hearing.scene.kennel.people if p.role in ("breeder", *HELPERS))
    words = {w.casefold().removesuffix("'s").removesuffix("'ll") for w in _WORD.findall(clause)}
    named = tuple(p for p in hearing.scene.kennel.people if words & {n.casefold() for n in (p.name, *p.also)})
    if named and not set(named) <= set(house):
        return ()
    if any(p.search(clause) for p in patterns("away.everybody")):
        return house
    speaks = any(p.search(clause) for p in patterns("away.speaker"))
    if named:
        return tuple(p for p in house if p in named or (speaks and p == hearing.person))
    if speaks:
        return (hearing.person,)
    stranger = dogs_named(clause, hearing) or any(p.search(clause) for p in patterns("away.somebody"))
    return () if stranger else (hearing.person,)


def _keep(hearing: Hearing, person: Person, first: date, last: date) -> None:
    before = hearing.mind(BREEDER).facts.get("away") or []
    ahead = [t for t in before if date.fromisoformat(t["to"]) >= hearing.on and t["who"] != person.name]
    told = {"who": person.name, "from": first.isoformat(), "to": last.isoformat()}
    hearing.keep(BREEDER, away=[*ahead, told])
