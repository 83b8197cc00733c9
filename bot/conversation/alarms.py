"""An alarm asks again every ten minutes until a person answers it.

They are kept in mind in the breeder's line, each for itself: a second one leaves the first standing. One is answered
by the button, by a word that somebody sees to it or of what the vet said, and by a word that takes the sign back
("jk he didn't", "he's breathing now"); never by talk of something else. Who names a dog means that dog's alarm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any

from bot.conversation.about import dogs_named, found
from bot.conversation.heard import speaks_of
from bot.conversation.hearing import Hearing
from core.messages import URGENT, Say
from core.roster import BREEDER, Kennel
from core.turns import Memory
from core.urgent import Alarm, alarm
from core.wording import has, words
from shared.tables import facts
from shared.texts import text

MOST = 12  # two hours; who has not answered by then has long been rung up or is at the vet's; own choice
SWALLOWED = frozenset({"urgent.poison", "urgent.grapes", "urgent.object"})  # being well now takes none of these back


def raised(hearing: Hearing, line: str, sign: str = "", dog: str = "", of: Alarm | None = None) -> None:
    """Keep in mind that an alarm waits for an answer; the same one again begins anew.

    Args:
        sign: which sign it is, as "whelping"; its own words where none is given.
        dog: whose, "" where that is not known. of: the red words, where any.
    """
    sign = sign or line
    told = {
        "at": hearing.at.isoformat(), "room": hearing.message.room, "by": hearing.person.name, "line": line,
        "sign": sign, "dog": dog, "words": of.words if of else "",
        "swallowed": of is not None and of.text_key in SWALLOWED,
    }  # fmt: skip
    settled(hearing, sign, dog)
    hearing.keep(BREEDER, alarm=[*_open(hearing.mind(BREEDER), hearing.at), told])


def end(hearing: Hearing, ends: Callable[[Mapping[str, Any]], bool]) -> None:
    """Forget the alarms of which that is true."""
    told = _open(hearing.mind(BREEDER), hearing.at)
    gone = [t for t in told if ends(t)]
    if gone:
        hearing.keep(BREEDER, alarm=[t for t in told if t not in gone] or None)


def settled(hearing: Hearing, sign: str, dog: str) -> None:
    """Forget that alarm of that dog: its sign is gone."""
    end(hearing, lambda told: (told.get("sign"), told.get("dog")) == (sign, dog))


def heard(hearing: Hearing) -> bool:
    """Forget the alarms that this message answers; never the end of the message's way."""
    here = [t for t in _open(hearing.mind(BREEDER), hearing.at) if _is_near(t, hearing)]
    if not here:
        return False
    if says_seen_to(hearing):
        named = {d.name for d in dogs_named(hearing.message.text, hearing)}
        end(hearing, lambda t: t in here and (not named or t.get("dog", "") in {"", *named}))
        return False
    off = _taken_back(here, hearing)
    end(hearing, lambda t: t in off)
    if off and not hearing.is_breeder:
        quote = " ".join(hearing.message.text.split())[:200]
        hearing.tell_breeder(text("urgent.taken_back", who=hearing.person.name, said=quote), about="urgent")
    return False


def again(memory: Mapping[str, Memory], kennel: Kennel, start: datetime, end: datetime) -> Iterator[Say]:
    """What is asked again after `start` and not after `end`: of each alarm the newest round alone, in its room and
    in the breeder's."""
    every = timedelta(minutes=float(facts("reproduction")["clock"]["repeat_minutes"]))
    for told in _open(memory.get(BREEDER), end):
        first = datetime.fromisoformat(told["at"])
        number = min((end - first) // every, MOST)
        if number < 1 or not start < first + number * every <= end:
            continue
        person = kennel.person(told["by"])
        # A buyer has their own vet and their own hands full: only the breeder is asked again.
        own = () if person is not None and person.role == "buyer" else (told["room"],)
        for room in dict.fromkeys((*own, BREEDER)):
            yield Say(
                key=f"alarm:{told['at']}:{told.get('sign', '')[:40]}:{told.get('dog', '')}:{room}:{number}",
                room=room,
                about="urgent",
                priority=URGENT,
                text=text("urgent.again", line=told["line"]),
                buttons=(text("urgent.on_it"),),
            )


def _open(mind: Memory | None, at: datetime) -> list[dict[str, Any]]:
    """The alarms that still wait; what an older Fettle kept was a single one."""
    told = mind.facts.get("alarm") if mind else None
    every: list[dict[str, Any]] = [told] if isinstance(told, dict) else list(told or [])
    most = timedelta(minutes=(MOST + 1) * float(facts("reproduction")["clock"]["repeat_minutes"]))
    return [t for t in every if at - datetime.fromisoformat(t["at"]) <= most]


def _is_near(told: Mapping[str, Any], hearing: Hearing) -> bool:
    return hearing.is_breeder or hearing.message.room in (told["room"], BREEDER)


def says_seen_to(hearing: Hearing) -> bool:
    """True where the button or a word says that somebody sees to it."""
    if hearing.message.pressed == text("urgent.on_it"):
        return True
    said = hearing.message.text
    return bool(said) and "?" not in said and speaks_of("answered", said) and not speaks_of("not_answered", said)


# Taken back


def _taken_back(here: list[dict[str, Any]], hearing: Hearing) -> list[dict[str, Any]]:
    """The alarms that the words take back: a joke, a denial, the sign gone."""
    said = hearing.message.text
    if not said or "?" in said or alarm(said, hearing.kennel, hearing.on) is not None:
        return []
    named = {d.name for d in dogs_named(said, hearing)}
    meant = [t for t in here if not named or t.get("dog", "") in {"", *named}]
    off = [t for t in meant if _denies(t["words"], said)] if meant else []
    if found("alarm_off.denied", hearing) or found("alarm_off.kidding", hearing):
        off += _newest(meant, hearing)
    elif found("alarm_off.well", hearing) and not found("alarm_off.not_well", hearing):
        off += _newest([t for t in meant if not t.get("swallowed")], hearing)
    return off


def _newest(meant: list[dict[str, Any]], hearing: Hearing) -> list[dict[str, Any]]:
    """The alarm that "he" is about: of those of that sex that the same person raised the last, else the last of all."""
    spoken = {w.text for w in words(hearing.message.text)}
    other = "m" if spoken & {"she", "shes", "her"} else "f" if spoken & {"he", "hes", "him"} else ""
    dogs = {d.name for d in hearing.kennel.living() if other and d.sex == other}
    fits = [t for t in meant if t.get("dog", "") not in dogs]
    own = [t for t in fits if t["by"] == hearing.person.name]
    return (own or fits or meant)[-1:]


def _denies(sign: str, said: str) -> bool:
    """True where the words of the sign stand in the message without its denial, or denied where it had none."""
    told, now = words(sign), words(said)
    deny = facts("urgent")["words"]["deny"]
    content = [w.text for w in told if w.text not in deny and len(w.text) > 2 and w.text not in _SMALL]
    if not content or not all(any(_alike(c, w.text) for w in now) for c in content):
        return False
    found_again = not has(deny, told) and any(w.text in _FOUND for w in now)
    return found_again or has(deny, told) != has(deny, now)


_SMALL = frozenset({"the", "his", "her", "had", "has", "have", "and"})
_FOUND = frozenset({"found", "spat", "safe", "joking", "pretend", "false"})


def _alike(sign: str, word: str) -> bool:
    """"suck" and "sucking", "fit" and "fitting"."""
    short, long = sorted((sign, word), key=len)
    return long.startswith(short) and len(long) - len(short) <= 4
