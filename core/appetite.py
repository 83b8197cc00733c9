"""A nursing dam off her food: since when she has refused it, and when that is for the vet.

What nobody wrote down is not known: a bowl put down is not taken for one that was eaten.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta

from core import rota
from core.entries import Meal
from core.gestation import nursing
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel
from core.times import instant
from core.weighings import instant as told_at
from core.wording import has, words
from shared.tables import facts

LOOK_BACK = timedelta(days=3)


@dataclass(frozen=True, slots=True, kw_only=True)
class OffFood:
    """A nursing dam that refuses her food: since the first bowl that she refused, and from when on it is the vet's."""

    dog: str
    since: datetime
    vet_at: datetime
    source: tuple[str, ...] = ("whelping-lines",)


def off_food(dog: Dog, ledger: Ledger, kennel: Kennel, at: datetime) -> OffFood | None:
    """A nursing dam that has refused a bowl and, as far as is written down, has eaten nothing since; None otherwise.

    So many hours without food are for the vet (`dam_not_eating_hours` of `reproduction.toml`, common practice).
    """
    on = kennel.day_of(at)
    if nursing(dog, ledger, kennel, on) is None:
        return None
    logs = [p for p in ledger.of(dog.name, Meal, since=on - LOOK_BACK, until=on) if p.at <= at]
    since = None
    # By the meals of the day, not by when they were told: "she ate her breakfast" takes back no refused lunch.
    for p in sorted(logs, key=lambda p: (p.entry.on, rota.MEALS.index(rota.meal_of(p, kennel)), p.at, p.id)):
        if isinstance(p.entry, Meal) and p.entry.eaten == "none":
            since = since or _when(p, kennel)
        elif _ate(p):
            since = None
    if since is None:
        return None
    hours = timedelta(hours=float(facts("reproduction")["litter"]["dam_not_eating_hours"]))
    return OffFood(dog=dog.name, since=since, vet_at=since + hours)


def _ate(posted: Posted) -> bool:
    assert isinstance(posted.entry, Meal)
    if posted.entry.eaten is not None:
        return True
    said = {w.text for w in words(posted.entry.said)}
    return bool(said & set(facts("feeding")["eaten"]["heard"]["en"]))


def _when(posted: Posted, kennel: Kennel) -> datetime:
    """When the bowl stood there: at the meal's own time where one was named, else when it was told."""
    entry = posted.entry
    assert isinstance(entry, Meal)
    told = told_at(posted, kennel)
    if entry.eaten == "none":
        said = words(entry.said)
        for phrase, when in facts("feeding")["eaten"]["since"].items():
            if has((phrase,), said):
                on = entry.on - timedelta(days=int(when["days"]))
                return min(told, instant(on, time.fromisoformat(when["clock"]), kennel.tz))
    if entry.clock is not None or not entry.meal:
        return told
    due = next((d.at for d in kennel.duties if d.what == entry.meal and not d.every_hours), None)
    clock = due or time.fromisoformat(facts("schedule")["meal_times"][rota.meal_of(posted, kennel)])
    meal = instant(entry.on, clock, kennel.tz).astimezone(UTC)
    return min(meal, posted.at.astimezone(UTC))
