"""Reminders in plain words that are no line of the rota: "remind me tomorrow to ring the vet", "remind Tom every
evening at 9 to shut the gate". They are errands: said, never a dose or a bowl in the book."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from bot.conversation import recurring, when_said
from bot.conversation.about import dogs_named
from bot.conversation.doubts import ANSWERS
from bot.conversation.heard import patterns, yes_or_no
from bot.conversation.hearing import Hearing
from bot.conversation.when_said import AT as AT
from bot.conversation.wishes import put_to_breeder
from bot.enrolment import as_figures, is_standing, person_said
from bot.replies import say_units
from core.messages import REMINDER, Say
from core.roster import BREEDER, FAMILY, Kennel, Person
from core.turns import Asked, Memory
from shared.texts import text

LONGEST = 200  # letters of what is to be done
FURTHEST = timedelta(days=366)
USE = timedelta(hours=8)
REMINDED = ("breeder", "partner", "family", "gran", "child")  # who is reminded of anything, and may ask for it
_PRONOUN = re.compile(r"\b(?:him|her|his|he|she|it|them)\b", re.IGNORECASE)


def answer(words: str, hearing: Hearing) -> bool:
    """True where these words set a reminder of one moment; it is kept, and said when its time has come."""
    told = _told(words, hearing)
    if hearing.person.role == "child" or told is None:
        return False
    who, rest = told
    if is_standing(_one_line(words)) and who.role != "buyer":
        return False
    if who.role not in REMINDED or hearing.person.role not in REMINDED:
        return _refuse(who, hearing)
    said, what = when_said.taken(rest, hearing)
    at, what = when_said.moment(said, hearing), errand(what)
    if at is None or not timedelta(0) < at - hearing.at <= FURTHEST or not what:
        return False
    _set(hearing, fact(hearing, at, who, _named(what, hearing)))
    return True


def standing(words: str, hearing: Hearing) -> bool:
    """True where these words set an errand that comes again; asked once the rota has nothing to do with it."""
    told = _told(words, hearing)
    if told is None:
        return False
    who, rest = told
    if who.role not in REMINDED:
        return False
    every, rest = recurring.taken(rest)
    said, what = when_said.taken(rest, hearing)
    what = errand(what)
    if every is None or not what:
        return False
    at = recurring.first(every, when_said.usual(said, hearing.kennel), hearing.at, hearing.kennel)
    new = {**fact(hearing, at, who, _named(what, hearing)), "every": every, "zone": hearing.kennel.zone}
    if not hearing.is_breeder and who.name != hearing.person.name:
        return _ask(hearing, new)
    _set(hearing, new)
    return True


def fact(hearing: Hearing, at: datetime, who: Person, what: str) -> dict[str, Any]:
    """A reminder as it is kept in mind, with who set it, where and when."""
    return {
        "at": at.isoformat(), "who": who.name, "what": what[:LONGEST],
        "key": _next_key(hearing),
        "dogs": [d.name for d in dogs_named(what, hearing)],
        "set": {"at": hearing.at.isoformat(), "by": hearing.person.name, "room": hearing.message.room},
    }  # fmt: skip


def errand(said: str) -> str:
    """What is to be done, without the small words that only led to it."""
    what = " ".join(said.split()).strip(" ,.")
    what = re.sub(r"^(?:(?:to|about|that|and|please|,)\s+)+", "", what, flags=re.IGNORECASE)
    return re.sub(r"\s+(?:on|at|please)$", "", what, flags=re.IGNORECASE).strip(" ,.")


def keep(hearing: Hearing, at: datetime, who: Person, what: str, key: str) -> None:
    """Keep in mind that this is to be said to that person then; what was said long ago is forgotten."""
    put(hearing, {"at": at.isoformat(), "who": who.name, "what": what, "key": key})


def put(hearing: Hearing, told: Mapping[str, Any]) -> None:
    """Keep this reminder in the place of the one with its key."""
    hearing.keep(BREEDER, once=[*(t for t in kept(hearing) if t["key"] != told["key"]), dict(told)])


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


def remember(hearing: Hearing, new: Mapping[str, Any] | None, was: Mapping[str, Any] | None = None) -> None:
    """Keep in mind what "undo" takes back (None for a reminder dropped), and what it brings back; of one message all.
    """
    before = hearing.mind(BREEDER).facts.get("changed") or {}
    at = hearing.at.isoformat()
    same = before if before.get("at") == at and "once" in before else {"once": [], "said": [], "was": []}
    told = {
        "at": at, "by": hearing.person.name, "once": [*same["once"], *([new["key"]] if new else [])],
        "said": [*same["said"], *([one["what"]] if (one := new or was) else [])],
        "was": [*same.get("was", []), *([was] if was else [])],
    }  # fmt: skip
    hearing.keep(BREEDER, changed=told)


def written(hearing: Hearing) -> list[tuple[datetime, str, str]]:
    """The reminders set in this room that are still to come, for "what did you write?": when set, by whom, in words."""
    told = [t for t in kept(hearing) if (t.get("set") or {}).get("room") == hearing.message.room]
    return [(datetime.fromisoformat(t["set"]["at"]), t["set"]["by"], shown(t, hearing)) for t in told]


def ahead(memory: Memory, after: datetime) -> list[dict[str, Any]]:
    """The reminders that are still to come, those that come again last."""
    told = [t for t in memory.facts.get("once") or [] if t.get("every") or datetime.fromisoformat(t["at"]) > after]
    return sorted(told, key=lambda t: (bool(t.get("every")), datetime.fromisoformat(t["at"])))


def kept(hearing: Hearing) -> list[dict[str, Any]]:
    """The reminders that are still to come, those that come again too."""
    told: list[dict[str, Any]] = hearing.mind(BREEDER).facts.get("once") or []
    return [t for t in told if t.get("every") or datetime.fromisoformat(t["at"]) > hearing.at - USE]


def said_now(memory: Mapping[str, Memory], kennel: Kennel, start: datetime, end: datetime) -> Iterator[Say]:
    """The reminders whose time is after `start` and not after `end`."""
    for one in _told_of(memory):
        who = kennel.person(one["who"])
        for at in recurring.moments(one, start, end) if who is not None else ():
            if who is not None and _is_wanted(one, at, kennel):
                yield _say(one, who, at)


def times(memory: Mapping[str, Memory], start: datetime, end: datetime) -> tuple[datetime, ...]:
    """When, after `start` and before `end`, reminders are to be said."""
    return tuple(at for one in _told_of(memory) for at in recurring.moments(one, start, end) if at < end)


def last_said(hearing: Hearing, since: datetime) -> datetime | None:
    """When an errand was last said to the sender in this room after that moment, None where none was."""
    room = BREEDER if hearing.is_breeder else FAMILY
    if hearing.message.room != room:
        return None
    own = [t for t in _told_of(hearing.scene.memory) if t["who"] == hearing.person.name]
    return max((at for t in own for at in recurring.moments(t, since, hearing.at)), default=None)


def in_rota(one: Mapping[str, Any], hearing: Hearing) -> str:
    """A reminder as a line beside the rota: when, who, what."""
    at = datetime.fromisoformat(one["at"])
    if one.get("every"):
        how = recurring.shown(one["every"], at, hearing.kennel)
        return text("house.again", every=how, who=one["who"], what=one["what"])
    day = say_units.day(hearing.kennel.day_of(at), hearing.on, hearing.kennel)
    time = say_units.clock(at, hearing.kennel)
    return text("house.once", day=day, time=time, who=one["who"], what=one["what"])


def shown(one: Mapping[str, Any], hearing: Hearing) -> str:
    """A reminder in words: "Tomorrow at 10:00: ring the vet.", "Every day at 21:00: Tom, shut the gate."."""
    at, who = datetime.fromisoformat(one["at"]), hearing.house.person(one["who"])
    what = one["what"]
    if who is not None and who.name != hearing.person.name:
        what = text("reminders.to", who=who.name, what=what)
    if one.get("every"):
        told = text("reminders.every_set", every=recurring.shown(one["every"], at, hearing.kennel), what=what)
    else:
        day = say_units.day(hearing.kennel.day_of(at), hearing.on, hearing.kennel)
        told = text("reminders.once_set", day=day, time=say_units.clock(at, hearing.kennel), what=what)
    return told[0].upper() + told[1:]


def _told_of(memory: Mapping[str, Memory]) -> list[dict[str, Any]]:
    told: list[dict[str, Any]] = memory[BREEDER].facts.get("once") or [] if BREEDER in memory else []
    return told


def _is_wanted(one: Mapping[str, Any], at: datetime, kennel: Kennel) -> bool:
    """False where every dog that it is about is gone, and in the quiet hours for what comes every few hours.

    A newborn is seen to through the night.
    """
    dogs = [kennel.dog(name) for name in one.get("dogs", ())]
    left = [d for d in dogs if d is not None and not d.gone]
    if dogs and not left:
        return False
    if "hours" not in (one.get("every") or {}):
        return True
    return not when_said.is_quiet(at, kennel) or any(d.is_newborn(kennel.day_of(at)) for d in left)


def _say(one: Mapping[str, Any], who: Person, at: datetime) -> Say:
    room = BREEDER if who.role == "breeder" else FAMILY
    what = one["what"]
    said = what[0].upper() + what[1:] if room == BREEDER else text("reminders.to", who=who.name, what=what)
    whole = said if said[-1] in ".?!" else text("reminders.once", said=said)
    key = f"once:{one['key']}" + (f":{at.isoformat()}" if one.get("every") else "")
    return Say(key=key, room=room, text=whole, about="reminder", priority=REMINDER, not_after=at + USE)


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


def _named(what: str, hearing: Hearing) -> str:
    """The words with the dog that "him" or "her" is by what stands beside them, because they are said alone later."""
    dogs = dogs_named(hearing.message.text, hearing)
    if len(dogs) != 1 or dogs_named(what, hearing) or not _PRONOUN.search(what):
        return what
    return f"{what} ({dogs[0].name})"


def _one_line(words: str) -> str:
    return as_figures(" ".join(words.split()))


def _told(words: str, hearing: Hearing) -> tuple[Person, str] | None:
    """Who is to be reminded, and the other words; None where nobody is."""
    match = next((m for p in patterns("remind_once") if (m := p.match(_one_line(words)))), None)
    who = person_said(match["who"], hearing.kennel, hearing.person) if match else None
    if match is None or who is None:
        return None
    return who, f"{match.groupdict().get('before') or ''} {match['rest']}".strip()


def _set(hearing: Hearing, told: Mapping[str, Any]) -> None:
    put(hearing, told)
    remember(hearing, told)
    hearing.mark()
    said = shown(told, hearing)
    if hearing.message.room == BREEDER:
        hearing.say(said)
    elif told.get("every"):
        own = said if hearing.is_breeder else text("reminders.set_by", who=hearing.person.name, said=said)
        hearing.tell_breeder(own, about="answer" if hearing.is_breeder else "remark")


def _ask(hearing: Hearing, told: Mapping[str, Any]) -> bool:
    """A helper would have somebody else reminded again and again: the breeder decides."""
    asked = text("reminders.ask_rota", who=hearing.person.name, said=shown(told, hearing))
    return put_to_breeder(hearing, "errand", "reminders.only_breeder", asked, told)


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    if meant is None or not hearing.is_breeder:
        return False
    if meant:
        put(hearing, asked.facts)
        remember(hearing, asked.facts)
        hearing.mark()
    else:
        hearing.say(text("reminders.rota_kept"))
    return True


ANSWERS["errand"] = _answered
