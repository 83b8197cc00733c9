"""The next step of a ration: hold, treats into the jar, an eighth less, more, or put back, and why.

One step a week, at most a tenth of what is really eaten; never under the floor; no cut under 12 weeks, none on
weight alone, none where ribs are easy or bare, none for a carrying or nursing dam. A pup a little over its line has
the jar alone; only far over it, or with its ears sliding, and only with ribs that must be pressed for, is a bowl made
smaller. Unwell, or lost weight that nobody planned, is the vet's, and no step of food. These are this project's own
safety lines (`feeding.toml`). A step is a suggestion to the breeder, who has the last word.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

from core.condition import ConditionNow
from core.growth import Growth
from core.intake import Intake
from core.portions import (
    MealPlan,
    eighths_inside,
    eighths_reaching,
    kcal_of,
    meal,
    put_on,
    taken_off,
)
from core.roster import Food
from shared.tables import facts

HOLD, JAR, LESS, MORE, REFUSED, LOOK = "hold", "jar", "less", "more", "refused", "look"

FLAT = frozenset({"losing", "flat_twice", "flat_vet", "slow_twice", "two_lines_down"})
SLOW = frozenset({"slow", "slow_twice", "flat", "flat_twice", "flat_vet", "losing"})
FAST = frozenset({"fast_twice"})
FAR = frozenset({"far_over_line"})
HEAVY_GROWN = frozenset({"creeping_up"})
THIN_GROWN = frozenset({"creeping_down"})
LOST_GROWN = frozenset({"lost_in_month", "lost_in_half_year"})  # the vet, never food advice


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What is suggested next.

    Attributes:
        key: `hold`, `jar` (treats out of the same cups: this week's step), `less`, `more`, `refused` (the next
            eighth would be under the floor) or `look` (find the food nobody logged, or see the vet, before any cut).
        reasons: keys of why, the most pressing first.
        kcal_day: of the day after it, treats inside; None where nothing changes. change_pct: against what is eaten.
        meals: the bowls after it. grams_less: to be weighed off where an eighth is too coarse a step.
    """

    key: str
    reasons: tuple[str, ...] = ()
    kcal_day: float | None = None
    change_pct: float | None = None
    meals: tuple[MealPlan, ...] = ()
    grams_less: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """All that a step is decided by. kcal a day; `bowls` in eighths by meal; `by_week` is what was eaten a day in each
    of the last four weeks, newest first, None for a week not logged. `snack_before` is the most the snack before the
    night was in these weeks, in eighths; `bile_without_snack`: bile came after nights on which it was short or left
    out more often than after others."""

    stage: str
    age_days: int
    bowls: Mapping[str, int]
    bowl_kcal: float
    food: Food
    floor_kcal: float
    eaten: Intake | None
    by_week: tuple[Intake | None, ...]
    growth: Growth | None
    hands: ConditionNow | None
    ordered_days_ago: int | None = None
    food_changed_days_ago: int | None = None
    steps_lately: int = 0
    weighed_days_ago: int = 0
    unwell: bool = False
    ears_sliding: bool = False
    snack_before: int = 0
    bile_without_snack: bool = False

    @property
    def eaten_kcal(self) -> float:
        """What is really eaten a day, treats too; the bowls where that was not logged."""
        return self.eaten.kcal_day if self.eaten else self.bowl_kcal

    @property
    def stands_on_kcal(self) -> float:
        """What is held against the floor: bowls and treats; the bowls alone where they were changed this week, or
        where other bowls were eaten than those that stand."""
        rule = facts("feeding")["step"]
        if self.eaten is None or (self.ordered_days_ago is not None and self.ordered_days_ago < rule["days_apart"]):
            return self.bowl_kcal
        same = abs(self.eaten.bowl_kcal - self.bowl_kcal) <= self.bowl_kcal * rule["seen_from_pct"] / 100
        return self.bowl_kcal + self.eaten.treat_kcal if same else self.bowl_kcal


