"""A dog's life beside its weights: teeth, ear trims, new orders and foods, seasons, litters, signs of illness."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import zip_longest

from core.entries import Groom, Season, Sign, Tooth, Whelping
from core.ledger import Ledger
from core.roster import Dog, Ration

TOOTH, EAR_TRIM, ORDER, FOOD = "tooth", "ear_trim", "order", "food"
SEASON, WHELPED, UNWELL = "season", "whelped", "unwell"
KINDS = (TOOTH, EAR_TRIM, ORDER, FOOD, SEASON, WHELPED, UNWELL)


@dataclass(frozen=True, slots=True, kw_only=True)
class LifeEvent:
    """One thing that happened on a local day; `cups` a day of a new `order`, None for the other kinds."""

    on: date
    kind: str
    cups: float | None = None


def events(dog: Dog, ledger: Ledger, since: date, until: date) -> tuple[LifeEvent, ...]:
    """What happened from `since` to `until`, both counted, by day; once for each kind and day."""
    found = {LifeEvent(on=t.on, kind=TOOTH) for t in ledger.entries(dog.name, Tooth, since=since, until=until)}
    found |= {
        LifeEvent(on=g.on, kind=EAR_TRIM)
        for g in ledger.entries(dog.name, Groom, since=since, until=until)
        if g.task == "ear trim"
    }
    found |= {LifeEvent(on=s.on, kind=SEASON) for s in ledger.entries(dog.name, Season, since=since, until=until)}
    found |= {LifeEvent(on=w.on, kind=WHELPED) for w in ledger.entries(dog.name, Whelping, since=since, until=until)}
    found |= {LifeEvent(on=s.on, kind=UNWELL) for s in ledger.entries(dog.name, Sign, since=since, until=until)}
    found |= {e for e in _changes_of_bowl(dog) if since <= e.on <= until}
    return tuple(sorted(found, key=lambda e: (e.on, KINDS.index(e.kind))))


def _changes_of_bowl(dog: Dog) -> set[LifeEvent]:
    """Each first day of another order or food, by what the dog was fed before."""
    found = set()
    for was, now in zip_longest(dog.before, dog.before[1:]):
        ration = dog.ration if now is None else now.ration
        first = was.until + timedelta(days=1)
        if _cups(ration) != _cups(was.ration) and ration:
            found.add(LifeEvent(on=first, kind=ORDER, cups=sum(r.cups for r in ration)))
        food = dog.food if now is None else now.food and now.food.name
        if was.food is not None and food is not None and food != was.food.name:
            found.add(LifeEvent(on=first, kind=FOOD))
    return found


def _cups(ration: tuple[Ration, ...]) -> dict[str, float]:
    return {r.meal: r.cups for r in ration}
