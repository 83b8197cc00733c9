"""What a dog is fed a day, as `feeding.assess` found it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.intake import Intake
from core.learned import Learned
from core.portions import MealPlan
from core.step import Step


@dataclass(frozen=True, slots=True, kw_only=True)
class RationPlan:
    """What a dog is fed a day. kcal a day, kg, grams, eighths of a level house cup.

    Attributes:
        stage: newborn, puppy, adult, pregnant, nursing or veteran. kg, kg_on: the weight it rests on and its day.
        food, kcal_per_cup, g_per_cup: the bag's figures. resting_kcal: 70 · kg^0.75.
        tables: the published figures side by side. table_kcal: the middle one. learned: this dog's own need.
        eaten: what was logged over the last seven days; eaten_kcal its sum; None where too little was logged.
        basis: `order` (the breeder's), `measured` (what it eats), `learned` (its own record) or `table`.
        kcal_day, meals: the bowls that stand for today; the jar comes out of them. ordered: by the breeder's order.
        floor_kcal, floor_times: the least that is ever suggested, and its multiple of resting need.
        treat_pot_kcal, treat_pot_g: a tenth of the day, weighed out of the same cups into a jar.
        times_resting: kcal_day over resting need. change_pct: of an order, against what is really eaten, treats too.
        cut: true where the order is smaller than the one before it. nursing_cut: the same, by however little, of a
            dam in full milk.
        step: the next step for the breeder to decide. expires_at_kg: the weight at which the ration meets its floor.
        recheck_on, rechecks, ears_on: days to weigh, and not before which to judge ears.
        missing: what must be asked before there is a plan: `weight`, `food`, `food kcal`, `g per cup` (no reason to
            stop), `birth date`, `pups` of a nursing dam. warnings, caution, source: keys.
    """

    dog: str
    on: date
    stage: str
    age_days: int
    kg: float | None = None
    kg_on: date | None = None
    food: str | None = None
    kcal_per_cup: float | None = None
    g_per_cup: float | None = None
    resting_kcal: float | None = None
    tables: tuple[tuple[str, float, tuple[str, ...]], ...] = ()
    table_kcal: float | None = None
    learned: Learned | None = None
    eaten: Intake | None = None
    basis: str = ""
    kcal_day: float | None = None
    meals: tuple[MealPlan, ...] = ()
    ordered: bool = False
    floor_kcal: float | None = None
    floor_times: float | None = None
    treat_pot_kcal: float | None = None
    treat_pot_g: float | None = None
    times_resting: float | None = None
    change_pct: float | None = None
    cut: bool = False
    nursing_cut: bool = False
    step: Step | None = None
    expires_at_kg: float | None = None
    recheck_on: date | None = None
    rechecks: tuple[date, ...] = ()
    ears_on: date | None = None
    pups: int | None = None
    week: int | None = None
    missing: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    source: tuple[str, ...] = ()
    caution: tuple[str, ...] = ()

    @property
    def eaten_kcal(self) -> float | None:
        """What the dog is measured to eat a day, bowls and treats; None where too little was logged."""
        return self.eaten.kcal_day if self.eaten else None
