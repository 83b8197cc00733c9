"""Who has been fed today: each dog's meals of the day, by whom and when, what is still open, and a second bowl.

A bowl that nobody logged is "not logged"; whether the dog was fed is not known.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from core import rota
from core.bowls import is_refusal, only_says_eaten
from core.entries import Meal, Treat
from core.ledger import Ledger, Posted
from core.portions import meals_of_day
from core.roster import Dog, Kennel
from core.times import instant
from shared.tables import facts

LOGGED, OPEN, LATER = "logged", "open", "later"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bowl:
    """One meal of one dog on one day.

    Attributes:
        due: the rota's wall-clock time; None where it has none. who: whose turn it is by the rota, "" for nobody's.
        state: `logged`, `open` (its time has come and it is not logged) or `later`.
        logs: what was logged for it, oldest first, with what was said of how much was eaten.
        eaten: `all`, `some` or `none` where the last log said so.
    """

    dog: str
    meal: str
    due: time | None = None
    who: str = ""
    state: str = LATER
    logs: tuple[Posted, ...] = ()
    eaten: str | None = None

    @property
    def by(self) -> str:
        """Who logged it first; "" where nobody did."""
        return self.put_down[0].by if self.logs else ""

    @property
    def at(self) -> datetime | None:
        """The moment at which it was first logged, None where it was not."""
        return self.put_down[0].at if self.logs else None

    @property
    def put_down(self) -> tuple[Posted, ...]:
        """The logs that put food down; those that only say how much was eaten where there is nothing else."""
        return tuple(p for p in self.logs if not only_says_eaten(p)) or self.logs[:1]

    @property
    def twice(self) -> bool:
        """True where two messages put food down; how much was eaten may be told in another."""
        return len({(p.room, p.message, p.id if not p.message else 0) for p in self.put_down}) > 1


@dataclass(frozen=True, slots=True, kw_only=True)
class FedBoard:
    """The meals of one local day as they stand at a moment: `bowls` by meal of the day, then by roster order."""

    on: date
    at: datetime
    bowls: tuple[Bowl, ...] = ()
    treats: tuple[Posted, ...] = ()

    def of(self, dog: str) -> tuple[Bowl, ...]:
        """One dog's bowls of the day."""
        return tuple(b for b in self.bowls if b.dog == dog)

    def meal(self, name: str) -> tuple[Bowl, ...]:
        """All dogs' bowls of one meal."""
        return tuple(b for b in self.bowls if b.meal == name)

    @property
    def open(self) -> tuple[Bowl, ...]:
        """Bowls whose time has come and that are not logged."""
        return tuple(b for b in self.bowls if b.state == OPEN)

    @property
    def logged(self) -> tuple[Bowl, ...]:
        """Bowls that are logged."""
        return tuple(b for b in self.bowls if b.state == LOGGED)

    @property
    def latest_meal(self) -> str:
        """The newest meal of the day whose time has come or that is logged; "" before the first."""
        begun = [b.meal for b in self.bowls if b.state != LATER]
        return max(begun, key=rota.MEALS.index) if begun else ""


def today(ledger: Ledger, kennel: Kennel, at: datetime) -> FedBoard:
    """The day's board at a moment: every meal of every dog at home (newborns left out), logged, open or later."""
    on = kennel.day_of(at)
    bowls = [b for dog in kennel.at_home() if _eats(dog, on) for b in _bowls(dog, ledger, kennel, on, at)]
    place = {d.name: i for i, d in enumerate(kennel.dogs)}
    bowls.sort(key=lambda b: (rota.MEALS.index(b.meal), place[b.dog]))
    treats = tuple(p for d in kennel.at_home() for p in ledger.of(d.name, Treat, since=on, until=on))
    return FedBoard(on=on, at=at, bowls=tuple(bowls), treats=treats)


def already(entries: Sequence[Meal], ledger: Ledger, kennel: Kennel, at: datetime) -> dict[str, Posted]:
    """Of bowls about to be logged, the dogs that have had the same meal that day, each with its first log.

    "Didn't touch it" and a corrected bowl are no second bowl.
    """
    found: dict[str, Posted] = {}
    for entry in entries:
        if entry.replaces or entry.eaten is not None:
            continue
        name = entry.meal or rota.meal_of(Posted(id=0, entry=entry, at=at), kennel)
        same = [
            p for p in ledger.of(entry.dog, Meal, since=entry.on, until=entry.on)
            if rota.meal_of(p, kennel) == name and isinstance(p.entry, Meal) and p.entry.eaten is None
        ]
        if same:
            found.setdefault(entry.dog, same[0])
    return found


def _eats(dog: Dog, on: date) -> bool:
    return dog.born <= on and not dog.is_newborn(on)


def _bowls(dog: Dog, ledger: Ledger, kennel: Kennel, on: date, at: datetime) -> list[Bowl]:
    logs: dict[str, list[Posted]] = {}
    for p in sorted(ledger.of(dog.name, Meal, since=on, until=on), key=lambda p: (p.at, p.id)):
        if p.at <= at and not (isinstance(p.entry, Meal) and is_refusal(p.entry)):
            logs.setdefault(rota.meal_of(p, kennel), []).append(p)
    names = [m for m in rota.MEALS if m in {*meals_of_day(dog, kennel, on), *logs}]
    return [_bowl(dog, name, tuple(logs.get(name, ())), kennel, on, at) for name in names]


def _bowl(dog: Dog, name: str, logs: tuple[Posted, ...], kennel: Kennel, on: date, at: datetime) -> Bowl:
    duty = next(
        (
            d for d in kennel.duties
            if d.what == name and (not d.days or on.weekday() in d.days)
            and any(x.name == dog.name for x in rota.dogs_of(d, kennel, on))
        ),
        None,
    )
    clock = duty.at if duty else time.fromisoformat(facts("schedule")["meal_times"][name])
    begun = at >= instant(on, clock, kennel.tz)
    said = [p.entry.eaten for p in logs if isinstance(p.entry, Meal) and p.entry.eaten]
    return Bowl(
        dog=dog.name,
        meal=name,
        due=duty.at if duty else None,
        who=duty.who if duty else "",
        state=LOGGED if logs else (OPEN if begun else LATER),
        logs=logs,
        eaten=said[-1] if said else None,
    )
