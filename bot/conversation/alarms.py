"""An alarm asks again every ten minutes until a person answers.

It is kept in mind in the breeder's line. A word of anybody else in that room answers it, a word of hers anywhere, and
of whoever raised it a word that somebody is seeing to it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta

from bot.conversation.heard import speaks_of
from bot.conversation.hearing import Hearing
from core.messages import URGENT, Say
from core.roster import BREEDER, Kennel
from core.turns import Memory
from shared.tables import facts
from shared.texts import text

MOST = 12  # two hours; who has not answered by then has long been rung up or is at the vet's; own choice


def raised(hearing: Hearing, line: str) -> None:
    """Keep in mind that an alarm waits for an answer."""
    told = {"at": hearing.at.isoformat(), "room": hearing.message.room, "by": hearing.person.name, "line": line}
    hearing.keep(BREEDER, alarm=told)


def heard(hearing: Hearing) -> bool:
    """Forget an alarm that this message answers; never the end of the message's way."""
    told = hearing.mind(BREEDER).facts.get("alarm")
    if not told:
        return False
    own = hearing.person.name == told["by"]
    near = hearing.is_breeder or hearing.message.room in (told["room"], BREEDER)
    on_it = hearing.message.pressed == text("urgent.on_it") or speaks_of("answered", hearing.message.text)
    if near and (on_it or not own):
        hearing.keep(BREEDER, alarm=None)
    return False


def again(memory: Mapping[str, Memory], kennel: Kennel, start: datetime, end: datetime) -> Iterator[Say]:
    """What is asked again after `start` and not after `end`: the newest round alone, in the alarm's room and hers."""
    told = memory[BREEDER].facts.get("alarm") if BREEDER in memory else None
    if not told:
        return
    first = datetime.fromisoformat(told["at"])
    every = timedelta(minutes=float(facts("reproduction")["clock"]["repeat_minutes"]))
    number = min((end - first) // every, MOST)
    if number < 1 or not start < first + number * every <= end:
        return
    person = kennel.person(told["by"])
    # A buyer has their own vet and their own hands full: only the breeder is asked again.
    own = () if person is not None and person.role == "buyer" else (told["room"],)
    for room in dict.fromkeys((*own, BREEDER)):
        yield Say(
            key=f"alarm:{told['at']}:{room}:{number}",
            room=room,
            about="urgent",
            priority=URGENT,
            text=text("urgent.again", line=told["line"]),
            buttons=(text("urgent.on_it"),),
        )
