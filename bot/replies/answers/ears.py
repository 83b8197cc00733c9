"""Which way are the ears going? Never whether they will stand."""

from __future__ import annotations

from bot.replies import kept, say_units
from bot.replies.answers import growing, rations
from bot.replies.answers.asker import MOST_LINES, Answer, Asker
from bot.replies.cite import because
from core import ear_steps, ears, feeding, growth
from core.ears import EarTrend
from core.entries import Ears, Question
from core.roster import BREEDER, Dog
from shared.tables import facts
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
    elif found.teething and found.trend != ears.UP and "holding" not in found.warnings:
        said.append(text("answers.ears.teething"))
    if asker.room == BREEDER and not found.ear_signs:
        said += [*_beside(found, asker), *_step(found, asker)]
    return " ".join(said)


def _beside(found: EarTrend, asker: Asker) -> list[str]:
    """The weight against the lean line beside the ears, where a next step rests on it; no cause is named."""
    dog = asker.kennel.dog(found.dog)
    if dog is None or found.next_step is None:
        return []
    grown = growth.assess(dog, asker.ledger, asker.kennel, asker.on)
    line = []
    if grown.last is not None and (asker.on - grown.last[1]).days > facts("feeding")["step"]["pup_weight_days"]:
        line = [text("answers.ears.last_weighed", day=say_units.day(grown.last[1], asker.on, asker.kennel))]
    elif grown.over_kg is not None:
        line = [growing.on_the_line(grown, asker)]
    felt = growing.hands(dog, asker)
    told = [*line, *([felt] if felt else [])]
    return [text("answers.ears.beside", what=", ".join(told))] if told else []


def _step(found: EarTrend, asker: Asker) -> list[str]:
    """What comes next in the breeders' order, and how many days are left."""
    if "may_close_watch" in found.warnings:
        return [text("answers.ears.close", dog=found.dog)]
    if found.next_step is None:
        return [text("answers.ears.holding", days=say_units.days(found.streak))] if "holding" in found.warnings else []
    said = [_next(found, asker)]
    six, nine = found.days_to_six_months, found.days_to_nine_months
    if six is not None and nine is not None and nine > 0:
        name = "answers.ears.left" if six > 0 else "answers.ears.left_nine"
        said.append(text(name, six=say_units.days(max(six, 0)), nine=say_units.days(nine)))
    return said


def _next(found: EarTrend, asker: Asker) -> str:
    """The next step in words; a cut only as the ration plan has it, with its floor and its weight."""
    dog = asker.kennel.dog(found.dog)
    if found.next_step != ear_steps.CUT or dog is None:
        return text(f"answers.ears.next.{found.next_step}", day=_judged(found, asker))
    plan = feeding.assess(dog, asker.ledger, asker.kennel, asker.on)
    words = rations.step_words(plan)
    if plan.step is not None and plan.step.key in ("jar", "less"):
        return text("answers.ears.next.breeders_cut", ration=words)
    return words or text("answers.ears.next.no_cut")


def _judged(found: EarTrend, asker: Asker) -> str:
    on = ear_steps.judged_on(found)
    return say_units.day(on, asker.on, asker.kennel) if on else ""


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
        if found.days_scored >= facts("ears")["trend"]["least_scored"]:
            return text("answers.ears.too_few_before", counts=_count(found))
        return text("answers.ears.too_few", days=say_units.days(found.days_scored))
    return text(f"answers.ears.{found.trend}", counts=counts(found))


def counts(found: EarTrend) -> str:
    """ "2 of 7 days (was 5 of 7)"."""
    now = _count(found)
    if not found.days_scored_before:
        return now
    return text("answers.ears.counts", now=now, up=found.days_both_up_before, scored=found.days_scored_before)


def _count(found: EarTrend) -> str:
    return text("answers.ears.count", up=found.days_both_up, scored=found.days_scored)


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
