"""The record asked for in plain words: a dog's story, its weights, kin, tests; what happened on a day; who wrote it.

A question with a day in it is answered for that day. Nothing is written down here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, timedelta

from bot.conversation import questions, wish
from bot.conversation.heard import phrases, plain
from bot.conversation.hearing import Hearing
from bot.conversation.wish import Wish
from bot.replies import alert, answers, fed_then, say_units
from bot.replies import record as words
from bot.replies.answers.asker import Asker
from core.entries import Condition, Height, Meal, Progesterone, Question, Temperature, Treat, Weight
from core.ledger import Posted
from core.roster import BREEDER, FAMILY, Dog
from core.units import KG_PER_LB
from shared.texts import text

MOST_LINES = 8
MOST_DOGS = 6  # asked about by a group; one line each
MORE_FOR = timedelta(minutes=30)
WEEK = timedelta(days=7)  # what changed since longer ago is told as the week's changes
MOST_FOUND = 3  # entries with the figure asked for
SAME = 0.005  # a figure as it was said, in any of its units
_AGED = re.compile(r"\b(?:at\s+)?(\d{1,2})\s*(weeks?|wks?|months?)\b", re.IGNORECASE)
_WHOLE = re.compile(r"(?s).+")

Told = list[str] | None


def answer(hearing: Hearing) -> bool:
    """True where something of the record was asked for, or the rest of what was shown before."""
    if _more(hearing):
        return True
    asked = wish.read(hearing)
    found = _lines(asked, hearing) if asked is not None else None
    if asked is None or found is None:
        return False
    hearing.took(_WHOLE.search(hearing.message.text))
    _say(found, hearing.message.text, 0, hearing)
    return True


def _lines(asked: Wish, hearing: Hearing) -> Told:
    for name, tell in TOPICS.items():
        if wish.fits(name, asked) and (told := tell(asked, hearing)) is not None:
            return told
    return None


def _say(lines: list[str], asked: str, start: int, hearing: Hearing) -> None:
    """The next few lines; how to see the rest is kept in mind where there is more."""
    part, left = lines[start : start + MOST_LINES], len(lines) - start - MOST_LINES
    if left == 1:
        part, left = lines[start:], 0  # one line is as short as the word that there is one
    more = {"asked": asked, "start": start + MOST_LINES, "at": hearing.at.isoformat()} if left > 0 else None
    shown = "\n".join([*part, *([text("record.more", n=left)] if more else [])])
    if hearing.is_breeder and hearing.message.room == FAMILY and _is_of_people(asked, hearing):
        hearing.tell_breeder(shown, about="answer")
        hearing.keep(BREEDER, more=more)
        return
    hearing.say(shown)
    hearing.keep(hearing.message.room, more=more)


def _is_of_people(asked: str, hearing: Hearing) -> bool:
    """What somebody wrote is told to the breeder alone: nobody is shown up in the family's room."""
    taken = wish.read(hearing, asked)
    return taken is not None and wish.fits("wrote", taken) and bool(taken.people)


def _more(hearing: Hearing) -> bool:
    told = hearing.mind().facts.get("more")
    if not told or plain(hearing.message.text) not in phrases()["record"]["more"]:
        return False
    if hearing.at - datetime.fromisoformat(told["at"]) > MORE_FOR:
        return False
    asked = wish.read(hearing, told["asked"])
    found = _lines(asked, hearing) if asked is not None else None
    if not found or len(found) <= told["start"]:
        return False
    _say(found, told["asked"], int(told["start"]), hearing)
    return True


# One dog, or several


def _asker(hearing: Hearing) -> Asker:
    return questions.asker_of(hearing)


def _dogs(asked: Wish, hearing: Hearing) -> tuple[Dog, ...]:
    """The dogs asked about; in the line of a buyer with one dog, that one."""
    own = hearing.kennel.living()
    return asked.dogs or (own if hearing.person.role == "buyer" and len(own) == 1 else ())


def _each(tell: Callable[[Dog, Asker], str]) -> Callable[[Wish, Hearing], Told]:
    """Each dog asked about in a line."""

    def told(asked: Wish, hearing: Hearing) -> Told:
        dogs = _dogs(asked, hearing)
        if not dogs or asked.days or len(dogs) > MOST_DOGS:
            return None
        return [tell(d, _asker(hearing)) for d in dogs]

    return told


