"""Which way are the ears going? Never whether they will stand."""

from __future__ import annotations

from bot.replies import kept, say_units
from bot.replies.answers.asker import MOST_LINES, Answer, Asker
from bot.replies.cite import because
from core import ears
from core.ears import EarTrend
from core.entries import Ears, Question
from core.roster import Dog
from shared.texts import text

SHOWN_DAYS = 6  # scored days under "why?"


def answer(question: Question, asker: Asker) -> Answer:
    """The dog's ears now and which way they are going; without a dog, one line for each that is watched."""
    dog = asker.kennel.dog(question.dog)
    if dog is not None:
        found = ears.assess(dog, asker.ledger, asker.kennel, asker.on)
        return Answer(text=long(found, asker), why=why(dog, found, asker))
    dogs = [d for d in asker.here() if d.ear_watch] or [d for d in asker.pups() if asker.ledger.last(d.name, Ears)]
    if not dogs:
        return Answer(text=text("answers.ears.none_yet"))
    lines = [short(ears.assess(d, asker.ledger, asker.kennel, asker.on), asker) for d in dogs[:MOST_LINES]]
    return Answer(text="\n".join(lines), why=text("why.one_dog"))


def long(found: EarTrend, asker: Asker) -> str:
    """Where they are, which way they go, and one thing beside it that helps to judge."""
    if found.last is None:
        return text("answers.ears.none", dog=found.dog)
    day = say_units.day(found.last.on, asker.on, asker.kennel)
    now = text("answers.ears.now", dog=found.dog, ears=_positions(found, asker), day=day)
    said = [now, trend(found)]
    if found.ear_signs:
        said.append(text("answers.ears.vet"))
    elif found.dropped_near_tooth:
        said.append(text("answers.ears.tooth"))
    elif found.teething and found.trend != ears.UP:
        said.append(text("answers.ears.teething"))
    return " ".join(said)


def short(found: EarTrend, asker: Asker) -> str:
    """One line: positions and trend."""
    if found.last is None:
        return text("answers.ears.none", dog=found.dog)
    return text("answers.ears.line", dog=found.dog, ears=_positions(found, asker), trend=counts(found))


def trend(found: EarTrend) -> str:
    """Days with both up out of days scored, this week and the week before, and the word for it."""
    if found.trend == ears.TOO_FEW:
        if not found.days_scored:
            return text("answers.ears.none_this_week")
        return text("answers.ears.too_few", days=say_units.days(found.days_scored))
    return text(f"answers.ears.{found.trend}", counts=counts(found))


def counts(found: EarTrend) -> str:
    """ "2 of 7 days (was 5 of 7)"."""
    now = text("answers.ears.count", up=found.days_both_up, scored=found.days_scored)
    if not found.days_scored_before:
        return now
    return text("answers.ears.counts", now=now, up=found.days_both_up_before, scored=found.days_scored_before)


def _positions(found: EarTrend, asker: Asker) -> str:
    assert found.last is not None
    return kept.fact(found.last, asker.kennel, asker.unit)


def why(dog: Dog, found: EarTrend, asker: Asker) -> str:
    """The scored days that the trend rests on, and the rule."""
    days = [
        text("why.ears_day", day=say_units.day(e.on, asker.on, asker.kennel), fact=kept.fact(e, asker.kennel, "kg"))
        for e in asker.ledger.entries(dog.name, Ears, until=asker.on)[-SHOWN_DAYS:]
    ]
    if not days:
        return ""
    return because(text("why.ears", lines="; ".join(days)), text("why.ears_rule"), sources=found.source)
