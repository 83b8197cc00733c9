"""Days against dateparser, and local days across clock changes against pytz's copy of the zone database.

- dateparser (1.5) reads the same expression with RELATIVE_BASE at the message's own moment, PREFER_DATES_FROM past and
  the kennel's order of day and month. Where people in a kennel mean something else than dateparser does, the case
  stands apart with its reason.
- pytz compiles the IANA time zone database (https://www.iana.org/time-zones) by itself and does its own arithmetic;
  the reader uses Python's zoneinfo. The instants of the changes are found by asking pytz.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta, timezone
from itertools import pairwise

import dateparser
import pytest
import pytz

from tests.outside.reading_kennel import NOON, kennel, only

# The ends of months and years, a leap day, every weekday.
BASES = [
    datetime(2026, 7, 8, 18, 30, tzinfo=UTC),
    datetime(2026, 1, 1, 7, 5, tzinfo=UTC),
    datetime(2025, 12, 31, 22, 40, tzinfo=UTC),
    datetime(2028, 2, 29, 12, 0, tzinfo=UTC),
    datetime(2027, 3, 1, 9, 15, tzinfo=UTC),
    datetime(2026, 10, 25, 8, 0, tzinfo=UTC),
    datetime(2027, 5, 31, 6, 45, tzinfo=UTC),
    datetime(2026, 8, 15, 13, 0, tzinfo=UTC),
]
RELATIVE = [
    "today",
    "yesterday",
    "the day before yesterday",
    "day before yesterday",
    "last night",
    "one day ago",
    "two days ago",
    "2 days ago",
    "three days ago",
    "10 days ago",
    "a week ago",
    "one week ago",
    "two weeks ago",
    "3 weeks ago",
    "a fortnight ago",
    "a month ago",
    "two months ago",
    "an hour ago",
    "20 minutes ago",
]
WEEKDAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
WEEKDAY_FORMS = ["on {}", "last {}", "{}"]


def asked_of_dateparser(expression: str, at: datetime, order: str = "DMY") -> date:
    """The day that dateparser makes of it."""
    settings = {"RELATIVE_BASE": at.replace(tzinfo=None), "PREFER_DATES_FROM": "past", "DATE_ORDER": order}
    found: datetime | None = dateparser.parse(expression, languages=["en"], settings=settings)
    assert found is not None, f"dateparser does not know {expression!r}"
    return found.date()


def day_of(text: str, at: datetime, *, zone: str = "UTC", day_first: bool = True) -> date:
    """The day of the one entry of the message."""
    return only(text, kennel(zone=zone, day_first=day_first), at).on


@pytest.mark.parametrize("expression", RELATIVE)
def test_relative_days(expression: str) -> None:
    for at in BASES:
        wanted = asked_of_dateparser(expression, at)
        assert day_of(f"Zorvik weighed 27 kg {expression}", at) == wanted, at
        assert day_of(f"{expression} Zorvik weighed 27 kg", at) == wanted, at


@pytest.mark.parametrize("form", WEEKDAY_FORMS)
@pytest.mark.parametrize("weekday", WEEKDAYS)
def test_weekdays(weekday: str, form: str) -> None:
    """The latest such day before the message's own; on that very weekday a bare name may be either (own test)."""
    for back in range(7):
        at = NOON - timedelta(days=back)
        expression = form.format(weekday)
        if form == "{}" and at.strftime("%A") == weekday:
            continue
        assert day_of(f"Zorvik weighed 27 kg {expression}", at) == asked_of_dateparser(expression, at), at


def _calendar(order: str) -> Iterator[tuple[str, datetime]]:
    """Past days as people write them, with the moment of writing."""
    months = (
        ["{d}/{m}/{y}", "{d} {B} {y}", "{d} {b} {y}", "{d}{th} of {B} {y}"]
        if order == "DMY"
        else ["{m}/{d}/{y}", "{B} {d}, {y}", "{b} {d}, {y}", "{B} {d}{th}, {y}"]
    )
    short = ["{d}/{m}", "{d} {B}", "{d} {b}"] if order == "DMY" else ["{m}/{d}", "{B} {d}", "{b} {d}"]
    for at in BASES[:4]:
        for back in (1, 5, 12, 29, 31, 60, 100, 150):
            day = at.date() - timedelta(days=back)
            th = "th" if 10 < day.day < 20 else {1: "st", 2: "nd", 3: "rd"}.get(day.day % 10, "th")
            for form in months + short:
                if th == "nd" and "{th}" in form:
                    continue  # "2nd" is held by the test of ordinals beside num2words
                yield form.format(d=day.day, m=day.month, y=day.year, B=f"{day:%B}", b=f"{day:%b}", th=th), at


@pytest.mark.parametrize("order", ["DMY", "MDY"])
def test_calendar_days(order: str) -> None:
    """Written days in the kennel's own order, this year's and last year's."""
    wrong = []
    for expression, at in _calendar(order):
        found = day_of(f"Zorvik weighed 27 kg on {expression}", at, day_first=order == "DMY")
        if found != asked_of_dateparser(expression, at, order):
            wrong.append((expression, f"{at:%Y-%m-%d}", found.isoformat()))
    assert not wrong, wrong


