"""A reminder answered with "done" or "given": what it named is written down for every dog that was still open."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from bot.conversation.heard import means
from bot.conversation.hearing import Hearing
from core.agenda import DOSE, GROOM, MEAL, NUDGE, REMIND, Due, due
from core.entries import Dose, Entry, Groom, Meal
from core.rota import DOSES, MEALS
from shared.texts import text

ANSWERED_WITHIN = timedelta(hours=6)  # an older reminder is not what "done" is about


def answer(hearing: Hearing) -> bool:
    """True where the message answered a reminder; what is already in the book is not written twice."""
    said = hearing.message.pressed or hearing.message.text
    if said not in (text("reminders.done"), text("reminders.given")) and not means("done", said):
        return False
    item = _latest(hearing)
    if item is None:
        return False
    for entry in _entries(item, said):
        hearing.post(entry)
    hearing.mark()
    return True


def _latest(hearing: Hearing) -> Due | None:
    """The newest reminder of this room that is still open: the sender's own first."""
    start = hearing.at - ANSWERED_WITHIN
    found = [
        i
        for i in due(hearing.scene.kennel, hearing.ledger, start, hearing.at)
        if i.room == hearing.message.room and i.step in (REMIND, NUDGE) and i.kind in (MEAL, GROOM, DOSE)
    ]
    own = [i for i in found if i.person == hearing.person.name]
    return max(own or found, key=lambda i: i.at, default=None)


def _entries(item: Due, said: str) -> Iterator[Entry]:
    for task in item.tasks:
        for dog in task.dogs:
            if task.what in MEALS:
                yield Meal(dog=dog, on=item.on, meal=task.what, said=said)
            elif task.what in DOSES:
                yield Dose(dog=dog, on=item.on, dose=task.what, said=said)
            elif item.kind == GROOM and task.what not in ("weigh", "ears"):
                yield Groom(dog=dog, on=item.on, task=task.what, said=said)
