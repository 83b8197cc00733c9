"""Lines of the rota: out of plain words ("breakfast 7:00 Alex", "brush Bran every Saturday") and back into words.

A line takes the place of the one that it changes: a meal on some weekdays leaves the other days as they were.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, time
from itertools import pairwise

from bot.enrolment.heard import LONGEST, chunks, clock_said, found, person_said, phrases, plain, without
from core.roster import Dog, Duty, Kennel, Person
from core.rota import MEALS, ROUND
from shared.texts import listed, text

TASK_AT = time(10, 0)  # when a task without a time is named; own choice
ALL_DAYS = tuple(range(7))
MANY_A_DAY = frozenset({"medicine", "temperature"})  # may be due several times a day
LATE_MEALS = frozenset({"dinner", "bedtime"})  # a bare 5:30 is the evening's there

_EVERY = re.compile(r"\bevery\s+(?:(other|\d{1,3})\s+)?(days?|weeks?|fortnight|months?)\b", re.ASCII)
_EVERY_DAYS = {"day": 1, "week": 7, "fortnight": 14, "month": 30}
_WORDS = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")


@dataclass(frozen=True, slots=True, kw_only=True)
class LineSaid:
    """One line as far as it was said; None or empty where it was not."""

    what: str
    at: time | None = None
    who: Person | None = None
    days: tuple[int, ...] = ()
    dogs: tuple[str, ...] = ()
    every_days: int | None = None
    until: date | None = None


def line_said(said: str, kennel: Kennel, dogs: Sequence[Dog] | None = None) -> LineSaid | None:
    """The line of the rota that the words give, None where they name neither a meal nor a task."""
    low = plain(said[:LONGEST])
    what = found("meals", low) if _before("meals", "tasks", low) else found("tasks", low)
    if what is None:
        return None
    every = _EVERY.search(low)
    clockless = _EVERY.sub(" ", low)
    return LineSaid(
        what=what,
        at=clock_said(clockless, evening=what in LATE_MEALS),
        who=_who(said, kennel),
        days=_days(low),
        dogs=_dogs(said, kennel, dogs),
        every_days=_interval(every) if every else None,
    )


def order_said(said: str, kennel: Kennel) -> LineSaid | None:
    """The line that an order gives; None where one of its words belongs to no such line.

    "Buy worming tablets at 12" and "shut the gate every evening at 9" are errands, not lines of the rota: every word
    must be the meal's or the task's, a time, a name, or a small word beside them. A time of day alone ("evening") is
    a meal only where it is one of feeding, and medicine is for dogs that are named.
    """
    low = plain(said[:LONGEST])
    feeding = any(re.search(rf"\b{w}\b", low) for w in phrases()["order"]["feeding"])
    bare = low if feeding else _taken_out(low, phrases()["order"]["time_of_day"])
    line = line_said(bare, kennel)
    if line is None or _left_over(bare, line.what, kennel):
        return None
    if line.what == "medicine" and not line.dogs:
        return None
    at = clock_said(_EVERY.sub(" ", low), evening=line.what in LATE_MEALS)
    return replace(line, at=at, who=_who(said, kennel))


def _left_over(low: str, what: str, kennel: Kennel) -> list[str]:
    """The words that say something else than a line of the rota."""
    words = phrases()["order"]
    left = re.sub(words["medicine"], " ", low) if what == "medicine" else low
    left = re.sub(r"\d[\w.:/-]*", " ", _EVERY.sub(" ", left))
    for table in ("meals", "tasks", "weekdays"):
        left = without(table, left)
    dogs = [plain(n) for dog in kennel.dogs for n in (dog.name, *dog.also)]
    people = [plain(n) for person in kennel.people for n in (person.name, *person.also)]
    left = _taken_out(left, [*dogs, *people, *words["time_of_day"], *words["beside"]])
    return _WORDS.findall(left)


def _taken_out(low: str, words: Sequence[str]) -> str:
    each = "|".join(re.escape(str(w)) for w in sorted(words, key=lambda w: -len(str(w))))
    return re.sub(rf"(?<!\w)(?:{each})(?:'s|s')?(?!\w)", " ", low)


def lines_said(said: str, kennel: Kennel) -> list[LineSaid]:
    """Every line of the text that says a time: "breakfast 7:00 Alex, dinner 17:30 me"."""
    told = [line for part in chunks(said[:LONGEST]) if (line := line_said(part, kennel)) and line.at]
    return told


def without_time(said: str, kennel: Kennel) -> list[str]:
    """The meals that the text names without a time."""
    told = [line for part in chunks(said[:LONGEST]) if (line := line_said(part, kennel)) and line.what in MEALS]
    return [line.what for line in told if line.at is None]


def with_line(kennel: Kennel, line: LineSaid) -> tuple[Kennel, Duty]:
    """The kennel with that line on its rota, and the line as it stands there."""
    same = [d for d in kennel.duties if d.what == line.what and not d.every_hours]
    if line.what in MEALS:
        return _with_meal(kennel, line, same)
    alike = [d for d in same if d.dogs == line.dogs] or (same if len(same) == 1 and not line.dogs else [])
    if line.what in MANY_A_DAY and line.at is not None:
        alike = [d for d in alike if d.at == line.at]  # another time is another dose
    was = alike[0] if alike else None
    duty = Duty(
        what=line.what,
        at=line.at or (was.at if was else TASK_AT),
        who=_name(line.who, was, kennel),
        days=line.days or (was.days if was and not line.every_days else ()),
        dogs=line.dogs or (was.dogs if was else ()),
        every_days=line.every_days or (was.every_days if was and not line.days else None),
        until=line.until,
    )
    others = tuple(_given_over(d, duty) for d in kennel.duties if d is not was)
    return replace(kennel, duties=(*(d for d in others if d is not None), duty)), duty


def _given_over(other: Duty, new: Duty) -> Duty | None:
    """Another line without the dogs that the new line of the same task takes over; None where none is left."""
    if other.what in MANY_A_DAY and other.at != new.at:
        return other
    same_days = not other.days or not new.days or set(other.days) & set(new.days)
    if other.what != new.what or other.every_hours or not same_days or not set(other.dogs) & set(new.dogs):
        return other
    left = tuple(n for n in other.dogs if n not in new.dogs)
    return replace(other, dogs=left) if left else None


def _with_meal(kennel: Kennel, line: LineSaid, same: list[Duty]) -> tuple[Kennel, Duty]:
    days = set(line.days or ALL_DAYS)
    was = next((d for d in same if days & set(d.days or ALL_DAYS)), same[0] if same else None)
    duty = Duty(
        what=line.what,
        at=line.at or (was.at if was else TASK_AT),
        who=_name(line.who, was, kennel),
        days=line.days,
        dogs=line.dogs or (was.dogs if was and not line.days else ()),
    )
    others = []
    for d in kennel.duties:
        left = tuple(sorted(set(d.days or ALL_DAYS) - days))
        if d not in same:
            others.append(d)
        elif left:
            others.append(replace(d, days=left))
    return replace(kennel, duties=(*others, duty)), duty


def without_line(kennel: Kennel, line: LineSaid) -> tuple[Kennel, tuple[Duty, ...]]:
    """The kennel without the lines of that task (for those dogs or that person, where any are named); those lines."""
    gone = tuple(
        d
        for d in kennel.duties
        if d.what == line.what
        and (not line.dogs or set(line.dogs) & set(d.dogs))
        and (line.who is None or kennel.person(d.who) == line.who)
    )
    kept = tuple(
        replace(d, dogs=tuple(n for n in d.dogs if n not in line.dogs))
        if d in gone and set(d.dogs) - set(line.dogs)
        else d
        for d in kennel.duties
        if d not in gone or (line.dogs and set(d.dogs) - set(line.dogs))
    )
    return replace(kennel, duties=kept), gone


def shown(duty: Duty, kennel: Kennel) -> str:
    """A line of the rota in words: "brush at 11:00 on Saturday: Tom, Bran"."""
    what = text(f"setup.what.{duty.what.replace(' ', '_')}")
    at = clock_shown(duty.at, kennel)
    if duty.every_hours:
        line = text("setup.line_hours", what=what, every=hours_shown(duty.every_hours), who=duty.who)
    elif duty.every_days and duty.every_days > 7 and duty.every_days % 7 == 0:
        line = text("setup.line_weeks", what=what, n=duty.every_days // 7, time=at, who=duty.who)
    elif duty.every_days:
        line = text("setup.line_every", what=what, n=duty.every_days, time=at, who=duty.who)
    elif duty.days:
        days = listed([text("setup.on_each", day=text(f"units.weekday.{d}")) for d in duty.days])
        line = text("setup.line_days", what=what, time=at, days=days, who=duty.who)
    else:
        line = text("setup.line", what=what, time=at, who=duty.who)
    if duty.dogs:
        line = text("setup.for_dogs", line=line, dogs=listed(duty.dogs))
    return text("setup.line_until", line=line, day=day_written(duty.until, kennel)) if duty.until else line


def hours_shown(n: int) -> str:
    """"every hour", "every 3 hours"."""
    return text("setup.every_hour") if n == 1 else text("setup.every_hours", n=n)


def day_written(on: date, kennel: Kennel) -> str:
    """A day of the calendar as this family writes it: "8 March" or "March 8"."""
    order = "units.day_month" if kennel.day_first else "units.month_day"
    return text(order, day=on.day, month=text(f"units.month.{on.month}"))


def clock_shown(at: time, kennel: Kennel) -> str:
    """A time of day as the family reads it: "07:04", or "7:04 am"."""
    if kennel.clock_24:
        return f"{at.hour:02d}:{at.minute:02d}"
    return text("units.am" if at.hour < 12 else "units.pm", time=f"{at.hour % 12 or 12}:{at.minute:02d}")


def _before(first: str, second: str, low: str) -> bool:
    """True where a word of the first table stands in the text, and none of the second before it."""
    return found(first, low) is not None and (
        found(second, low) is None or len(without(second, low)) == len(low) or _place(first, low) < _place(second, low)
    )


def _place(table: str, low: str) -> int:
    words = [w for values in phrases()[table].values() for w in values]
    places = [m.start() for w in words if (m := re.search(rf"(?<!\w){re.escape(str(w))}(?!\w)", low))]
    return min(places, default=len(low))


def _interval(hit: re.Match[str]) -> int | None:
    count = 2 if hit[1] == "other" else int(hit[1] or 1)
    days = count * _EVERY_DAYS[hit[2].rstrip("s")]
    return days if 1 < days <= 400 else None


def weekdays_said(said: str) -> tuple[int, ...]:
    """The weekdays that the words name, Monday is 0; empty for none and for all seven."""
    return _days(plain(said))


def _days(low: str) -> tuple[int, ...]:
    days: set[int] = set()
    for numbers, words in phrases()["weekdays"].items():
        if any(re.search(rf"(?<!\w){re.escape(str(w))}(?!\w)", low) for w in words):
            days |= {int(n) for n in str(numbers).split()}
    return tuple(sorted(days)) if len(days) < 7 else ()


def _who(said: str, kennel: Kennel) -> Person | None:
    """The last person that the words name ("me" for the breeder)."""
    words = _WORDS.findall(said)
    pairs = [f"{a} {b}" for a, b in pairwise(words)]
    for name in reversed([*words, *pairs]):
        person = person_said(name, kennel)
        if person is not None and person.role != "buyer":
            return person
    return None


def _dogs(said: str, kennel: Kennel, dogs: Sequence[Dog] | None) -> tuple[str, ...]:
    low = f" {plain(said)} "
    return tuple(
        d.name
        for d in (dogs if dogs is not None else kennel.at_home())
        if any(re.search(rf"(?<!\w){re.escape(n.casefold())}(?:'s)?(?!\w)", low) for n in (d.name, *d.also))
    )


def _name(who: Person | None, was: Duty | None, kennel: Kennel) -> str:
    if who is not None:
        return who.name
    if was is not None:
        return was.who
    return kennel.breeder.name if kennel.breeder else ""


__all__ = [
    "ROUND", "LineSaid", "clock_shown", "line_said", "lines_said", "order_said", "shown", "weekdays_said", "with_line",
    "without_line",
]  # fmt: skip
