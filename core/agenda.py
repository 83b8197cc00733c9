"""What falls due between two instants: for whom, in which room, until when it is of use.

Each item has a key that never changes (local day, what, who), so that looking twice finds the same. What is
already in the book is left out. Nothing here knows whether an item was sent: that is the outbox's.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from core import care, expecting, rota
from core.ledger import Ledger
from core.messages import DIGEST, REMINDER, TIP
from core.roster import BREEDER, FAMILY, Dog, Duty, Kennel, names
from core.times import days_between, instant, within
from core.tips import Tip, is_well, of_ages, tips_on

MEAL, WEIGH, EARS, GROOM, DOSE, ROUND = "meal", "weigh", "ears", "groom", "dose", rota.ROUND
EXPECTING = "expecting"
ALERT, WEEK, LITTER, TIP_OF_AGE = "alert", "digest", "litter digest", "tip"
REMIND, NUDGE, TELL = "remind", "nudge", "tell"

# One reminder, one nudge to the same person, then the breeder, where it matters. Own choice.
NUDGE_AFTER = timedelta(minutes=30)
TELL_AFTER = timedelta(minutes=60)

POSTS_A_DAY = 2  # that Fettle starts in the family room besides bowls and newborns; own choice
DOSE_AT = time(9, 0)  # when a dose of the schedule is named on its day; own choice
TIP_AT = time(10, 0)
WEEK_AT, WEEK_DAY = time(18, 0), 6  # the digests: Sunday evening for the week; own choice
LITTER_DAYS = 56  # a litter has its digest each week until it may leave, at eight weeks

# Until when an item is still of use after its time. Own choice.
USE: dict[tuple[str, str], timedelta] = {
    (MEAL, REMIND): timedelta(hours=2),
    (MEAL, NUDGE): timedelta(hours=1),
    (MEAL, TELL): timedelta(hours=4),
    (ALERT, REMIND): timedelta(hours=6),
    (WEEK, REMIND): timedelta(days=1),
    (LITTER, REMIND): timedelta(days=1),
    (TIP_OF_AGE, REMIND): timedelta(days=3),
    (DOSE, REMIND): timedelta(days=1),
}
OTHER_USE = timedelta(hours=8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One thing to do: `what` is a meal, `weigh`, `ears`, a grooming task, a dose …; by whom, for which dogs."""

    what: str
    person: str = ""
    dogs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One item of the agenda.

    Attributes:
        key: the same whenever it is looked at. on: the local day. at: the instant (UTC).
        kind: meal, weigh, ears, groom, dose, newborn round, expecting, alert, digest, litter digest or tip.
        step: `remind`, `nudge` (once more to the same person) or `tell` (the breeder hears that it is not logged).
        room: where it is said. person: to whom it is addressed ("" in a room of one person, and for the whole room).
        tasks: what is to be done; for a tip one whose `what` is the tip's key; for a litter digest one with the dam.
        not_after: when it is stale.
    """

    key: str
    on: date
    at: datetime
    kind: str
    step: str = REMIND
    room: str
    person: str = ""
    tasks: tuple[Task, ...] = ()
    priority: int = REMINDER
    not_after: datetime

    @property
    def what(self) -> str:
        """The first task's word, "" where there is none."""
        return self.tasks[0].what if self.tasks else ""

    @property
    def dogs(self) -> tuple[str, ...]:
        """The dogs of all tasks, each once."""
        return tuple(dict.fromkeys(d for t in self.tasks for d in t.dogs))


def due(kennel: Kennel, ledger: Ledger, start: datetime, end: datetime, tips: Sequence[Tip] = ()) -> tuple[Due, ...]:
    """What falls due after `start` and not after `end`, in order of time, then of priority.

    What `ledger` already has is left out, so look at each item when its time has come, not before.
    """
    found = [
        item
        for on in days_between(start, end, kennel.tz)
        if any(start < at <= end for at in _times_of_day(kennel, on, tips))  # most looks are at an empty minute
        for item in _of_day(kennel, ledger, on, tips, start, end)
        if start < item.at <= end
    ]
    found.extend(i for i in _rounds(kennel, ledger, start - TELL_AFTER, end) if start < i.at <= end)
    return tuple(sorted(found, key=lambda i: (i.at, i.priority, i.key)))


