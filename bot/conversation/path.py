"""The path of one message, step by step."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from bot.conversation import (
    asides,
    corrections,
    doubts,
    edits,
    loss,
    meals,
    newborn_watch,
    questions,
    red_words,
    strangers,
)
from bot.conversation.hearing import Hearing, Reader
from core.access import may_write, view
from core.entries import Progesterone, Reading
from core.messages import Message
from core.roster import Kennel
from core.turns import Scene, Turn


def hear(message: Message, scene: Scene, read: Reader | None = None) -> Turn:
    """All that comes of one message: entries to keep, entries withdrawn, roster changes, words and marks.

    `read` stands in for the reader in tests.
    """
    on = scene.kennel.day_of(message.sent_at)
    person = scene.kennel.person(message.sender)
    if person is None or not may_write(person, message.room, on):
        return strangers.answer(message, scene)
    if message.quoted:
        return Turn()  # only people's own words are notes
    kennel, ledger = view(scene.kennel, scene.ledger, person, on)
    hearing = Hearing(
        message=message, scene=scene, person=person, kennel=kennel, ledger=ledger, read=read or _read
    )
    for step in STEPS:
        if step(hearing):
            break
    return hearing.turn()


def _read(
    text: str, sender: str, sent_at: datetime, kennel: Kennel, before: Sequence[Message] = ()
) -> Reading:
    from bot import reading  # its tables are loaded with the first message that needs them

    made: Reading = reading.read(text, sender, sent_at, kennel, before)  # type: ignore[attr-defined]
    return made


def _open_question(hearing: Hearing) -> bool:
    if hearing.only_keep:
        return False
    if hearing.message.edit:
        edits.forget_questions(hearing)
        return False
    if doubts.answer(hearing):
        newborn_watch.look(hearing)
        return True
    return bool(hearing.message.pressed)


def _asides(hearing: Hearing) -> bool:
    return not hearing.message.edit and not hearing.only_keep and asides.answer(hearing)


def _note(hearing: Hearing) -> bool:
    reading = hearing.read(
        hearing.message.text, hearing.person.name, hearing.at, hearing.kennel, hearing.scene.recent
    )
    if hearing.message.edit:
        changed = edits.apply(reading.entries, hearing)
        whole = changed and bool(reading.entries)
    else:
        whole = _keep(reading, hearing)
    newborn_watch.look(hearing)
    if hearing.only_keep:
        return True
    if reading.doubts:
        doubts.ask(reading.doubts, hearing, whole=not reading.entries)
        whole = False
    if reading.questions and not hearing.message.edit:
        questions.answer(reading.questions, hearing)
    if whole:
        hearing.mark()
    return True


def _keep(reading: Reading, hearing: Hearing) -> bool:
    """Post what was read; true where something was read and every item of it is stored and clear."""
    already = {} if hearing.only_keep else meals.second(reading.entries, hearing)
    corrections.apply([e for e in reading.entries if e.replaces], hearing)
    unitless = None
    for entry in reading.entries:
        if entry.replaces or (entry.kind == "meal" and entry.dog in already):
            continue
        hearing.post(entry)
        if isinstance(entry, Progesterone) and entry.unit is None:
            unitless = entry
    if already:
        meals.ask(reading.entries, already, hearing)
    elif unitless and not hearing.only_keep:
        doubts.ask_unit(unitless, hearing)
    return bool(reading.entries) and not already and not unitless


STEPS: tuple[Callable[[Hearing], bool], ...] = (loss.answer, red_words.answer, _open_question, _asides, _note)
