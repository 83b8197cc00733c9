"""A reminder of one day: "remind me tomorrow to ring the vet", "remind Tom at 6 to fetch the bags"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, time, timedelta
from typing import Any

from bot.conversation.about import dogs_named
from bot.conversation.days import day_ahead
from bot.conversation.heard import patterns
from bot.conversation.hearing import Hearing
from bot.enrolment import clock_said, is_standing, person_said
from bot.replies import say_units
from core.messages import REMINDER, Say
from core.roster import BREEDER, FAMILY, Kennel, Person
from core.times import instant
from core.turns import Memory
from shared.texts import text

REMINDED = ("breeder", "partner", "family", "gran", "child")  # who is reminded of anything, and may ask for it
_PRONOUN = re.compile(r"\b(?:him|her|his|he|she|it|them)\b", re.IGNORECASE)
AT = time(10, 0)  # where no time is said; own choice
LONGEST = 200  # letters of what is to be done
FURTHEST = timedelta(days=366)
USE = timedelta(hours=8)
_AFTER = {
    "minute": timedelta(minutes=1), "hour": timedelta(hours=1), "day": timedelta(days=1), "week": timedelta(weeks=1),
}
_NUMBERS = {"half an": 0.5, "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}


def answer(words: str, hearing: Hearing) -> bool:
    """True where these words set a reminder of one moment; it is kept, and said when its time has come."""
    said = " ".join(words.split())
    match = next((m for p in patterns("remind_once") if (m := p.match(said))), None)
    who = person_said(match["who"], hearing.kennel, hearing.person) if match else None
    if hearing.person.role == "child" or match is None or who is None or (is_standing(said) and who.role != "buyer"):
        return False
    if who.role not in REMINDED or hearing.person.role not in REMINDED:
        return _refuse(who, hearing)
    at, what = _when(match["rest"], hearing)
    if at is None or not what:
        return False
    what = _named(what, hearing)
    key = _next_key(hearing)
    keep(hearing, at, who, what[:LONGEST], key)
    _remember(hearing, key, what)
    hearing.mark()
    if hearing.message.room == BREEDER:
        day = say_units.day(hearing.kennel.day_of(at), hearing.on, hearing.kennel)
        told = text("reminders.once_set", day=day, time=say_units.clock(at, hearing.kennel), what=what)
        hearing.say(told[0].upper() + told[1:])
    return True


def _refuse(who: Person, hearing: Hearing) -> bool:
    """Only the house is reminded, by the house: that is said, so that nobody waits for what does not come."""
    if hearing.person.role in REMINDED:
        hearing.say(text("reminders.not_them", who=who.name))
    elif who.role == "breeder":  # a word for her, which she has at once
        hearing.say(text("buyers.passed_on", breeder=who.name))
        said = " ".join(hearing.message.text.split())[:LONGEST]
        hearing.tell_breeder(text("buyers.writes", who=hearing.person.name, said=said), about="worry")
    else:
        hearing.say(text("reminders.not_you"))
    return True


def drop(hearing: Hearing) -> list[str]:
    """Forget what this message asked to be reminded of before; what it was."""
    told = _of_message(hearing)
    forget(hearing, [t["key"] for t in told])
    return [t["what"] for t in told]


def forget(hearing: Hearing, keys: Sequence[str]) -> None:
    """Forget these reminders."""
    told = hearing.mind(BREEDER).facts.get("once") or []
    if keys and told:
        hearing.keep(BREEDER, once=[t for t in told if t["key"] not in keys] or None)


def ahead(memory: Memory, after: datetime) -> list[tuple[datetime, str, str]]:
    """The reminders of one moment that are still to come: when, whose, and of what."""
    told = memory.facts.get("once") or []
    found = [(datetime.fromisoformat(t["at"]), str(t["who"]), str(t["what"])) for t in told]
    return sorted(f for f in found if f[0] > after)


def _of_message(hearing: Hearing) -> list[dict[str, Any]]:
    base = _key(hearing)
    told = hearing.mind(BREEDER).facts.get("once") or []
    return [t for t in told if t["key"] == base or t["key"].startswith(f"{base}:again")]


def _key(hearing: Hearing) -> str:
    return f"{hearing.message.room}:{hearing.message.key}"


def _next_key(hearing: Hearing) -> str:
    """The key of one more reminder of this message."""
    before = len(_of_message(hearing))
    return f"{_key(hearing)}:again{before}" if before else _key(hearing)


def _remember(hearing: Hearing, key: str, what: str) -> None:
    """Keep in mind what "undo" takes back; of one message all of them."""
    before = hearing.mind(BREEDER).facts.get("changed") or {}
    at = hearing.at.isoformat()
    same = before if before.get("at") == at and "once" in before else {"once": [], "said": []}
    told = {"at": at, "by": hearing.person.name, "once": [*same["once"], key], "said": [*same["said"], what]}
    hearing.keep(BREEDER, changed=told)


def _named(what: str, hearing: Hearing) -> str:
    """The words with the dog that "him" or "her" is by what stands beside them, because they are said alone later."""
    dogs = dogs_named(hearing.message.text, hearing)
    if len(dogs) != 1 or dogs_named(what, hearing) or not _PRONOUN.search(what):
        return what
    return f"{what} ({dogs[0].name})"


def keep(hearing: Hearing, at: datetime, who: Person, what: str, key: str) -> None:
    """Keep in mind that this is to be said to that person then; what was said long ago is forgotten."""
    told_before = hearing.mind(BREEDER).facts.get("once") or []
    before = [t for t in told_before if datetime.fromisoformat(t["at"]) > hearing.at - USE]
    told = {"at": at.isoformat(), "who": who.name, "what": what, "key": key}
    hearing.keep(BREEDER, once=[*(t for t in before if t["key"] != key), told])


def said_now(memory: Mapping[str, Memory], kennel: Kennel, start: datetime, end: datetime) -> Iterator[Say]:
    """The reminders of one moment whose time is after `start` and not after `end`."""
    told: list[dict[str, Any]] = memory[BREEDER].facts.get("once") or [] if BREEDER in memory else []
    for one in told:
        at = datetime.fromisoformat(one["at"])
        who = kennel.person(one["who"])
        if start < at <= end and who is not None:
            yield _say(one, who, at)


def times(memory: Mapping[str, Memory]) -> tuple[datetime, ...]:
    """When the reminders of one moment are to be said."""
    told = memory[BREEDER].facts.get("once") or [] if BREEDER in memory else []
    return tuple(datetime.fromisoformat(one["at"]) for one in told)


def _say(one: Mapping[str, Any], who: Person, at: datetime) -> Say:
    room = BREEDER if who.role == "breeder" else FAMILY
    what = one["what"]
    said = what[0].upper() + what[1:] if room == BREEDER else text("reminders.to", who=who.name, what=what)
    whole = said if said[-1] in ".?!" else text("reminders.once", said=said)
    return Say(
        key=f"once:{one['key']}", room=room, text=whole, about="reminder", priority=REMINDER, not_after=at + USE
    )


def _when(rest: str, hearing: Hearing) -> tuple[datetime | None, str]:
    """The moment that the words name, and the words without it."""
    what, after, on, clock = rest, None, None, None
    for pattern in patterns("remind_when"):
        for m in pattern.finditer(what):
            told = m.groupdict()
            if told.get("unit"):
                count = _NUMBERS.get(" ".join(told["n"].casefold().split())) or int(told["n"])
                after = count * _AFTER[told["unit"].rstrip("s").casefold()]
            elif told.get("clock"):
                clock = clock_said(m[0])
            else:
                on = day_ahead(m[0], hearing.on, hearing.kennel) or on
        what = pattern.sub(" ", what)
    what = re.sub(r"^(?:to|about|that)\b", "", " ".join(what.split())).strip(" ,.")
    what = re.sub(r"\s+(?:on|at|in)$", "", what)
    if after is not None:
        return hearing.at + after, what
    if on is None and clock is None:
        return None, what
    at = instant(on or hearing.on, clock or AT, hearing.kennel.tz)
    if at <= hearing.at and on is None:  # "at 7" after seven is tomorrow's
        at = instant(hearing.on + timedelta(days=1), clock or AT, hearing.kennel.tz)
    return (at if timedelta(0) < at - hearing.at <= FURTHEST else None), what
