"""A table of weights in words: what will be written, what is left out, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from bot.replies import say_units
from core.roster import Kennel
from shared.texts import listed, text


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One row of the table: its line in the file, and what was made of it (see `bot.reading.weight_table.Row`)."""

    line: int
    said: str
    dog: str
    on: date | None
    kg: float | None
    wrong: str
    beside: float | None = None


def count(lines: Sequence[Line], kennel: Kennel) -> str:
    """How many are to be written, of which dogs and days, and how many are left out."""
    good = [x for x in lines if not x.wrong and x.on is not None]
    left = len(lines) - len(good)
    if not good:
        return text("weight_table.none", left=left)
    days = sorted(x.on for x in good if x.on is not None)
    dogs = list(dict.fromkeys(x.dog for x in good))
    shown = listed(dogs) if len(dogs) <= 6 else text("weight_table.dogs", n=len(dogs))
    first, last = (say_units.calendar_day(d, kennel, date.min) for d in (days[0], days[-1]))
    name = "weight_table.one" if len(good) == 1 else "weight_table.some"
    said = text(name, n=len(good), dogs=shown, first=first, last=last)
    return said if not left else text("weight_table.with_left", said=said, left=left)


def row(line: Line, kennel: Kennel) -> str:
    """One line of the preview."""
    if line.wrong:
        why = line.wrong.replace(" ", "_")
        beside = "" if line.beside is None else _weight(line.dog, line.on, line.beside, kennel)
        told = text(f"weight_table.why.{why}", beside=beside)
        return text("weight_table.left", line=line.line, said=line.said, why=told)
    assert line.on is not None and line.kg is not None
    day = say_units.calendar_day(line.on, kennel, date.min)
    weight = _weight(line.dog, line.on, line.kg, kennel)
    return text("weight_table.row", line=line.line, dog=line.dog, day=day, weight=weight)


def _weight(name: str, on: date | None, kg: float, kennel: Kennel) -> str:
    dog = kennel.dog(name)
    young = bool(dog and on and dog.is_newborn(on))
    return say_units.weight(kg, kennel.weight_unit, newborn=young)
