"""A new bag in words: weaker or stronger, and what the cups come to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bot.replies import say_units
from core.portions import NewBag
from core.roster import Dog, Food, Ration
from shared.texts import listed, text


def is_it(food: Food, kcal: float) -> str:
    """A figure far from the old one, asked about."""
    return text(
        "bags.is_it", food=food.name, kcal=say_units.number(kcal, 0), old=say_units.number(food.kcal_per_cup or 0, 0)
    )


def new_bag(old: Food, new: Food, moved: Sequence[tuple[Dog, NewBag]], cut: Sequence[str]) -> str:
    """The new figure beside the old, the cups of each dog that it changes, how to change over, who was just cut."""
    kcal = say_units.number(new.kcal_per_cup or 0, 0)
    if not old.kcal_per_cup:
        return text("bags.first", food=new.name, kcal=kcal)
    name = "weaker" if (new.kcal_per_cup or 0) < old.kcal_per_cup else "stronger"
    said = [text(f"bags.{name}", food=new.name, kcal=kcal, old=say_units.number(old.kcal_per_cup, 0))]
    if not moved:
        return " ".join([*said, text("bags.same_cups")])
    groups: dict[tuple[str, str], list[str]] = {}
    for dog, bag in moved:
        cups = (say_units.eighths(bag.eighths_before / 8), say_units.eighths(bag.eighths_after / 8))
        groups.setdefault(cups, []).append(dog.name)
    cups_told = [text("bags.cups", dogs=listed(names), before=b, after=a) for (b, a), names in groups.items()]
    said.append(text("bags.all_cups", cups="; ".join(cups_told)))
    low, high = moved[0][1].days_low, moved[0][1].days_high
    said.append(text("bags.change_over", low=low, high=high))
    if cut:
        said.append(text("bags.cut", dogs=listed(list(cut))))
    return " ".join([*said, text("bags.set")])


def ration_of(bowls: Sequence[Sequence[Any]]) -> tuple[Ration, ...]:
    """Remembered bowls as a standing order."""
    return tuple(Ration(meal=str(m), cups=float(c)) for m, c in bowls)
