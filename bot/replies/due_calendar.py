"""What is due as a calendar file (iCalendar, RFC 5545), for the calendar of a phone.

Things of a day are whole days; lines of the rota have the wall-clock time of the kennel with its zone, so that they
keep their hour when the clocks change. An event keeps its UID for as long as it is the same thing to do. Bowls and the
rounds of the night are left to the chat: four lines a day would hide the rest.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from uuid import NAMESPACE_URL, uuid5

from bot.replies import say_units
from core import breeding, care, rota
from core.ledger import Ledger
from core.roster import BREEDER, FAMILY, Duty, Kennel
from core.times import instant
from shared.tables import facts
from shared.texts import listed, text

if TYPE_CHECKING:
    from icalendar import Event

AHEAD = timedelta(days=56)  # how far the rota's lines are written out; own choice
ROOMS = (BREEDER, FAMILY)  # where the calendar of the whole house may be seen
YEAR = timedelta(days=366)
LASTS = timedelta(minutes=30)  # of a line of the rota, so that it can be seen on a day's page; own choice
_WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")  # RFC 5545, 3.3.10


class CalendarError(ValueError):
    """A calendar that can't be made: the text says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing in the calendar: whole days where `at` is None.

    Attributes:
        key: the same for as long as it is the same thing. on, until: first and last day. days: weekdays on which it
            comes again (Monday is 0), `daily` where it comes each day.
    """

    key: str
    summary: str
    on: date
    until: date | None = None
    at: time | None = None
    days: tuple[int, ...] = ()
    daily: bool = False
    note: str = ""


def spec(on: date) -> str:
    """The short description of the calendar as of a day."""
    return f"calendar:{on.isoformat()}"


def make(what: str, kennel: Kennel, ledger: Ledger, room: str) -> tuple[str, bytes]:
    """The file's name and the file, for the breeder's line or the family's room.

    Raises:
        CalendarError: no such day, or a room that may not have it.
    """
    try:
        on = date.fromisoformat(what.partition(":")[2])
    except ValueError:
        raise CalendarError(f"no such day: {what[:40]!r}") from None
    if room not in ROOMS:
        raise CalendarError(f"no calendar for {room[:60]!r}")
    return f"{text('papers.file.calendar')}.ics", render(kennel, ledger, instant(on, time(0), kennel.tz))


def render(kennel: Kennel, ledger: Ledger, at: datetime) -> bytes:
    """The calendar as it stands at a moment (aware)."""
    from icalendar import Calendar  # a tenth of a second: only when a calendar is asked for

    out = Calendar()
    out.add("prodid", "-//Fettle//what is due//EN")
    out.add("version", "2.0")
    out.add("calscale", "GREGORIAN")
    name = text("papers.calendar.name", kennel=kennel.name)
    out.add("name", name)
    out.add("x-wr-calname", name)  # the older word for the same, which more calendars read
    on = kennel.day_of(at)
    for entry in entries(kennel, ledger, on):
        out.add_component(_event(entry, kennel, at))
    # The rules of the zones that the events name, as the standard asks; for the years that matter.
    out.add_missing_timezones(first_date=on - YEAR, last_date=on + 2 * YEAR)
    ready: bytes = out.to_ical()
    return ready


def entries(kennel: Kennel, ledger: Ledger, on: date) -> tuple[Entry, ...]:
    """What is due from a day on, in order of days."""
    found = [*_care(kennel, ledger, on), *_breeding(kennel, ledger, on), *_rota(kennel, ledger, on)]
    return tuple(sorted(found, key=lambda e: (e.on, e.key)))


def _care(kennel: Kennel, ledger: Ledger, on: date) -> Iterator[Entry]:
    """Wormers, vaccines and the rest; what has a line of the rota is told by that."""
    home = {d.name for d in kennel.at_home()}
    groups: dict[tuple[str, date, date | None, bool], list[str]] = {}
    for due in care.due(kennel, ledger, on):
        dog = kennel.by_name[due.dog]
        by_rota = any(d.what == due.what and (not d.dogs or due.dog in d.dogs) for d in kennel.duties)
        if due.dog not in home or by_rota or due.what == care.EARS or "never_logged" in due.caution:
            continue
        if due.what == care.WEIGH and dog.is_newborn(on):
            continue  # several times a day: the chat's
        groups.setdefault((due.what, due.on, due.until, "weigh_first" in due.caution), []).append(due.dog)
    for (what, first, until, weigh_first), dogs in groups.items():
        late = (until or first) < on
        notes = [text("papers.calendar.since", day=_day(first, kennel))] if late else []
        notes += [text("papers.calendar.vet")] if what in rota.DOSES else []
        notes += [text("papers.calendar.weigh_first")] if weigh_first else []
        yield Entry(
            key=f"care:{what}:{first}:{until}:{weigh_first}", summary=_named(what, dogs),
            on=on if late else first, until=None if late else until, note=" ".join(notes),
        )  # fmt: skip


def _breeding(kennel: Kennel, ledger: Ledger, on: date) -> Iterator[Entry]:
    for dog in kennel.at_home():
        if dog.sex == "m" or dog.born > on:
            continue
        found = breeding.status(dog, ledger, kennel, on)
        if found.due is not None and found.due.latest >= on:
            yield Entry(
                key=f"whelping:{dog.name}:{found.due.counted_from}", on=found.due.earliest, until=found.due.latest,
                summary=text("papers.calendar.whelping", dog=dog.name, day=_day(found.due.on, kennel)),
                note=text("papers.calendar.vet_confirms"),
            )
        window = found.next_season
        if window is not None and window.latest >= on:
            yield Entry(
                key=f"season:{dog.name}:{found.season_on}", on=window.earliest, until=window.latest,
                summary=text("papers.calendar.season", dog=dog.name), note=text("papers.calendar.no_promise"),
            )
    for litter in kennel.litters:
        if litter.born is None or not kennel.pups_of(litter.dam, litter.born):
            continue
        ready = litter.born + timedelta(days=int(facts("reproduction")["leave"]["days"]))
        if ready >= on:
            yield Entry(
                key=f"leave:{litter.dam}:{litter.born}", on=ready,
                summary=text("papers.calendar.leave", dam=litter.dam), note=text("papers.calendar.law"),
            )


def _rota(kennel: Kennel, ledger: Ledger, on: date) -> Iterator[Entry]:
    seen: dict[tuple[str, str], int] = {}
    for duty in kennel.duties:
        number = seen[duty.what, duty.who] = seen.get((duty.what, duty.who), 0) + 1
        if duty.what in rota.MEALS or duty.every_hours:
            continue
        key = f"rota:{duty.what}:{duty.who}:{number}"
        if not duty.every_days:
            first = next((d for d in _ahead(on, 7) if _comes(duty, d, kennel)), None)
            if first is not None:
                dogs = [d.name for d in rota.dogs_of(duty, kennel, first)]
                yield Entry(
                    key=key, summary=_line(duty, dogs), on=first, at=duty.at, days=duty.days, daily=not duty.days
                )
            continue
        by_day: dict[date, list[str]] = {}
        for dog in rota.dogs_of(duty, kennel, on):
            due = next((d for d in care.of_dog(dog, ledger, kennel, on) if d.what == duty.what), None)
            if due is not None and due.on <= on + AHEAD:
                by_day.setdefault(max(due.on, on), []).append(dog.name)
        for day, names in by_day.items():
            yield Entry(key=f"{key}:{day}", summary=_line(duty, names), on=day, at=duty.at)


def _comes(duty: Duty, day: date, kennel: Kennel) -> bool:
    return (not duty.days or day.weekday() in duty.days) and bool(rota.dogs_of(duty, kennel, day))


def _ahead(on: date, days: int) -> Iterator[date]:
    return (on + timedelta(days=n) for n in range(days))


def _line(duty: Duty, dogs: Sequence[str]) -> str:
    return text("papers.calendar.duty", what=_named(duty.what, dogs), who=duty.who)


def _named(what: str, dogs: Sequence[str]) -> str:
    """"Wormer: Ash and Birch"."""
    name = text(f"answers.due.what.{what.replace(' ', '_')}")
    return text("papers.calendar.what", what=name[0].upper() + name[1:], dogs=listed(list(dogs)))


def _day(on: date, kennel: Kennel) -> str:
    return say_units.calendar_day(on, kennel)


def _event(entry: Entry, kennel: Kennel, at: datetime) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", str(uuid5(NAMESPACE_URL, f"fettle:{kennel.name}:{entry.key}")))
    event.add("dtstamp", at.astimezone(UTC))
    event.add("summary", entry.summary)
    if entry.note:
        event.add("description", entry.note)
    if entry.at is None:
        event.add("dtstart", entry.on)
        event.add("dtend", (entry.until or entry.on) + timedelta(days=1))  # a whole day ends where the next begins
        event.add("transp", "TRANSPARENT")
        return event
    # A time that a clock change leaves out is the first after it.
    event.add("dtstart", instant(entry.on, entry.at, kennel.tz).astimezone(kennel.tz))
    event.add("duration", LASTS)
    if entry.days or entry.daily:
        rule: dict[str, object] = {"freq": "DAILY" if entry.daily else "WEEKLY"}
        if entry.days:
            rule["byday"] = [_WEEKDAYS[d] for d in entry.days]
        # An end in a zone is told in UTC (RFC 5545, 3.3.10).
        rule["until"] = instant(entry.on + AHEAD, entry.at, kennel.tz)
        event.add("rrule", rule)
    return event
