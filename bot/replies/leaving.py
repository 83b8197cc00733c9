"""Whether a pup may go home, in words: the list, never a promise about the law."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bot.replies import say_units
from bot.replies.cite import because
from core.leaving import Leaving
from core.roster import Kennel
from shared.texts import listed, text


def stands(found: Leaving, kennel: Kennel, today: date) -> str:
    """One line: too young, or what is missing, or that the list is done."""
    said = []
    if found.too_young:
        said.append(text("leaving.too_young", dog=found.dog, day=say_units.calendar_day(found.from_on, kennel, today)))
    if found.missing:
        what = listed([text(f"leaving.item.{item.replace(' ', '_')}") for item in found.missing])
        said.append(text("leaving.missing", dog=found.dog, what=what))
    elif not found.too_young:
        said.append(text("leaving.ready", dog=found.dog))
    return " ".join(said)


def why(found: Sequence[Leaving]) -> str:
    """Where the age and the list come from."""
    return because(text("leaving.why"), sources=[s for f in found for s in f.source])