def times(kennel: Kennel, start: datetime, end: datetime, tips: Sequence[Tip] = ()) -> tuple[datetime, ...]:
    """The instants in (start, end] at which something may fall due, whatever the book will say by then."""
    found = {at for on in days_between(start, end, kennel.tz) for at in _times_of_day(kennel, on, tips)}
    for duty in kennel.duties:
        for at in rota.round_times(duty, kennel, start - TELL_AFTER, end):
            found |= {at, at + NUDGE_AFTER, at + TELL_AFTER}
    return tuple(sorted(at for at in found if start < at <= end))


def _times_of_day(kennel: Kennel, on: date, tips: Sequence[Tip]) -> set[datetime]:
    clocks = {d.at for d in kennel.duties if not d.every_hours}
    steps = {instant(on, clock, kennel.tz) for clock in clocks}
    found = {at + after for at in steps for after in (timedelta(0), NUDGE_AFTER, TELL_AFTER)}
    found |= {instant(on, clock, kennel.tz) for clock in _clocks(kennel)}
    # What falls into the quiet of the evening is of this day and waits for the next morning.
    found.add(instant(on + timedelta(days=1), kennel.quiet_to, kennel.tz))
    if of_ages(kennel, tips, on):
        found.add(instant(on, TIP_AT, kennel.tz))
    return found


def _clocks(kennel: Kennel) -> tuple[time, ...]:
    return (kennel.alert_at, kennel.quiet_to, DOSE_AT, WEEK_AT, expecting.MORNING, expecting.EVENING)


def _of_day(
    kennel: Kennel, ledger: Ledger, on: date, tips: Sequence[Tip], start: datetime, end: datetime
) -> Iterator[Due]:
    for number, (duty, dogs) in _numbered(_plan(kennel, ledger, on, bowls=True)):
        yield from _steps(kennel, ledger, on, number, duty, dogs)
    yield from _posts(kennel, ledger, on)
    if kennel.breeder is not None:
        yield _for_breeder(kennel, on, ALERT, kennel.alert_at)
        if start < _awake(kennel, instant(on, DOSE_AT, kennel.tz)) <= end:  # the schedule costs some milliseconds
            yield from _doses(kennel, ledger, on)
        clocks = (DOSE_AT, expecting.MORNING, expecting.EVENING)
        if any(start < _awake(kennel, instant(on, clock, kennel.tz)) <= end for clock in clocks):
            yield from _expecting(kennel, ledger, on)
        if on.weekday() == WEEK_DAY:
            yield _for_breeder(kennel, on, WEEK, WEEK_AT)
        for litter in kennel.litters:
            age = (on - litter.born).days if litter.born else 0
            if 0 < age <= LITTER_DAYS and age % 7 == 0 and kennel.pups_of(litter.dam, litter.born):
                yield _for_breeder(kennel, on, LITTER, WEEK_AT, Task(what=LITTER, dogs=(litter.dam,)))
    for person, dog, tip in tips_on(kennel, tips, on):
        if is_well(dog, ledger, on):
            at = _awake(kennel, instant(on, TIP_AT, kennel.tz))
            task = Task(what=tip.key, person=person.name, dogs=(dog.name,))
            key = f"tip:{tip.key}:{dog.name}:{person.name}"  # without the day: a tip comes once in a dog's life
            yield _item(key, on, at, TIP_OF_AGE, REMIND, person.name, "", (task,), TIP)


# The rota

Line = tuple[Duty, tuple[Dog, ...]]


def _plan(kennel: Kennel, ledger: Ledger, on: date, *, bowls: bool) -> list[Line]:
    """The day's lines of the rota with their dogs, in order of time, as they stood in the morning.

    Lines of the same task, time and person are one.
    """
    lines: dict[tuple[time, str, str], Line] = {}
    for duty in kennel.duties:
        if duty.every_hours or (duty.what in rota.MEALS) is not bowls:
            continue
        dogs = rota.planned(duty, kennel, ledger, on)
        if dogs:
            key = (duty.at, duty.what, duty.who)
            earlier = lines[key][1] if key in lines else ()
            lines[key] = (duty, (*earlier, *(d for d in dogs if d not in earlier)))
    return [lines[key] for key in sorted(lines)]


def _numbered(lines: list[Line]) -> Iterator[tuple[int, Line]]:
    """Each line with its number among the day's lines of the same task and person.

    The number, not the time, goes into the key: a line that is moved by a quarter of an hour stays the same line.
    """
    seen: dict[tuple[str, str], int] = {}
    for line in lines:
        key = (line[0].what, line[0].who)
        seen[key] = seen.get(key, 0) + 1
        yield seen[key], line


