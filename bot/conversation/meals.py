"""A second bowl: asked about before it is kept, so that nobody is fed twice unseen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from bot.conversation.doubts import ANSWERS, pack, unpack
from bot.conversation.heard import yes_or_no
from bot.conversation.hearing import Hearing
from bot.replies import say_units
from core import fed
from core.bowls import is_refusal
from core.entries import Entry, Meal
from core.ledger import Posted
from core.turns import Asked
from shared.texts import listed, text

# Two bowls nearer than this are one meal told twice, unless each was named as another meal. Pups on four
# meals a day have about four hours between them. Common practice, no source.
APART = timedelta(hours=3)


def second(entries: Sequence[Entry], hearing: Hearing) -> dict[str, Posted]:
    """Dogs that these bowls would feed a second time, each with the bowl already in the book.

    Newborns are fed around the clock: nobody is asked about their next top-up.
    """
    entries = [e for e in entries if not _is_newborn(e.dog, hearing)]
    bowls = [e for e in entries if isinstance(e, Meal)]
    found = fed.already(bowls, hearing.ledger, hearing.kennel, hearing.at)
    for entry in entries:
        if isinstance(entry, Meal) and entry.eaten is None and not entry.replaces:
            earlier = _already(entry, hearing)
            if earlier:
                found[entry.dog] = earlier
    return found


def _is_newborn(name: str, hearing: Hearing) -> bool:
    dog = hearing.kennel.dog(name)
    return dog is not None and dog.is_newborn(hearing.on)


def ask(entries: Sequence[Entry], already: dict[str, Posted], hearing: Hearing) -> None:
    """Ask whether food was put down a second time; the bowls wait for the answer."""
    first = min(already.values(), key=lambda p: p.at)
    held = [pack(e) for e in entries if isinstance(e, Meal) and e.eaten is None and e.dog in already]
    when = say_units.clock(first.entry.clock or first.at, hearing.kennel)
    dogs = list(already)
    who = dogs[0] if len(dogs) == 1 else (listed(dogs) if len(dogs) <= 3 else text("doubts.them"))
    name = "doubts.fed_yourself" if first.by == hearing.person.name else "doubts.fed_already"
    asked = text(name, by=first.by, dogs=who, time=when)
    hearing.ask("second meal", asked, (text("doubts.yes"), text("doubts.no")), {"meals": held, "by": first.by})


def _already(entry: Meal, hearing: Hearing) -> Posted | None:
    for posted in reversed(hearing.ledger.of(entry.dog, Meal, since=entry.on, until=entry.on)):
        bowl = posted.entry
        assert isinstance(bowl, Meal)
        if is_refusal(bowl):
            continue
        if entry.meal and bowl.meal:
            if entry.meal == bowl.meal:
                return posted
        elif abs(hearing.at - posted.at) < APART and entry.on == hearing.on:
            return posted
    return None


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    if meant is None:
        return False
    if meant:
        dogs = []
        for facts in asked.facts["meals"]:
            entry = unpack(facts)
            hearing.post(entry)
            dogs.append(entry.dog)
        by = str(asked.facts["by"])
        hearing.tell_breeder(text("remarks.fed_twice", dogs=listed(list(dict.fromkeys(dogs))), first=by))
    hearing.mark()
    return True


ANSWERS["second meal"] = _answered
