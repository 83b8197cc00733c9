"""A reminder answered with "done" or "given": what it named is written down for every dog that was still open."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from bot.conversation.heard import means
from bot.conversation.hearing import Hearing
from core.agenda import DOSE, EARS, GROOM, MEAL, NUDGE, REMIND, WEIGH, Due, due
from core.entries import Dose, Entry, Groom, Meal
from core.rota import DOSES, MEALS
from shared.texts import text

PUT_OFF = "put off"  # what is kept in mind of reminders that were put off or passed on; see `put_off`
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


def reminded(hearing: Hearing) -> list[Due]:
    """What this room, or the sender in any, was reminded of lately and is still open; rounds and tips apart."""
    start = hearing.at - ANSWERED_WITHIN
    return [
        i
        for i in due(hearing.scene.kennel, hearing.ledger, start, hearing.at)
        if i.step in (REMIND, NUDGE)
        and i.kind in (MEAL, GROOM, DOSE, WEIGH, EARS)
        and (i.room == hearing.message.room or i.person == hearing.person.name)
    ]


def whose(item: Due, hearing: Hearing) -> str:
    """Whose reminder it is now: by the rota, or because somebody passed it on."""
    told = hearing.mind(item.room).facts.get(PUT_OFF, {}).get(base(item), {})
    return str(told.get("to", item.person))


def base(item: Due) -> str:
    """What a reminder and its nudge have in common in their keys."""
    return item.key.removesuffix(f":{item.step}")


def _latest(hearing: Hearing) -> Due | None:
    """The newest reminder of this room that "done" can answer: the sender's own first."""
    found = [i for i in reminded(hearing) if i.room == hearing.message.room and i.kind in (MEAL, GROOM, DOSE)]
    own = [i for i in found if whose(i, hearing) == hearing.person.name]
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