def _steps(
    kennel: Kennel, ledger: Ledger, on: date, number: int, duty: Duty, dogs: tuple[Dog, ...], nudged: bool = True
) -> Iterator[Due]:
    """The reminder of one line, its nudge, and the word to the breeder; without the dogs that are in the book."""
    left = tuple(d for d in dogs if not rota.is_logged(duty.what, d, kennel, ledger, on, duty.at))
    if not left:
        return
    at, kind, room = instant(on, duty.at, kennel.tz), _kind(duty.what), _room(kennel, duty.who, on)
    task = Task(what=duty.what, person=duty.who, dogs=names(left))
    key = f"{on}:{duty.what}:{duty.who}:{number}"
    # A bowl's own time is the family's choice; everything else waits for the morning.
    first = at if kind == MEAL else _awake(kennel, at)
    yield _item(f"{key}:{REMIND}", on, first, kind, REMIND, room, duty.who, (task,))
    if not nudged:
        return
    for step, after in ((NUDGE, NUDGE_AFTER), (TELL, TELL_AFTER)):
        later = at + after
        if step == TELL and (room == BREEDER or not _matters(kind, left, on)):
            continue
        if _is_quiet(kennel, later):
            if kind != DOSE:
                continue
            later = _awake(kennel, later)
        where = BREEDER if step == TELL else room
        yield _item(f"{key}:{step}", on, later, kind, step, where, "" if step == TELL else duty.who, (task,))


def _posts(kennel: Kennel, ledger: Ledger, on: date) -> Iterator[Due]:
    """The day's tasks besides bowls; in the family room so few posts that nobody minds them.

    What would be one post too many is told with the last of them. Nudges take the places that are left.
    """
    numbered = list(_numbered(_plan(kennel, ledger, on, bowls=False)))
    family = [n for n in numbered if _room(kennel, n[1][0].who, on) == FAMILY and not _matters_line(n[1], on)]
    single, folded = family, []
    if len(family) > POSTS_A_DAY:
        single, folded = family[: POSTS_A_DAY - 1], family[POSTS_A_DAY - 1 :]
    for number, (duty, dogs) in numbered:
        if (number, (duty, dogs)) not in family:
            yield from _steps(kennel, ledger, on, number, duty, dogs)
    places = POSTS_A_DAY - len(single) - bool(folded)
    for place, (number, (duty, dogs)) in enumerate(single):
        yield from _steps(kennel, ledger, on, number, duty, dogs, nudged=place < places)
    if folded:
        heads = [next(_steps(kennel, ledger, on, n, duty, dogs, nudged=False), None) for n, (duty, dogs) in folded]
        told = [h for h in heads if h is not None]
        if told:
            at = _awake(kennel, instant(on, folded[0][1][0].at, kennel.tz))
            person = told[0].person if len({h.person for h in told}) == 1 else ""
            tasks = tuple(t for h in told for t in h.tasks)
            yield replace(
                told[0],
                key=f"{on}:tasks:{REMIND}",
                at=at,
                person=person,
                tasks=tasks,
                not_after=max(h.not_after for h in told),
            )


def _doses(kennel: Kennel, ledger: Ledger, on: date) -> Iterator[Due]:
    """Wormer and vaccine by the schedule, on the first and on the last day of their window; never how much."""
    by_dose: dict[str, list[str]] = {}
    for item in care.due(kennel, ledger, on):
        dog = kennel.dog(item.dog)
        if item.what not in rota.DOSES or on not in (item.on, item.until) or dog is None or dog.home:
            continue
        # Of a grown dog of which nothing is written down nothing is known: it is not late, and nobody is nagged.
        if "never_logged" not in item.caution:
            by_dose.setdefault(item.what, []).append(item.dog)
    for dose, dogs in sorted(by_dose.items()):
        at = _awake(kennel, instant(on, DOSE_AT, kennel.tz))
        task = Task(what=dose, dogs=tuple(dogs))
        yield _item(f"{on}:schedule:{dose}:{REMIND}", on, at, DOSE, REMIND, BREEDER, "", (task,))


