"""Changing the rota in plain words: "breakfast at 7:15 on Sundays", "remind Tom to …", "no nail reminders"."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache

from bot.enrolment import heard, rota_lines
from bot.enrolment.asking import Asking
from bot.enrolment.clocks import as_figures
from bot.enrolment.heard import phrases
from bot.enrolment.rota_lines import clock_shown
from core.roster import Duty, Person
from core.rota import ROUND
from shared.texts import text

LONGEST = 300  # characters of a change; a longer message is none

Hit = re.Match[str]


def rota_change(asking: Asking) -> bool:
    """True where words of the family room changed the rota: only what can be nothing else there."""
    said = as_figures(" ".join(asking.said.split()))
    if not said or len(said) > LONGEST:
        return False
    over = re.match(phrases()["changes"]["course_over"], said, re.IGNORECASE)
    if over is not None and _course_over(asking, over):
        return True
    if heard.is_note(said):
        return False
    for name, pattern in _of_rota():
        if name == "meal_at" and not heard.is_standing(said):
            continue
        if (hit := pattern.match(said)) and ROTA_CHANGES[name](asking, hit):
            return True
    return False


@cache
def _of_rota() -> tuple[tuple[str, re.Pattern[str]], ...]:
    words = phrases()["changes"]
    return tuple((n, re.compile(words[n], re.IGNORECASE)) for n in ("no_reminder", "remind", "medicine", "meal_at"))


def _remind(asking: Asking, hit: Hit) -> bool:
    who = heard.person_said(hit["who"], asking.kennel, asking.me)
    rest, until = heard.span_said(hit["rest"], asking.today, asking.kennel.day_first)
    line = rota_lines.order_said(rest, asking.kennel)
    if who is None or line is None or heard.is_once(hit[0]):
        return False
    if line.at is not None and until is None and not heard.is_standing(hit[0]):
        return False  # "at 12", and no word of every day: a reminder of one moment
    if line.what in rota_lines.MANY_A_DAY:
        return _several(asking, hit["rest"], replace(line, who=who))
    return _put_line(asking, replace(line, who=who))


def _several(asking: Asking, said: str, line: rota_lines.LineSaid) -> bool:
    """A line for each time of day that was said, up to the last day of the vet's plan."""
    rest, until = heard.span_said(said, asking.today, asking.kennel.day_first)
    clocks = heard.clocks_said(rest)
    if not clocks:
        return _put_line(asking, replace(line, until=until))
    for clock in clocks:
        _put_line(asking, replace(line, at=clock, until=until, every_days=None))
    return True


def _medicine(asking: Asking, hit: Hit) -> bool:
    """"Moss gets her tablets at 8 and 20 for 7 days": the vet's plan, as reminders; never how much."""
    rest, _ = heard.span_said(hit["rest"], asking.today, asking.kennel.day_first)
    line = rota_lines.order_said(rest, asking.kennel)
    if line is None or line.what != "medicine":
        return False
    return _several(asking, hit["rest"], line)


def _course_over(asking: Asking, hit: Hit) -> bool:
    """ "Moss's tablets are finished": the plan ends, and nothing was given. Without a plan there is nothing to do."""
    low = hit["dog"].casefold()
    dog = next((d for d in asking.kennel.at_home() if low in {n.casefold() for n in (d.name, *d.also)}), None)
    if dog is None:
        return False
    line = rota_lines.LineSaid(what="medicine", dogs=(dog.name,))
    asking.kennel, gone = rota_lines.without_line(asking.kennel, line)
    ahead = [d.until for d in gone if d.until is not None and d.until > asking.today]
    if ahead:
        day = rota_lines.day_written(max(ahead), asking.kennel)
        asking.tell("changed.course_early", dog=dog.name, day=day)
    elif gone:
        asking.tell("changed.course_over", dog=dog.name)
    else:
        asking.tell("changed.none_such")
    return True


