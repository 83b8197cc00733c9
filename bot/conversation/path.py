"""The path of one message, step by step."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime

from bot.conversation import (
    alarms,
    alert_answer,
    asides,
    away,
    bags,
    clashes,
    corrections,
    done,
    doses,
    doubts,
    edits,
    loss,
    meals,
    names,
    newborn_watch,
    night,
    odds,
    orders,
    pleas,
    put_off,
    questions,
    red_words,
    remarks,
    shows,
    strangers,
    treat_talk,
    worries,
)
from bot.conversation.hearing import Hearing, Reader
from bot.enrolment import enrol
from core.access import may_write, view
from core.entries import Progesterone, Reading
from core.messages import Message
from core.roster import BREEDER, Kennel
from core.turns import Scene, Turn
from shared.texts import text


def hear(message: Message, scene: Scene, read: Reader | None = None) -> Turn:
    """All that comes of one message: entries to keep, entries withdrawn, roster changes, words and marks.

    `read` stands in for the reader in tests.
    """
    on = scene.kennel.day_of(message.sent_at)
    ordered = orders.due(scene.kennel, scene.memory.get(BREEDER), on)
    if ordered is not None:
        scene = replace(scene, kennel=ordered)
    person = scene.kennel.person(message.sender)
    if person is None or not may_write(person, message.room, on):
        return strangers.answer(message, scene)
    if message.quoted:
        return Turn()  # only people's own words are notes
    enrolled = enrol(message, scene)
    if enrolled is not None:
        return enrolled  # the breeder sets the kennel up, or changes it
    kennel, ledger = view(scene.kennel, scene.ledger, person, on)
    hearing = Hearing(
        message=message, scene=scene, person=person, kennel=kennel, ledger=ledger, read=read or _read
    )
    if ordered is not None:
        hearing.change(ordered)
        orders.forget_past(hearing)
    for step in STEPS:
        if step(hearing):
            break
    return hearing.turn()


def _read(
    text: str, sender: str, sent_at: datetime, kennel: Kennel, before: Sequence[Message] = ()
) -> Reading:
    from bot import reading  # its tables are loaded with the first message that needs them

    made: Reading = reading.read(text, sender, sent_at, kennel, before)
    return made


def _open_question(hearing: Hearing) -> bool:
    if hearing.only_keep:
        return False
    if hearing.message.edit:
        edits.forget_questions(hearing)
        return False
    if doubts.answer(hearing):
        newborn_watch.look(hearing)
        remarks.make(hearing)
        return True
    if done.answer(hearing):
        remarks.make(hearing)
        return True
    if put_off.answer(hearing) or alert_answer.answer(hearing):
        return True
    return bool(hearing.message.pressed)


def _asides(hearing: Hearing) -> bool:
    return not hearing.message.edit and not hearing.only_keep and asides.answer(hearing)


def _orders(hearing: Hearing) -> bool:
    return not hearing.message.edit and not hearing.only_keep and orders.answer(hearing)


def _talk(hearing: Hearing) -> bool:
    """Plain words that are no note: asked of Fettle, or told for its ears alone."""
    if hearing.only_keep or not hearing.message.text:
        return False
    if hearing.message.edit:
        return night.edited(hearing)
    return any(step(hearing) for step in TALK)


def _note(hearing: Hearing) -> bool:
    reading = hearing.read(
        hearing.message.text, hearing.person.name, hearing.at, hearing.kennel, hearing.scene.recent
    )
    reading = _of_only_dog(reading, hearing)
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
    worried = worries.answer(reading, hearing)
    if reading.questions and not hearing.message.edit and not worried:
        questions.answer(reading.questions, hearing)
    worries.pass_on(reading, hearing)
    remarks.make(hearing)
    if whole and hearing.person.role == "buyer":
        if not worried:
            hearing.say(text("buyers.noted"))
    elif whole:
        hearing.mark()
    return True


def _of_only_dog(reading: Reading, hearing: Hearing) -> Reading:
    """The reading where the sender knows one dog alone: that is the dog meant, so nothing is asked."""
    dogs = hearing.kennel.living()
    if len(dogs) != 1 or not (reading.doubts or reading.questions):
        return reading
    name = dogs[0].name
    found = [d for d in reading.doubts if d.about == "dog" and d.entry is not None]
    return replace(
        reading,
        entries=(*reading.entries, *(replace(d.entry, dog=name) for d in found if d.entry is not None)),
        questions=tuple(replace(q, dog=q.dog or name) for q in reading.questions),
        doubts=tuple(d for d in reading.doubts if d not in found),
    )


def _keep(reading: Reading, hearing: Hearing) -> bool:
    """Post what was read; true where something was read and every item of it is stored and clear."""
    already = {} if hearing.only_keep else meals.second(reading.entries, hearing)
    given = {} if hearing.only_keep else doses.second(reading.entries, hearing)
    clash = corrections.apply([e for e in reading.entries if e.replaces], hearing)
    unitless = None
    for entry in reading.entries:
        if entry.replaces or entry.dog in (already if entry.kind == "meal" else given if entry.kind == "dose" else ()):
            continue
        hearing.post(entry)
        if isinstance(entry, Progesterone) and entry.unit is None:
            unitless = entry
    if clash and not hearing.only_keep:
        clashes.ask(*clash[0], hearing)
    elif given:
        doses.ask(reading.entries, given, hearing)
    elif already:
        meals.ask(reading.entries, already, hearing)
    elif unitless and not hearing.only_keep:
        doubts.ask_unit(unitless, hearing)
    return bool(reading.entries) and not (clash or already or given or unitless)


TALK: tuple[Callable[[Hearing], bool], ...] = (
    night.answer, bags.answer, treat_talk.answer, pleas.answer, odds.answer, shows.answer, names.answer,
    away.answer,
)

STEPS: tuple[Callable[[Hearing], bool], ...] = (
    alarms.heard, night.heard, loss.answer, red_words.answer, _open_question, _asides, _orders, _talk, _note,
)
