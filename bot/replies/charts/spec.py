"""The short description of a picture that travels with its caption; the picture is drawn when it is sent.

"chart:weight:Nugget:2026-03-14", with ":lb", ":dark" or ":people" after it where they are not the kennel's way.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

WEIGHT, GROWTH, EARS, LITTER, FOOD = "weight", "growth", "ears", "litter", "food"
KINDS = (WEIGHT, GROWTH, EARS, LITTER, FOOD)
UNITS, LOOKS, PEOPLE = ("kg", "lb"), ("light", "dark"), "people"


class ChartError(ValueError):
    """A picture that can't be drawn: the text says which."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec:
    """One picture.

    Attributes:
        kind: one of `KINDS`: `weight` has watched ears under its last weeks, `growth` is the weights alone.
        dog: whose (a litter's dam). on: as of the end of that day.
        unit: `kg` or `lb`, "" for the kennel's. look: `light` or `dark`, "" for the kennel's.
        people: whether treats are shown by person; that is drawn in the breeder's line alone.
    """

    kind: str
    dog: str
    on: date
    unit: str = ""
    look: str = ""
    people: bool = False

    def __str__(self) -> str:
        parts = ["chart", self.kind, self.dog, self.on.isoformat(), self.unit, self.look, PEOPLE * self.people]
        return ":".join(p for p in parts if p)


def parse(said: str) -> Spec:
    """The description as it was written.

    Raises:
        ChartError: no such picture, or no such day.
    """
    parts = said.split(":")
    unit, look, people = "", "", False
    while len(parts) > 4 and parts[-1] in (*UNITS, *LOOKS, PEOPLE):
        last = parts.pop()
        unit, look, people = (
            last if last in UNITS else unit,
            last if last in LOOKS else look,
            people or last == PEOPLE,
        )
    if len(parts) < 4 or parts[0] != "chart" or parts[1] not in KINDS:
        raise ChartError(f"no such picture: {said[:60]!r}")
    try:
        on = date.fromisoformat(parts[-1])
    except ValueError:
        raise ChartError(f"no such day: {parts[-1][:20]!r}") from None
    return Spec(kind=parts[1], dog=":".join(parts[2:-1]), on=on, unit=unit, look=look, people=people)