def suggest(case: Case) -> Step:
    """The step that follows from the records."""
    if case.stage in {"pregnant", "nursing"}:
        return Step(key=HOLD, reasons=("never_cut_the_dam",))
    if case.stage == "newborn":
        return Step(key=HOLD, reasons=("milk",))
    warned = frozenset(case.growth.warnings if case.growth else ())
    hands = case.hands.hands if case.hands and case.hands.fresh else None
    if "odd_reading" in warned:
        return Step(key=HOLD, reasons=("odd_reading",))
    lost = case.stage != "puppy" and bool(warned & LOST_GROWN)
    thin = hands is not None and hands <= 2
    hungry = warned & (FLAT | (THIN_GROWN if case.stage != "puppy" else frozenset()))
    under = case.stands_on_kcal < case.floor_kcal
    if case.unwell and (lost or thin or hungry or under):
        return Step(key=HOLD, reasons=("unwell_and_thin",))
    if lost:
        return Step(key=LOOK, reasons=("loss_ask_vet",))
    snack = ("bile_without_snack",) if case.bile_without_snack and _snack_short(case) else ()
    if thin or hungry:
        return _more(case, (*sorted(hungry), *(("ribs_bare",) if thin else ()), *snack))
    if under:
        return _more(case, ("under_floor", *snack))
    if snack and warned & SLOW:
        return _more(case, snack)
    if case.stage == "puppy" and "under_line" in warned and hands is not None and hands < 3:
        return _more(case, ("under_line",))
    if not _is_over(case, warned):
        return Step(key=HOLD, reasons=("on_line",))
    return _over(case, warned, hands)


def _is_over(case: Case, warned: frozenset[str]) -> bool:
    rule = facts("feeding")["step"]
    over = case.growth.over_pct if case.growth else None
    if case.stage == "puppy":
        return over is not None and over >= rule["over_pct"]
    return bool(warned & HEAVY_GROWN) or (over is not None and over >= rule["grown_over_pct"])


def _over(case: Case, warned: frozenset[str], hands: float | None) -> Step:
    """Over the line: what keeps a cut back, else treats first, else one step less."""
    rule = facts("feeding")["step"]
    pup = case.stage == "puppy"
    if pup and case.age_days < rule["no_cut_before_day"]:
        return Step(key=HOLD, reasons=("under_12_weeks",))
    if case.unwell:
        return Step(key=HOLD, reasons=("unwell",))
    if case.weighed_days_ago > rule["pup_weight_days" if pup else "grown_weight_days"]:
        return Step(key=HOLD, reasons=("weight_old",))
    if hands is None:
        return Step(key=HOLD, reasons=("hands_needed",))
    if hands < 3.5:
        return Step(key=HOLD, reasons=("ribs_easy",))
    if pup and warned & SLOW:
        return Step(key=HOLD, reasons=("growing_slowly",))
    if case.food_changed_days_ago is not None and case.food_changed_days_ago < rule["food_change_days"]:
        return Step(key=HOLD, reasons=("food_change",))
    if case.ordered_days_ago is not None and case.ordered_days_ago < rule["days_apart"]:
        return Step(key=HOLD, reasons=("one_step_a_week",))
    if case.steps_lately >= rule["steps_in_that"] or _fallen_pct(case) >= rule["four_weeks_most_pct"]:
        return Step(key=LOOK, reasons=("enough_steps",))
    if pup and warned & FAST and not _ate_more(case):
        return Step(key=LOOK, reasons=("food_not_seen",))
    if _stepped_this_week(case):
        return Step(key=HOLD, reasons=("one_step_a_week",))
    if case.eaten and case.eaten.treat_kcal >= rule_treats() * case.eaten_kcal:
        return _jar(case)
    if pup and not _may_cut(case, warned, hands):
        return Step(key=HOLD, reasons=("jar_and_hair_first",))
    return _less(case)


def _may_cut(case: Case, warned: frozenset[str], hands: float) -> bool:
    """Whether a pup's bowl may be made smaller: far over, or over with ears sliding, and ribs to be pressed for."""
    far = bool(warned & FAR) or case.ears_sliding
    return far and hands >= float(facts("feeding")["step"]["cut_from_hands"])


def _jar(case: Case) -> Step:
    """All treats out of the bowls; the bowls first raised to the floor where the treats alone kept the dog over it."""
    per_cup = _per_cup(case)
    short = eighths_reaching(case.floor_kcal, per_cup) - sum(case.bowls.values())
    bowls = put_on(case.bowls, max(0, short))
    kcal = kcal_of(sum(bowls.values()), per_cup) if short > 0 else case.bowl_kcal
    if kcal >= case.eaten_kcal:
        return Step(key=HOLD, reasons=("floor",))
    return Step(
        key=JAR, reasons=("treats_first",), kcal_day=kcal, change_pct=_change(case, kcal), meals=_meals(case, bowls)
    )


def rule_treats() -> float:
    """Share of what is eaten from which treats are worth a step of their own."""
    return float(facts("feeding")["treats"]["worth_a_step"])


