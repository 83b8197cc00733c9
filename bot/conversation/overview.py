"""The house asked about: in a private line who is ill, losing, not weighed, over the line; anywhere, who does what.

What would be talk between people in the family's room ("is anyone ill?") is asked of Fettle in a private line alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta

from bot.conversation import orders, questions, stand_ins, wish
from bot.conversation.hearing import Hearing
from bot.conversation.wish import OF_A_LITTER, Wish
from bot.replies import overview as words
from bot.replies import say_units
from bot.replies.answers import due_soon, rations
from bot.replies.answers.asker import Asker
from core import feeding
from core.agenda import DOSE, EARS, GROOM, MEAL, REMIND, ROUND, WEIGH, Due, due
from core.entries import Question
from core.roster import FAMILY
from core.times import instant
from shared.texts import text

TASKS = (MEAL, WEIGH, EARS, GROOM, DOSE, ROUND)  # what somebody does; the rest is what Fettle says of itself
MAY = ("can", "may", "could", "should", "shall")
_WHOLE = re.compile(r"(?s).+")

Told = list[str] | None


def answer(hearing: Hearing) -> bool:
    """True where one of these was asked, and has been answered."""
    if hearing.person.role == "buyer":
        return False
    asked = wish.read(hearing)
    if asked is None:
        return False
    private = hearing.message.room != FAMILY
    for name, tell in {**ANYWHERE, **(PRIVATE if private else {})}.items():
        if not wish.fits(name, asked):
            continue
        told = tell(asked, hearing)
        if told is None:
            continue
        hearing.took(_WHOLE.search(hearing.message.text))
        if told:
            hearing.say("\n".join(told))
        return True
    return False


def _asker(hearing: Hearing) -> Asker:
    return questions.asker_of(hearing)


# Anywhere: dogs and their days


def _together(asked: Wish, hearing: Hearing) -> Told:
    if len(asked.dogs) != 2 or asked.group or not asked.asks:
        return None
    said = words.together(*asked.dogs, _asker(hearing))
    if not said and hearing.message.room != FAMILY and asked.words[:1] and asked.words[0] in MAY:
        one, other = (d.name for d in asked.dogs)
        said = text("overview.not_apart", one=one, other=other)
    return [said] if said else None


def _season_over(asked: Wish, hearing: Hearing) -> Told:
    dog = asked.dog
    if dog is None or dog.sex == "m" or not asked.says("season") or not asked.asks or "last" in asked.said:
        return None  # when she was last in season is told with what was last done
    return [words.season_end(dog, _asker(hearing))]


def _litter(asked: Wish, hearing: Hearing) -> Told:
    if asked.group not in OF_A_LITTER or not asked.dogs or not asked.asks or asked.days:
        return None
    return words.litter(asked.dogs, _asker(hearing))


def _ration(asked: Wish, hearing: Hearing) -> Told:
    """A dog's bowls on a day ahead; those of today are the reader's to answer."""
    on = orders.day_asked(hearing.message.text, hearing)
    if asked.dog is None or not asked.asks or on is None or on < hearing.on:
        return None
    questions.answer((Question(about="ration", dog=asked.dog.name),), hearing)
    return []


def _cut(asked: Wish, hearing: Hearing) -> Told:
    """Less or more food? What it gets, and the step that its records suggest; the breeder decides."""
    if not hearing.is_breeder or not asked.asks or hearing.message.room == FAMILY:
        return None
    dog = asked.dog
    if dog is None:
        if asked.dogs or not asked.pronoun:
            return None
        asker = _asker(hearing)
        hearing.ask("which", text("doubts.which_dog"), tuple(d.name for d in asker.pups()[:4]), {"about": "ration"})
        return []
    plan = feeding.assess(dog, hearing.ledger, hearing.kennel, hearing.on)
    questions.answer((Question(about="ration", dog=dog.name),), hearing)
    if not rations.step_words(plan):
        hearing.say_with(text("overview.no_step"), after=True)
    return []


def _due(asked: Wish, hearing: Hearing) -> Told:
    """What is next for a group of dogs: the pups' next wormer is of no other dog."""
    if not asked.group or asked.group == "all" or not asked.dogs or not asked.asks:
        return None
    asker = questions.asker_of(hearing, hearing.message.text)
    if not asker.only:
        return None
    few = replace(asker, kennel=replace(asker.kennel, dogs=asked.dogs))
    questions.say([due_soon.answer(Question(about="due"), few)], hearing)
    return []


# Anywhere: who does what when


def _jobs(asked: Wish, hearing: Hearing) -> Told:
    if asked.dogs or asked.people or not {"i", "my", "mine"} & asked.said or "know" in asked.said:
        return None
    on = asked.days[0].on if asked.days else hearing.on
    items = [(who, item) for who, item in _items(hearing, on) if who == hearing.person.name]
    asker = _asker(hearing)
    if not items:
        day = say_units.on_day(on, hearing.on, hearing.kennel)
        return [text("overview.jobs_none", who=hearing.person.name, day=day)]
    return [words.job(item, asker) for _, item in items]


