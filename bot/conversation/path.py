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
    concerns,
    done,
    doubts,
    due_dates,
    ear_steps,
    edits,
    erase,
    given,
    hair,
    house_talk,
    invites,
    leaving,
    loss,
    mishaps,
    named_after,
    names,
    newborn_watch,
    night,
    odds,
    orders,
    overview,
    pairs,
    papers,
    parts,
    photos,
    pictures,
    pleas,
    put_off,
    record,
    red_words,
    remarks,
    reminder_talk,
    rest,
    returns,
    shows,
    strangers,
    tables,
    tip_talk,
    topups,
    treat_talk,
    unheard,
)
from bot.conversation.hearing import Hearing, Reader
from bot.conversation.noted import note
from bot.enrolment import enrol
from core.access import may_write, view
from core.entries import Reading
from core.messages import Message
from core.roster import BREEDER, Kennel
from core.turns import Scene, Turn


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
    if person.clock_24 is not None:
        kennel = replace(kennel, clock_24=person.clock_24)
    scene = replace(scene, recent=orders.without_orders(scene.recent, scene.memory.get(message.room)))
    hearing = Hearing(
        message=message, scene=scene, person=person, kennel=kennel, ledger=ledger, read=read or _read
    )
    if ordered is not None:
        hearing.change(ordered)
        orders.forget_past(hearing)
    for step in STEPS:
        if step(hearing):
            break
    unheard.answer(hearing)
    return hearing.turn()


def _read(text: str, sender: str, sent_at: datetime, kennel: Kennel, before: Sequence[Message] = ()) -> Reading:
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
    if put_off.answer(hearing):
        rest.of_message(hearing)
        return True
    if alert_answer.answer(hearing) or named_after.answer(hearing):
        return True
    return bool(hearing.message.pressed)


def _asides(hearing: Hearing) -> bool:
    if hearing.message.edit or hearing.only_keep or not asides.answer(hearing):
        return False
    rest.of_message(hearing)
    return True


def _invitations(hearing: Hearing) -> bool:
    return not hearing.message.edit and not hearing.only_keep and (invites.answer(hearing) or erase.answer(hearing))


def _orders(hearing: Hearing) -> bool:
    if hearing.message.edit or hearing.only_keep or not orders.answer(hearing):
        return False
    ordered = orders.of_whom(hearing)
    return parts.part_off(hearing, as_said=ordered) if ordered else True


def _of_rota(hearing: Hearing) -> bool:
    if hearing.only_keep:
        return False
    if hearing.message.edit:
        return reminder_talk.edited(hearing) and parts.part_off(hearing)
    for _ in range(parts.MOST):
        if not reminder_talk.answer(hearing):
            return False
        if parts.part_off(hearing):
            return True
    return False


def _talk(hearing: Hearing) -> bool:
    """Plain words that are no note: asked of Fettle, or told for its ears alone."""
    if hearing.only_keep:
        return not hearing.message.edit and night.beside_alarm(hearing)
    if not hearing.message.text:
        return False
    if hearing.message.edit:
        return night.edited(hearing) or _told_anew(hearing)
    if not any(step(hearing) for step in TALK):
        return False
    rest.of_message(hearing)
    concerns.tell((), hearing)
    return True


def _told_anew(hearing: Hearing) -> bool:
    """An edited message of which a step makes entries: they take the place of those that it made before."""
    if not any(step(hearing) for step in TOLD):
        return False
    rest.of_message(hearing, made=hearing.unpost())
    return True


def _note(hearing: Hearing) -> bool:
    noted = note(hearing.message.text, hearing.scene.recent, hearing)
    if hearing.parted or (noted.whole and reminder_talk.is_wish(hearing)):
        rest.look_at(hearing.message.text, noted, hearing)
    elif noted.whole and not hearing.only_keep:
        rest.acknowledge(hearing, noted.worried)
    return True


TALK: tuple[Callable[[Hearing], bool], ...] = (
    papers.answer,
    mishaps.answer,
    record.answer,
    overview.answer,
    night.answer,
    bags.answer,
    treat_talk.answer,
    pleas.answer,
    odds.answer,
    shows.answer,
    names.answer,
    away.answer,
    topups.answer,
    hair.answer,
    ear_steps.answer,
    pairs.answer,
    leaving.answer,
    due_dates.answer,
    given.answer,
    pictures.answer,
    tip_talk.answer,
    returns.answer,
    photos.answer,
    house_talk.answer,
)

# The steps that make entries of what is told: an edit is told them again.
TOLD: tuple[Callable[[Hearing], bool], ...] = (topups.answer, hair.answer, pairs.answer, leaving.answer)

STEPS: tuple[Callable[[Hearing], bool], ...] = (
    alarms.heard,
    night.heard,
    loss.answer,
    red_words.answer,
    mishaps.twice,
    tables.answer,
    _open_question,
    _asides,
    _invitations,
    _orders,
    _of_rota,
    _talk,
    _note,
)
