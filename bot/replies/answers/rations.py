"""How much to feed? The breeder's order in cups and grams; without one, what is known, and who decides."""

from __future__ import annotations

from math import floor

from bot.replies import reminders, say_units
from bot.replies.answers import fed_today
from bot.replies.answers.asker import Answer, Asker
from bot.replies.cite import because
from core import fed, feeding, rota
from core.entries import Question
from core.portions import MealPlan
from core.ration_plan import RationPlan
from core.roster import BREEDER, Dog
from shared.texts import listed, text

# What is said where no step of food follows, by the first reason; of the others nothing.
KEPT_BACK = {
    "weight_old": "weigh", "unwell": "unwell", "unwell_and_thin": "unwell_and_thin", "loss_ask_vet": "lost",
    "food_not_seen": "food_not_seen",
}  # fmt: skip


def answer(question: Question, asker: Asker) -> Answer:
    """The dog's bowls of the day; without a dog, the cups of the next meal for everybody."""
    dog = asker.kennel.dog(question.dog)
    if dog is None:
        return next_meal(asker)
    plan = feeding.assess(dog, asker.ledger, asker.kennel, asker.on)
    return Answer(text=_one(dog, plan, asker), why=why(plan, asker), breeder=_passed_on(dog, plan, asker))


def bowls(meals: tuple[MealPlan, ...]) -> str:
    """ "¾ breakfast, ¾ dinner, ¼ bedtime snack (82, 82, 28 g)"."""
    shown = ", ".join(
        text("answers.ration.bowl", cups=say_units.eighths(m.cups_eighths / 8), meal=text(f"kept.meal.{m.meal}"))
        for m in meals
    )
    if any(m.grams is None for m in meals):
        return shown
    grams = ", ".join(say_units.number(m.grams or 0, 0) for m in meals)
    return text("answers.ration.with_grams", bowls=shown, grams=grams)


def _one(dog: Dog, plan: RationPlan, asker: Asker) -> str:
    if plan.stage == feeding.NEWBORN:
        return text("answers.ration.newborn", dog=dog.name)
    if asker.person.role == "buyer" and not plan.ordered:
        breeder = asker.kennel.breeder.name if asker.kennel.breeder else text("urgent.the_breeder")
        return text("answers.ration.buyer", dog=dog.name, breeder=breeder)
    if not plan.meals:
        return text("answers.ration.missing", dog=dog.name, what=missing(plan))
    said = [
        text(
            "answers.ration.ordered" if plan.ordered else f"answers.ration.{plan.basis}",
            dog=dog.name,
            bowls=bowls(plan.meals),
        )
    ]
    if plan.stage == feeding.NURSING:
        said.append(text("answers.ration.nursing"))
    if asker.room == BREEDER and (line := too_little_milk(plan)):
        said[-1] = line
    if asker.room == BREEDER and plan.ordered:
        said += [line] if (line := good_to(plan, asker.unit)) else []
    if asker.room == BREEDER and plan.step is not None:
        step = step_words(plan)
        said += [step] if step else []
    return " ".join(said)


def good_to(plan: RationPlan, unit: str) -> str:
    """Up to which weight a growing dog's smaller bowls last: there they meet the floor; "" where nothing was cut."""
    if not plan.cut or plan.expires_at_kg is None or plan.kg is None or plan.expires_at_kg <= plan.kg:
        return ""
    # Rounded down: the figure is a promise of enough.
    return text("answers.ration.good_to", weight=say_units.weight(floor(plan.expires_at_kg * 10) / 10, unit))


def too_little_milk(plan: RationPlan) -> str:
    """What is said of an order that cuts a nursing dam short; "" where it does not."""
    if "nursing_under_least" in plan.warnings and plan.floor_kcal:
        return text("answers.ration.nursing_under_least", dog=plan.dog, least=say_units.number(plan.floor_kcal, 0))
    return text("answers.ration.nursing_cut", dog=plan.dog) if "nursing_cut" in plan.warnings else ""


