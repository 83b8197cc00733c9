"""Ear hair after a trim: when it is about back, by the dog's own record where there is one; for a show's date too.

Hair is "back" on the day on which somebody wrote that it is, so a record says "by then", never "on that day".
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from core.entries import Groom
from core.ledger import Ledger
from core.roster import Dog, Kennel
from shared.tables import facts

TRIM, BACK = "ear trim", "ear hair back"
OFF, LEFT = "off", "left"  # what a stated length is: taken off, or left on
OWN, HOUSE, CUSTOM = "own", "house", "custom"
BASES_OF_A_BOOK = frozenset({OWN, HOUSE})
LIKELY, TIGHT, TOO_SOON = "likely", "tight", "too_soon"


@dataclass(frozen=True, slots=True, kw_only=True)
class Regrowth:
    """The newest ear trim of a dog.

    Attributes:
        trimmed_on: its day. cm: the length that was said, None for none; means: `off` (taken off) or `left` (left on),
            as it was said or as the breeder always means it; "" where nobody knows.
        back_from, back_to: when the hair is about back. back_on: the day on which it was seen to be back, None before.
        records: days from trim to back that the window rests on. basis: `own`, `house` (the kennel's other dogs) or
            `custom` (8 to 10 weeks).
    """

    dog: str
    trimmed_on: date
    back_from: date
    back_to: date
    back_on: date | None = None
    cm: float | None = None
    means: str = ""
    records: tuple[int, ...] = ()
    basis: str = CUSTOM
    source: tuple[str, ...] = ("ear-custom",)
    caution: tuple[str, ...] = ("check_breed_standard",)

    def by(self, show: date) -> str:
        """`likely` back by that day, `tight` or `too_soon`; common practice, with a margin of our own choice."""
        rule = facts("ears")["steps"]
        if self.back_on is not None and self.back_on <= show:
            return LIKELY
        if show >= self.back_to - timedelta(days=rule["show_margin_days"]):
            return LIKELY
        return TIGHT if show >= self.back_from - timedelta(days=rule["tight_before_days"]) else TOO_SOON


def assess(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> Regrowth | None:
    """The dog's newest ear trim as of a day and when its hair is about back; None where there was none."""
    trims = [g for g in ledger.entries(dog.name, Groom, until=on) if g.task == TRIM]
    if not trims:
        return None
    last = trims[-1]
    basis, records = OWN, regrown_in(dog, ledger, on)
    if not records:
        others = [d for d in kennel.dogs if d.name != dog.name]
        basis, records = HOUSE, tuple(days for d in others for days in regrown_in(d, ledger, on))
    rule = facts("ears")["steps"]
    if records:
        first, latest = min(records) - rule["record_margin_days"], max(records) + rule["record_margin_days"]
    else:
        basis = CUSTOM
        first, latest = (7 * weeks for weeks in rule["regrow_weeks"])
    seen = [g.on for g in ledger.entries(dog.name, Groom, since=last.on, until=on) if g.task == BACK]
    return Regrowth(
        dog=dog.name,
        trimmed_on=last.on,
        back_from=last.on + timedelta(days=first),
        back_to=last.on + timedelta(days=latest),
        back_on=seen[0] if seen else None,
        cm=last.cm,
        means=last.cut or (kennel.trim_means if last.cm is not None else ""),
        records=records,
        basis=basis,
        source=("ear-custom",) if basis == CUSTOM else (),
    )


def regrown_in(dog: Dog, ledger: Ledger, on: date) -> tuple[int, ...]:
    """Days from each trim to the day on which its hair was seen to be back; a trim cut short by the next has none."""
    rule = facts("ears")["steps"]
    found, start = [], None
    for g in ledger.entries(dog.name, Groom, until=on):
        if g.task == TRIM:
            start = g.on
        elif g.task == BACK and start is not None:
            days = (g.on - start).days
            if rule["record_least_days"] <= days <= rule["record_most_days"]:
                found.append(days)
            start = None
    return tuple(found)
