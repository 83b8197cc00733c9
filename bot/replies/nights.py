"""Whelping night in words: minutes, born, owed; the vet's line alone where a line is reached; gentle near a loss."""

from __future__ import annotations

from core.whelping import WhelpingClock
from shared.texts import text

HOUR = 60


def stands(now: WhelpingClock) -> str:
    """ "75 min since the last, 4 born, 2 owed." """
    said = []
    if now.minutes_since_pup is not None:
        said.append(text("nights.since_pup", n=round(now.minutes_since_pup)))
    elif now.hours_since_drop is not None:
        said.append(text("nights.since_drop", n=round(now.hours_since_drop)))
    said.append(text("nights.born", n=now.born))
    if now.owed is not None:
        said.append(text("nights.owed", n=now.owed))
    if now.minutes_pushing is not None:
        said.append(text("nights.pushing", n=round(now.minutes_pushing)))
    shown = ", ".join(said)
    return shown[0].upper() + shown[1:] + "."


def ring(dam: str, now: WhelpingClock, vet: str) -> str:
    """The vet's line and why, nothing else."""
    key = now.lines[0] if now.lines else "between"
    return text("nights.ring", dam=dam, vet=vet, why=text(f"nights.line.{key}"))


def stillborn(living: int) -> str:
    """A stillborn pup: written down, and how many live."""
    return text("nights.stillborn_living", n=living) if living else text("nights.stillborn")


def done(dam: str, born: int, living: int) -> str:
    """The night is over."""
    if born == living:
        return text("nights.done", dam=dam, n=born)
    return text("nights.done_living", dam=dam, n=born, living=living)
