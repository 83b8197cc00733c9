"""What was last done, in a line: "Moss: wormed 18 March, by Wren."."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from bot.replies import kept, say_units
from core.breeding import Window
from core.entries import Dose, Meal
from core.ledger import Posted
from core.roster import Kennel
from shared.texts import listed, text

CHECKED = ("wormer", "vaccine", "flea and tick", "medicine")  # what harms when given twice


def last(name: str, found: Mapping[str, Posted | None], kennel: Kennel, on: date) -> str:
    """One line for each day and hand, and one for the dogs without a note, which is no proof that nothing was done."""
    lines: dict[str, list[str]] = {}
    for dog, posted in found.items():
        lines.setdefault(_told(posted, kennel, on) if posted else "", []).append(dog)
    out = [text("given.line", dogs=listed(dogs), what=told) for told, dogs in lines.items() if told]
    if "" in lines:
        what = text(f"given.what.{name.replace(' ', '_')}")
        line = "given.none_check" if name in CHECKED else "given.none"
        out.append(text(line, dogs=listed(lines[""]), what=what))
    return "\n".join(out)


def season_ahead(dog: str, when: Window | None, kennel: Kennel, on: date) -> str:
    """When her next season is likely, from her own; a window, never a day."""
    if when is None:
        return text("given.no_season", dog=dog)
    low, high = (say_units.calendar_day(d, kennel, on) for d in (when.earliest, when.latest))
    line = "given.season_roughly" if "few_seasons" in when.caution else "given.season"
    if "silent_or_not_logged" in when.caution:
        line = "given.season_past"
    return text(line, dog=dog, low=low, high=high)


def _told(posted: Posted, kennel: Kennel, on: date) -> str:
    entry = posted.entry
    day = say_units.day(entry.on, on, kennel)
    at = entry.clock or (posted.at if kennel.day_of(posted.at) == entry.on and isinstance(entry, Dose | Meal) else None)
    if at is not None and entry.on == on:
        day = text("given.at", day=day, time=say_units.clock(at, kennel))
    fact = kept.fact(entry, kennel, kennel.weight_unit)
    return text("given.by", fact=fact, day=day, by=posted.by) if posted.by else text("given.bare", fact=fact, day=day)