def missing(plan: RationPlan) -> str:
    """What must be known before there is a ration, in words."""
    needed = [m for m in plan.missing if m != "g per cup"] or list(plan.missing)
    return listed([text(f"answers.ration.needs.{m.replace(' ', '_')}") for m in needed])


def step_words(plan: RationPlan) -> str:
    """The next step that the records suggest, for the breeder to decide; "" for hold."""
    step = plan.step
    kept = KEPT_BACK.get(step.reasons[0]) if step is not None and step.reasons else None
    if kept is not None:
        return text(f"answers.ration.step.{kept}")
    if step is None or step.key == "hold":
        return ""
    values = {
        "bowls": bowls(step.meals) if step.meals else "",
        "change": say_units.percent((step.change_pct or 0.0) / 100, 0, sign=True),
        "floor": say_units.number(plan.floor_kcal or 0.0, 0),
        "grams": say_units.grams(step.grams_less) if step.grams_less else "",
    }
    name = "less_grams" if step.key == "less" and step.grams_less else step.key
    said = text(f"answers.ration.step.{name}", **values)
    return text("answers.ration.step.bile", said=said) if "bile_without_snack" in step.reasons else said


def next_meal(asker: Asker, among: tuple[str, ...] = ()) -> Answer:
    """The cups of the nearest meal of today that is still open, of those named where any are."""
    board = fed.today(asker.ledger, asker.kennel, asker.at)
    asked = [b for b in board.bowls if not among or b.meal in among]
    waiting = [b for b in asked if b.state != fed.LOGGED] or (asked if len(among) == 1 else [])
    if not waiting:
        return Answer(text=text("answers.ration.none_left"))
    near = fed_today.nearest_meal(board, asker)
    meals = {b.meal for b in waiting}
    meal = near if near in meals else min(meals, key=rota.MEALS.index)
    dogs = [b.dog for b in waiting if b.meal == meal]
    shown = "; ".join(reminders.bowls(dogs, meal, asker.kennel))
    said = text("answers.ration.meal", meal=text(f"kept.meal.{meal}"), bowls=shown)
    return Answer(text=said[0].upper() + said[1:])


def _passed_on(dog: Dog, plan: RationPlan, asker: Asker) -> str:
    if asker.person.role != "buyer" or plan.ordered:
        return ""
    return text("answers.ration.buyer_asks", who=asker.person.name, dog=dog.name)


def why(plan: RationPlan, asker: Asker) -> str:
    """The bag, what is really eaten, the floor and the tables."""
    if plan.kcal_day is None or plan.kg is None:
        return ""
    number = say_units.number
    told = [text(f"why.ration.{plan.basis}", kcal=number(plan.kcal_day, 0))]
    if plan.kcal_per_cup:
        grams = number(plan.g_per_cup, 0) if plan.g_per_cup else text("why.ration.no_grams")
        told.append(text("why.ration.bag", food=plan.food, kcal=number(plan.kcal_per_cup, 0), grams=grams))
    if plan.eaten:
        told.append(
            text(
                "why.ration.eaten",
                kcal=number(plan.eaten.kcal_day, 0),
                bowls=number(plan.eaten.bowl_kcal, 0),
                treats=number(plan.eaten.treat_kcal, 0),
                days=plan.eaten.of_days,
            )
        )
    if plan.floor_kcal and plan.floor_times and plan.resting_kcal:
        weight = say_units.weight(plan.kg, asker.unit)
        told.append(
            text(
                "why.ration.floor",
                floor=number(plan.floor_kcal, 0),
                times=number(plan.floor_times, 2),
                resting=number(plan.resting_kcal, 0),
                weight=weight,
            )
        )
    if plan.tables:
        told.append(text("why.ration.tables", kcals=", ".join(number(k, 0) for _, k, _ in plan.tables)))
    return because(*told, sources=plan.source)