def _who_does(asking: Asking, hit: Hit) -> bool:
    """"Tom does breakfast at 7, I do dinner at half five": each clause has its own person and its own time."""
    told: list[tuple[Person, rota_lines.LineSaid]] = []
    for clause in re.split(r"\s*[,;]\s*(?:and\s+)?|\s+and\s+", hit[0], flags=re.IGNORECASE):
        part = re.match(hit.re.pattern, clause, re.IGNORECASE)
        who = heard.person_said(part["who"], asking.kennel, asking.me) if part else told[-1][0] if told else None
        line = rota_lines.order_said(part["rest"] if part else clause, asking.kennel)
        if who is None or line is None:
            told = []
            break
        told.append((who, line))
    if not told:
        who = heard.person_said(hit["who"], asking.kennel, asking.me)
        line = rota_lines.order_said(hit["rest"], asking.kennel)
        told = [(who, line)] if who is not None and line is not None else []
    return bool(told) and all(_does(asking, who, line) for who, line in told)


def _does(asking: Asking, who: Person, line: rota_lines.LineSaid) -> bool:
    known = any(d.what == line.what for d in asking.kennel.duties)
    if not known and line.at is None and not line.days and not line.every_days:
        what = text(f"setup.what.{line.what.replace(' ', '_')}")
        at = clock_shown(rota_lines.TASK_AT, asking.kennel)
        asking.tell("changed.rota_when", what=what, time=at, who=who.name)
        return True
    return _put_line(asking, replace(line, who=who))


def _meal_at(asking: Asking, hit: Hit) -> bool:
    parts = re.split(r"\s*[,;]\s*(?:and\s+)?|\s+and\s+", hit["rest"], flags=re.IGNORECASE)
    each = [rota_lines.order_said(part, asking.kennel) for part in parts]
    if len(each) > 1 and all(line is not None and line.at is not None for line in each):
        return all(_put_line(asking, line) for line in each if line is not None)
    line = rota_lines.order_said(hit["rest"], asking.kennel)
    if line is None or line.at is None:
        return False
    return _put_line(asking, line)


def _every(asking: Asking, hit: Hit) -> bool:
    """"Bath Fjord every 6 weeks": a task with its interval."""
    line = rota_lines.order_said(hit["rest"], asking.kennel)
    return line is not None and bool(line.every_days or line.days) and _put_line(asking, line)


def _no_reminder(asking: Asking, hit: Hit) -> bool:
    line = rota_lines.line_said(f"{hit['rest']} {hit['more'] or ''}", asking.kennel)
    if line is None:
        return False
    asking.kennel, gone = rota_lines.without_line(asking.kennel, line)
    if gone:
        asking.tell("changed.no_reminder", what=text(f"setup.what.{line.what.replace(' ', '_')}"))
    else:
        asking.tell("changed.none_such")
    return True


def _rounds(asking: Asking, hit: Hit) -> bool:
    hours = int(phrases()["numbers"].get(hit["hours"].casefold(), 0) or hit["hours"])
    who = heard.person_said(hit["who"] or "me", asking.kennel)
    if who is None:
        return False
    at = asking.kennel.local(asking.message.sent_at).time().replace(second=0, microsecond=0, minute=0)
    duty = Duty(what=ROUND, at=at, who=who.name, every_hours=hours)
    kept = tuple(d for d in asking.kennel.duties if d.what != ROUND)
    asking.kennel = replace(asking.kennel, duties=(*kept, duty))
    asking.tell("changed.rounds", every=rota_lines.hours_shown(hours), who=who.name)
    return True


def _put_line(asking: Asking, line: rota_lines.LineSaid) -> bool:
    asking.kennel, duty = rota_lines.with_line(asking.kennel, line)
    told = rota_lines.shown(duty, asking.kennel)
    asking.tell("changed.rota", lines=told[0].upper() + told[1:])
    return True


ROTA_CHANGES: Mapping[str, Callable[[Asking, Hit], bool]] = {
    "course_over": _course_over, "no_reminder": _no_reminder, "rounds": _rounds, "remind": _remind,
    "who_does": _who_does, "meal_at": _meal_at, "every": _every, "medicine": _medicine,
}  # fmt: skip
