"""Wall-clock times on the days on which clocks change, against the time zone database.

The changes are the tz database's own (IANA, release 2026): London 29 March and 25 October 2026, New York 8 March
and 1 November 2026, Lord Howe 5 April and 4 October 2026 (half an hour), Apia without 30 December 2011.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.times import days_between, exists, instant, within


@pytest.mark.parametrize(
    ("zone", "on", "clock", "utc"),
    [
        ("Europe/London", date(2026, 3, 29), time(1, 30), "2026-03-29T01:00"),  # missing: first minute after, 02:00
        ("Europe/London", date(2026, 3, 29), time(0, 59), "2026-03-29T00:59"),
        ("Europe/London", date(2026, 3, 29), time(2, 0), "2026-03-29T01:00"),
        ("Europe/London", date(2026, 10, 25), time(1, 30), "2026-10-25T00:30"),  # twice: the first
        ("Europe/London", date(2026, 3, 29), time(8, 0), "2026-03-29T07:00"),
        ("Europe/London", date(2026, 10, 25), time(8, 0), "2026-10-25T08:00"),
        ("America/New_York", date(2026, 3, 8), time(2, 30), "2026-03-08T07:00"),
        ("America/New_York", date(2026, 11, 1), time(1, 30), "2026-11-01T05:30"),
        ("Australia/Lord_Howe", date(2026, 10, 4), time(2, 15), "2026-10-03T15:30"),
        ("Australia/Lord_Howe", date(2026, 4, 5), time(1, 45), "2026-04-04T14:45"),
        ("Asia/Kathmandu", date(2026, 3, 14), time(7, 0), "2026-03-14T01:15"),
    ],
)
def test_a_wall_clock_time_is_one_instant(zone: str, on: date, clock: time, utc: str) -> None:
    """Missing: the first minute after. Twice: the first."""
    assert instant(on, clock, ZoneInfo(zone)) == datetime.fromisoformat(utc).replace(tzinfo=UTC)


def test_a_day_that_was_left_out_does_not_exist() -> None:
    """Apia went from 29 to 31 December 2011."""
    apia = ZoneInfo("Pacific/Apia")
    assert not exists(date(2011, 12, 30), apia) and exists(date(2011, 12, 31), apia)
    start = datetime(2011, 12, 29, 12, tzinfo=apia)
    days = list(days_between(start, start + timedelta(hours=24), apia))
    assert days == [date(2011, 12, 28), date(2011, 12, 29), date(2011, 12, 31)]


@given(
    st.sampled_from(["Europe/London", "America/New_York", "Australia/Lord_Howe", "Africa/Cairo", "America/Havana"]),
    st.dates(date(2024, 1, 1), date(2027, 12, 31)),
    st.times(),
)
def test_every_time_of_every_day_is_shown_or_the_first_minute_after(zone: str, on: date, clock: time) -> None:
    """The instant shows that time; where none does, the minute before it shows an earlier time of day than asked."""
    clock = clock.replace(second=0, microsecond=0, tzinfo=None, fold=0)
    tz = ZoneInfo(zone)
    at = instant(on, clock, tz)
    shown, wanted = at.astimezone(tz).replace(tzinfo=None), datetime.combine(on, clock)
    if shown == wanted:
        earlier = at - timedelta(hours=1)
        assert earlier.astimezone(tz).replace(tzinfo=None) != wanted  # the first of two
    else:
        before = (at - timedelta(minutes=1)).astimezone(tz).replace(tzinfo=None)
        assert before < wanted < shown


@pytest.mark.parametrize(
    ("clock", "inside"),
    [(time(21, 45), False), (time(21, 46), True), (time(3), True), (time(6, 44), True), (time(6, 45), False),
     (time(12), False)],
)  # fmt: skip
def test_quiet_hours_run_over_midnight(clock: time, inside: bool) -> None:
    """Both ends are outside: the bedtime snack at 21:45 may be named, and the alert at 06:45 may come."""
    assert within(clock, time(21, 45), time(6, 45)) is inside


def test_no_quiet_hours_where_both_ends_are_the_same() -> None:
    """00:00 to 00:00 is no quiet at all."""
    assert not within(time(3), time(0), time(0)) and within(time(13), time(12), time(14))
