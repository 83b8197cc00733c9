"""What does it weigh, what did it weigh?"""

from __future__ import annotations

from bot.replies import say_units
from bot.replies.answers.asker import MOST_LINES, Answer, Asker
from core.entries import Question, Weight
from core.roster import Dog
from shared.texts import text

SAME_KG = 0.05  # a difference that a bathroom scale does not show


def answer(question: Question, asker: Asker) -> Answer:
    """The dog's newest weight with the one before it; without a dog, the newest of each pup."""
    dog = asker.kennel.dog(question.dog)
    if dog is not None:
        return Answer(text=_one(dog, asker), why=_why(dog, asker))
    dogs = [d for d in asker.pups() or asker.here() if asker.ledger.last(d.name, Weight, until=asker.on)]
    if not dogs:
        return Answer(text=text("answers.weight.none_yet"))
    shown = [_short(d, asker) for d in dogs[:MOST_LINES]]
    return Answer(text="\n".join(shown), why=text("why.one_dog"))


def _one(dog: Dog, asker: Asker) -> str:
    weights = asker.ledger.entries(dog.name, Weight, until=asker.on)
    if not weights:
        return text("answers.weight.none", dog=dog.name)
    newest = weights[-1]
    day = say_units.on_day(newest.on, asker.on, asker.kennel)
    said = text("answers.weight.now", dog=dog.name, weight=_shown(newest, dog, asker), day=day)
    before = next((w for w in reversed(weights[:-1]) if w.on < newest.on), None)
    if before is None:
        return said
    if abs(newest.kg - before.kg) < SAME_KG and not dog.is_newborn(newest.on):
        return text("answers.weight.same", now=said, day=say_units.day(before.on, asker.on, asker.kennel))
    return text(
        "answers.weight.before",
        now=said,
        change=say_units.signed(newest.kg - before.kg, asker.unit, dog.is_newborn(newest.on)),
        day=say_units.day(before.on, asker.on, asker.kennel),
    )


def _short(dog: Dog, asker: Asker) -> str:
    newest = asker.ledger.entries(dog.name, Weight, until=asker.on)[-1]
    day = say_units.day(newest.on, asker.on, asker.kennel)
    return text("answers.weight.line", dog=dog.name, weight=_shown(newest, dog, asker), day=day)


def _shown(weight: Weight, dog: Dog, asker: Asker) -> str:
    return say_units.weight(weight.kg, asker.unit, dog.is_newborn(weight.on))


def _why(dog: Dog, asker: Asker) -> str:
    told = [
        text(
            "answers.weight.why_line",
            day=say_units.day(p.entry.on, asker.on, asker.kennel),
            weight=_shown(p.entry, dog, asker),
            by=p.by or text("answers.nobody_named"),
        )
        for p in asker.ledger.of(dog.name, Weight, until=asker.on)[-4:]
        if isinstance(p.entry, Weight)
    ]
    return text("answers.weight.why", dog=dog.name, lines="\n".join(reversed(told))) if told else ""
