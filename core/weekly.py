"""Food week by week: bowls and treats a day in kcal, beside the order that stood.

A week is seven days that end on the day before the one asked, so that each is whole.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from core.entries import Meal, Treat
from core.intake import food_on, measured, order_on, treat_kcal
from core.ledger import Ledger
from core.roster import Dog, Kennel

SPAN = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodWeek:
    """Seven days, in kcal a day.

    Attributes:
        bowl_kcal: None where too few bowls were logged to say. treat_kcal: of the treats logged. treats_by: by person
            (for the breeder alone). order_kcal: of the order that stood on the last day; None without one.
        estimated: true where a treat's kcal are a kitchen estimate.
    """

    since: date
    until: date
    bowl_kcal: float | None = None
    treat_kcal: float = 0.0
    treats_by: Mapping[str, float] = field(default_factory=dict)
    order_kcal: float | None = None
    estimated: bool = False


def weeks(dog: Dog, ledger: Ledger, kennel: Kennel, on: date, count: int) -> tuple[FoodWeek, ...]:
    """The last whole weeks before `on`, oldest first, from the first that has a bowl or a treat; at most `count`."""
    first = ledger.of(dog.name, Meal, Treat, until=on - timedelta(days=1))
    if not first:
        return ()
    found: list[FoodWeek] = []
    until = on - timedelta(days=1)
    while len(found) < count and until >= first[0].entry.on:
        found.append(_week(dog, ledger, kennel, until - SPAN + timedelta(days=1), until))
        until -= SPAN
    return tuple(reversed(found))


def _week(dog: Dog, ledger: Ledger, kennel: Kennel, since: date, until: date) -> FoodWeek:
    eaten = measured(dog, ledger, kennel, since, until)
    by: dict[str, float] = {}
    estimated = False
    for p in ledger.of(dog.name, Treat, since=since, until=until):
        kcal, rough = treat_kcal(p, food_on(dog, kennel, p.entry.on))
        by[p.by] = by.get(p.by, 0.0) + kcal / SPAN.days
        estimated = estimated or rough
    food = food_on(dog, kennel, until)
    cups = sum(r.cups for r in order_on(dog, until))
    return FoodWeek(
        since=since,
        until=until,
        bowl_kcal=eaten.bowl_kcal if eaten else None,
        treat_kcal=sum(by.values()),
        treats_by=by,
        order_kcal=cups * food.kcal_per_cup if cups and food and food.kcal_per_cup else None,
        estimated=estimated,
    )