@pytest.mark.parametrize(
    ("expression", "on", "why"),
    [
        pytest.param("on 2026-07-01", date(2026, 7, 1), "ISO 8601 calendar date"),
        pytest.param("on 28.6.2026", date(2026, 6, 28), "DIN 1355-1: day.month.year"),
        pytest.param("on 28-06-2026", date(2026, 6, 28), "day-month-year"),
        pytest.param("on Sunday 28 June", date(2026, 6, 28), "28 June 2026 was a Sunday"),
        pytest.param("on Sunday the 28th", date(2026, 6, 28), "the same"),
        ("29 February 2024", date(2024, 2, 29), "Gregorian calendar: 2024 is a leap year"),
        ("the night before last", date(2026, 7, 6), "reading format: the evening before last night"),
        ("two nights ago", date(2026, 7, 6), "the same"),
        ("overnight", date(2026, 7, 7), "reading format: the evening before"),
        ("a couple of days ago", date(2026, 7, 6), "a couple is two; dateparser does not know it"),
    ],
)
def test_days_that_dateparser_has_not(expression: str, on: date, why: str) -> None:
    assert day_of(f"Zorvik weighed 27 kg {expression}", BASES[0]) == on, why


# Zones whose clocks change in unlike ways: Europe at 01:00 UTC, North America at 02:00 wall time, Lord Howe by half an
# hour, Chile, Cuba and Egypt at midnight (the day has no 00:00), Morocco for Ramadan, the far ends of the date line.
ZONES = [
    "Europe/London",
    "Europe/Oslo",
    "America/New_York",
    "America/St_Johns",
    "America/Los_Angeles",
    "Australia/Lord_Howe",
    "Australia/Adelaide",
    "Pacific/Auckland",
    "America/Santiago",
    "America/Havana",
    "Africa/Cairo",
    "Africa/Casablanca",
    "Asia/Kolkata",
    "Pacific/Kiritimati",
    "Pacific/Pago_Pago",
]


def _changes(zone: str) -> list[datetime]:
    """The instants in 2026 and 2027 at which the zone's offset changes, to the minute, by pytz."""
    tz = pytz.timezone(zone)
    hours = [datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=h) for h in range(2 * 365 * 24)]
    return [
        next(a + timedelta(minutes=m) for m in range(61) if _offset(a + timedelta(minutes=m), tz) != _offset(a, tz))
        for a, b in pairwise(hours)
        if _offset(a, tz) != _offset(b, tz)
    ]


def _offset(at: datetime, tz: pytz.BaseTzInfo) -> timedelta | None:
    return at.astimezone(tz).utcoffset()


@pytest.mark.parametrize("zone", ZONES)
def test_local_days_across_clock_changes(zone: str) -> None:
    """Whatever the offset of the time stamp, today and yesterday are those of the kennel's wall clock."""
    tz = pytz.timezone(zone)
    changes = _changes(zone) or [datetime(2026, 3, 29, 1, tzinfo=UTC)]
    shifts = [timedelta(minutes=m) for m in (-1441, -721, -91, -61, -31, -1, 0, 1, 29, 31, 59, 61, 91, 721, 1439)]
    for change in changes:
        for shift in shifts:
            at = change + shift
            local = at.astimezone(tz).date()
            for stamp in (at, at.astimezone(timezone(timedelta(hours=-11))), at.astimezone(tz)):
                assert day_of("Zorvik weighs 27 kg", stamp, zone=zone) == local, at
            assert day_of("yesterday Zorvik weighed 27 kg", at, zone=zone) == local - timedelta(days=1), at
            assert day_of("Zorvik was sick last night", at, zone=zone) == local - timedelta(days=1), at


def test_the_changes_are_those_published() -> None:
    """Europe changes on the last Sundays of March and October at 01:00 UTC (EU directive 2000/84/EC; the UK alike),
    the United States on the second Sunday of March and the first of November (Energy Policy Act of 2005)."""
    assert [f"{c:%Y-%m-%d %H:%M}" for c in _changes("Europe/London")[:2]] == ["2026-03-29 01:00", "2026-10-25 01:00"]
    assert [f"{c:%Y-%m-%d %H:%M}" for c in _changes("America/New_York")[:2]] == ["2026-03-08 07:00", "2026-11-01 06:00"]


@pytest.mark.parametrize("said", ["01:30", "02:30", "00:30", "23:59"])
def test_a_wall_clock_is_kept_as_said(said: str) -> None:
    """An hour that the night of the change has twice, or not at all, is still what the clock on the wall said."""
    entry = only(f"Zorvik was sick at {said}", kennel(zone="Europe/London"), datetime(2026, 3, 29, 23, 59, tzinfo=UTC))
    assert entry.clock is not None
    assert f"{entry.clock:%H:%M}" == said
