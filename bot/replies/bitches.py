"""Where a bitch stands, in words: due, in season, past due; the vet confirms, and nothing is promised."""

from __future__ import annotations

from datetime import date

from bot.replies import say_units
from bot.replies.cite import because
from core.breeding import IN_SEASON, BreedingStatus
from core.roster import Kennel
from shared.texts import text


def stands(status: BreedingStatus, kennel: Kennel, today: date) -> str:
    """When she is due and what comes before it, or the day of her season; "" where neither is on."""

    def day(on: date) -> str:
        return say_units.calendar_day(on, kennel, today)

    if status.due is not None:
        due = status.due
        said = [text("bitches.due", dog=status.dog, day=day(due.on), first=day(due.earliest), last=day(due.latest))]
        if today > due.vet_after:
            said.append(text("bitches.past"))
        elif today >= due.temperatures_from:
            said.append(text("bitches.near", day=day(due.vet_after)))
        else:
            said.append(text("bitches.before", xray=day(due.xray_from), temperatures=day(due.temperatures_from)))
        return " ".join(said)
    if status.phase == IN_SEASON and status.season_day is not None:
        return text("bitches.season", dog=status.dog, n=status.season_day)
    return ""


def why(status: BreedingStatus, kennel: Kennel, today: date) -> str:
    """What the due date is counted from."""
    if status.due is None:
        return ""
    day = say_units.calendar_day(status.due.counted_from, kennel, today)
    return because(text(f"bitches.basis.{status.due.basis}", day=day), sources=status.due.source)
