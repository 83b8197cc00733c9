"""Top-ups of newborns: "topped up green 4x" is kept with how often and when; "are the top-ups working?" is answered."""

from __future__ import annotations

import re
from datetime import date, time, timedelta

from bot.conversation.about import dogs_named, every, found
from bot.conversation.heard import patterns
from bot.conversation.hearing import Hearing
from bot.conversation.red_words import vet
from bot.replies import newborns, topups
from core import newborn
from core.entries import Meal
from core.roster import Dog
from core.topups import TIMES, assess

_Time = tuple[date, time | None, int]  # the day, the time of day where it was said, how often
_Span = tuple[int, int]  # where in the message

MOST = 12  # more top-ups than this in one message are a slip of the thumb
AHEAD = timedelta(minutes=30)  # a clock time so far ahead is of the day before

_CLOCK = re.compile(
    r"(?<![\d.,])([01]?\d|2[0-3])(?:[.:h]([0-5]\d))?\s*(am|pm)?(?![\d.,]*\d|\s*(?:x|times|ml|g|kg)\b)", re.IGNORECASE
)


def answer(hearing: Hearing) -> bool:
    """True where top-ups were told or asked about."""
    return _asked(hearing) or _told(hearing)


def _asked(hearing: Hearing) -> bool:
    asked = found("topups.asked", hearing)
    if asked is None:
        return False
    young = _young(hearing)
    ledger = hearing.book()
    seen = [assess(d, ledger, hearing.kennel, hearing.at) for d in young]
    told = [s for s in seen if s.times] or (seen if dogs_named(hearing.message.text, hearing) else [])
    if not told:
        return False
    hearing.took(asked)
    number = vet(hearing.scene.kennel, hearing.at)
    lines = []
    for one in told:
        lines.append(topups.answer(one, hearing.unit, hearing.kennel, hearing.at, number))
        dog = hearing.kennel.dog(one.dog)
        pup = newborn.assess(dog, ledger, hearing.kennel, hearing.at) if dog else None
        if pup is not None and pup.level == newborn.RED:
            lines.insert(0, newborns.warning(pup, hearing.unit, number))
    hearing.say("\n".join(lines))
    hearing.because(topups.why(told[0]))
    return True


def _told(hearing: Hearing) -> bool:
    if hearing.person.role == "buyer" or any(p.search(hearing.message.text) for p in patterns("topups.not")):
        return False
    matches = list(every("topups.told", hearing))[:1]
    if not matches:
        return False
    dogs = [d for d in dogs_named(matches[0][0], hearing) if d.is_newborn(hearing.on)]
    if not dogs:
        return False
    told, spans = _times_told(hearing.message.text, matches[0].end(), hearing)
    if not told or sum(n for _, _, n in told) > MOST:
        return False
    hearing.took_exactly(matches[0].span(), *spans)
    for dog in dogs:
        for on, clock, n in told:
            if on >= dog.born:
                said = hearing.message.text
                hearing.post(Meal(dog=dog.name, on=on, clock=clock, amount=float(n), unit=TIMES, said=said))
    hearing.mark()
    return True


def _young(hearing: Hearing) -> list[Dog]:
    named = dogs_named(hearing.message.text, hearing)
    return [d for d in named or hearing.kennel.living() if d.is_newborn(hearing.on)]


def _times_told(said: str, end: int, hearing: Hearing) -> tuple[list[_Time], list[_Span]]:
    """Day, clock time and how often, of what stands behind the words: "4x", "at 2.10 and 4am", or once; and where."""
    after = said[end:]
    line = after.split("\n")[0][:60]
    spans = [(end + m.start(), end + m.end()) for p in patterns("topups.milk") for m in p.finditer(line)]
    counted = next((m for p in patterns("topups.count") if (m := p.match(after))), None)
    if counted:
        words = {k: v for k, v in counted.groupdict().items() if v}
        number = int(words["n"]) if "n" in words else {"once": 1, "twice": 2, "thrice": 3}[words["word"].casefold()]
        return [(hearing.on, None, number)], [*spans, (end + counted.start(), end + counted.end())]
    local = hearing.kennel.local(hearing.at)
    clocks: list[_Time] = []
    for m in _CLOCK.finditer(line):
        if not m[2] and not m[3]:
            continue  # a bare figure is no time of day
        hour = int(m[1]) % 12 + (12 if m[3].casefold() == "pm" else 0) if m[3] else int(m[1])
        at = local.replace(hour=hour, minute=int(m[2] or 0), second=0, microsecond=0)
        on = hearing.on - timedelta(days=1) if at - local > AHEAD else hearing.on
        clocks.append((on, at.time(), 1))
        spans.append((end + m.start(), end + m.end()))
    return clocks or [(hearing.on, None, 1)], spans
