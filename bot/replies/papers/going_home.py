"""A puppy's going-home record: growth, worming, vaccines, what it eats, the month ahead, and what to mind.

It leaves the house: no other dog, no other person but the breeder, no dose.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from bot.replies import say_units
from bot.replies.papers import pieces
from bot.replies.papers.desk import Desk
from bot.replies.papers.model import Facts, Heading, Paper, Part, Points, Table, Words
from bot.replies.tips import called, tip, tips
from core import care, leaving
from core.entries import Dose, Weight
from core.ledger import Ledger, Posted
from core.roster import Dog, Person
from core.tips import tips_on
from shared.texts import text

MONTH = 31  # days of the calendar; a month, whichever it is
WEEKLY = timedelta(days=7)
BY_HAND = ("chip", "papers", "vet_check", "contract", "insurance")
CAUTIONS = ("lean", "growth_food", "calcium", "doses", "ears", "coat", "danger", "law")


def record(dog: Dog, desk: Desk) -> Paper:
    """The record as of a day."""
    ready = leaving.ready(dog, desk.ledger, desk.kennel, desk.at)
    start = max(desk.on, ready.from_on)
    parts: list[Part] = [pieces.who(dog, desk, chip=False)]
    if ready.too_young:
        parts.append(Words(text("papers.home.too_young", day=desk.day(ready.from_on)), strong=True))
    parts += _growth(dog, desk)
    for what, part in ((care.WORMER, "wormed"), (care.VACCINE, "vaccines")):
        parts += [*pieces.section(part, pieces.given(dog, desk, what)), Words(_next(dog, desk, what))]
    parts += _food(dog, desk)
    days: dict[date, list[str]] = {}
    for on, what in month(dog, desk, start):
        days.setdefault(on, []).append(what)
    calendar = tuple((desk.day(on), desk.age(dog, on), _listed(told)) for on, told in days.items())
    head = tuple(text(f"papers.column.{c}") for c in ("day", "age", "what"))
    parts += [
        Heading(text("papers.part.month", day=desk.day(start))), Table(head, calendar, widths=(32, 20, 98)),
        Heading(text("papers.part.mind")),
        Points(tuple(text(f"papers.mind.{c}") for c in CAUTIONS)),
        Heading(text("papers.part.by_hand")), Facts(tuple((text(f"papers.hand.{n}"), "_" * 40) for n in BY_HAND)),
    ]
    return Paper(
        title=text("papers.home.title", dog=pieces.names(dog)),
        under=text("papers.home.under", kennel=desk.kennel.name, breeder=desk.breeder(), day=desk.day(desk.on)),
        foot=desk.foot, parts=tuple(parts), author=desk.kennel.name,
    )


def month(dog: Dog, desk: Desk, start: date) -> list[tuple[date, str]]:
    """What comes in the days from `start` on, by day: tips of its age, weighing, worming and vaccine windows."""
    end = start + timedelta(days=MONTH - 1)
    found = [*_tips(dog, desk, start, end), *_wormings(dog, desk, start, end), *_vaccine(dog, desk, start, end)]
    day = start + WEEKLY
    while day <= end:
        found.append((day, text("papers.month.weigh")))
        day += WEEKLY
    return sorted(found, key=lambda f: f[0])


def _listed(told: list[str]) -> str:
    return told[0] if len(told) == 1 else "\n".join(text("papers.point", what=line) for line in told)


def _growth(dog: Dog, desk: Desk) -> list[Part]:
    """The weight at birth and the last weighing of each week of life, with its gain."""
    weeks: dict[int, Posted] = {}
    for p in desk.ledger.of(dog.name, Weight, since=dog.born, until=desk.on):
        age = dog.age_days(p.entry.on)
        weeks[age // 7 if age else -1] = p
    parts = pieces.weights(dog, replace(desk, ledger=Ledger(weeks.values())))
    if -1 not in weeks:
        parts.append(Words(text("papers.home.no_birth_weight")))
    return parts


def _next(dog: Dog, desk: Desk, what: str) -> str:
    """When the next is likely, by the published windows; the vet's plan decides."""
    due = next((d for d in care.of_dog(dog, desk.ledger, desk.kennel, desk.on) if d.what == what), None)
    if due is None:
        return text("papers.ask_vet")
    last = due.until or due.on
    if due.last is None or last < desk.on:
        return text(f"papers.home.{what}_ask")
    if due.until is None:
        return text("papers.home.next", day=desk.day(max(due.on, desk.on)))
    return text("papers.home.next_between", first=desk.day(max(due.on, desk.on)), last=desk.day(due.until))


def _food(dog: Dog, desk: Desk) -> list[Part]:
    out: list[Part] = [Heading(text("papers.part.feeding"))]
    if dog.is_newborn(desk.on):
        return [*out, Words(text("papers.milk"))]
    plan = pieces.ration(dog, desk)
    out.append(Facts(((text("papers.row.food"), pieces.food(dog, desk, plan)),)))
    if not plan.ordered or not plan.meals:
        return [*out, Words(text("papers.home.no_order"), strong=True)]
    out += [pieces.bowls(plan), Words(text("papers.home.cups"))]
    if plan.expires_at_kg and plan.kg and plan.expires_at_kg > plan.kg:
        kg = say_units.weight(round(plan.expires_at_kg, 1), desk.unit)
        out.append(Words(text("papers.home.holds", kg=kg)))
    return [*out, Words(text("papers.home.change_food"))]


def _tips(dog: Dog, desk: Desk, start: date, end: date) -> Iterator[tuple[date, str]]:
    """The tips of these ages, for the dog alone."""
    alone = replace(desk.kennel, people=(Person(name=called(dog), role="buyer", dogs=(dog.name,)),), dogs=(dog,))
    for n in range((end - start).days + 1):
        day = start + timedelta(days=n)
        for _, _, found in tips_on(alone, tips(), day):
            yield day, tip(found.key, dog)


def _wormings(dog: Dog, desk: Desk, start: date, end: date) -> Iterator[tuple[date, str]]:
    """By the published rhythm since the last one that was written down; none where nothing was."""
    given = [d.on for d in desk.ledger.entries(dog.name, Dose, until=desk.on) if d.dose == care.WORMER]
    if not given:
        return
    day = given[-1] + timedelta(days=care.worm_gap(dog, given[-1]))
    if day < start:
        yield start, text("papers.month.wormer_late")
        day = start + timedelta(days=care.worm_gap(dog, start))
    while day <= end:
        yield day, text("papers.month.wormer")
        day += timedelta(days=care.worm_gap(dog, day))


def _vaccine(dog: Dog, desk: Desk, start: date, end: date) -> Iterator[tuple[date, str]]:
    due = next((d for d in care.of_dog(dog, desk.ledger, desk.kennel, desk.on) if d.what == care.VACCINE), None)
    if due is None or due.last is None:
        yield start, text("papers.month.vaccine_first")
        return
    first, last = max(due.on, start), due.until or due.on
    if last < start:
        yield start, text("papers.month.vaccine_late")
    elif first <= end:
        yield first, text("papers.month.vaccine", last=desk.day(last))
