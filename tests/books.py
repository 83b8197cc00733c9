"""A book written in a few lines, for the tests of the core."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from itertools import count

from core.entries import Entry
from core.ledger import Ledger, Posted


class Book:
    """Entries added one after another; `ledger` is what they come to."""

    def __init__(self) -> None:
        self.posted: list[Posted] = []
        self._numbers = count(1)

    def add(self, *entries: Entry, by: str = "Tom", at: str = "08:00", message: str = "") -> Book:
        """The same book with these entries, said by somebody at a time of their own day (UTC)."""
        for entry in entries:
            number = next(self._numbers)
            when = datetime.combine(entry.on, time.fromisoformat(at), UTC)
            self.posted.append(Posted(id=number, entry=entry, at=when, by=by, message=message or f"m{number}"))
        return self

    @property
    def ledger(self) -> Ledger:
        """The book's ledger."""
        return Ledger(self.posted)


def day(text: str) -> date:
    """The day written as 2026-07-05."""
    return date.fromisoformat(text)
