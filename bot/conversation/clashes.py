"""The right dog already has a value of that day: one short question before anything is moved."""

from __future__ import annotations

from dataclasses import replace

from bot.conversation.corrections import with_older
from bot.conversation.doubts import ANSWERS, pack, unpack
from bot.conversation.heard import means, yes_or_no
from bot.conversation.hearing import Hearing
from bot.replies import kept
from core.entries import Entry
from core.ledger import Posted
from core.turns import Asked
from shared.texts import text


def ask(entry: Entry, old: Posted, other: Posted, hearing: Hearing) -> None:
    """Ask which counts; nothing is moved until the answer comes."""
    shown = [kept.fact(e, hearing.kennel, hearing.unit) for e in (entry, other.entry)]
    asked = text("doubts.clash", dog=entry.dog, value=shown[0], other=shown[1])
    choices = (text("doubts.yes"), text("doubts.no"), text("doubts.swap"))
    hearing.ask("clash", asked, choices, {"entry": pack(entry), "old": old.id, "other": other.id})


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    rows = {p.id: p for p in hearing.ledger}
    old, other = rows.get(asked.facts["old"]), rows.get(asked.facts["other"])
    entry = unpack(asked.facts["entry"])
    if means("swap", said) or said == text("doubts.swap"):
        if old is not None and other is not None:
            hearing.post(replace(entry, replaces=True), replaces=other.id)
            hearing.post(replace(other.entry, dog=old.entry.dog, replaces=True), replaces=old.id)
        hearing.mark()
        return True
    meant = yes_or_no(said)
    if meant is None:
        return False
    if not meant:
        hearing.say(text("doubts.left_as_it_was"))
        return True
    if other is not None:
        hearing.withdrawn.extend(with_older([other], hearing.ledger))
    hearing.post(replace(entry, replaces=old is not None), replaces=old.id if old else None)
    hearing.mark()
    return True


ANSWERS["clash"] = _answered
