"""Show classes on the days at which they begin and end, as the bodies' own pages word them."""

from __future__ import annotations

from datetime import date

import pytest

from core.classes import birthday, on_the_day
from shared.tables import table

BORN = date(2026, 3, 8)

# body, day, classes open by age. Sources: fci: worlddogshow2010.dk, eds2023.dk, sphk.se (baby 4–6); uk: stbea.org
# ("not exceeding 9 calendar months"), noedc.com (baby "less than 6"); akc: akc.org ("at least 4 and under 6 months"),
# xzhbc.com 54222; anka: worldwideboxer.com copy of the class list ("6 and under 9"); ckc: forum copy (weak).
DAYS = [
    ("fci", "2026-07-07", []),
    ("fci", "2026-07-08", ["baby"]),
    ("fci", "2026-08-29", ["baby"]),
    ("fci", "2026-09-07", ["baby"]),
    ("fci", "2026-09-08", ["puppy"]),
    ("fci", "2026-12-08", ["junior"]),
    ("fci", "2027-06-08", ["junior", "intermediate", "open", "working", "champion"]),
    ("fci", "2027-09-08", ["intermediate", "open", "working", "champion"]),
    ("fci", "2034-03-08", ["open", "working", "champion", "veteran"]),
    ("uk", "2026-09-07", ["baby puppy"]),
    ("uk", "2026-12-08", ["minor puppy", "puppy", "junior"]),
    ("uk", "2026-12-09", ["puppy", "junior"]),
    ("uk", "2027-03-08", ["puppy", "junior", "yearling"]),
    ("uk", "2033-03-08", ["veteran"]),
    ("akc", "2026-09-07", ["4-6 beginner puppy"]),
    ("akc", "2026-09-08", ["puppy 6-9", "open"]),
    ("akc", "2026-12-08", ["open", "puppy 9-12"]),
    ("akc", "2027-09-08", ["open"]),
    ("anka", "2026-12-07", ["minor puppy", "puppy", "open"]),
    ("anka", "2026-12-08", ["puppy", "open", "junior"]),
    ("anka", "2027-09-08", ["open", "intermediate"]),
    ("ckc", "2026-06-08", ["baby puppy"]),
]


@pytest.mark.parametrize(("body", "day", "names"), DAYS)
def test_class_on_the_day(body: str, day: str, names: list[str]) -> None:
    """Lower ages count from the birthday; "under 9 months" leaves that day out, "not exceeding" takes it in."""
    found = on_the_day(BORN, date.fromisoformat(day), body)
    assert found is not None
    assert [c.name for c in found.classes] == names


def test_months_are_calendar_months() -> None:
    """From 8 March: 29 August is 5 months 21 days, 12 September 6 months 4 days; not 30-day months."""
    found = on_the_day(BORN, date(2026, 8, 29), "fci")
    assert found is not None
    assert (found.months, found.days) == (5, 21)
    assert found.next_on == date(2026, 9, 8)
    found = on_the_day(BORN, date(2026, 9, 12), "fci")
    assert found is not None
    assert (found.months, found.days) == (6, 4)


def test_a_day_that_a_month_lacks() -> None:
    """Born on the 31st: six months are reached on the last day of a shorter month."""
    assert birthday(date(2026, 8, 31), 6) == date(2027, 2, 28)
    assert birthday(date(2024, 2, 29), 12) == date(2025, 2, 28)
    found = on_the_day(date(2026, 8, 31), date(2027, 2, 28), "akc")
    assert found is not None
    assert "puppy 6-9" in [c.name for c in found.classes]


def test_no_table_no_answer() -> None:
    """A rulebook without a table gives nothing; every answer says to check the schedule."""
    assert on_the_day(BORN, date(2026, 9, 12), "village fair") is None
    for body in {row["body"] for row in table("classes")}:
        found = on_the_day(BORN, date(2026, 9, 12), body)
        assert found is not None
        assert "check_schedule" in found.caution
