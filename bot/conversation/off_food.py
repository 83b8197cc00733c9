"""A nursing dam off her food: said at once to whoever wrote it and to the breeder, and again when it is the vet's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any

from bot.conversation.hearing import Hearing
from bot.conversation.red_words import vet
from bot.replies import say_units
from core.appetite import OffFood, off_food
from core.entries import Meal
from core.ledger import Ledger
from core.messages import ANSWER, URGENT, Say
from core.roster import BREEDER, Kennel
from core.turns import Memory
from shared.texts import text

USE = timedelta(hours=12)  # so long is the line of use when it comes late; own choice


def look(hearing: Hearing) -> None:
    """Say what a bowl that a nursing dam refused means, once for each time that she goes off her food."""
    if hearing.only_keep or hearing.person.role == "buyer":
        return
    refused = [p.entry.dog for p in hearing.posts if isinstance(p.entry, Meal) and p.entry.eaten == "none"]
    for name in dict.fromkeys(refused):
        dog = hearing.kennel.dog(name)
        found = off_food(dog, hearing.book(), hearing.kennel, hearing.at) if dog is not None else None
        if found is not None:
            _tell(found, hearing)


def _tell(found: OffFood, hearing: Hearing) -> None:
    before = [t for t in _waiting(hearing.mind(BREEDER)) if datetime.fromisoformat(t["vet_at"]) > hearing.at - USE]
    late = hearing.at >= found.vet_at
    told = any(t["dog"] == found.dog and datetime.fromisoformat(t["vet_at"]) == found.vet_at for t in before)
    if told and not late:
        return
    line = _line(found, hearing.scene.kennel, hearing.at, late=late)
    about, priority = ("urgent", URGENT) if late else ("warning", ANSWER)
    hearing.say(line, about=about, priority=priority)
    if not hearing.is_breeder:
        hearing.tell_breeder(line, about=about, priority=priority)
    if not late:
        new = {"dog": found.dog, "vet_at": found.vet_at.isoformat(), "room": hearing.message.room}
        hearing.keep(BREEDER, off_food=[*(t for t in before if t["dog"] != found.dog), new])


def again(
    memory: Mapping[str, Memory], kennel: Kennel, ledger: Ledger, start: datetime, end: datetime
) -> Iterator[Say]:
    """The vet's line of a dam of whom nothing says that she has eaten, where its time is in (start, end]."""
    for told in _waiting(memory.get(BREEDER)):
        at = datetime.fromisoformat(told["vet_at"])
        dog = kennel.dog(told["dog"])
        found = off_food(dog, ledger, kennel, end) if dog is not None and not dog.gone and start < at <= end else None
        if found is None or found.vet_at > end:
            continue
        line = _line(found, kennel, end, late=True)
        for room in dict.fromkeys((told["room"], BREEDER)):
            yield Say(
                key=f"off food:{found.dog}:{told['vet_at']}:{room}", room=room, text=line, about="urgent",
                priority=URGENT, not_after=at + USE,
            )


def times(memory: Mapping[str, Memory]) -> tuple[datetime, ...]:
    """When the vet's line of a dam off her food is to be said."""
    return tuple(datetime.fromisoformat(t["vet_at"]) for t in _waiting(memory.get(BREEDER)))


def _waiting(memory: Memory | None) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = (memory.facts.get("off_food") or []) if memory else []
    return found


def _line(found: OffFood, kennel: Kennel, at: datetime, *, late: bool) -> str:
    name = "remarks.dam_off_food.vet" if late else "remarks.dam_off_food.first"
    when = say_units.moment(found.since if late else found.vet_at, kennel.day_of(at), kennel)
    return text(name, dog=found.dog, time=when, vet=vet(kennel, at))
