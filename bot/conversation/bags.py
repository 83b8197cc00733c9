"""A new bag or food with other kcal in a cup: kept at once, and the breeder is offered the cups that make up for it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import timedelta

from bot.conversation import roster_changes
from bot.conversation.about import found
from bot.conversation.doubts import ANSWERS
from bot.conversation.heard import plain, yes_or_no
from bot.conversation.hearing import Hearing
from bot.replies import bags as words
from core.feeding import reordered
from core.portions import new_bag
from core.roster import BREEDER, Dog, Food, Kennel
from core.turns import Asked
from shared.texts import text

LEAST, MOST = 100, 750  # kcal in a level cup of any dry food; outside it the figure is of something else
ODD = 0.3  # a change by more than this is asked about before it counts
CUT_DAYS = timedelta(days=7)  # no cut and no new food in the same week


@dataclass(frozen=True, slots=True)
class _Figures:
    kcal: float
    grams: float | None


def answer(hearing: Hearing) -> bool:
    """True where the message told of a bag with its kcal; without a figure it is talk."""
    figures = _figures(hearing)
    if figures is None or hearing.person.role == "buyer":
        return False
    hearing.took(*(found(f"bag.{part}", hearing) for part in ("cue", "kcal", "grams")))
    foods = hearing.house.foods
    named = _named(foods, plain(hearing.message.text))
    if len(named) != 1 and len(foods) > 1:
        facts = {"kcal": figures.kcal, "grams": figures.grams}
        hearing.ask("which food", text("bags.which_food"), tuple(f.name for f in foods), facts)
        return True
    if not foods:
        return False
    _take(hearing, named[0] if named else foods[0], figures)
    return True


def _named(foods: tuple[Food, ...], said: str) -> list[Food]:
    """The foods that the words name: by the whole name, else by a word of it that no other food has."""
    whole = [f for f in foods if plain(f.name) in said]
    if whole:
        return whole
    words = set(re.findall(r"\w+", said))
    others = {f.name: {w for o in foods if o is not f for w in plain(o.name).split()} for f in foods}
    return [f for f in foods if (set(plain(f.name).split()) - others[f.name]) & words]


def _figures(hearing: Hearing) -> _Figures | None:
    if not found("bag.cue", hearing):
        return None
    kcal, grams = found("bag.kcal", hearing), found("bag.grams", hearing)
    if kcal is None or not LEAST <= float(kcal["n"]) <= MOST:
        return None
    return _Figures(float(kcal["n"]), float(grams["n"]) if grams else None)


def _take(hearing: Hearing, food: Food, figures: _Figures, sure: bool = False) -> None:
    old = food.kcal_per_cup
    if old and abs(figures.kcal / old - 1) > ODD and not sure:
        asked = words.is_it(food, figures.kcal)
        facts = {"kcal": figures.kcal, "grams": figures.grams, "food": food.name}
        hearing.ask("bag", asked, (text("doubts.yes"), text("doubts.no")), facts)
        return
    new = replace(food, kcal_per_cup=figures.kcal, g_per_cup=figures.grams or food.g_per_cup)
    if new == food:
        hearing.mark()
        return
    eaters = [d for d in hearing.house.at_home() if (f := hearing.house.food_of(d)) and f.name == food.name]
    _change(hearing, food, new, eaters)
    hearing.mark()
    _offer(hearing, food, new, eaters)


def _change(hearing: Hearing, old: Food, new: Food, eaters: list[Dog]) -> None:
    house = hearing.house
    told = [old.name, old.kcal_per_cup, old.g_per_cup]
    roster_changes.remember_all(hearing, _before(eaters), food=told)
    dogs = {d.name: reordered(d, house, hearing.on, food=new) for d in eaters if d.ration}
    foods = tuple(new if f.name == old.name else f for f in house.foods)
    hearing.change(replace(house, foods=foods, dogs=tuple(dogs.get(d.name, d) for d in house.dogs)))


def _before(dogs: list[Dog]) -> dict[str, dict[str, object]]:
    """What stood before, for "undo"."""
    return {d.name: {"ration": [[r.meal, r.cups] for r in d.ration], "before": len(d.before)} for d in dogs}


def _offer(hearing: Hearing, old: Food, new: Food, eaters: list[Dog]) -> None:
    """Tell the breeder what the cups come to in the new food, and offer to set them."""
    if hearing.scene.kennel.breeder is None:
        return
    bags = [(d, b) for d in eaters if d.ration and old.kcal_per_cup and (b := new_bag(d.ration, old.kcal_per_cup, new))]
    moved = [(d, b) for d, b in bags if b.eighths_after != b.eighths_before]
    cut = [d.name for d, _ in moved if _was_cut(d, hearing)]
    said = words.new_bag(old, new, moved, cut)
    if not moved:
        hearing.tell_breeder(said)
        return
    facts = {"orders": {d.name: [[m.meal, m.cups_eighths / 8] for m in b.meals] for d, b in moved}}
    hearing.ask(
        "cups for bag",
        said,
        (text("doubts.yes"), text("doubts.no")),
        facts,
        room=BREEDER,
        person=hearing.scene.kennel.breeder.name,
    )


def _was_cut(dog: Dog, hearing: Hearing) -> bool:
    """True where the order was lowered within a week."""
    lately = [b for b in dog.before if b.ration and hearing.on - b.until <= CUT_DAYS]
    now = sum(r.cups for r in dog.ration)
    return any(sum(r.cups for r in b.ration) > now for b in lately)


def _which_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    food = next((f for f in hearing.house.foods if plain(f.name) in plain(said) or plain(said) in plain(f.name)), None)
    if food is None:
        return False
    _take(hearing, food, _Figures(asked.facts["kcal"], asked.facts["grams"]))
    return True


def _bag_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    food = next((f for f in hearing.house.foods if f.name == asked.facts["food"]), None)
    if meant is None or food is None:
        return False
    if meant:
        _take(hearing, food, _Figures(asked.facts["kcal"], asked.facts["grams"]), sure=True)
    else:
        hearing.say(text("doubts.left_out"))
    return True


def _cups_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    if meant is None or not hearing.is_breeder:
        return False
    if not meant:
        hearing.say(text("bags.kept"))
        return True
    orders = asked.facts["orders"]
    dogs = [d for name in orders if (d := hearing.house.dog(name))]
    roster_changes.remember_all(hearing, _before(dogs))
    house: Kennel = hearing.house
    for dog in dogs:
        ration = words.ration_of(orders[dog.name])
        house = roster_changes.with_dog(house, reordered(dog, house, hearing.on, ration=ration))
    hearing.change(house)
    hearing.mark()
    return True


ANSWERS.update({"which food": _which_answered, "bag": _bag_answered, "cups for bag": _cups_answered})
