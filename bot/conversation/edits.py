"""An edited message: what it no longer says is withdrawn, what it still says stays, what changed is replaced."""

from __future__ import annotations

from dataclasses import replace

from bot.conversation.corrections import same, with_older
from bot.conversation.doubts import answered_by
from bot.conversation.hearing import Hearing
from bot.replies import kept
from core.entries import Entry
from core.ledger import Posted
from shared.texts import listed, text


def apply(entries: tuple[Entry, ...], hearing: Hearing) -> bool:
    """Bring the book in line with the newest wording of the message; true where anything changed."""
    before = _standing(hearing)
    old = list(before)
    new = [e for e in entries if not _drop_same(e, old)]
    for entry in list(new):
        match = next((p for p in old if p.entry.kind == entry.kind and p.entry.dog == entry.dog), None)
        match = match or next((p for p in old if p.entry.kind == entry.kind), None)
        if match:
            old.remove(match)
            new.remove(entry)
            hearing.post(replace(entry, replaces=True), replaces=match.id)
    for entry in new:
        hearing.post(entry)
    hearing.withdrawn.extend(with_older(old, hearing.ledger))
    if old and not entries:
        gone = kept.lines([p.entry for p in old], hearing.kennel, hearing.unit, hearing.on)
        hearing.say(text("changes.taken_back", what=listed(gone)))
    return bool(old or hearing.posts)


def forget_questions(hearing: Hearing) -> None:
    """Stop waiting for answers about the earlier wording."""
    for asked in hearing.mind().asked:
        if asked.message == hearing.message.key:
            hearing.settle(asked)


def _standing(hearing: Hearing) -> tuple[Posted, ...]:
    """What counts today of what the message once said, in its own words, by an answer about it, or as corrected."""
    rows = {p.id: p for p in hearing.ledger.history()}
    found: dict[int, Posted] = {}
    keys = {hearing.message.key, answered_by(hearing)} - {""}
    for posted in rows.values():
        if posted.room != hearing.message.room or posted.message not in keys:
            continue
        end = posted
        while end.replaced_by is not None and end.replaced_by in rows:
            end = rows[end.replaced_by]
        if end.counts:
            found[end.id] = end
    return tuple(found.values())


def _drop_same(entry: Entry, old: list[Posted]) -> bool:
    match = next((p for p in old if same(p.entry, entry)), None)
    if match:
        old.remove(match)
    return match is not None
