"""Show classes in words: age on the day, what is open, what opens next."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bot.replies import say_units
from bot.replies.cite import because
from core.classes import OnTheDay, ShowClass
from core.roster import Dog, Kennel
from shared.texts import listed, text

SOON_DAYS = 45  # the next class is named where it opens so soon after the show
PLAIN = 5  # more open classes than this are not all named


def classes(found: Sequence[tuple[Dog, OnTheDay]], kennel: Kennel, today: date) -> str:
    """One line for each dog; dogs with the same age share one."""
    lines: dict[str, list[str]] = {}
    for dog, seen in found:
        lines.setdefault(_line(seen, kennel, today), []).append(dog.name)
    day = say_units.calendar_day(found[0][1].on, kennel, today)
    told = [text("shows.line", dogs=listed(names), what=what) for what, names in lines.items()]
    return " ".join([text("shows.head", day=day, lines=" ".join(told)), text("shows.check")])


def why(found: Sequence[OnTheDay]) -> str:
    """The counting day and the table."""
    return because(text("shows.why", counted=found[0].counted_on), sources=[s for f in found for s in f.source])


def _line(seen: OnTheDay, kennel: Kennel, today: date) -> str:
    if seen.months < 0:
        return text("shows.unborn")
    months = say_units.months_said(seen.months)
    age = text("shows.age", months=months, days=say_units.days(seen.days)) if seen.days else months
    plain = [c for c in seen.classes if not c.needs][:PLAIN]
    if not plain:
        said = text("shows.too_young", age=age)
    else:
        said = text("shows.open", age=age, classes=listed([_name(c) for c in plain]))
    if seen.next_class and seen.next_on and (seen.next_on - seen.on).days <= SOON_DAYS:
        day = say_units.calendar_day(seen.next_on, kennel, today)
        said = text("shows.next", said=said, name=_name(seen.next_class), day=day)
    return said


def _name(one: ShowClass) -> str:
    return one.name
