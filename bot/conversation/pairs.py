"""Health tests for breeding, and "can I mate these two on that day?": rules and figures, never a verdict."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta

from bot.conversation.about import dogs_named, found
from bot.conversation.days import day_ahead
from bot.conversation.heard import patterns, phrases
from bot.conversation.hearing import Hearing
from bot.replies import pairing as words
from core import pairing
from core.classes import birthday
from core.entries import HealthTest
from core.pedigree import PedigreeError
from core.roster import BREEDER, Dog, months_between
from shared.texts import text

GROWN_MONTHS = 6  # no younger pair is put together to mate; common practice, no source
MOST_RESULT = 30  # letters of a result; more is a story


def answer(hearing: Hearing) -> bool:
    """True where a health test was told, or the breeder asked about a pair."""
    return _asked(hearing) or _told(hearing)


def _asked(hearing: Hearing) -> bool:
    asked = found("pairs.asked", hearing) if hearing.is_breeder else None
    if asked is None:
        return False
    named = dogs_named(hearing.message.text, hearing)
    surely = found("pairs.surely", hearing) is not None
    if len(named) > 2 or not (surely or _could_be_mated(named, hearing)):
        return False
    if len(named) != 2:
        hearing.took(asked)
        hearing.tell_breeder(text("pairing.two_dogs"), about="answer")
        return True
    hearing.took(asked)
    dam, sire = _by_sex(*named)
    on = day_ahead(hearing.message.text, hearing.on, hearing.kennel)
    try:
        seen = pairing.check(dam, sire, hearing.book(), hearing.house, hearing.on, on)
    except PedigreeError as circle:
        hearing.tell_breeder(text("pairing.circle", name=str(circle).partition(" stands")[0]), about="answer")
        return True
    hearing.tell_breeder(words.answer(seen, hearing.house, hearing.on), about="answer")
    hearing.because(words.why(seen), BREEDER)
    return True


def _could_be_mated(named: Sequence[Dog], hearing: Hearing) -> bool:
    """Whether "put Fjord to Linnet" can be of a mating: a grown dog of each sex, and no place to put them."""
    grown = all(months_between(d.born, hearing.on) >= GROWN_MONTHS for d in named)
    return len(named) == 2 and grown and {d.sex for d in named} == {"m", "f"} and not found("pairs.elsewhere", hearing)


def _by_sex(first: Dog, second: Dog) -> tuple[Dog, Dog]:
    """The two as bitch and dog; as they were named where the list does not tell."""
    return (second, first) if first.sex == "m" or second.sex == "f" else (first, second)


# A test told: "Linnet eye test clear, valid until 14 August 2026"


def _told(hearing: Hearing) -> bool:
    told = found("health_test.told", hearing)
    if told is None or "?" in hearing.message.text or hearing.person.role == "buyer":
        return False
    if any(p.search(hearing.message.text) for p in patterns("health_test.not")):
        return False
    dogs = dogs_named(told[0], hearing)
    if len(dogs) != 1 or dogs[0].is_newborn(hearing.on):
        return False
    name, rest = _test_named(told["test"]), told["rest"]
    on, until = _days_said(rest, hearing)
    if on > hearing.on or (until is not None and until < on):
        return False
    hearing.took(told)
    said = hearing.message.text
    hearing.post(HealthTest(dog=dogs[0].name, on=on, test=name, result=_result(rest), until=until, said=said))
    hearing.mark()
    return True


def _test_named(word: str) -> str:
    low = word.casefold()
    return str(next(name for name, known in phrases()["health_test"]["names"].items() if low in known))


def _days_said(rest: str, hearing: Hearing) -> tuple[date, date | None]:
    """The day of the test (today where none is said), and the last day it is good for, None where none is said."""
    mark = next((m for p in patterns("health_test.until") if (m := p.search(rest))), None)
    before, after = (rest[: mark.start()], rest[mark.end() :]) if mark else (rest, "")
    on = hearing.on
    if any(p.search(before) for p in patterns("health_test.yesterday")):
        on -= timedelta(days=1)
    elif re.search(r"\b20\d{2}\b", before):
        on = day_ahead(before, hearing.on, hearing.kennel) or on
    until = day_ahead(after, hearing.on, hearing.kennel) if mark else None
    if until is None and mark:
        months = next((m for p in patterns("health_test.months") if (m := p.search(rest))), None)
        if months:
            number = int(months["n"]) if months["n"].isdigit() else 1
            until = birthday(on, number * (12 if months["unit"].casefold().startswith("y") else 1))
    return on, until


def _result(rest: str) -> str:
    """What stands first behind the test, up to a mark, a day or "until"."""
    head = re.split(r"[,;.\n(]|\s-\s", rest.strip(" :=-"), maxsplit=1)[0]
    for name in ("health_test.until", "health_test.yesterday", "health_test.day"):
        for p in patterns(name):
            head = p.split(head, maxsplit=1)[0]
    head = " ".join(head.split())
    return head if len(head) <= MOST_RESULT else ""
