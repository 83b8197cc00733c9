"""A reminder answered with "skip", "later" or "can't": no nudge, again in an hour, or the next person is asked.

What was answered is kept in mind in the reminder's room; the rounds ask here before they say anything.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from bot.conversation.about import found
from bot.conversation.days import day_ahead
from bot.conversation.done import ANSWERED_WITHIN, PUT_OFF, base, reminded, whose
from bot.conversation.heard import means
from bot.conversation.hearing import Hearing
from bot.conversation.stand_ins import away_on, stand_in
from bot.replies import reminders
from core.agenda import GROOM, NUDGE, REMIND, Due, due
from core.ledger import Ledger
from core.messages import Say
from core.roster import BREEDER, FAMILY, Kennel
from core.turns import Memory
from shared.texts import text

AGAIN_AFTER = timedelta(hours=1)  # "later"; own choice
KEPT_FOR = timedelta(days=2)
SHORT = 8  # words; a longer message is no answer to a reminder


def answer(hearing: Hearing) -> bool:
    """True where the message put off a reminder of the sender's, or passed it on."""
    said = hearing.message.pressed or hearing.message.text
    if not said or len(said.split()) > SHORT:
        return False
    skip = means("skip", said) or said == text("reminders.skip")
    later = means("later", said) or said == text("reminders.later")
    unable = None if hearing.message.pressed or _names_a_day(said, hearing) else found("cannot", hearing)
    cannot = unable is not None
    if not (skip or later or cannot):
        return False
    item = _own(hearing)
    if item is None:
        return False
    hearing.took(unable)
    if cannot:
        _pass_on(hearing, item)
    else:
        _keep(hearing, item, {"again": (hearing.at + AGAIN_AFTER).isoformat()} if later else {})
    hearing.mark()
    return True


def _names_a_day(said: str, hearing: Hearing) -> bool:
    """True for "I'm away tomorrow": that is of another day than the reminder."""
    if found("away.cue", hearing) is None:
        return False
    day = day_ahead(said, hearing.on, hearing.kennel)
    return day is not None and day > hearing.on


def hushes(item: Due, memory: Mapping[str, Memory]) -> bool:
    """True for a nudge of what was put off, skipped or passed on; the word to the breeder still goes out."""
    mind = memory.get(item.room)
    return mind is not None and item.step == NUDGE and base(item) in mind.facts.get(PUT_OFF, {})


def again(
    memory: Mapping[str, Memory], kennel: Kennel, ledger: Ledger, start: datetime, end: datetime
) -> Iterator[Say]:
    """The reminders put off until after `start` and not after `end`, where they are still open."""
    for mind in memory.values():
        for key, told in mind.facts.get(PUT_OFF, {}).items():
            at = datetime.fromisoformat(told["again"]) if "again" in told else None
            if at is None or not start < at <= end:
                continue
            for item in due(kennel, ledger, at - ANSWERED_WITHIN - AGAIN_AFTER, at):
                if item.step == REMIND and base(item) == key:
                    said = reminders.words(item, kennel, ledger, at)
                    if said is not None:
                        yield replace(said, key=f"{key}:again", not_after=at + ANSWERED_WITHIN)


def _pass_on(hearing: Hearing, item: Due) -> None:
    told = hearing.mind(item.room).facts.get(PUT_OFF, {}).get(base(item), {})
    asked = [*told.get("asked", []), hearing.person.name]
    _keep(hearing, item, {"asked": asked})
    but = frozenset(asked) | away_on({**hearing.scene.memory, **hearing.memory}, hearing.on)
    other = stand_in(hearing.scene.kennel, item, but)
    what = reminders.words(replace(item, person="", step=REMIND), hearing.scene.kennel, hearing.ledger, hearing.at)
    if what is None:
        return
    if other is None:
        hearing.tell_breeder(text("reminders.nobody_free", what=what.text))
        return
    _keep(hearing, item, {"asked": asked, "to": other.name})
    room = BREEDER if other.role == "breeder" else FAMILY
    said = text("reminders.can_you", who=other.name, what=what.text)
    hearing.say(said, room=room, about="reminder", buttons=what.buttons)


def _own(hearing: Hearing) -> Due | None:
    """The newest open reminder that was the sender's, by the rota or because it was passed on to them."""
    for item in sorted(reminded(hearing), key=lambda i: i.at, reverse=True):
        if whose(item, hearing) == hearing.person.name:
            return item
        if hearing.message.pressed and item.room == hearing.message.room and item.kind == GROOM:
            return item
    return None


def _keep(hearing: Hearing, item: Due, told: dict[str, Any]) -> None:
    before = hearing.mind(item.room).facts.get(PUT_OFF, {})
    kept = {k: t for k, t in before.items() if hearing.at - datetime.fromisoformat(t["at"]) <= KEPT_FOR}
    hearing.keep(item.room, **{PUT_OFF: {**kept, base(item): {"at": hearing.at.isoformat(), **told}}})
