"""The show classes that a dog may enter on a day, by a rulebook's table: calendar months, never 30-day months.

More than one answer is often right; a dog enters one class. The schedule of the show stands above every table.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from core.roster import months_between
from shared.tables import number, table

UNDER, NOT_EXCEEDING = "under", "not exceeding"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShowClass:
    """One class that is open to the dog by age; `needs` is what it asks besides ("" for nothing)."""

    name: str
    from_months: int
    to_months: int | None
    needs: str = ""
    source: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTheDay:
    """What a dog may enter.

    Attributes:
        months, days: its age on the counting day: whole calendar months and the days over.
        counted_on: which day the rulebook counts. classes: by lower age; empty where it is too young or there is none.
        next_class, next_on: the next class that opens to it, and the first day of it; None where none does.
    """

    body: str
    on: date
    months: int
    days: int
    counted_on: str
    classes: tuple[ShowClass, ...] = ()
    next_class: ShowClass | None = None
    next_on: date | None = None
    source: tuple[str, ...] = ()
    caution: tuple[str, ...] = ("check_schedule", "entry_closing_date")


def on_the_day(born: date, show: date, body: str) -> OnTheDay | None:
    """The classes open on the rulebook's counting day (`show`); None for a rulebook without a table."""
    rows = [r for r in table("classes") if r["body"] == body.casefold()]
    if not rows:
        return None
    every = [
        ShowClass(
            name=r["class"],
            from_months=int(number(r, "from_months") or 0),
            to_months=None if number(r, "to_months") is None else int(number(r, "to_months") or 0),
            needs=r["needs"],
            source=(r["source"],),
        )
        for r in rows
    ]
    months = months_between(born, show)
    open_ = [c for c, r in zip(every, rows, strict=True) if _is_open(c, r["upper"], born, show)]
    later = sorted((c for c in every if birthday(born, c.from_months) > show), key=lambda c: c.from_months)
    following = later[0] if later else None
    return OnTheDay(
        body=body.casefold(),
        on=show,
        months=months,
        days=(show - birthday(born, months)).days if months >= 0 else 0,
        counted_on=rows[0]["counted_on"],
        classes=tuple(sorted(open_, key=lambda c: (c.from_months, c.to_months or 9999))),
        next_class=following,
        next_on=birthday(born, following.from_months) if following else None,
        source=tuple(dict.fromkeys(r["source"] for r in rows)),
    )


def birthday(born: date, months: int) -> date:
    """The day on which so many calendar months are reached; the month's last day where it lacks the day of birth."""
    year, month = divmod(born.month - 1 + months, 12)
    first = date(born.year + year, month + 1, 1)
    following = date(first.year + first.month // 12, first.month % 12 + 1, 1)
    return first.replace(day=min(born.day, (following - timedelta(days=1)).day))


def _is_open(c: ShowClass, upper: str, born: date, show: date) -> bool:
    """Whether the class is open by age: "under 9" leaves the 9-month day out, "not exceeding 9" takes it in."""
    if show < birthday(born, c.from_months):
        return False
    if c.to_months is None:
        return True
    end = birthday(born, c.to_months)
    return show <= end if upper == NOT_EXCEEDING else show < end
