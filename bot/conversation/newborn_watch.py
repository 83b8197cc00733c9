"""Newborns in the minute in which they are weighed: losses are said at once, and who was left out."""

from __future__ import annotations

from bot.conversation import alarms
from bot.conversation.hearing import Hearing
from bot.conversation.red_words import vet
from bot.replies import newborns
from core.entries import Temperature, Weight
from core.messages import ANSWER, URGENT
from core.newborn import RED, assess
from core.roster import Dog
from shared.texts import listed, text

MOST_OF_LITTER = 0.6  # so many of a litter weighed in one message, and the others are asked for by name


def look(hearing: Hearing) -> None:
    """Warn of every newborn whose weight or temperature in this message needs it; tell the breeder too."""
    seen = [
        d
        for n in dict.fromkeys(p.entry.dog for p in hearing.posts if isinstance(p.entry, Weight | Temperature))
        if (d := hearing.kennel.dog(n)) is not None and d.is_newborn(hearing.on)
    ]
    if not seen:
        return
    ledger = hearing.book()
    reasons = []
    for dog in seen:
        pup = assess(dog, ledger, hearing.kennel, hearing.at)
        said = newborns.warning(pup, hearing.unit, vet(hearing.scene.kennel, hearing.at))
        if not said:
            continue
        red = pup.level == RED
        if red:
            alarms.raised(hearing, said)
        hearing.say(said, about="urgent" if red else "warning", priority=URGENT if red else ANSWER)
        if not hearing.is_breeder:
            hearing.tell_breeder(said, about="urgent" if red else "warning", priority=URGENT if red else ANSWER)
        reasons.append(newborns.why(pup, hearing.unit))
    if reasons:
        hearing.because("\n".join(reasons))
    missing = _missing(seen, hearing)
    if missing:
        hearing.say(text("newborn.missing", dogs=listed(missing)))


def _missing(seen: list[Dog], hearing: Hearing) -> list[str]:
    """Littermates that were not weighed today while most of the litter was, in this message."""
    weighed = {p.entry.dog for p in hearing.posts if isinstance(p.entry, Weight) and p.entry.on == hearing.on}
    missing: list[str] = []
    for dam, born in dict.fromkeys((d.litter, d.born) for d in seen if d.litter):
        pups = [p.name for p in hearing.kennel.pups_of(dam or "", born)]
        now = [p for p in pups if p in weighed]
        if len(pups) > len(now) >= MOST_OF_LITTER * len(pups):
            missing += [p for p in pups if p not in weighed and not hearing.ledger.of(p, Weight, since=hearing.on)]
    return missing
