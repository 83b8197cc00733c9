"""Somebody is away for some days: kept, the reminders go to who stands in, and the sitter's sheet is ready."""

from __future__ import annotations

from datetime import date, timedelta

from bot.conversation.about import found
from bot.conversation.days import span_ahead
from bot.conversation.heard import means
from bot.conversation.hearing import Hearing
from bot.replies import papers, sitter
from core.roster import BREEDER, Person
from shared.texts import text

LONGEST = timedelta(days=60)


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
    hearing.took(cue, found("away.sitter", hearing))
    person = _who(hearing)
    _keep(hearing, person, *span)
    hearing.mark()
    with_sitter = found("away.sitter", hearing) is not None
    line = sitter.away(person, span, hearing.house, hearing.on)
    hearing.tell_breeder(text("away.with_sheet", line=line) if with_sitter else line)
    if with_sitter:
        sheet = sitter.sheet(hearing.house, span[0])
        hearing.tell_breeder(sheet, document=papers.spec(papers.SITTER, hearing.on))
    return True


def _who(hearing: Hearing) -> Person:
    """The person of the house that the first words name, else who writes."""
    words = hearing.message.text.replace(",", " ").split()
    named = hearing.scene.kennel.person(words[0].removesuffix("'s").removesuffix("’s")) if words else None
    return named if named is not None and named.role not in ("buyer", "sitter") else hearing.person


def _keep(hearing: Hearing, person: Person, first: date, last: date) -> None:
    before = hearing.mind(BREEDER).facts.get("away") or []
    ahead = [t for t in before if date.fromisoformat(t["to"]) >= hearing.on and t["who"] != person.name]
    told = {"who": person.name, "from": first.isoformat(), "to": last.isoformat()}
    hearing.keep(BREEDER, away=[*ahead, told])
