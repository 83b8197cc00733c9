"""On track? Too heavy? How big will it be?"""

from __future__ import annotations

from bot.replies import newborns, say_units
from bot.replies.answers.asker import MOST_LINES, Answer, Asker
from bot.replies.cite import because
from core import condition, growth, newborn
from core.entries import Question, Weight
from core.growth import Growth
from core.roster import Dog
from shared.tables import facts
from shared.texts import listed, text

# Of the warnings of core.growth, those that are told beside others; over the line is told by its figures.
ON_LINE = frozenset({"over_line", "far_over_line", "under_line"})


def answer(question: Question, asker: Asker) -> Answer:
    """How the dog grows; without a dog, one line for each pup."""
    dog = asker.kennel.dog(question.dog)
    if dog is not None and dog.is_newborn(asker.on):
        young = newborn.assess(dog, asker.ledger, asker.kennel, asker.at)
        return Answer(text=newborns.stands(young, asker.unit), why=newborns.why(young, asker.unit))
    if dog is not None:
        found = growth.assess(dog, asker.ledger, asker.kennel, asker.on)
        return Answer(text=long(dog, found, asker), why=why(found, asker))
    pups = [p for p in asker.pups() if asker.ledger.last(p.name, Weight, until=asker.on)]
    if not pups:
        return Answer(text=text("answers.weight.none_yet"))
    lines = []
    for pup in pups[:MOST_LINES]:
        found = growth.assess(pup, asker.ledger, asker.kennel, asker.on)
        lines.append(text("answers.growth.line", dog=pup.name, what=", ".join(short(pup, found, asker, brief=True))))
    return Answer(text="\n".join(lines), why=text("why.one_dog"))


def long(dog: Dog, found: Growth, asker: Asker) -> str:
    """Age, weight, gain beside what was expected, the lean line, and how big it will be."""
    if found.last is None:
        return text("answers.weight.none", dog=dog.name)
    age = say_units.age(dog, asker.on)
    said = [text("answers.growth.head", dog=dog.name, age=age, what=", ".join(short(dog, found, asker)))]
    felt = hands(dog, asker)
    if felt and found.over_kg is not None:
        said.append(felt[0].upper() + felt[1:] + ".")
    said += warned(found)
    if found.adult_low_kg and found.adult_high_kg and dog.is_pup(asker.on):
        low, high = say_units.whole_weights(found.adult_low_kg, found.adult_high_kg, asker.unit)
        loose = "forecast_loose_under_12_weeks" in found.caution
        said.append(text("answers.growth.adult_loose" if loose else "answers.growth.adult", low=low, high=high))
    return " ".join(said)


def warned(found: Growth, *, brief: bool = False) -> list[str]:
    """The most pressing warning in words, where there is one besides over or under the line; brief, only what holds
    for more than one weigh-in: the gain beside what was expected is told by its figures."""
    left = ON_LINE | ({"slow", "flat", "fast"} if brief else set())
    return [text(f"answers.growth.warn.{w}") for w in found.warnings if w not in left][:1]


def short(dog: Dog, found: Growth, asker: Asker, brief: bool = False) -> list[str]:
    """The figures alone: weight, gain (left out where it must be brief), lean line."""
    if found.last is None:
        return [text("answers.growth.no_weight")]
    kg, on = found.last
    newborn = dog.is_newborn(on)
    said = [say_units.weight(kg, asker.unit, newborn)]
    if on != asker.on:
        said[0] = text("answers.growth.on_day", weight=said[0], day=say_units.day(on, asker.on, asker.kennel))
    if found.gain_g_per_day is not None and found.gain_since is not None and dog.is_pup(asker.on) and not brief:
        said.append(gain(found, asker, newborn))
    if found.over_kg is not None and found.over_pct is not None:
        said.append(on_the_line(found, asker))
    return said


def gain(found: Growth, asker: Asker, newborn: bool = False) -> str:
    """The gain since the last weigh-in beside what was expected over the same days."""
    assert found.last is not None and found.gain_since is not None and found.gain_g_per_day is not None
    days = (found.last[1] - found.gain_since).days
    gained = say_units.signed(found.gain_g_per_day * days / 1000, asker.unit, newborn)
    if found.expected_gain_g_per_day is None:
        return text("answers.growth.gain", gain=gained, days=say_units.days(days))
    expected = say_units.difference(found.expected_gain_g_per_day * days / 1000, asker.unit, newborn)
    return text("answers.growth.gain_expected", gain=gained, days=say_units.days(days), expected=expected)


def on_the_line(found: Growth, asker: Asker) -> str:
    """How far the weight is from the lean line, in words and figures."""
    assert found.over_kg is not None and found.over_pct is not None
    # A grown dog is only warned of after three weigh-ins, but told where it stands at each.
    near = abs(found.over_pct) < float(facts("growth")["grown"]["drift_pct"])
    if near and not ON_LINE & set(found.warnings):
        return text("answers.growth.on_line")
    off = say_units.difference(found.over_kg, asker.unit)
    return text("answers.growth.over" if found.over_kg > 0 else "answers.growth.under", off=off)


def hands(dog: Dog, asker: Asker) -> str:
    """What the hands said last, where it still counts; "" otherwise."""
    felt = condition.latest(dog, asker.ledger, asker.on)
    if felt is None or not felt.fresh:
        return ""
    name = "thin" if felt.is_thin else "heavy" if felt.is_heavy else "right"
    return text(f"answers.growth.hands.{name}")


def why(found: Growth, asker: Asker) -> str:
    """The weights, the lean line and the curve that the answer rests on."""
    kennel, on, unit = asker.kennel, asker.on, asker.unit
    dog = kennel.dog(found.dog)
    told = []
    weights = [
        text(
            "why.weighing",
            weight=say_units.weight(w.kg, unit, bool(dog and dog.is_newborn(w.on))),
            day=say_units.day(w.on, on, kennel),
        )
        for w in asker.ledger.entries(found.dog, Weight, until=on)[-4:]
    ]
    if weights:
        told.append(text("why.weighings", lines=", ".join(weights)))
    if found.gain_g_per_day is not None and found.gain_since and found.expected_gain_g_per_day is not None:
        told.append(
            text(
                "why.growth_gain",
                gain=say_units.signed(found.gain_g_per_day / 1000, unit, newborn=True),
                day=say_units.day(found.gain_since, on, kennel),
                expected=say_units.difference(found.expected_gain_g_per_day / 1000, unit, newborn=True),
            )
        )
    if found.lean_from and found.lean_line_kg and dog and dog.is_pup(on):
        kg, day = found.lean_from
        lean = (say_units.weight(kg, unit), say_units.weight(round(found.lean_line_kg, 1), unit))
        told.append(text("why.growth_line", lean=lean[0], day=say_units.calendar_day(day, kennel), line=lean[1]))
    if found.adult_low_kg and found.adult_high_kg and dog and dog.is_pup(on):
        low, high = (say_units.weight(round(k, 1), unit) for k in (found.adult_low_kg, found.adult_high_kg))
        basis = listed([text(f"why.basis.{b}") for b in found.basis])
        told.append(text("why.growth_adult", n=found.n_weights, basis=basis, low=low, high=high))
    return because(*told, sources=found.source)
