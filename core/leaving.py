"""May a pup go home? The breeder's list, its age, gain, vaccine and stool; the law where it lives decides."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from core.care import WORMER, worm_gap
from core.entries import Dose, LeaveItem, Sign
from core.ledger import Ledger
from core.roster import Dog, Kennel
from core.weighings import daily, instant
from shared.tables import facts


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """Whether a pup may go home on a day.

    Attributes:
        from_on: the first day by age (eight weeks; the law where it lives may say later). too_young: a hard stop.
        missing: what still lacks: `chip`, `vet check`, `contract`, `papers`, `food` (ticked by the breeder), and
            `vaccine`, `vaccine a day old`, `wormer`, `weight this week`, `gained`, `firm stool` from the book.
        gained_kg: over the last week, None where it can't be told.
    """

    dog: str
    on: date
    from_on: date
    too_young: bool
    missing: tuple[str, ...]
    gained_kg: float | None = None
    source: tuple[str, ...] = ("licensing-2018", "leaving-custom")
    caution: tuple[str, ...] = ("check_your_law", "breeder_decides")

    @property
    def ready(self) -> bool:
        """True where nothing lacks and it is old enough."""
        return not self.too_young and not self.missing


def ready(dog: Dog, ledger: Ledger, kennel: Kennel, at: datetime, ticked: Collection[str] = ()) -> Leaving:
    """What a pup still lacks to go home at a moment (aware); ticked in the book, or by `ticked`."""
    rule = facts("reproduction")["leave"]
    on = kennel.day_of(at)
    from_on = dog.born + timedelta(days=int(rule["days"]))
    done = {t.item for t in ledger.entries(dog.name, LeaveItem, until=on)} | set(ticked)
    missing = [item for item in rule["ticked"] if item not in done]
    missing += _doses(dog, ledger, kennel, at)
    week = timedelta(days=int(rule["gained_within_days"]))
    weighings = daily(dog, ledger, on)
    lately = [w for w in weighings if w.on > on - week]
    gained = None
    if not lately:
        missing.append("weight this week")
    else:
        before = [w for w in weighings if w.on <= lately[-1].on - timedelta(days=2)]
        if before:
            since = next((w for w in reversed(before) if w.on <= lately[-1].on - week + timedelta(days=1)), before[0])
            gained = lately[-1].kg - since.kg
        if gained is None or gained <= 0:
            missing.append("gained")
    loose = ledger.entries(dog.name, Sign, since=on - timedelta(days=int(rule["stool_days"])), until=on)
    if any(s.sign == "diarrhoea" for s in loose):
        missing.append("firm stool")
    return Leaving(
        dog=dog.name, on=on, from_on=from_on, too_young=on < from_on, missing=tuple(missing), gained_kg=gained
    )


def _doses(dog: Dog, ledger: Ledger, kennel: Kennel, at: datetime) -> list[str]:
    rule = facts("reproduction")["leave"]
    doses = [p for p in ledger.of(dog.name, Dose, until=kennel.day_of(at)) if isinstance(p.entry, Dose)]
    vaccines = [p for p in doses if isinstance(p.entry, Dose) and p.entry.dose == "vaccine"]
    wormed = [p.entry.on for p in doses if isinstance(p.entry, Dose) and p.entry.dose == WORMER]
    out = []
    if not vaccines:
        out.append("vaccine")
    elif at - instant(vaccines[-1], kennel) < timedelta(hours=float(rule["vaccine_hours"])):
        out.append("vaccine a day old")
    if not wormed or (kennel.day_of(at) - wormed[-1]).days > max(
        int(rule["wormed_within_days"]), worm_gap(dog, wormed[-1])
    ):
        out.append("wormer")
    return out
