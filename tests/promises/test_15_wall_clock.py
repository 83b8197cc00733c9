"""Promise 15: 08:00 is 08:00, on each day of a year, where clocks change and where a day is left out.

Checked against pytz, which compiles the IANA time zone database (iana.org/time-zones) by itself and does its own
arithmetic; the program uses Python's zoneinfo. Times in a gap, and those that come twice: `tests/core/test_times.py`
and `tests/core/test_agenda.py`; a pytz "is_dst=True" reading is the first of two.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time

import pytest
import pytz

from core.agenda import ALERT, due
from core.ledger import Ledger
from core.roster import Duty, Ration
from core.times import instant
from tests.stand_ins.fixtures import NUGGET
from tests.stand_ins.serving import kennel

ZONES = ["America/New_York", "Europe/Berlin", "Australia/Lord_Howe", "Pacific/Apia"]


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("year", [2011, 2026])
def test_each_morning_alert_and_bowl_of_a_year_is_at_its_hour(zone: str, year: int) -> None:
    dog = replace(NUGGET, born=date(year - 2, 3, 8), ration=(Ration(meal="breakfast", cups=1.0),))
    duties = (Duty(what="breakfast", at=time(8, 10), who="Tom"),)
    home = replace(kennel(dog), zone=zone, alert_at=time(8), duties=duties)
    there = pytz.timezone(zone)
    start, end = (there.localize(datetime(y, 1, 1)) for y in (year, year + 1))
    items = [i for i in due(home, Ledger(), start, end) if i.kind == ALERT or i.step == "remind"]
    mornings = [i.at.astimezone(there) for i in items if i.kind == ALERT]
    bowls = [i.at.astimezone(there) for i in items if i.kind != ALERT and i.what == "breakfast"]
    days = 364 if (zone, year) == ("Pacific/Apia", 2011) else 365  # 30 December 2011 was left out there
    assert len(mornings) == len(bowls) == days
    assert {f"{m:%H:%M}" for m in mornings} == {"08:00"} and {f"{m:%H:%M}" for m in bowls} == {"08:10"}
    assert len({m.date() for m in mornings}) == days


@pytest.mark.parametrize("zone", ZONES[:3])
def test_every_quarter_of_an_hour_of_a_changed_night(zone: str) -> None:
    """A time that exists is the instant that pytz names, of two the first; one that does not is the end of the gap."""
    there = pytz.timezone(zone)
    changes = [c for c in there._utc_transition_times if c.year == 2026]
    assert len(changes) == 2
    for change in changes:
        local = pytz.utc.localize(change).astimezone(there)
        for minutes in range(0, 24 * 60, 15):
            clock = time(minutes // 60, minutes % 60)
            wall = datetime.combine(local.date(), clock)
            try:
                expected = there.localize(wall, is_dst=None)
            except pytz.AmbiguousTimeError:
                expected = there.localize(wall, is_dst=True)
            except pytz.NonExistentTimeError:
                expected = pytz.utc.localize(change)
            assert instant(local.date(), clock, kennel().tz.__class__(zone)) == expected, (zone, wall)
