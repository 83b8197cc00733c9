"""The bowls that a row of logs tells of: "fed everyone" and a later "Nugget left some" are one bowl."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from core import rota
from core.entries import Meal
from core.ledger import Posted
from core.roster import Kennel


def bowls_of(logs: Iterable[Posted], kennel: Kennel) -> list[Posted]:
    """One dog's bowls, oldest first, each with what was last said of how much of it was eaten.

    A log that says how much was eaten and no amount is said of the newest bowl of the same meal and day told before
    it, else of the first one after it; where nothing else was told of that meal it is the bowl itself.
    """
    meals: dict[tuple[date, str], list[Posted]] = {}
    for posted in sorted(logs, key=lambda p: (p.at, p.id)):
        meals.setdefault((posted.entry.on, rota.meal_of(posted, kennel)), []).append(posted)
    found = [bowl for logged in meals.values() for bowl in _of_meal(logged)]
    return sorted(found, key=lambda p: (p.at, p.id))


def _of_meal(logged: list[Posted]) -> list[Posted]:
    put_down = [p for p in logged if not only_says_eaten(p)]
    if not put_down:
        return logged[-1:]
    told = [p for p in logged if only_says_eaten(p)]
    for how in told:
        n = max((i for i, p in enumerate(put_down) if p.at <= how.at), default=0)
        put_down[n] = replace(put_down[n], entry=_eaten(put_down[n], how))
    return put_down


def only_says_eaten(posted: Posted) -> bool:
    """True for a log such as "left some": how much was eaten, and not how much was given."""
    return isinstance(posted.entry, Meal) and posted.entry.eaten is not None and posted.entry.amount is None


def is_refusal(meal: Meal) -> bool:
    """True for "hasn't eaten", "off her food": no bowl is told of, only that food is refused."""
    return meal.eaten == "none" and meal.meal is None and meal.amount is None


def _eaten(posted: Posted, how: Posted) -> Meal:
    bowl, said = posted.entry, how.entry
    assert isinstance(bowl, Meal) and isinstance(said, Meal)
    return replace(bowl, eaten=said.eaten)
