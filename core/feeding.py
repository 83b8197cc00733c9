"""The ration plan of one dog on one day: what it is fed, by which meals, what it rests on, and the next step.

The base is what this dog is measured to eat, or the breeder's order; a table is only for a dog without a record.
Missing input is named and nothing is guessed. Floors, steps and rounding are this project's own safety lines.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from functools import partial

from core import ears, energy, growth, portions
from core.bile import mornings
from core.care import is_unwell
from core.condition import ConditionNow, latest
from core.ear_steps import cut_on
from core.gestation import Nursing, day_of_pregnancy, nursing
from core.intake import Intake, food_on, measured, recent
from core.learned import Learned, learn
from core.ledger import Ledger
from core.portions import MealPlan
from core.ration_plan import RationPlan
from core.roster import Before, Dog, Food, Kennel, Ration, months_between
from core.step import Case, Step, suggest
from core.weighings import daily
from shared.tables import facts

NEWBORN, PUPPY, ADULT, PREGNANT, NURSING, VETERAN = "newborn", "puppy", "adult", "pregnant", "nursing", "veteran"


def assess(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> RationPlan:
    """The dog's ration on a day, from its records up to that day; what is missing is named and nothing guessed.

    Sources: resting need SACN 5th ed.; tables NRC 2006, FEDIAF 2021, AAHA 2021 as `core.energy` names them; floors,
    steps, rounding: own choice (`feeding.toml`).
    """
    age = dog.age_days(on)
    stage = stage_of(dog, ledger, kennel, on)
    weighings = daily(dog, ledger, on)
    food = food_on(dog, kennel, on)
    plan = RationPlan(
        dog=dog.name,
        on=on,
        stage=stage,
        age_days=age,
        kg=weighings[-1].kg if weighings else None,
        kg_on=weighings[-1].on if weighings else None,
        food=food.name if food else None,
        kcal_per_cup=food.kcal_per_cup if food else None,
        g_per_cup=food.g_per_cup if food else None,
    )
    if stage == NEWBORN:
        return replace(plan, step=Step(key="hold", reasons=("milk",)), caution=("milk_feeds_newborns",))
    missing = _missing(plan, dog, food)
    if not weighings or food is None or not food.kcal_per_cup:
        return replace(plan, missing=missing, meals=_bare_order(dog), ordered=bool(dog.ration))
    return _plan(replace(plan, missing=missing), dog, ledger, kennel, on, food, weighings[-1].kg)


def stage_of(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> str:
    """The stage of life that the ration follows: newborn, puppy, adult, pregnant (late), nursing or veteran."""
    if dog.is_newborn(on):
        return NEWBORN
    if dog.sex == "f" and nursing_week(dog, ledger, kennel, on) is not None:
        return NURSING
    if dog.sex == "f":
        day = day_of_pregnancy(dog, ledger, kennel, on)
        if day is not None and day >= int(facts("energy")["gestation"]["late_from_day"]):
            return PREGNANT
    if dog.is_pup(on):
        return PUPPY
    return VETERAN if months_between(dog.born, on) >= int(facts("energy")["veteran"]["from_months"]) else ADULT


def nursing_week(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> int | None:
    """The week of nursing (1 is the first) while she has pups under eight weeks; None where she has none."""
    litter = nursing(dog, ledger, kennel, on)
    return None if litter is None else (on - litter.born).days // 7 + 1


def _in_full_milk(litter: Nursing, on: date) -> bool:
    """True until the pups may be weaned: from then on her bowls come down again."""
    return (on - litter.born).days < 7 * int(facts("reproduction")["litter"]["weaned_from_weeks"])


def _is_less(dog: Dog, kennel: Kennel, since: date, on: date) -> bool:
    """True where the order is smaller, by however little, than the one before it, and was made since that day."""
    cut = cut_on(dog, kennel, on, least_pct=0.0)
    return cut is not None and cut >= since


def floor_times(stage: str, age_days: int, share_of_adult: float | None) -> float:
    """The least multiple of resting need: 2.25 under 16 weeks, 1.5 to 80 % of adult weight, 1.2 after (own choice)."""
    rule = facts("feeding")["floor"]
    if stage != PUPPY:
        return float(rule["grown"])
    if age_days < rule["young_until_day"]:
        return float(rule["young"])
    grown = share_of_adult is not None and share_of_adult >= rule["growing_to_share"]
    return float(rule["grown"] if grown else rule["growing"])


def expires_at_kg(kcal_day: float, times: float) -> float:
    """The weight in kg at which a ration is down to its floor: (kcal / (times · 70))^(4/3); 600 at 1.5 is 10.2 kg."""
    return energy.kg_where_resting_is(kcal_day / times)


def reordered(
    dog: Dog, kennel: Kennel, on: date, *, ration: tuple[Ration, ...] | None = None, food: Food | None = None
) -> Dog:
    """The dog with a new order, a new food, or both from `on` on; what stood until then is remembered for the sums."""
    until = on - timedelta(days=1)
    old = Before(until=until, ration=dog.ration, food=kennel.food_of(dog))
    # Two orders on one day: the first never counted.
    earlier = tuple(b for b in dog.before if b.until < until)
    before = dog.before if any(b.until == until for b in dog.before) else (*earlier, old)
    return replace(
        dog,
        before=before,
        ration=dog.ration if ration is None else ration,
        food=dog.food if food is None else food.name,
    )


def _missing(plan: RationPlan, dog: Dog, food: Food | None) -> tuple[str, ...]:
    out = []
    if plan.age_days < 0:
        out.append("birth date")
    if plan.kg is None:
        out.append("weight")
    if food is None:
        out.append("food")
    elif not food.kcal_per_cup:
        out.append("food kcal")
    if food is not None and not food.g_per_cup:
        out.append("g per cup")
    return tuple(out)


def _bare_order(dog: Dog) -> tuple[MealPlan, ...]:
    """The order's cups where its kcal can't be told."""
    per_cup = int(facts("feeding")["rounding"]["eighths_per_cup"])
    return tuple(
        MealPlan(meal=r.meal, cups_eighths=int(r.cups * per_cup + 0.5), grams=None, kcal=0.0) for r in dog.ration
    )


def _plan(
    plan: RationPlan, dog: Dog, ledger: Ledger, kennel: Kennel, on: date, food: Food, kg: float
) -> RationPlan:
    grown = growth.assess(dog, ledger, kennel, on)
    share = grown.pct_of_adult / 100 if grown.pct_of_adult is not None else None
    if "no_breed" in grown.basis and grown.n_weights < 3:
        share = None  # nothing but the species to say its adult weight by
    litter = nursing(dog, ledger, kennel, on) if plan.stage == NURSING else None
    week = nursing_week(dog, ledger, kennel, on) if litter else None
    pups = litter.pups if litter else None
    tables = _tables(plan.stage, dog, kg, plan.age_days, share, pups, week)
    middle = energy.middle(tables)
    learned = from_bowls = None
    if plan.stage in {PUPPY, ADULT, VETERAN}:
        own = partial(
            learn, dog, ledger, kennel, on, table_kcal=middle,
            share_of_adult=share if plan.stage == PUPPY else None,
            expected_gain_g_per_day=grown.expected_gain_g_per_day,
        )  # fmt: skip
        learned = own()
        from_bowls = own(treats=False) if learned.weeks else learned
    eaten = recent(dog, ledger, kennel, on)
    if litter is not None and litter.pups is None and not dog.ration:
        return replace(plan, missing=(*plan.missing, "pups"))
    times = floor_times(plan.stage, plan.age_days, share)
    floor = times * energy.resting(kg)
    if litter is not None and _in_full_milk(litter, on):
        floor = energy.nursing_least(kg)
        times = floor / energy.resting(kg)
    basis, kcal, bowls = _standing(plan.stage, dog, kennel, on, food, floor, eaten, from_bowls, tables)
    meals = tuple(portions.meal(m, n, food) for m, n in bowls.items() if n)
    pot = kcal * float(facts("feeding")["treats"]["share"])
    hands = latest(dog, ledger, on)
    plan = replace(
        plan,
        resting_kcal=energy.resting(kg),
        tables=tuple((t.name, t.kcal, t.source) for t in tables),
        table_kcal=middle,
        learned=learned,
        eaten=eaten,
        basis=basis,
        kcal_day=kcal,
        meals=meals,
        ordered=basis == "order",
        floor_kcal=floor,
        floor_times=times,
        treat_pot_kcal=pot,
        treat_pot_g=pot / food.kcal_per_cup * food.g_per_cup if food.g_per_cup and food.kcal_per_cup else None,
        times_resting=kcal / energy.resting(kg),
        change_pct=(kcal / eaten.kcal_day - 1) * 100 if eaten and basis == "order" else None,
        cut=cut_on(dog, kennel, on) is not None,
        nursing_cut=litter is not None and _in_full_milk(litter, on) and _is_less(dog, kennel, litter.born, on),
        pups=pups,
        week=week,
    )
    step = suggest(_case(plan, dog, ledger, kennel, on, food, bowls, grown, hands))
    return _finished(plan, dog, on, step, grown.warnings, hands, food)


def _tables(
    stage: str, dog: Dog, kg: float, age_days: int, share: float | None, pups: int | None, week: int | None
) -> tuple[energy.TableNeed, ...]:
    if stage == PUPPY:
        return energy.puppy_tables(kg, age_days, share)
    if stage == NURSING and week:
        return energy.lactation_tables(kg, pups, week)
    if stage == PREGNANT:
        return energy.gestation_tables(kg)
    return energy.veteran_tables(kg, dog.neutered) if stage == VETERAN else energy.adult_tables(kg, dog.neutered)


def _standing(
    stage: str, dog: Dog, kennel: Kennel, on: date, food: Food, floor: float, eaten: Intake | None,
    learned: Learned | None, tables: tuple[energy.TableNeed, ...],
) -> tuple[str, float, dict[str, int]]:  # fmt: skip
    """What stands today: its basis, kcal with the treats inside, and eighths by meal.

    `learned` is what it needs from its bowls, the treats that it had beside them left out.
    """
    assert food.kcal_per_cup is not None
    per_cup = food.kcal_per_cup
    if dog.ration:
        eighths = int(facts("feeding")["rounding"]["eighths_per_cup"])
        order = {r.meal: int(r.cups * eighths + 0.5) for r in sorted(dog.ration, key=lambda r: portions.place(r.meal))}
        return "order", sum(r.cups for r in dog.ration) * per_cup, order
    names = portions.meals_of_day(dog, kennel, on, nursing=stage == NURSING)
    if stage == NURSING:
        # Her need rises by the week; the table leads, and she is let eat.
        return _shared("table", max(tables[0].kcal, floor), names, per_cup, floor)
    if eaten is not None and stage != PREGNANT:
        now = {m: portions.eighths(eaten.by_meal.get(m, 0.0), per_cup) for m in names}
        total = portions.kcal_of(sum(now.values()), per_cup)
        if total >= floor:
            return "measured", total, now
        return _shared("measured", floor, names, per_cup, floor)
    if learned is not None and learned.weeks:
        basis = "learned" if learned.counts else "table"
        return _shared(basis, max(learned.kcal_day, floor), names, per_cup, floor)
    return _shared("table", max(energy.middle(tables), floor), names, per_cup, floor)


def _shared(
    basis: str, kcal: float, names: tuple[str, ...], per_cup: float, floor: float
) -> tuple[str, float, dict[str, int]]:
    total = max(portions.eighths(kcal, per_cup), portions.eighths_reaching(floor, per_cup))
    return basis, portions.kcal_of(total, per_cup), portions.split(total, names)


def _case(
    plan: RationPlan, dog: Dog, ledger: Ledger, kennel: Kennel, on: date, food: Food,
    bowls: Mapping[str, int], grown: growth.Growth, hands: ConditionNow | None,
) -> Case:  # fmt: skip
    weeks = tuple(
        measured(dog, ledger, kennel, on - timedelta(days=7 * (i + 1)), on - timedelta(days=7 * i + 1))
        for i in range(4)
    )
    rule = facts("feeding")["step"]
    days_ago = [(on - b.until).days - 1 for b in dog.before]
    # An order that changed nothing in the sum (the first one written down) is no step.
    changed = [d for d, b in zip(days_ago, dog.before, strict=True) if b.ration]
    bags = [
        d for d, b in zip(days_ago, dog.before, strict=True)
        if b.food is not None and b.food.kcal_per_cup not in (None, food.kcal_per_cup)
    ]
    floor, bowl = plan.floor_kcal or 0.0, sum(m.kcal for m in plan.meals)
    beside = mornings(dog, ledger, kennel, on)
    return Case(
        stage=plan.stage,
        age_days=plan.age_days,
        bowls=bowls,
        bowl_kcal=bowl,
        food=food,
        floor_kcal=floor,
        eaten=plan.eaten,
        by_week=weeks,
        growth=grown,
        hands=hands,
        ordered_days_ago=min(changed, default=None),
        food_changed_days_ago=min(bags, default=None),
        steps_lately=sum(1 for d in changed if d < rule["look_after_days"]),
        weighed_days_ago=(on - plan.kg_on).days if plan.kg_on else 0,
        unwell=is_unwell(dog, ledger, on),
        ears_sliding=plan.stage == PUPPY and ears.assess(dog, ledger, kennel, on).trend == ears.DOWN,
        snack_before=_snack_before(dog, weeks, food, on),
        bile_without_snack=beside is not None and beside.keep_snack,
    )


def _snack_before(dog: Dog, weeks: tuple[Intake | None, ...], food: Food, on: date) -> int:
    """The most, in eighths, that the snack before the night was in these four weeks, by order or as it was eaten."""
    rule = facts("feeding")
    snack, since = rule["meals"]["snack"], on - timedelta(days=int(rule["step"]["four_weeks_days"]))
    orders = [b.ration for b in dog.before if b.until >= since]
    sizes = [int(r.cups * rule["rounding"]["eighths_per_cup"] + 0.5) for o in orders for r in o if r.meal == snack]
    if food.kcal_per_cup:
        sizes += [portions.eighths(w.by_meal.get(snack, 0.0), food.kcal_per_cup) for w in weeks if w is not None]
    return max(sizes, default=0)


def _finished(
    plan: RationPlan, dog: Dog, on: date, step: Step, grown: tuple[str, ...], hands: ConditionNow | None, food: Food
) -> RationPlan:
    """The plan with its step, days to look again, warnings and cautions."""
    assert plan.kcal_day is not None
    assert plan.floor_kcal is not None
    assert plan.floor_times is not None
    rule = facts("feeding")["recheck"]
    warnings = []
    milk = plan.stage == NURSING and (plan.nursing_cut or plan.kcal_day < plan.floor_kcal)
    if plan.kcal_day < plan.floor_kcal:
        warnings.append("nursing_under_least" if milk else "under_floor")
    if plan.nursing_cut:
        warnings.append("nursing_cut")
    most = float(facts("feeding")["step"]["most_pct"])
    if plan.ordered and plan.change_pct is not None and plan.change_pct < -most - 0.5:
        warnings.append("big_cut")
    if plan.ordered and hands is not None and hands.fresh and hands.hands <= 3 and plan.change_pct is not None:
        if plan.change_pct < -1:
            warnings.append("cut_at_easy_ribs")
    if plan.eaten is not None and plan.treat_pot_kcal is not None and plan.eaten.treat_kcal > plan.treat_pot_kcal:
        warnings.append("treats_over_pot")
    warnings += [k for k in grown if k in {"losing", "flat_twice", "flat_vet", "two_lines_down"}]
    close = bool({"under_floor", "big_cut"} & set(warnings))
    days = (int(rule["under_floor_days"]), int(rule["days"])) if close else (int(rule["days"]),)
    rechecks = tuple(on + timedelta(days=d) for d in days)
    expires = expires_at_kg(plan.kcal_day, plan.floor_times) if plan.stage == PUPPY else None
    caution = ["breeder_decides"]
    if plan.ordered:
        caution.append("this_dog_only")
    if plan.eaten is not None and plan.eaten.estimated:
        caution.append("treats_estimated")
    if plan.stage == NURSING:
        caution += ["let_her_eat", "no_calcium"]
        if plan.pups and plan.pups > int(facts("energy")["lactation"]["most_pups"]):
            caution.append("over_eight_pups")
    if plan.stage == PREGNANT:
        caution += ["small_meals", "no_calcium"]
    if plan.stage == PUPPY and plan.basis == "table":
        caution.append("tables_disagree")
    one = portions.kcal_of(1, plan.kcal_per_cup or 0.0)
    if one > plan.kcal_day * most / 100:
        caution.append("eighth_is_coarse")
    return replace(
        plan,
        step=step,
        warnings=tuple(warnings),
        expires_at_kg=expires,
        recheck_on=rechecks[0],
        rechecks=rechecks,
        ears_on=on + timedelta(days=int(rule["ears_days"])) if dog.ear_watch else None,
        source=tuple(dict.fromkeys(("sacn5-energy", "feeding-lines", *(k for t in plan.tables for k in t[2])))),
        caution=tuple(caution),
    )