def _expecting(kennel: Kennel, ledger: Ledger, on: date) -> Iterator[Due]:
    """For the breeder: what begins in a pregnancy on that day, and near its end a temperature morning and evening."""
    for dog, when in expecting.expecting(kennel, ledger, on):
        for key in expecting.milestones(when, on):
            at = _awake(kennel, instant(on, DOSE_AT, kennel.tz))
            task = Task(what=key, dogs=(dog.name,))
            yield _item(f"{on}:{EXPECTING}:{key}:{dog.name}", on, at, EXPECTING, REMIND, BREEDER, "", (task,))
        if not when.temperatures_from <= on <= when.vet_after:
            continue
        for clock in (expecting.MORNING, expecting.EVENING):
            if not expecting.is_taken(dog, kennel, ledger, on, clock):
                at = _awake(kennel, instant(on, clock, kennel.tz))
                task = Task(what="temperature", dogs=(dog.name,))
                key = f"{on}:temperature:{dog.name}:{clock:%H%M}:{REMIND}"
                yield _item(key, on, at, DOSE, REMIND, BREEDER, "", (task,))


def _rounds(kennel: Kennel, ledger: Ledger, start: datetime, end: datetime) -> Iterator[Due]:
    """The newborn rounds, through the night, in elapsed hours; one is done when anything was told of the pup."""
    for duty in kennel.duties:
        for at in rota.round_times(duty, kennel, start, end):
            on = kennel.day_of(at)
            step_back = timedelta(hours=duty.every_hours or 1) / 2
            left = [d for d in rota.round_dogs(duty, kennel, on) if not rota.seen_to_since(d, ledger, at - step_back)]
            if not left:
                continue
            task = Task(what=ROUND, person=duty.who, dogs=names(left))
            room = _room(kennel, duty.who, on)
            for step, after in ((REMIND, timedelta(0)), (NUDGE, NUDGE_AFTER), (TELL, TELL_AFTER)):
                if step == TELL and room == BREEDER:
                    continue
                where = BREEDER if step == TELL else room
                key = f"{on}:{ROUND}:{duty.who}:{at:%Y%m%dT%H%MZ}:{step}"
                stale = at + timedelta(hours=duty.every_hours or 1)
                item = _item(key, on, at + after, ROUND, step, where, duty.who if step != TELL else "", (task,))
                yield replace(item, not_after=stale)


def _for_breeder(kennel: Kennel, on: date, kind: str, clock: time, *tasks: Task) -> Due:
    about = f":{tasks[0].dogs[0]}" if tasks else ""
    at = instant(on, clock, kennel.tz)
    # The morning alert comes when the breeder wants it, in the quiet hours too.
    at = at if kind == ALERT else _awake(kennel, at)
    return _item(f"{on}:{kind}{about}", on, at, kind, REMIND, BREEDER, "", tasks, DIGEST)


def _item(
    key: str,
    on: date,
    at: datetime,
    kind: str,
    step: str,
    room: str,
    person: str,
    tasks: tuple[Task, ...],
    priority: int = REMINDER,
) -> Due:
    return Due(
        key=key,
        on=on,
        at=at,
        kind=kind,
        step=step,
        room=room,
        person=person if room == FAMILY else "",  # in a line of one person nobody needs calling
        tasks=tasks,
        priority=priority,
        not_after=at + USE.get((kind, step), OTHER_USE),
    )


def _kind(what: str) -> str:
    if what in rota.MEALS:
        return MEAL
    if what in (WEIGH, EARS):
        return what
    return DOSE if what in (*rota.DOSES, "temperature") else GROOM


def _matters(kind: str, dogs: Sequence[Dog], on: date) -> bool:
    """True for what the breeder hears of when it is not logged: bowls, doses, newborns."""
    return kind in (MEAL, DOSE, ROUND) or (kind == WEIGH and any(d.is_newborn(on) for d in dogs))


def _matters_line(line: Line, on: date) -> bool:
    return _matters(_kind(line[0].what), line[1], on)


def _room(kennel: Kennel, who: str, on: date) -> str:
    """The room in which that person is reminded: the family's, or their own line; the breeder's for nobody known."""
    person = kennel.person(who)
    if person is None or person.role == "breeder" or (person.until is not None and on > person.until):
        return BREEDER
    return person.name if person.role in ("sitter", "mentor", "buyer") else FAMILY


# Quiet hours


def _is_quiet(kennel: Kennel, at: datetime) -> bool:
    return within(kennel.local(at).time(), kennel.quiet_from, kennel.quiet_to)


def _awake(kennel: Kennel, at: datetime) -> datetime:
    """The instant, or the end of the quiet hours in which it lies."""
    if not _is_quiet(kennel, at):
        return at
    on = kennel.day_of(at)
    end = instant(on, kennel.quiet_to, kennel.tz)
    return end if end >= at else instant(on + timedelta(days=1), kennel.quiet_to, kennel.tz)
