"""A reminder answered with "done" or "given": what it named is written down for every dog that was still open."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from bot.conversation import meals, once, stand_ins
from bot.conversation.heard import LONGEST, means, patterns
from bot.conversation.hearing import Hearing
from core.agenda import DOSE, EARS, GROOM, MEAL, NUDGE, REMIND, WEIGH, Due, due
from core.entries import Dose, Entry, Groom, Meal
from core.roster import Dog
from core.rota import DOSES, MEALS, dogs_of, is_logged
from core.times import instant
from shared.texts import text

PUT_OFF = "put off"  # what is kept in mind of reminders that were put off or passed on; see `put_off`
ANSWERED_WITHIN = timedelta(hours=6)  # an older reminder is not what "done" is about
# How long before and after its time a line of the rota is what "breakfast done" is about; own choice.
EARLY, LATE = timedelta(hours=1), timedelta(hours=3)


def answer(hearing: Hearing) -> bool:
    """True where the message answered a reminder; what is already in the book is not written twice."""
    said = hearing.message.pressed or hearing.message.text
    if _meal_done(hearing):
        return True
    if said not in (text("reminders.done"), text("reminders.given")) and not means("done", said):
        return False
    item = _latest(hearing)
    errand = once.last_said(hearing, hearing.at - ANSWERED_WITHIN)
    if errand is not None and not hearing.message.pressed:
        if item is None or errand >= item.at or whose(item, hearing) != hearing.person.name:
            hearing.mark()  # an errand is done: nothing of it belongs in the book
            return True
    if item is None:
        return False
    for entry in _entries(item, said):
        hearing.post(entry)
    hearing.mark()
    return True


def reminded(hearing: Hearing) -> list[Due]:
    """What this room, or the sender in any, was reminded of lately and is still open; rounds and tips apart."""
    start = hearing.at - ANSWERED_WITHIN
    memory = {**hearing.scene.memory, **hearing.memory}
    items = due(hearing.scene.kennel, hearing.ledger, start, hearing.at)
    return [
        i
        for i in (stand_ins.stood_in(item, memory, hearing.scene.kennel) for item in items)
        if i.step in (REMIND, NUDGE)
        and i.kind in (MEAL, GROOM, DOSE, WEIGH, EARS)
        and (i.room == hearing.message.room or i.person == hearing.person.name)
    ]


def whose(item: Due, hearing: Hearing) -> str:
    """Whose reminder it is now: by the rota, or because somebody passed it on."""
    told = hearing.mind(item.room).facts.get(PUT_OFF, {}).get(base(item), {})
    return str(told.get("to", item.person or stand_ins.person_of(item)))


def base(item: Due) -> str:
    """What a reminder and its nudge have in common in their keys."""
    return item.key.removesuffix(f":{item.step}")


def _meal_done(hearing: Hearing) -> bool:
    """ "Snacks done": that meal of the rota, for each of its dogs that was still open, in whichever room it is told."""
    said = hearing.message.text
    if not said or len(said) > LONGEST or hearing.person.role == "buyer":
        return False
    match = next((m for p in patterns("meal_done") if (m := p.search(said))), None)
    if match is None:
        return False
    meal = next(name for name, word in match.groupdict().items() if word)
    dogs = _of_rota(meal, hearing)
    if not dogs:
        return False
    left = [d for d in dogs if not is_logged(meal, d, hearing.kennel, hearing.ledger, hearing.on)]
    for dog in left:
        hearing.post(Meal(dog=dog.name, on=hearing.on, meal=meal, said=said))
    told = [Meal(dog=d.name, on=hearing.on, meal=meal, said=said) for d in dogs if d not in left]
    fed = {n: p for n, p in meals.second(told, hearing).items() if p.by != hearing.person.name}
    if fed and not left:
        meals.ask(told, fed, hearing)  # somebody else wrote it down: was food put down twice?
    else:
        hearing.mark()
    return True


def _of_rota(meal: str, hearing: Hearing) -> tuple[Dog, ...]:
    """The dogs of that meal's lines whose time is near: of the sender's own lines, else of all; empty for none."""
    kennel, on = hearing.kennel, hearing.on
    near = [
        d
        for d in kennel.duties
        if d.what == meal
        and (not d.days or on.weekday() in d.days)
        and -EARLY <= hearing.at - instant(on, d.at, kennel.tz) <= LATE
    ]
    own = [d for d in near if d.who == hearing.person.name]
    return tuple(dict.fromkeys(dog for d in own or near for dog in dogs_of(d, kennel, on)))


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
