"""What a dog is measured to eat: bowls and treats in kcal a day, by meal and by person, from what was logged.

What was not logged is not known; it is never taken for nothing. A meal counts by its mean on the days on which it
was logged, so one forgotten bowl neither starves nor fattens the sum.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from statistics import fmean

from core import rota
from core.bowls import bowls_of
from core.entries import Meal, Treat
from core.ledger import Ledger, Posted
from core.portions import meals_of_day
from core.roster import Dog, Food, Kennel, Ration
from shared.tables import facts, number, table


@dataclass(frozen=True, slots=True, kw_only=True)
class Intake:
    """What was eaten a day between two days (both counted).

    Attributes:
        kcal_day: bowls and treats. bowl_kcal, treat_kcal: each. by_meal: kcal of each meal of the day.
        days: on how many of the days each bowl was logged, at the least. of_days: how many days there were.
        treats_by: kcal of treats a day by person (for the breeder alone). treats_logged: how many were logged.
        estimated: true where a treat's kcal are a kitchen estimate. unmeasured: bowls whose kcal can't be told.
    """

    since: date
    until: date
    kcal_day: float
    bowl_kcal: float
    treat_kcal: float
    by_meal: Mapping[str, float] = field(default_factory=dict)
    days: int
    of_days: int
    treats_by: Mapping[str, float] = field(default_factory=dict)
    treats_logged: int = 0
    estimated: bool = False
    unmeasured: int = 0

    @property
    def logged_share(self) -> float:
        """Share (0–1) of the days on which every bowl was logged, at the least."""
        return self.days / self.of_days if self.of_days else 0.0


def measured(
    dog: Dog, ledger: Ledger, kennel: Kennel, since: date, until: date, fewest_days: int | None = None
) -> Intake | None:
    """What the dog ate a day from `since` to `until` in kcal; None where too few bowls were logged to say."""
    fewest = fewest_days if fewest_days is not None else int(facts("feeding")["measured"]["fewest_days"])
    of_days = (until - since).days + 1
    bowls: dict[str, dict[date, float]] = {}
    unmeasured = 0
    for p in bowls_of(ledger.of(dog.name, Meal, since=since, until=until), kennel):
        kcal = bowl_kcal(dog, kennel, p)
        if kcal is None:
            unmeasured += 1
            continue
        days = bowls.setdefault(rota.meal_of(p, kennel), {})
        days[p.entry.on] = days.get(p.entry.on, 0.0) + kcal
    expected = meals_of_day(dog, kennel, until)
    if not bowls or any(len(bowls.get(m, {})) < fewest for m in expected):
        return None
    # A meal that is not one of the day's (a stray lunch) counts spread over all days.
    by_meal = {
        m: fmean(days.values()) if m in expected else sum(days.values()) / of_days for m, days in bowls.items()
    }
    treats = [(p, treat_kcal(p, food_on(dog, kennel, p.entry.on))) for p in ledger.of(dog.name, Treat, since=since,
                                                                                        until=until)]
    by_person: dict[str, float] = {}
    for p, (kcal, _) in treats:
        by_person[p.by] = by_person.get(p.by, 0.0) + kcal / of_days
    bowl = sum(by_meal.values())
    return Intake(
        since=since,
        until=until,
        kcal_day=bowl + sum(by_person.values()),
        bowl_kcal=bowl,
        treat_kcal=sum(by_person.values()),
        by_meal=by_meal,
        days=min(len(bowls[m]) for m in expected) if expected else 0,
        of_days=of_days,
        treats_by=by_person,
        treats_logged=len(treats),
        estimated=any(rough for _, (_, rough) in treats),
        unmeasured=unmeasured,
    )


def recent(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> Intake | None:
    """What the dog ate a day over the seven days before `on` (that day itself is not over yet); None: too little."""
    days = int(facts("feeding")["measured"]["days"])
    return measured(dog, ledger, kennel, on - timedelta(days=days), on - timedelta(days=1))


def bowl_kcal(dog: Dog, kennel: Kennel, posted: Posted) -> float | None:
    """kcal eaten of one logged bowl: by its amount, else by the order that stood that day; None where neither tells."""
    entry = posted.entry
    assert isinstance(entry, Meal)
    share = float(facts("feeding")["eaten"][entry.eaten or "all"])
    if share == 0:
        return 0.0
    food = food_on(dog, kennel, entry.on)
    if food is None or not food.kcal_per_cup:
        return None
    cups = _cups(entry.amount, entry.unit, food)
    if cups is None and entry.amount is None:
        name = rota.meal_of(posted, kennel)
        cups = next((r.cups for r in order_on(dog, entry.on) if r.meal == name), None)
    return None if cups is None else cups * food.kcal_per_cup * share


def treat_kcal(posted: Posted, food: Food | None) -> tuple[float, bool]:
    """kcal of one logged treat, and whether that is a kitchen estimate (`treats.csv`) and not a measure."""
    entry = posted.entry
    assert isinstance(entry, Treat)
    said = entry.said.casefold()
    rows = table("treats")
    row = next((r for r in rows if r["word"] in said), None) or next(r for r in rows if r["word"] == "piece")
    amount = 1.0 if entry.amount is None else entry.amount
    per_g = number(row, "kcal_per_g")
    own = food is not None and food.kcal_per_cup
    if entry.unit == "g":
        if row["word"] != "piece" and per_g is not None:
            return amount * per_g, True
        if food is not None and food.kcal_per_cup and food.g_per_cup:
            return amount / food.g_per_cup * food.kcal_per_cup, False
    elif entry.unit == "cup" and food is not None and own and food.kcal_per_cup:
        return amount * food.kcal_per_cup, False
    each = number(row, "kcal_each")
    return (amount if entry.unit in (None, "piece") else 1.0) * (each or 0.0), True


def order_on(dog: Dog, on: date) -> tuple[Ration, ...]:
    """The standing order as it was on a day."""
    return next((b.ration for b in dog.before if on <= b.until), dog.ration)


def food_on(dog: Dog, kennel: Kennel, on: date) -> Food | None:
    """The food as it was on a day, None where none is known."""
    return next((b.food for b in dog.before if on <= b.until and b.food is not None), None) or kennel.food_of(dog)


def _cups(amount: float | None, unit: str | None, food: Food) -> float | None:
    if amount is None:
        return None
    if unit in (None, "cup"):
        return amount
    if unit == "g" and food.g_per_cup:
        return amount / food.g_per_cup
    return None
