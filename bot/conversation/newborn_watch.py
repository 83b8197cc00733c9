"""Newborns in the minute in which they are weighed: losses are said at once, and who was left out."""

from __future__ import annotations

from bot.conversation import alarms
from bot.conversation.hearing import Hearing
from bot.conversation.red_words import vet
from bot.replies import newborns
from core import care, newborn
from core.entries import Temperature, Weight
from core.messages import ANSWER, URGENT
from core.newborn import RED
from core.roster import BREEDER, Dog
from shared.texts import listed, text

WEIGHED, LITTER = "newborn weighed", "litter weighed"  # alarms that a later weight can end
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
    number = vet(hearing.scene.kennel, hearing.at)
    reasons = []
    together: set[str] = set()
    slow = _slow_litters(seen, hearing)
    for dam in {d.litter for d in seen} - {litter.dam for litter in slow}:
        alarms.settled(hearing, LITTER, dam or "")
    for litter in slow:
        weighed = [p for p in litter.pups if p.dog in litter.weighed_today]
        bad = {p.dog for p in weighed if newborns.warning(p, hearing.unit, number)}
        dull = any(care.is_unwell(d, ledger, hearing.on) for d in hearing.kennel.pups_of(litter.dam, litter.born))
        level = newborns.litter_level(litter, bad, dull=dull)
        if not _is_news(litter.dam, level, hearing):
            continue
        said = newborns.litter_warning(litter, bad, level, hearing.unit, number)
        _warn(said, level == "now", hearing, LITTER, litter.dam)
        together |= bad
        reasons += [newborns.why(p, hearing.unit) for p in litter.pups if p.dog in bad]
    for dog in seen:
        pup = newborn.assess(dog, ledger, hearing.kennel, hearing.at)
        said = newborns.warning(pup, hearing.unit, number)
        if pup.level != RED:
            alarms.settled(hearing, WEIGHED, dog.name)
        # What to do for a cold or hot pup is its own.
        if not said or (dog.name in together and not newborns.HEAT & set(pup.warnings)):
            continue
        _warn(said, pup.level == RED, hearing, WEIGHED, dog.name)
        reasons.append(newborns.why(pup, hearing.unit))
    if reasons:
        hearing.because("\n".join(reasons))
    missing = _missing(seen, hearing)
    if missing:
        hearing.say(text("newborn.missing", dogs=listed(missing)))


def _warn(said: str, red: bool, hearing: Hearing, sign: str, dog: str) -> None:
    if red:
        alarms.raised(hearing, said, sign, dog)
    about, priority = ("urgent", URGENT) if red else ("warning", ANSWER)
    hearing.say(said, about=about, priority=priority)
    if not hearing.is_breeder:
        hearing.tell_breeder(said, about=about, priority=priority)


def _slow_litters(seen: list[Dog], hearing: Hearing) -> list[newborn.LitterDay]:
    """The litters of the pups weighed in this message that are slow as a whole."""
    weighed = {p.entry.dog for p in hearing.posts if isinstance(p.entry, Weight)}
    dams = dict.fromkeys(d.litter for d in seen if d.litter and d.name in weighed)
    known = [dam for name in dams if (dam := hearing.kennel.dog(name)) is not None]
    litters = [newborn.litter(dam, hearing.book(), hearing.kennel, hearing.at) for dam in known]
    return [litter for litter in litters if litter.litter_slow and weighed & set(litter.slow)]


def _is_news(dam: str, level: str, hearing: Hearing) -> bool:
    """True the first time on a day that it is said of a litter, and once more where it has become pressing."""
    told = dict(hearing.mind(BREEDER).facts.get("litter_slow") or {})
    today = hearing.on.isoformat()
    if told.get(dam) in ([today, level], [today, "now"]):
        return False
    hearing.keep(BREEDER, litter_slow={**{d: t for d, t in told.items() if t[0] == today}, dam: [today, level]})
    return True


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