def _turn(asked: Wish, hearing: Hearing) -> Told:
    """Whose turn a meal is: on the day named, else the next."""
    if asked.people or not asked.asks or not ({"who", "whos", "whose"} & asked.said):
        return None
    on = _day_ahead(asked, hearing)
    if (asked.days and on is None) or not (asked.meal or on) or (on == hearing.on and not asked.meal):
        return None
    days = [on] if on else [hearing.on, hearing.on + timedelta(days=1)]
    meals = [(who, i) for day in days for who, i in _items(hearing, day) if i.kind == MEAL]
    found = [(who, i) for who, i in meals if asked.meal in ("", i.what)]
    if on is None:
        found = [(who, i) for who, i in found if i.at >= hearing.at - timedelta(hours=1)][:1]
    if not found:
        return [words.no_turn(asked.meal)] if asked.meal else None
    return [words.turn(i.what, who, i, _asker(hearing)) for who, i in found]


def _day_ahead(asked: Wish, hearing: Hearing) -> date | None:
    on = orders.day_asked(hearing.message.text, hearing)
    return on or next((d.on for d in asked.days if d.on >= hearing.on), None)


def _items(hearing: Hearing, on: date) -> list[tuple[str, Due]]:
    """What the rota has on that day and is still open, each with whoever does it, in order of time."""
    house, memory = hearing.scene.kennel, {**hearing.scene.memory, **hearing.memory}
    start = instant(on, datetime.min.time(), house.tz)
    found = []
    for item in due(house, hearing.scene.ledger, start, start + timedelta(days=1)):
        if item.step != REMIND or item.kind not in TASKS:
            continue
        meant = stand_ins.stood_in(item, memory, house)
        alone = house.breeder.name if house.breeder else ""
        found.append((meant.person or meant.tasks[0].person or alone, meant))
    return found


# In a private line


def _of_house(tell: Callable[[Asker], list[str]]) -> Callable[[Wish, Hearing], Told]:
    """What is asked of all dogs, with a word for whom ("who", "anyone")."""

    def told(asked: Wish, hearing: Hearing) -> Told:
        one = asked.dogs and not asked.group
        if one or asked.people or not asked.says("who") or any(d.on != hearing.on for d in asked.days):
            return None
        return tell(_asker(hearing))

    return told


def _line(asked: Wish, hearing: Hearing) -> Told:
    if (asked.dogs and not asked.group) or not asked.says("who") or not asked.says("lean"):
        return None
    return words.off_the_line(_asker(hearing), asked.says("under"), asked.dogs)


def _losing(asked: Wish, hearing: Hearing) -> Told:
    return _of_house(words.losing)(asked, hearing) if "weight" in asked.said or "thinner" in asked.said else None


def _unweighed(asked: Wish, hearing: Hearing) -> Told:
    return _of_house(words.unweighed)(asked, hearing) if asked.says("weigh") else None


def _dogs(asked: Wish, hearing: Hearing) -> Told:
    named = asked.people or asked.days or (asked.dogs and not asked.group)
    return None if named or not asked.says("listing") else words.everybody(_asker(hearing))


def _know(asked: Wish, hearing: Hearing) -> Told:
    """What stands out this morning."""
    if asked.dogs or asked.people or not hearing.is_breeder or not asked.asks:
        return None
    questions.answer((Question(about="summary"),), hearing)
    return []


def _times(asked: Wish, hearing: Hearing) -> Told:
    return words.meal_times(asked.meal, _asker(hearing)) or None if not asked.people else None


def _whole(tell: Callable[[Asker], list[str]]) -> Callable[[Wish, Hearing], Told]:
    """What is asked of the whole house, no dog and nobody named."""

    def told(asked: Wish, hearing: Hearing) -> Told:
        named = asked.people or (asked.dogs and not asked.group)
        return None if named or not asked.asks else tell(_asker(hearing))

    return told


def _bowls(asked: Wish, hearing: Hearing) -> Told:
    day_off = any(d.on != hearing.on for d in asked.days)
    asks_food = asked.asks and {"what", "whats", "how"} & asked.said
    return _whole(words.bowls)(asked, hearing) if asks_food and not day_off and not asked.meal else None


ANYWHERE: Mapping[str, Callable[[Wish, Hearing], Told]] = {
    "together": _together, "season_over": _season_over, "litter": _litter, "jobs": _jobs, "turn": _turn,
    "next": _due, "ration": _ration, "cut": _cut,
}  # fmt: skip
PRIVATE: Mapping[str, Callable[[Wish, Hearing], Told]] = {
    "ill": _of_house(words.ill), "losing": _losing, "unweighed": _unweighed, "line": _line, "know": _know,
    "dogs": _dogs, "apart": _whole(words.kept_apart), "medicine": _whole(words.medicine), "times": _times,
    "bowls": _bowls,
}  # fmt: skip
