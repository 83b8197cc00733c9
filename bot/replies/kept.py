"""Entries as one short line each, for "what did you write?", undo and corrections."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import groupby

from bot.replies import say_units
from core.bowls import is_refusal
from core.entries import (
    Concern,
    Condition,
    Dose,
    Ears,
    Entry,
    Groom,
    HealthTest,
    Height,
    LeaveItem,
    Mating,
    Meal,
    Photo,
    Progesterone,
    Season,
    Sign,
    Temperature,
    Tooth,
    Treat,
    Weight,
    Whelping,
)
from core.roster import Kennel
from core.topups import TIMES
from shared.texts import listed, text

MOST_NAMES = 6  # more dogs than this in one line are counted, not named


def fact(entry: Entry, kennel: Kennel, unit: str) -> str:
    """What the entry says, without the dog and the day: "9.4 kg", "left ear up, right half up"."""
    match entry:
        case Weight():
            dog = kennel.dog(entry.dog)
            return say_units.weight(entry.kg, unit, newborn=bool(dog and dog.is_newborn(entry.on)))
        case Ears():
            return _ears(entry)
        case Condition():
            return _condition(entry)
        case Meal():
            return _meal(entry)
        case Treat():
            if entry.amount is None or entry.unit is None:
                return text("kept.treat.some")
            if entry.unit == "piece":
                return text(
                    "kept.treat.one" if entry.amount == 1 else "kept.treat.pieces", n=say_units.number(entry.amount)
                )
            return text("kept.treat.measured", amount=say_units.amount(entry.amount, entry.unit))
        case Groom():
            return text(f"kept.groom.{entry.task.replace(' ', '_')}")
        case Sign():
            return text(f"kept.sign.{entry.sign}")
        case Concern():
            return text(f"kept.concern.{entry.about}")
        case Dose():
            return text(f"kept.dose.{entry.dose.replace(' ', '_')}")
        case Temperature():
            return say_units.temperature(entry.celsius, unit)
        case Height():
            return text("kept.height", height=say_units.height(entry.cm, unit))
        case Season():
            return text("kept.season")
        case Progesterone():
            shown = say_units.number(entry.value, 2)
            return text("kept.progesterone", value=f"{shown} {entry.unit}" if entry.unit else shown)
        case Mating():
            return text("kept.mated", with_=entry.with_) if entry.with_ else text("kept.mated_outside")
        case Whelping():
            if entry.pups is None:
                return text("kept.whelped")
            return text("kept.whelped_one") if entry.pups == 1 else text("kept.whelped_count", n=entry.pups)
        case Tooth():
            return text("kept.tooth")
        case HealthTest():
            return _health_test(entry, kennel)
        case LeaveItem():
            return text("leaving.kept", item=text(f"leaving.item.{entry.item.replace(' ', '_')}"))
        case Photo():
            return text("kept.photo")
    raise TypeError(f"no words for {type(entry).__name__}")


def line(entry: Entry, kennel: Kennel, unit: str, today: date) -> str:
    """One entry as a line: "Nugget 9.4 kg", with its day where it is not today."""
    return _dated(text("kept.line", dogs=entry.dog, fact=fact(entry, kennel, unit)), entry.on, kennel, today)


def lines(entries: Sequence[Entry], kennel: Kennel, unit: str, today: date) -> tuple[str, ...]:
    """Entries as lines; the same fact of several dogs on one day becomes one line."""
    told = [(fact(e, kennel, unit), e.on, e.kind, e.dog) for e in entries]
    order = {key: n for n, key in reversed(list(enumerate(t[:3] for t in told)))}
    out = []
    for key, group in groupby(sorted(told, key=lambda t: order[t[:3]]), key=lambda t: t[:3]):
        dogs = list(dict.fromkeys(t[3] for t in group))
        shown = listed(dogs) if len(dogs) <= MOST_NAMES else text("kept.many_dogs", n=len(dogs))
        out.append(_dated(text("kept.line", dogs=shown, fact=key[0]), key[1], kennel, today))
    return tuple(out)


def _dated(shown: str, on: date, kennel: Kennel, today: date) -> str:
    return shown if on == today else text("kept.dated", line=shown, day=say_units.day(on, today, kennel))


def ear(position: str) -> str:
    """A position of one ear in words."""
    return text(f"kept.ear.{position}")


def _ears(entry: Ears) -> str:
    if entry.left and entry.left == entry.right:
        return text("kept.ears_both", position=ear(entry.left))
    if entry.left and entry.right:
        return text("kept.ears_sides", left=ear(entry.left), right=ear(entry.right))
    if entry.left:
        return text("kept.ear_left", position=ear(entry.left))
    if entry.right:
        return text("kept.ear_right", position=ear(entry.right))
    if entry.one and entry.other:
        return text("kept.ears_one_other", one=ear(entry.one), other=ear(entry.other))
    return text("kept.ear_one", position=ear(entry.one or entry.other or "down"))


def _condition(entry: Condition) -> str:
    said = []
    if entry.score is not None:
        said.append(text("kept.score", score=say_units.number(entry.score), scale=entry.scale or 9))
    if entry.ribs:
        said.append(text(f"kept.ribs.{entry.ribs}"))
    return ", ".join(said)


def _health_test(entry: HealthTest, kennel: Kennel) -> str:
    said = text("pairing.kept", test=entry.test)
    if entry.result:
        said = text("pairing.kept_result", test=entry.test, result=entry.result)
    if entry.until is None:
        return said
    return text("pairing.kept_until", said=said, until=say_units.calendar_day(entry.until, kennel, entry.on))


def _meal(entry: Meal) -> str:
    if entry.unit == TIMES and entry.amount:
        return text("kept.topped_up", times=say_units.times(int(entry.amount)))
    if is_refusal(entry):
        return text("kept.off_food")
    said = text(f"kept.meal.{entry.meal or 'any'}")
    if entry.amount is not None and entry.unit:
        said = text("kept.meal_amount", meal=said, amount=say_units.amount(entry.amount, entry.unit))
    if entry.eaten:
        said = text("kept.meal_eaten", meal=said, eaten=text(f"kept.eaten.{entry.eaten}"))
    return said