def _less(case: Case) -> Step:
    """One eighth off, or as many as a tenth allows for a big dog; in grams where an eighth is more than a tenth."""
    per_cup = _per_cup(case)
    allowed = case.eaten_kcal * float(facts("feeding")["step"]["most_pct"]) / 100
    one = kcal_of(1, per_cup)
    # A grown dog: the smallest step worth taking; an eighth may be too little of a big bowl.
    least = case.eaten_kcal * float(facts("feeding")["step"]["grown_least_pct"]) / 100
    number = 1 if case.stage == "puppy" else max(1, min(ceil(least / one - 1e-9), eighths_inside(allowed, per_cup)))
    if one <= allowed + 1e-6:
        after = sum(case.bowls.values()) - number
        while number > 1 and kcal_of(after, per_cup) < case.floor_kcal:
            number, after = number - 1, after + 1
        if kcal_of(after, per_cup) < case.floor_kcal:
            return Step(key=REFUSED, reasons=("floor",), change_pct=_change(case, kcal_of(after, per_cup)))
        bowls = taken_off(case.bowls, number)
        kcal = kcal_of(after, per_cup)
        return Step(
            key=LESS, reasons=("over_line",), kcal_day=kcal, change_pct=_change(case, kcal), meals=_meals(case, bowls)
        )
    kcal = case.bowl_kcal - allowed
    if kcal < case.floor_kcal:
        return Step(key=REFUSED, reasons=("floor",), change_pct=_change(case, kcal))
    grams = allowed / per_cup * case.food.g_per_cup if case.food.g_per_cup else None
    return Step(
        key=LESS,
        reasons=("over_line", "use_grams"),
        kcal_day=kcal,
        change_pct=_change(case, kcal),
        meals=_meals(case, case.bowls),
        grams_less=grams,
    )


def _more(case: Case, reasons: tuple[str, ...]) -> Step:
    """An eighth on each main meal, one alone for a pup that is only lean, and never less than the floor.

    A snack before the night that was made smaller is put back first.
    """
    per_cup = _per_cup(case)
    snack = facts("feeding")["meals"]["snack"]
    now = sum(case.bowls.values())
    # Slow twice, with bile since the snack was made smaller: the snack first, and see.
    slow = "slow_twice" in reasons and "bile_without_snack" not in reasons
    big = slow or bool(set(reasons) & ((FLAT - {"slow_twice"}) | THIN_GROWN | {"ribs_bare"}))
    number = max(1, len([m for m in case.bowls if m != snack])) if big else 1
    number = max(number, eighths_reaching(case.floor_kcal, per_cup) - now)
    back = min(number, max(0, case.snack_before - case.bowls.get(snack, 0)))
    bowls = put_on(dict(case.bowls) | ({snack: case.bowls.get(snack, 0) + back} if back else {}), number - back)
    kcal = kcal_of(sum(bowls.values()), per_cup)
    return Step(key=MORE, reasons=reasons, kcal_day=kcal, change_pct=_change(case, kcal), meals=_meals(case, bowls))


def _snack_short(case: Case) -> bool:
    return case.bowls.get(facts("feeding")["meals"]["snack"], 0) < case.snack_before


def _meals(case: Case, bowls: Mapping[str, int]) -> tuple[MealPlan, ...]:
    return tuple(meal(m, n, case.food) for m, n in bowls.items() if n)


def _per_cup(case: Case) -> float:
    assert case.food.kcal_per_cup is not None
    return case.food.kcal_per_cup


def _change(case: Case, kcal: float) -> float:
    return (kcal / case.eaten_kcal - 1) * 100 if case.eaten_kcal else 0.0


def _fallen_pct(case: Case) -> float:
    """How much less is eaten now than in the best of the last four weeks, in percent."""
    known = [w.kcal_day for w in case.by_week if w is not None]
    return (1 - known[0] / max(known)) * 100 if known and case.by_week[0] is not None else 0.0


def _stepped_this_week(case: Case) -> bool:
    """True where this week's food is already a step under last week's."""
    this, last = (*case.by_week, None, None)[:2]
    if this is None or last is None:
        return False
    return this.kcal_day < last.kcal_day * (1 - float(facts("feeding")["step"]["seen_from_pct"]) / 100)


def _ate_more(case: Case) -> bool:
    """True where the ration was raised over these weeks, so that a fast gain needs no hidden food."""
    this, last = (*case.by_week, None, None)[:2]
    if this is None or last is None:
        return False
    return this.kcal_day > last.kcal_day * (1 + float(facts("feeding")["step"]["seen_from_pct"]) / 100)
