"""The calendar file, read back by the library and by hand against RFC 5545."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import icalendar
import pytest

from bot.replies import due_calendar, papers
from core import care
from core.entries import Dose, Season
from core.ledger import Ledger
from core.roster import BREEDER, FAMILY, Dog, Duty, Kennel, Litter, Person
from tests.books import Book, day
from tests.dialogue_house import House

AT = datetime(2026, 3, 14, 8, tzinfo=UTC)
ON = date(2026, 3, 14)


def events(kennel: Kennel, ledger: Ledger, at: datetime = AT) -> dict[str, icalendar.Event]:
    """The events by their summary, from the file as another program reads it."""
    found = icalendar.Calendar.from_ical(due_calendar.render(kennel, ledger, at))
    return {str(e["SUMMARY"]): e for e in found.walk("VEVENT")}


def test_the_file_is_what_the_standard_asks() -> None:
    """CRLF, lines of at most 75 octets, version and product, a DTSTAMP in UTC and a UID of its own for each event, and
    the zone that the events name (RFC 5545, 3.1, 3.6, 3.6.1, 3.6.5)."""
    house = House.of_demo()
    raw = due_calendar.render(house.kennel, house.ledger, AT)
    lines = raw.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR" and lines[-2:] == [b"END:VCALENDAR", b""]
    assert b"\n" not in raw.replace(b"\r\n", b"") and max(map(len, lines)) <= 75
    assert b"VERSION:2.0" in lines and any(line.startswith(b"PRODID:") for line in lines)
    found = icalendar.Calendar.from_ical(raw)
    every = found.walk("VEVENT")
    assert len(every) > 15
    uids = [str(e["UID"]) for e in every]
    assert len(set(uids)) == len(uids)
    assert all(re.fullmatch(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", uid) for uid in uids)
    assert all(e["DTSTAMP"].dt == AT and e["DTSTAMP"].dt.utcoffset() == timedelta(0) for e in every)
    zones = {str(z["TZID"]) for z in found.walk("VTIMEZONE")}
    named = {e["DTSTART"].params["TZID"] for e in every if "TZID" in e["DTSTART"].params}
    assert named == zones == {"Europe/London"}


def test_a_line_of_the_rota_keeps_its_hour_when_the_clocks_change() -> None:
    """Weighing at ten on Sundays is at ten before and after 29 March 2026 (the EU's clock change of that year)."""
    house = House.of_demo()
    weigh = events(house.kennel, house.ledger)["Weigh: Nugget, Juniper and Bramble (Wren)"]
    start = weigh["DTSTART"].dt
    assert (start.date(), start.time()) == (date(2026, 3, 15), time(10))
    assert weigh["RRULE"]["FREQ"] == ["WEEKLY"] and weigh["RRULE"]["BYDAY"] == ["SU"]
    assert weigh["RRULE"]["UNTIL"][0].utcoffset() == timedelta(0)
    raw = weigh.to_ical().decode()
    assert "DTSTART;TZID=Europe/London:20260315T100000" in raw
    from dateutil.rrule import rrulestr

    rule = rrulestr(weigh["RRULE"].to_ical().decode(), dtstart=start)
    after = next(at for at in rule if at.date() == date(2026, 4, 5))
    assert after.time() == time(10) and after.utcoffset() == timedelta(hours=1) and start.utcoffset() == timedelta(0)


def test_a_time_that_the_clock_leaves_out_is_the_first_after_it() -> None:
    """01:30 on 29 March 2026 does not exist in London."""
    kennel = replace(
        House.of_demo().kennel,
        duties=(Duty(what="weigh", at=time(1, 30), who="Maya", days=(6,), dogs=("Nugget",)),),
    )
    at = datetime(2026, 3, 28, 12, tzinfo=UTC)
    weigh = events(kennel, House.of_demo().ledger, at)["Weigh: Nugget (Maya)"]
    assert weigh["DTSTART"].dt.isoformat() == "2026-03-29T02:00:00+01:00"


def test_what_is_due_stands_on_its_day_with_its_window() -> None:
    """A vaccine's window is whole days, its end the day after (RFC 5545, 3.6.1); the vet decides, no dose is told."""
    house = House.of_demo()
    found = events(house.kennel, house.ledger)
    vaccine = next(e for name, e in found.items() if name.startswith("Vaccine:") and "Ash" in name)
    ash = house.kennel.by_name["Ash"]
    due = next(d for d in care.of_dog(ash, house.ledger, house.kennel, ON) if d.what == "vaccine")
    assert due.until is not None
    assert vaccine["DTSTART"].dt == due.on and vaccine["DTEND"].dt == due.until + timedelta(days=1)
    assert "Your vet's plan decides." in str(vaccine["DESCRIPTION"])
    assert found["Wormer: Fjord, Linnet, Moss and Sorrel"]["DTSTART"].dt == date(2026, 4, 18)
    assert found["Heather's litter is eight weeks old"]["DTSTART"].dt == date(2026, 5, 4)
    assert not re.search(r"\b\d+\s*(?:ml|mg|tablet)", due_calendar.render(house.kennel, house.ledger, AT).decode())
    assert not any("Teasel" in name for name in found)  # a buyer's dog is the buyer's to mind


def test_what_is_late_stands_today_and_says_since_when() -> None:
    """A wormer that was due on the 1st is seen on the 14th."""
    kennel = Kennel(name="T", dogs=(Dog(name="Nip", sex="m", born=day("2026-01-02")),))
    ledger = Book().add(Dose(dog="Nip", on=day("2026-02-15"), dose="wormer")).ledger
    wormer = events(kennel, ledger)["Wormer: Nip"]
    assert wormer["DTSTART"].dt == ON and "Due since 1 March." in str(wormer["DESCRIPTION"])


def test_an_event_keeps_its_uid_until_it_is_done() -> None:
    """Tomorrow's file has the same UIDs for the same things; what was done gets a new one for its next time."""
    house = House.of_demo()
    today = {str(e["UID"]) for e in events(house.kennel, house.ledger).values()}
    later = {str(e["UID"]) for e in events(house.kennel, house.ledger, AT + timedelta(days=1)).values()}
    assert len(today & later) >= len(today) - 3
    group = events(house.kennel, house.ledger)["Wormer: Ash, Birch, Hazel and Rowan"]
    given = Book().add(Dose(dog="Ash", on=ON, dose="wormer")).posted[0]
    found = events(house.kennel, house.ledger.with_posted([replace(given, id=9000)]))
    assert found["Wormer: Birch, Hazel and Rowan"]["UID"] == group["UID"]
    assert found["Wormer: Ash"]["UID"] != group["UID"]


def test_a_season_likely_is_a_span_and_no_promise() -> None:
    """Linnet's three starts give a window; it is never one day."""
    house = House.of_demo()
    assert len(house.ledger.of("Linnet", Season)) == 3
    season = events(house.kennel, house.ledger)["Linnet: next season likely"]
    assert season["DTEND"].dt - season["DTSTART"].dt > timedelta(days=1)
    assert "may come earlier or later" in str(season["DESCRIPTION"])


def test_commas_and_accents_survive_the_file() -> None:
    """Text is escaped and folded within a character (RFC 5545, 3.1, 3.3.11)."""
    dog = Dog(name="Čertík; the “Øld”, " + "é" * 60, sex="m", born=day("2026-01-02"))
    kennel = Kennel(name="Smørrebrød, Sønner; & co", dogs=(dog,), people=(Person(name="Zoë", role="breeder"),),
                    litters=(Litter(dam="Nobody"),))  # fmt: skip
    found = events(kennel, Book().add(Dose(dog=dog.name, on=day("2026-03-05"), dose="wormer")).ledger)
    assert f"Wormer: {dog.name}" in found


@pytest.mark.parametrize("room", [BREEDER, FAMILY, "Ana"])
def test_only_the_house_has_the_calendar(room: str) -> None:
    """A buyer's line has none."""
    house = House.of_demo()
    if room == "Ana":
        with pytest.raises(due_calendar.CalendarError):
            due_calendar.make(due_calendar.spec(ON), house.kennel, house.ledger, room)
    else:
        name, content = due_calendar.make(due_calendar.spec(ON), house.kennel, house.ledger, room)
        assert name == "what-is-due.ics" and content.startswith(b"BEGIN:VCALENDAR")
    with pytest.raises((due_calendar.CalendarError, papers.PaperError)):
        due_calendar.make("calendar:soon", house.kennel, house.ledger, BREEDER)
