"""What a buyer's worries and news come to in the breeder's line: the first at once, those that follow gathered.

A frightened buyer writes six messages in ten minutes. The breeder hears the first, and any that is worse, at once; the
others come together a quarter of an hour later.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any

from bot.conversation.about import found
from bot.conversation.hearing import Hearing
from core.messages import ANSWER, Say
from core.roster import BREEDER, Kennel
from core.turns import Memory
from shared.texts import text

TOLD = "buyers told"  # in the breeder's mind: of each buyer, when a worry was told last, how bad, and what is held back
HOUR, GATHERED = timedelta(hours=1), timedelta(minutes=15)  # own choice
MOST_HELD = 12
ASKS, WORRIES, ILL, TODAY = range(4)  # how pressing


def tell(hearing: Hearing, said: str, quote: str, level: int) -> None:
    """Tell the breeder at once, or keep the words to be told together with others of this hour."""
    who = hearing.person.name
    every: dict[str, Any] = dict(hearing.mind(BREEDER).facts.get(TOLD) or {})
    told = every.get(who)
    if told is not None and hearing.at - datetime.fromisoformat(told["at"]) <= HOUR and level <= int(told["level"]):
        held = [*told["held"], {"at": hearing.at.isoformat(), "said": quote}][-MOST_HELD:]
        hearing.keep(BREEDER, **{TOLD: {**every, who: {**told, "held": held}}})
        return
    # What was held back so far and not yet said comes with the next quarter of an hour.
    before = told["held"] if told is not None else []
    left = [h for h in before if hearing.at - datetime.fromisoformat(h["at"]) < GATHERED]
    held = [{**h, "at": hearing.at.isoformat()} for h in left]
    hearing.keep(BREEDER, **{TOLD: {**every, who: {"at": hearing.at.isoformat(), "level": level, "held": held}}})
    hearing.tell_breeder(said, about="worry")


def gathered(memory: Mapping[str, Memory], kennel: Kennel, start: datetime, end: datetime) -> Iterator[Say]:
    """What was held back, buyer by buyer, each quarter of an hour together."""
    for who, first, at, words in _batches(memory):
        if start < at <= end and kennel.person(who) is not None:
            quotes = " ".join(text("buyers.quote", said=w) for w in words)
            yield Say(
                key=f"buyer:{who}:{first.isoformat()}:{at.isoformat()}", room=BREEDER, about="worry", priority=ANSWER,
                text=text("buyers.also", who=who, said=quotes),
            )  # fmt: skip


def moments(memory: Mapping[str, Memory]) -> tuple[datetime, ...]:
    """When something held back is to be said."""
    return tuple(at for _, _, at, _ in _batches(memory))


def pass_on(hearing: Hearing) -> bool:
    """True where a buyer's news that nothing was said to is one that the breeder must hear; she does, and they know."""
    if hearing.person.role != "buyer" or hearing.message.edit or any(isinstance(o, Say) for o in hearing.out):
        return False
    now = found("buyer_news.now", hearing)
    if hearing.withdrawn or not (now or found("buyer_news.soon", hearing)):
        return False
    quote = " ".join(hearing.message.text.split())[:300]
    breeder = hearing.kennel.breeder.name if hearing.kennel.breeder else text("urgent.the_breeder")
    hearing.say(text("buyers.passed_on", breeder=breeder))
    tell(hearing, text("buyers.writes", who=hearing.person.name, said=quote), quote, TODAY if now else WORRIES)
    return True


def _batches(memory: Mapping[str, Memory]) -> Iterator[tuple[str, datetime, datetime, list[str]]]:
    told: dict[str, Any] = (memory[BREEDER].facts.get(TOLD) or {}) if BREEDER in memory else {}
    for who, one in told.items():
        first = datetime.fromisoformat(one["at"])
        batches: dict[datetime, list[str]] = {}
        for held in one["held"]:
            n = (datetime.fromisoformat(held["at"]) - first) // GATHERED
            batches.setdefault(first + (n + 1) * GATHERED, []).append(str(held["said"]))
        for at, words in batches.items():
            yield who, first, at, words
