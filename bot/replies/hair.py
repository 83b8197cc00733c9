"""The hair of the ears in words: when it is about back, and whether that is in time for a show."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bot.replies import say_units
from bot.replies.cite import because
from core.regrowth import BASES_OF_A_BOOK, Regrowth
from core.roster import Dog, Kennel
from core.units import CM_PER_INCH
from shared.texts import listed, text


def stands(dog: Dog, found: Regrowth | None, show: date | None, kennel: Kennel, today: date, unit: str) -> str:
    """When the hair is about back; with a day of a show, whether that is in time."""
    if found is None:
        return text("hair.none", dog=dog.name)
    if found.back_on is not None:
        return text("hair.seen_back", dog=dog.name, day=say_units.day(found.back_on, today, kennel))
    said = [trimmed(dog, found, kennel, today, unit)]
    if show is not None:
        said.append(text(f"hair.show.{found.by(show)}", day=say_units.calendar_day(show, kennel, today)))
    return " ".join([*said, text("hair.standard")])


def trimmed(dog: Dog, found: Regrowth, kennel: Kennel, today: date, unit: str) -> str:
    """ "Nugget's ear hair, 1 cm taken off: about back 9 May to 23 May."."""
    first, last = (say_units.calendar_day(d, kennel, today) for d in (found.back_from, found.back_to))
    what = ""
    if found.cm is not None:
        how = text(f"hair.{found.means}") if found.means else ""
        what = text("hair.length_said", length=length(found.cm, unit), how=how).rstrip()
    return text("hair.trimmed", dog=dog.name, what=what, first=first, last=last)


def length(cm: float, unit: str) -> str:
    """A length of hair: inches beside pounds, else centimetres."""
    if unit == "lb":
        return text("units.inch", n=say_units.number(cm / CM_PER_INCH, 1))
    return text("units.cm", n=say_units.number(cm, 1))


def why(found: Sequence[Regrowth]) -> str:
    """What the window rests on."""
    if not found:
        return ""
    own = [
        text(f"hair.basis.{f.basis}", dog=f.dog, days=listed([str(n) for n in f.records]))
        for f in found
        if f.basis in BASES_OF_A_BOOK
    ]
    custom = [text("hair.basis.custom")] if len(own) < len(found) else []
    return because(*own, *custom, sources=[s for f in found for s in f.source])
