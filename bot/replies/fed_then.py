"""Who was fed on an earlier day, by whom, and what was said of how much was eaten."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, time

from bot.replies import say_units
from bot.replies.answers.asker import Asker
from core import fed
from core.fed import Bowl
from core.roster import Dog
from core.rota import MEALS
from core.times import instant
from shared.texts import listed, text

LATE = time(23, 59)
MOST_NAMES = 8


def of_dog(dog: Dog, meal: str, on: date, asker: Asker, eating: bool) -> list[str]:
    """The dog's bowls of that day, or the one asked for; `eating`: it is asked whether it was eaten."""
    bowls = [b for b in _board(on, asker) if b.dog == dog.name and meal in ("", b.meal)]
    if not bowls:
        return [_without(dog, meal, on, asker)]
    return [_bowl(b, on, asker, eating) for b in bowls]


def of_meal(meal: str, on: date, asker: Asker, dogs: Sequence[Dog] = ()) -> list[str]:
    """Each meal of that day, or the one asked for: by whom, which dogs, and of whom nothing was written down."""
    names = {d.name for d in dogs}
    board = [b for b in _board(on, asker) if not names or b.dog in names]
    return [_meal(m, [b for b in board if b.meal == m], on, asker) for m in MEALS if meal in ("", m)]


def _board(on: date, asker: Asker) -> Sequence[Bowl]:
    return fed.today(asker.ledger, asker.kennel, instant(on, LATE, asker.kennel.tz)).bowls


def _without(dog: Dog, meal: str, on: date, asker: Asker) -> str:
    if meal and dog.ration and not dog.is_newborn(on):
        return text("record.fed_no_meal", dog=dog.name, meal=text(f"kept.meal.{meal}"))
    return text("record.fed_nothing", dog=dog.name, day=_day(on, asker))


def _bowl(bowl: Bowl, on: date, asker: Asker, eating: bool) -> str:
    shown = {"dog": bowl.dog, "meal": text(f"kept.meal.{bowl.meal}"), "day": _day(on, asker)}
    if bowl.state != fed.LOGGED:
        return text("record.fed_dog_none", **shown)
    eaten = text("record.eaten", eaten=text(f"kept.eaten.{bowl.eaten}")) if bowl.eaten else ""
    if eating and not eaten:
        eaten = text("record.not_said")
    return text("record.fed_dog", **shown, who=_who([bowl], asker), eaten=eaten)


def _meal(meal: str, bowls: Sequence[Bowl], on: date, asker: Asker) -> str:
    name = text(f"kept.meal.{meal}")
    shown = {"meal": name[0].upper() + name[1:], "day": _day(on, asker)}
    done = [b for b in bowls if b.state == fed.LOGGED]
    if not done:
        return text("record.fed_meal_none", **shown)
    said = text("record.fed_meal", **shown, who=_who(done, asker), dogs=_names(done))
    left = [b for b in bowls if b.state != fed.LOGGED]
    return text("record.fed_left", said=said, dogs=_names(left)) if left else said


def _names(bowls: Sequence[Bowl]) -> str:
    dogs = [b.dog for b in bowls]
    return listed(dogs) if len(dogs) <= MOST_NAMES else text("answers.fed.dogs", n=len(dogs))


def _who(bowls: Sequence[Bowl], asker: Asker) -> str:
    """Each person once, with the time of the first bowl."""
    seen: dict[str, str] = {}
    for bowl in bowls:
        if bowl.at is not None:
            who = bowl.by or text("answers.nobody_named")
            seen.setdefault(who, say_units.clock(bowl.put_down[0].entry.clock or bowl.at, asker.kennel))
    return listed([text("answers.fed.at", who=who, time=clock) for who, clock in seen.items()])


def _day(on: date, asker: Asker) -> str:
    return say_units.on_day(on, asker.on, asker.kennel)
