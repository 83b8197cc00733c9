"""The breeders' order of steps for ears that do not hold, and which comes next; never tape or glue, never a promise.

Lean and all treats from the jar; hair thinned; then a small cut, which is the breeder's call and only for heavy hands;
then the mentor or the vet. Each gets its days before it is judged, and a sick ear is the vet's before all of them.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from core.roster import Before, Dog, Kennel
from shared.tables import facts

if TYPE_CHECKING:
    from core.ears import EarTrend

VET, HANDS, JAR_AND_HAIR, HAIR = "vet", "hands_on_ribs", "lean_and_jar_and_hair", "hair"
WAIT, CUT, MENTOR = "wait", "breeders_cut", "mentor_or_vet"


def next_step(e: EarTrend) -> str | None:
    """The next step in the breeders' order (`ears.toml`); None while the ears hold, are too young or not scored."""
    rule = facts("ears")["steps"]
    if e.ear_signs:
        return VET
    if not _asks_for_one(e):
        return None
    if e.hands is None:
        return HANDS
    heavy = e.hands.hands >= rule["heavy_hands"]
    thinned = e.trimmed_on is not None and not (e.grown_back_from is not None and e.on >= e.grown_back_from)
    if not thinned and e.cut_on is None:
        return JAR_AND_HAIR if heavy else HAIR
    if judged_on(e) is not None:
        return WAIT
    if e.cut_on is not None:
        held = (e.on - e.cut_on).days
        return MENTOR if held >= rule["longest_cut_days"] or thinned else HAIR
    return CUT if heavy else MENTOR


def judged_on(e: EarTrend) -> date | None:
    """The first day on which the newest step may be judged, None where none waits for it."""
    wait = timedelta(days=facts("ears")["steps"]["judge_after_days"])
    days = [step + wait for step in (e.trimmed_on, e.cut_on) if step is not None and step <= e.on < step + wait]
    return max(days, default=None)


def cut_on(dog: Dog, kennel: Kennel, on: date, least_pct: float | None = None) -> date | None:
    """Since when a smaller order stands in kcal than the one before it; None where the last change of it was no cut.

    Smaller by at least so many percent, by `seen_from_pct` of `feeding.toml` where none is given.
    """
    orders = [b for b in dog.before if b.ration and b.until < on]
    if not orders or not dog.ration:
        return None
    last = orders[-1]
    now = Before(until=on, ration=dog.ration, food=kennel.food_of(dog))
    before, after = _kcal(last, dog, kennel), _kcal(now, dog, kennel)
    least = float(facts("feeding")["step"]["seen_from_pct"]) if least_pct is None else least_pct
    return last.until + timedelta(days=1) if after < before * (1 - least / 100) - 1e-9 else None


def _kcal(order: Before, dog: Dog, kennel: Kennel) -> float:
    """kcal of an order; in cups where its food's are not known."""
    food = order.food or kennel.food_of(dog)
    return sum(r.cups for r in order.ration) * (food.kcal_per_cup if food and food.kcal_per_cup else 1.0)


def _asks_for_one(e: EarTrend) -> bool:
    """True where the ears are old enough to be judged and neither hold nor come up."""
    rule = facts("ears")
    young = e.age_days < rule["age"]["judged_from_week"] * 7
    if e.last is None or young or e.streak >= rule["trend"]["holding_days"]:
        return False
    if e.trend not in ("going_down", "no_change") and e.alert_week is None:
        return False
    return not (e.best is not None and e.trend == "no_change" and e.days_both_up == e.days_scored)