def _one(tell: Callable[[Dog, Asker], list[str]], buyers: bool = True) -> Callable[[Wish, Hearing], Told]:
    """One dog in several lines; without `buyers` they are not told (they see no other dog)."""

    def told(asked: Wish, hearing: Hearing) -> Told:
        dogs = _dogs(asked, hearing)
        if len(dogs) != 1 or asked.days or (not buyers and hearing.person.role == "buyer"):
            return None
        return tell(dogs[0], _asker(hearing))

    return told


def _weight(asked: Wish, hearing: Hearing) -> Told:
    """ "Nugget's weight": the newest; as a question it is the reader's."""
    dogs = _dogs(asked, hearing)
    if asked.asks or not dogs or len(dogs) > MOST_DOGS or asked.group:
        return None
    found = (answers.answer(Question(about="weight", dog=d.name), _asker(hearing)) for d in dogs)
    return [a.text for a in found if a is not None]


def _story(asked: Wish, hearing: Hearing) -> Told:
    if asked.days or asked.group:
        return None
    return _one(words.story)(asked, hearing)


def _litters(asked: Wish, hearing: Hearing) -> Told:
    return None if asked.group == "pups" else _one(words.litters, buyers=False)(asked, hearing)


def _parents(asked: Wish, hearing: Hearing) -> Told:
    if not asked.asks or asked.people or hearing.person.role == "buyer":
        return None
    sire, dam = asked.says("dad"), asked.says("mum")
    which = "sire" if sire and not dam else "dam" if dam and not sire else ""
    return _each(lambda dog, asker: words.parents(dog, asker, which))(asked, hearing)


def _chip(asked: Wish, hearing: Hearing) -> Told:
    return _each(words.chip)(asked, hearing) if asked.asks else None


def _age(asked: Wish, hearing: Hearing) -> Told:
    return None if asked.people else _each(words.age)(asked, hearing)


def _sign(asked: Wish, hearing: Hearing) -> Told:
    if not asked.asks or hearing.person.role == "buyer" or not asked.sign or not asked.dogs:
        return None
    if {"when", "last"} <= asked.said:
        return None  # told with what was last done
    return _each(lambda dog, asker: words.sign(dog, asked.sign, asker))(asked, hearing)


def _weighed(asked: Wish, hearing: Hearing) -> Told:
    """The weight of a day, of birth or of an age; today's and the newest are the reader's to answer."""
    dogs = _dogs(asked, hearing)
    if not dogs or not asked.asks or len(dogs) > MOST_DOGS:
        return None
    asker = _asker(hearing)
    born = asked.says("born")
    aged = _AGED.search(hearing.message.text)
    if born or aged:
        return [words.weight_on(d, _aged(d, aged), asker, at_birth=born) for d in dogs]
    on = _past_day(asked, hearing)
    return [words.weight_on(d, on, asker) for d in dogs] if on is not None else None


def _aged(dog: Dog, said: re.Match[str] | None) -> date:
    """The day on which the dog was as old as was said; of its birth where no age was."""
    if said is None:
        return dog.born
    return dog.born + timedelta(days=int(said[1]) * 7) if said[2][0] in "wW" else _month(dog.born, int(said[1]))


def _month(born: date, months: int) -> date:
    from core.classes import birthday

    return birthday(born, months)


def _fed(asked: Wish, hearing: Hearing) -> Told:
    """Bowls of an earlier day; today's are the reader's to answer."""
    on = _past_day(asked, hearing)
    if on is None or not asked.asks or not asked.says("past") or hearing.person.role == "buyer":
        return None
    if not asked.dogs and "you" in asked.said:
        return None  # "did you eat dinner yesterday" is asked of a person
    asker, meal = _asker(hearing), asked.meal
    if asked.dogs and not asked.group:
        eating = asked.says("eating")
        return [line for d in asked.dogs for line in fed_then.of_dog(d, meal, on, asker, eating)]
    return fed_then.of_meal(meal, on, asker, asked.dogs)


# The house


def _happened(asked: Wish, hearing: Hearing) -> Told:
    if not asked.days or not asked.asks:
        return None
    first = min(d.on for d in asked.days)
    if first > hearing.on and "happened" in asked.said:
        first = _month(first, -12)  # "what happened on 3 May" in March is of last year
    asker, dogs = _asker(hearing), {d.name for d in _dogs(asked, hearing)}
    if first > hearing.on:
        return None
    found = [p for p in asker.ledger if first <= p.entry.on <= asker.on and (not dogs or p.entry.dog in dogs)]
    if any(d.since for d in asked.days):
        return since(first, found, asker)
    that_day = [p for p in found if p.entry.on == first]
    if not that_day:
        return [text("record.day_none", day=say_units.on_day(first, hearing.on, hearing.kennel))]
    return words.day(that_day, asker)


