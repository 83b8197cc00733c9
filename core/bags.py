"""What a litter and the house eat, and when the bags run out: grams a day, rounded up."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor

from core.energy import resting
from shared.tables import facts


@dataclass(frozen=True, slots=True, kw_only=True)
class LitterFood:
    """A weaned litter's food: kcal and grams a pup a day, kilograms a week for all of them."""

    kcal_pup_day: float
    grams_pup_day: float
    kg_week: float
    source: tuple[str, ...] = ("sacn5-energy", "feeding-lines")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bags:
    """How long food lasts: days left, the last day with food, the day to have bought by, bags to buy (rounded up)."""

    grams_day: float
    days_left: int
    runs_out_on: date
    buy_by: date
    bags: int
    source: tuple[str, ...] = ("feeding-lines",)
    caution: tuple[str, ...] = ("waste_and_take_home",)


def litter_food(pups: int, kg_pup: float, kcal_per_g: float) -> LitterFood:
    """Food of a litter on solids: three times resting need a pup (SACN 5th ed.), in the food's own kcal a gram.

    Raises:
        ValueError: no pups, or a weight or an energy that is not above zero.
    """
    if pups < 1 or kg_pup <= 0 or kcal_per_g <= 0:
        raise ValueError("a litter's food needs pups, their weight in kg and the food's kcal a gram")
    kcal = float(facts("feeding")["bags"]["pup_times"]) * resting(kg_pup)
    grams = kcal / kcal_per_g
    return LitterFood(kcal_pup_day=kcal, grams_pup_day=grams, kg_week=grams * pups * 7 / 1000)


def bags(
    on: date, grams_day: float, grams_left: float, bag_grams: float, days_wanted: int = 28, take_home_grams: float = 0
) -> Bags:
    """When the food runs out and how many bags last `days_wanted` more days, take-home packs included.

    Raises:
        ValueError: nothing is eaten, or the bag is empty.
    """
    if grams_day <= 0 or bag_grams <= 0:
        raise ValueError("days left need what is eaten a day and the size of a bag, in grams")
    left = floor((grams_left - take_home_grams) / grams_day)
    out = on + timedelta(days=max(left, 0))
    before = int(facts("feeding")["bags"]["buy_days_before"])
    short = grams_day * days_wanted + take_home_grams - grams_left
    return Bags(
        grams_day=grams_day,
        days_left=max(left, 0),
        runs_out_on=out,
        buy_by=max(on, out - timedelta(days=before)),
        bags=max(0, ceil(short / bag_grams)),
    )
