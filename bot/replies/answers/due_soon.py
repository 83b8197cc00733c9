"""What is to be done, and when is the next? Doses without a dose: the vet's plan decides."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from bot.replies import bitches, say_units
from bot.replies.answers.asker import Answer, Asker
from bot.replies.cite import because
from core import breeding, care
from core.care import Due
from core.entries import Question
from core.roster import Dog
from shared.texts import listed, text

AHEAD = timedelta(days=7)
MOST_LINES, MOST_NAMES = 6, 5
LONG_AGO = 14  # days; what was never written down and is due since longer is told as that
# What is told first where there is much: doses, then the scales, then ears and grooming.
ORDER = ("vaccine", "wormer", "weigh", "ears")


def answer(question: Question, asker: Asker) -> Answer:
    """What is next for the dog; without a dog, what is due today and what comes within the week."""
    dog = asker.kennel.dog(question.dog)
    if dog is not None:
        found = _named(care.of_dog(dog, asker.ledger, asker.kennel, asker.on), asker)
        carrying, because_of = ("", "") if asker.only else _whelps(dog, asker)
        if not found:
            return Answer(text=carrying or text("answers.due.nothing_for", dog=dog.name), why=because_of)
        soon = sorted(found, key=lambda d: (d.on, d.what))[:MOST_LINES]
        shown = ", ".join(text("answers.due.item", what=what(d), when=when(d, asker)) for d in soon)
        told = " ".join([text("answers.due.dog", dog=dog.name, what=shown), *_not_every_year(soon)])
        return Answer(
            text="\n".join(filter(None, (carrying, told))), why="\n".join(filter(None, (because_of, why(soon, asker))))
        )
    mine = {d.name for d in asker.here()}
    found = tuple(d for d in care.due(asker.kennel, asker.ledger, asker.on) if d.dog in mine)
    found = _named(found, asker)
    now = [d for d in found if d.is_due]
    later = [d for d in found if not d.is_due and (asker.only or d.on <= asker.on + AHEAD)]
    lines = _grouped(now, asker)
    if len(lines) < MOST_LINES:
        lines += _grouped(later, asker)[: MOST_LINES - len(lines)]
    if not lines:
        return Answer(text=text("answers.due.nothing"))
    return Answer(text="\n".join(lines[:MOST_LINES]), why=why(now or later, asker))


def _whelps(dog: Dog, asker: Asker) -> tuple[str, str]:
    """When a bitch that carries is due, and by what; two empty texts for others, and in a buyer's line."""
    if dog.sex != "f" or asker.person.role == "buyer":
        return "", ""
    status = breeding.status(dog, asker.ledger, asker.kennel, asker.on)
    if status.due is None:
        return "", ""
    return bitches.stands(status, asker.kennel, asker.on), bitches.why(status, asker.kennel, asker.on)


def _named(found: tuple[Due, ...], asker: Asker) -> tuple[Due, ...]:
    """Of these the ones that the question named."""
    return tuple(d for d in found if not asker.only or d.what in asker.only)


def what(due: Due) -> str:
    """The thing to do in a word or two."""
    return text(f"answers.due.what.{due.what.replace(' ', '_')}")


def when(due: Due, asker: Asker) -> str:
    """When it is due: today, since when, on what day, between what days."""
    if due.last is None and due.overdue_days > LONG_AGO:
        return text("answers.due.never")
    day = say_units.day(due.on, asker.on, asker.kennel)
    if due.until is not None and due.on <= asker.on <= due.until:
        until = say_units.day(due.until, asker.on, asker.kennel)
        return text("answers.due.until", day=until)
    if due.until is not None and due.on > asker.on:
        return text("answers.due.between", first=day, last=say_units.day(due.until, asker.on, asker.kennel))
    if due.overdue_days > 0:
        return text("answers.due.since", day=say_units.day(due.until or due.on, asker.on, asker.kennel))
    return day


def _grouped(found: Sequence[Due], asker: Asker) -> list[str]:
    groups: dict[tuple[str, str], list[Due]] = {}
    for due in found:
        groups.setdefault((due.what, when(due, asker)), []).append(due)
    place = {name: n for n, name in enumerate(ORDER)}
    keys = sorted(groups, key=lambda k: (place.get(k[0], len(ORDER)), groups[k][0].on, k))
    lines = []
    for key in keys:
        dogs = [d.dog for d in groups[key]]
        named = listed(dogs) if len(dogs) <= MOST_NAMES else text("answers.due.dogs", n=len(dogs))
        said = text("answers.due.group", what=what(groups[key][0]), dogs=named, when=key[1])
        weigh = [text("answers.due.weigh_first")] if "weigh_first" in groups[key][0].caution else []
        lines.append(" ".join([said[0].upper() + said[1:], *weigh, *_not_every_year(groups[key])]))
    return lines


def _not_every_year(found: Sequence[Due]) -> list[str]:
    """Beside a vaccine of a grown dog: core ones are not for every year (WSAVA)."""
    return [text("reminders.dose.not_every_year")] if any("core_not_every_year" in d.caution for d in found) else []


def why(found: Sequence[Due], asker: Asker) -> str:
    """When each was done last, and whose rule the next day follows."""
    told = [
        text(
            "why.due",
            dog=d.dog,
            what=what(d),
            last=say_units.day(d.last, asker.on, asker.kennel) if d.last else text("why.never"),
        )
        for d in found[:MOST_LINES]
    ]
    return because(
        *told,
        text("why.vet_plan") if any(d.what in ("wormer", "vaccine") for d in found) else "",
        sources=[s for d in found for s in d.source],
    )
