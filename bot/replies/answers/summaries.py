"""How is it doing, what happened? Everything about one dog in a few figures; silence is never called fine."""

from __future__ import annotations

from datetime import date, timedelta

from bot.replies import alert, bitches, newborns, say_units
from bot.replies.answers import due_soon, ears, growing, rations
from bot.replies.answers.asker import Answer, Asker
from bot.replies.cite import because
from core import bile, breeding, care, feeding, growth, newborn
from core import ears as ear_trend
from core.entries import Concern, Question, Sign
from core.roster import Dog
from shared.texts import text

SIGN_DAYS = 10
NEXT = 2  # things due that are named


def answer(question: Question, asker: Asker) -> Answer:
    """The dog in a few lines; without a dog, what stands out this morning."""
    dog = asker.kennel.dog(question.dog)
    if dog is None:
        return _house(asker)
    if dog.gone:
        return Answer(text=text("answers.summary.gone", dog=dog.name))
    if dog.is_newborn(asker.on):
        pup = newborn.assess(dog, asker.ledger, asker.kennel, asker.at)
        return Answer(text=newborns.stands(pup, asker.unit), why=newborns.why(pup, asker.unit))
    found = growth.assess(dog, asker.ledger, asker.kennel, asker.on)
    age = say_units.age(dog, asker.on)
    said = [text("answers.growth.head", dog=dog.name, age=age, what=", ".join(growing.short(dog, found, asker)))]
    felt = growing.hands(dog, asker)
    if felt:
        said.append(felt[0].upper() + felt[1:] + ".")
    said += growing.warned(found, brief=True)
    said += [*_breeding(dog, asker), *_ears(dog, asker), *_signs(dog, asker)]
    said += [*_concerns(dog, asker), *_ration(dog, asker), *_next(dog, asker)]
    return Answer(text=" ".join(said), why=because(_hours_empty(dog, asker), growing.why(found, asker)))


def _house(asker: Asker) -> Answer:
    if asker.person.role == "buyer":
        own = asker.here()
        if len(own) == 1:
            return answer(Question(about="summary", dog=own[0].name), asker)
    shown = alert.morning_alert(asker.kennel, asker.ledger, asker.at) if asker.person.role != "buyer" else ""
    return Answer(text=shown or text("answers.summary.nothing"), why=because(text("why.summary")))


def _ears(dog: Dog, asker: Asker) -> list[str]:
    if not dog.ear_watch:
        return []
    found = ear_trend.assess(dog, asker.ledger, asker.kennel, asker.on)
    return [text("answers.summary.ears", counts=ears.counts(found))] if found.days_scored else []


def _breeding(dog: Dog, asker: Asker) -> list[str]:
    if dog.sex != "f" or asker.person.role == "buyer":
        return []
    line = bitches.stands(breeding.status(dog, asker.ledger, asker.kennel, asker.on), asker.kennel, asker.on)
    return [line] if line else []


def _signs(dog: Dog, asker: Asker) -> list[str]:
    since = asker.on - timedelta(days=SIGN_DAYS - 1)
    seen: dict[str, int] = {}
    for sign in asker.ledger.entries(dog.name, Sign, since=since, until=asker.on):
        seen[sign.sign] = seen.get(sign.sign, 0) + 1
    said = []
    found = bile.mornings(dog, asker.ledger, asker.kennel, asker.on, SIGN_DAYS)
    for name, n in seen.items():
        what = text(f"kept.sign.{name}")
        line = text("answers.summary.sign", sign=what, times=say_units.times(n), days=SIGN_DAYS)
        if name == "bile" and found is not None and found.beside:
            beside = text(f"remarks.snack.{found.beside}")
            line = text("answers.summary.bile", sign=what, times=say_units.times(n), days=SIGN_DAYS, beside=beside)
        said.append(line[0].upper() + line[1:])
    return said


def _concerns(dog: Dog, asker: Asker) -> list[str]:
    since = asker.on - timedelta(days=SIGN_DAYS - 1)
    seen: dict[str, set[date]] = {}
    for found in asker.ledger.entries(dog.name, Concern, since=since, until=asker.on):
        seen.setdefault(found.about, set()).add(found.on)
    said = []
    for about, days in seen.items():
        what = text(f"kept.concern.{about}")
        line = text("answers.summary.sign", sign=what, times=say_units.times(len(days)), days=SIGN_DAYS)
        said.append(line[0].upper() + line[1:])
    return said


def _hours_empty(dog: Dog, asker: Asker) -> str:
    found = bile.mornings(dog, asker.ledger, asker.kennel, asker.on, SIGN_DAYS)
    if found is None or found.hours_empty is None:
        return ""
    return text("why.bile", hours=say_units.number(found.hours_empty, 0))


def _ration(dog: Dog, asker: Asker) -> list[str]:
    plan = feeding.assess(dog, asker.ledger, asker.kennel, asker.on)
    if not plan.ordered or not plan.meals:
        return []
    total = sum(m.cups_eighths for m in plan.meals) / 8
    return [text("answers.summary.ration", cups=say_units.cups(total), bowls=rations.bowls(plan.meals))]


def _next(dog: Dog, asker: Asker) -> list[str]:
    found = care.of_dog(dog, asker.ledger, asker.kennel, asker.on)[:NEXT]
    if not found:
        return []
    shown = ", ".join(text("answers.due.item", what=due_soon.what(d), when=due_soon.when(d, asker)) for d in found)
    return [text("answers.summary.next", what=shown)]
