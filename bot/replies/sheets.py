"""The book as tables for a spreadsheet: every entry that counts in words, and the weights alone."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from bot.replies import kept
from core.entries import Weight
from core.ledger import Ledger
from core.roster import Kennel
from shared.spreadsheet import safe
from shared.texts import text


def book(kennel: Kennel, ledger: Ledger) -> str:
    """A row for each entry that counts, by day: date, time, dog, what, in words, by whom (CSV, RFC 4180)."""
    rows = []
    for p in ledger:
        clock = p.entry.clock.isoformat(timespec="minutes") if p.entry.clock else ""
        fact = kept.fact(p.entry, kennel, kennel.weight_unit)
        rows.append((p.entry.on.isoformat(), clock, p.entry.dog, p.entry.kind, fact, p.entry.said, p.by))
    return _csv(("date", "time", "dog", "kind", "what", "words", "by"), rows)


def weights(ledger: Ledger) -> str:
    """A row for each weighing that counts, in kilograms; `fettle import` reads it back."""
    rows = [
        (p.entry.on.isoformat(), p.entry.dog, f"{p.entry.kg:g}", p.by) for p in ledger if isinstance(p.entry, Weight)
    ]
    return _csv(("date", "dog", "kg", "by"), rows)


def _csv(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    out = io.StringIO(newline="")
    sheet = csv.writer(out)
    sheet.writerow([text(f"papers.sheet.{c}") for c in columns])
    sheet.writerows([safe(cell) for cell in row] for row in rows)
    return out.getvalue()