def since(first: date, found: list[Posted], asker: Asker) -> list[str]:
    """What was written from that day on, newest day first."""
    lines = []
    for on in sorted({p.entry.on for p in found}, reverse=True):
        day = say_units.day(on, asker.on, asker.kennel)
        told = words.day([p for p in found if p.entry.on == on], asker)
        lines += [text("record.line", day=day[0].upper() + day[1:], what=told[0]), *told[1:]]
    return lines or [text("record.since_none", day=say_units.day(first, asker.on, asker.kennel))]


def changed_since(hearing: Hearing) -> bool:
    """True where "what changed" named a day of this week: what was written since then was told, newborns first."""
    asked = wish.read(hearing)
    told = _changed(asked, hearing) if asked is not None and wish.fits("changed", asked) else None
    if told is None:
        return False
    _say(told, hearing.message.text, 0, hearing)
    return True


def _changed(asked: Wish, hearing: Hearing) -> Told:
    first = min((d.on for d in asked.days), default=None)
    if first is None or not hearing.is_breeder or not timedelta(0) <= hearing.on - first < WEEK:
        return None
    asker, dogs = _asker(hearing), {d.name for d in asked.dogs}
    found = [p for p in asker.ledger if first <= p.entry.on <= asker.on and (not dogs or p.entry.dog in dogs)]
    return [*([] if dogs else alert.newborn_lines(asker)), *since(first, found, asker)]


def _wrote(asked: Wish, hearing: Hearing) -> Told:
    """Who wrote a figure; what somebody wrote, of others only to the breeder."""
    if not asked.asks or hearing.person.role == "buyer":
        return None
    asker = _asker(hearing)
    if asked.figures and not asked.people:
        return _figure(asked, asker)
    own = not asked.people and bool({"i", "me", "my"} & asked.said)
    who = hearing.person if own else asked.people[0] if len(asked.people) == 1 else None
    if who is None or (who != hearing.person and not hearing.is_breeder):
        return None
    on = _day_said(asked, hearing) or hearing.on
    found = [
        p for p in asker.ledger
        if p.by == who.name and p.entry.on == on and (not asked.dogs or p.entry.dog in {d.name for d in asked.dogs})
    ]  # fmt: skip
    if not found and not asked.days:
        mine = [p.entry.on for p in asker.ledger if p.by == who.name and p.entry.on <= hearing.on]
        on = max(mine, default=on)
        found = [p for p in asker.ledger if p.by == who.name and p.entry.on == on]
    return words.wrote(found, text("record.you") if who == hearing.person else who.name, on, asker)


def _figure(asked: Wish, asker: Asker) -> list[str]:
    figure = asked.figures[0]
    dogs = {d.name for d in asked.dogs}
    found = [
        p for p in reversed(list(asker.ledger))
        if (not dogs or p.entry.dog in dogs) and any(abs(figure - n) < SAME for n in _figures(p))
    ]  # fmt: skip
    if not found:
        return [text("record.no_figure", n=say_units.number(figure, 3))]
    return [words.by_whom(p, asker) for p in found[:MOST_FOUND]]


def _figures(posted: Posted) -> tuple[float, ...]:
    """The figures of an entry, a weight in each unit in which it may have been said."""
    match posted.entry:
        case Weight(kg=kg):
            return (kg, round(kg * 1000), round(kg / KG_PER_LB, 1))
        case Condition(score=n) | Meal(amount=n) | Treat(amount=n) | Progesterone(value=n) if n is not None:
            return (n,)
        case Temperature(celsius=n) | Height(cm=n):
            return (n,)
    return ()


def _day_said(asked: Wish, hearing: Hearing) -> date | None:
    return next((d.on for d in asked.days if d.on <= hearing.on), None)


def _past_day(asked: Wish, hearing: Hearing) -> date | None:
    """The day before today that the words name, None for none."""
    on = _day_said(asked, hearing)
    return on if on is not None and on < hearing.on else None


TOPICS: Mapping[str, Callable[[Wish, Hearing], Told]] = {
    "story": _story, "weighed": _weighed, "weights": _one(words.weights), "weight": _weight,
    "seasons": _each(words.seasons), "litters": _litters, "age": _age, "parents": _parents,
    "pedigree": _one(words.ancestors, buyers=False), "tests": _each(words.tests), "chip": _chip, "wrote": _wrote,
    "changed": _changed, "happened": _happened, "sign": _sign, "fed": _fed,
}  # fmt: skip
