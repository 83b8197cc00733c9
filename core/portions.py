"""Bowls: kilocalories to eighths of a level cup and grams, a day shared out over its meals, and a new bag."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil

from core import rota
from core.roster import Dog, Food, Kennel, Ration
from shared.tables import facts


@dataclass(frozen=True, slots=True, kw_only=True)
class MealPlan:
    """One meal: eighths of a level house cup, grams beside it (None where the cup was never weighed), kcal."""

    meal: str
    cups_eighths: int
    grams: float | None
    kcal: float


def eighths(kcal: float, kcal_per_cup: float) -> int:
    """Eighths of a cup for these kcal: the nearest; where that is more than 2 % under the sum, one more (own rule)."""
    rule = facts("feeding")["rounding"]
    exact = kcal / kcal_per_cup * rule["eighths_per_cup"]
    nearest = int(exact + 0.5)
    return nearest + 1 if nearest < exact * (1 - rule["most_under"]) else nearest


def eighths_inside(kcal: float, kcal_per_cup: float) -> int:
    """Eighths of a cup that do not go over these kcal (a hair's breadth of rounding apart)."""
    return int(kcal / kcal_per_cup * int(facts("feeding")["rounding"]["eighths_per_cup"]) + 1e-9)


def eighths_reaching(kcal: float, kcal_per_cup: float) -> int:
    """The fewest eighths of a cup that reach these kcal: for a floor."""
    return ceil(kcal / kcal_per_cup * int(facts("feeding")["rounding"]["eighths_per_cup"]) - 1e-9)


def kcal_of(number: float, kcal_per_cup: float) -> float:
    """kcal of a number of eighths of a cup."""
    return number * kcal_per_cup / float(facts("feeding")["rounding"]["eighths_per_cup"])


def meal(name: str, number: int, food: Food) -> MealPlan:
    """One meal of so many eighths of this food, whose kcal a cup must be known."""
    assert food.kcal_per_cup is not None
    share = number / float(facts("feeding")["rounding"]["eighths_per_cup"])
    return MealPlan(
        meal=name,
        cups_eighths=number,
        grams=None if food.g_per_cup is None else share * food.g_per_cup,
        kcal=kcal_of(number, food.kcal_per_cup),
    )


def meals_of_day(dog: Dog, kennel: Kennel, on: date, *, nursing: bool = False) -> tuple[str, ...]:
    """The dog's meals on a day, in order: by its order, else the family's rota, else by age (common practice)."""
    if dog.ration:
        return tuple(r.meal for r in sorted(dog.ration, key=lambda r: place(r.meal)))
    rule = facts("feeding")["meals"]
    duties = [d for d in kennel.duties if d.what in rota.MEALS and (not d.days or on.weekday() in d.days)]
    named = {d.what for d in duties if any(x.name == dog.name for x in rota.dogs_of(d, kennel, on))}
    if named:
        return tuple(m for m in rota.MEALS if m in named)
    if nursing:
        return tuple(rule["nursing"])
    for until, names in zip(rule["until_day"], rule["names"], strict=True):
        if dog.age_days(on) < until:
            return tuple(names)
    return tuple(rule["grown"])


def split(total: int, names: Sequence[str]) -> dict[str, int]:
    """Eighths by meal, summing to the total; what does not divide evenly goes to the later meals."""
    rule = facts("feeding")["meals"]
    mains = [n for n in names if n != rule["snack"]]
    snack = 0
    if rule["snack"] in names and total:
        snack = min(max(1, int(total / rule["snack_share"] + 0.5)), int(rule["snack_most_eighths"]), total)
    if not mains:
        return {rule["snack"]: total}
    each, over = divmod(total - snack, len(mains))
    out = {n: each + (1 if i >= len(mains) - over else 0) for i, n in enumerate(mains)}
    if snack:
        out[rule["snack"]] = snack
    return out


def taken_off(bowls: Mapping[str, int], number: int) -> dict[str, int]:
    """The bowls with so many eighths less: off the fullest main meal, breakfast first; off the night snack last."""
    snack = facts("feeding")["meals"]["snack"]
    out = dict(bowls)
    for _ in range(number):
        mains = [n for n in out if n != snack and out[n] > 0]
        pool = mains or [n for n in out if out[n] > 0]
        if not pool:
            break
        out[max(pool, key=lambda n: out[n])] -= 1
    return out


def put_on(bowls: Mapping[str, int], number: int) -> dict[str, int]:
    """The bowls with so many eighths more: on the smallest main meal, breakfast first."""
    snack = facts("feeding")["meals"]["snack"]
    out = dict(bowls)
    for _ in range(number):
        mains = [n for n in out if n != snack] or list(out)
        if not mains:
            break
        out[min(mains, key=lambda n: out[n])] += 1
    return out


def order_of(bowls: Mapping[str, int]) -> tuple[Ration, ...]:
    """The bowls as a standing order in cups."""
    per_cup = int(facts("feeding")["rounding"]["eighths_per_cup"])
    return tuple(Ration(meal=m, cups=n / per_cup) for m, n in bowls.items() if n)


@dataclass(frozen=True, slots=True, kw_only=True)
class NewBag:
    """A ration in another food: eighths a day before and after, their kcal, the exact cups, days of change-over."""

    eighths_before: int
    eighths_after: int
    kcal_before: float
    kcal_after: float
    cups_exact: float
    days_low: int
    days_high: int
    meals: tuple[MealPlan, ...] = ()
    source: tuple[str, ...] = ("feeding-lines", "meal-custom")
    caution: tuple[str, ...] = ("change_in_quarters", "no_cut_in_food_change", "keep_lot_number")


def new_bag(ration: Sequence[Ration], old_kcal_per_cup: float, new: Food) -> NewBag | None:
    """The same kcal from another bag: cups × old ÷ new, to an eighth; None where its kcal are unknown."""
    if not new.kcal_per_cup:
        return None
    cups = sum(r.cups for r in ration)
    kcal = cups * old_kcal_per_cup
    after = eighths(kcal, new.kcal_per_cup)
    rule = facts("feeding")["change_over"]
    per_cup = int(facts("feeding")["rounding"]["eighths_per_cup"])
    now = {r.meal: int(r.cups * per_cup + 0.5) for r in sorted(ration, key=lambda r: place(r.meal))}
    change = after - sum(now.values())
    bowls = put_on(now, change) if change > 0 else taken_off(now, -change)
    return NewBag(
        eighths_before=int(cups * per_cup + 0.5),
        eighths_after=after,
        kcal_before=kcal,
        kcal_after=kcal_of(after, new.kcal_per_cup),
        cups_exact=kcal / new.kcal_per_cup,
        days_low=int(rule["days_low"]),
        days_high=int(rule["days_high"]),
        meals=tuple(meal(m, n, new) for m, n in bowls.items() if n),
    )


def place(name: str) -> int:
    """Where a meal stands in the day."""
    return rota.MEALS.index(name) if name in rota.MEALS else len(rota.MEALS)
