"""Show a picture: the dog's weights in their expected band."""

from __future__ import annotations

from bot.replies.answers import growing
from bot.replies.answers.asker import Answer, Asker
from bot.replies.chart import weight_spec
from core import growth
from core.entries import Question, Weight
from shared.texts import text

LEAST = 2  # weighings that a picture is worth


def answer(question: Question, asker: Asker) -> Answer:
    """The dog's weight chart with one line under it; without a dog, the only pup's or a question back."""
    dog = asker.kennel.dog(question.dog)
    if dog is None:
        return Answer(text=text("doubts.which_dog"), which=tuple(d.name for d in asker.pups()))
    if len(asker.ledger.entries(dog.name, Weight, until=asker.on)) < LEAST:
        return Answer(text=text("answers.chart.too_few", dog=dog.name))
    found = growth.assess(dog, asker.ledger, asker.kennel, asker.on)
    caption = text("answers.growth.line", dog=dog.name, what=", ".join(growing.short(dog, found, asker)))
    return Answer(text=caption, why=growing.why(found, asker), picture=weight_spec(dog, asker.on))
