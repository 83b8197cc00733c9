"""Top-ups of a newborn in words: gain with and without, who gave them; never an amount, never a cause."""

from __future__ import annotations

from datetime import datetime

from bot.replies import say_units
from bot.replies.cite import because
from core.roster import Kennel
from core.topups import Giver, Side, TopUps
from shared.texts import listed, text


def answer(found: TopUps, unit: str, kennel: Kennel, now: datetime, vet: str) -> str:
    """Gain in 12 hours with top-ups beside that without, littermates, what follows, and who gave them when."""
    if not found.times:
        return text("topups.none", dog=found.dog)
    return " ".join([*_figures(found, unit, vet), *_who(found, kennel, now)])


def why(found: TopUps) -> str:
    """How it was reckoned."""
    return because(text("topups.why"), sources=found.source)


def _figures(found: TopUps, unit: str, vet: str) -> list[str]:
    if found.with_ is None:
        return [text("topups.too_few", dog=found.dog)]
    if found.without is None:
        line = text("topups.only_with", dog=found.dog, gain=_gain(found.with_, unit), times=_times(found.with_.times))
    else:
        line = text(
            "topups.both", dog=found.dog, gain=_gain(found.with_, unit), times=_times(found.with_.times),
            other=_gain(found.without, unit),
        )  # fmt: skip
    said = [line]
    mates = [side.mates_g for side in (found.with_, found.without) if side is not None]
    shown = [say_units.signed(g / 1000, unit, newborn=True) for g in mates if g is not None]
    if len(shown) == len(mates):
        said.append(text("topups.mates", gains=listed(shown)))
    said.append(text(f"topups.level.{found.level}", vet=vet))
    return said


def _who(found: TopUps, kennel: Kennel, now: datetime) -> list[str]:
    people = [text("topups.by", who=g.by, times=_times(g.times), when=_when(g, kennel, now)) for g in found.givers]
    said = [text("topups.givers", people="; ".join(people))]
    if found.since_weighed:
        said.append(text("topups.since_weighed", times=_times(found.since_weighed)))
    return said


def _gain(side: Side, unit: str) -> str:
    return say_units.signed(round(side.gain_g) / 1000, unit, newborn=True)


def _times(n: int) -> str:
    return say_units.times(n)


def _when(giver: Giver, kennel: Kennel, now: datetime) -> str:
    on, today = kennel.day_of(giver.last), kennel.day_of(now)
    clock = say_units.clock(giver.last, kennel)
    return clock if on == today else f"{say_units.day(on, today, kennel)} {clock}"
