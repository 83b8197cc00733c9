"""A birth in one line: when, boy or girl, grams, colour, marks; and what the pup is called until it has a name."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.conversation.heard import LONGEST, patterns, phrases
from core.roster import Dog, Kennel
from core.units import KG_PER_OZ
from shared.texts import text

MOST_WORDS = 16  # a longer message is a story, no line of the night
GRAMS = (60, 1200)  # what a newborn can weigh
AHEAD = timedelta(minutes=30)  # a clock time so far ahead is of the evening before


@dataclass(frozen=True, slots=True, kw_only=True)
class Birth:
    """What one line tells of a pup; kg None and colour, marks "" where nothing was said."""

    sex: str
    kg: float | None = None
    colour: str = ""
    marks: str = ""


def birth_said(said: str) -> Birth | None:
    """The birth that the words tell, None where they tell none."""
    if not said or len(said) > LONGEST or len(said.split()) > MOST_WORDS or "?" in said:
        return None
    low = said.casefold()
    names = phrases()["night"]["sex"]
    sex = next((s for s, words in names.items() if re.search(rf"\b(?:{'|'.join(words)})\b", low)), "")
    born = any(p.search(low) for p in patterns("night.born"))
    kg = _kg(_without_clock(low))
    if not ((sex and (kg is not None or born or _clock(low))) or (born and kg is not None)):
        return None
    return Birth(sex=sex, kg=kg, colour=_colour(low), marks=_marks(low))


def moment(said: str, sent_at: datetime, kennel: Kennel) -> datetime:
    """The moment that a clock time in the words names: the last such time; when it was sent where none is named."""
    clock = _clock(said.casefold()[:LONGEST])
    if clock is None:
        return sent_at
    local = kennel.local(sent_at)
    at = local.replace(hour=clock[0], minute=clock[1], second=0, microsecond=0)
    if at - local > AHEAD:
        at -= timedelta(days=1)
    return at.astimezone(sent_at.tzinfo)


def pup_name(said: Birth, number: int, dam: Dog, kennel: Kennel) -> str:
    """The collar's colour where one was said and is free, else "Boy 1", "Girl 2" in order of birth."""
    taken = {n.casefold() for d in kennel.dogs for n in (d.name, *d.also)}
    if said.colour and said.colour not in taken:
        return said.colour.capitalize()
    if said.colour and f"{dam.name} {said.colour}".casefold() not in taken:  # an older pup wears that colour too
        return text("nights.pup.of", dam=dam.name, pup=said.colour.capitalize())
    name = text(f"nights.pup.{said.sex or 'any'}", n=number)
    return name if name.casefold() not in taken else text("nights.pup.of", dam=dam.name, pup=name)


_GRAMS = re.compile(r"(?<![\d.,:#])(\d{2,4})(?![\d:%]|[.,]\d|\s*(?:min|mins|minutes|hours?|h\b|°))")
_BODY = "toes?|foot|feet|paws?|chest|blaze|tip|tail|spot|star|nose|socks?|mark|patch"
_NO_COLLAR = "discharge|fluid|goo|water|waters|placenta|slime|gums?|tongue|with|and|in"
_CLOCK = re.compile(r"(?<![\d.,])([01]?\d|2[0-3])[.:h]([0-5]\d)(?!\d|\s*(?:kg|g\b|oz|lb))")


def _clock(low: str) -> tuple[int, int] | None:
    found = _CLOCK.search(low)
    return (int(found[1]), int(found[2])) if found else None


def _without_clock(low: str) -> str:
    return _CLOCK.sub(" ", low, count=1)


def _kg(low: str) -> float | None:
    ounces = re.search(r"(?<![\d.])(\d{1,2}(?:\.\d)?)\s*oz\b", low)
    if ounces:
        return float(ounces[1]) * KG_PER_OZ
    for found in _GRAMS.finditer(low):
        if GRAMS[0] <= int(found[1]) <= GRAMS[1]:
            return int(found[1]) / 1000
    return None


def _colour(low: str) -> str:
    """The collar's colour: beside the sex or the word collar, not a mark on the coat ("white toe")."""
    colours = "|".join(phrases()["night"]["colours"])
    sexes = "|".join(w for words in phrases()["night"]["sex"].values() for w in words)
    found = re.search(
        rf"\b({colours})\W+(?:collar\W+)?(?:{sexes})\b|\b({colours})\W+(?:collar|ribbon|wool|band)\b"
        rf"|\b(?:{sexes})\W+({colours})\b(?!\W+(?:[a-z]+\W+)?(?:{_BODY})\b)",
        low,
    )
    if found:
        return next(g for g in found.groups() if g)
    # "girl 318 orange": the only colour of the line, and no mark on the coat.
    bare = [m[1] for m in re.finditer(rf"\b({colours})\b(?!\W+(?:[a-z]+\W+)?(?:{_BODY}|{_NO_COLLAR})\b)", low)]
    return bare[0] if len(bare) == 1 and not _marks(low) else ""


def _marks(low: str) -> str:
    """A mark on the coat: "white toe"."""
    colours = "|".join(phrases()["night"]["colours"])
    found = re.search(rf"\b(?:{colours})\W+(?:[a-z]+\W+)?(?:{_BODY})\b", low)
    return found[0] if found else ""
