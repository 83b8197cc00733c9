"""Has anything changed in a kennel? Its roster, its book and what is in mind, in three short marks.

With them a round passes over the kennels in which nothing can have fallen due, without reading their books.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Text, cast, select, update

from bot.storage import tables as t

if TYPE_CHECKING:
    from bot.storage.database import Database


@dataclass(frozen=True, slots=True)
class Stamp:
    """A kennel's state: two equal ones are of one roster, one book and one memory."""

    revision: int
    book: int
    memory: str


def of_kennel(connection: Connection, kennel_id: int) -> Stamp:
    """The stamp of one kennel."""
    k, m = t.kennel.c, t.memory.c
    row = connection.execute(select(k.revision, k.book).where(k.id == kennel_id)).one()
    minds = select(m.room, cast(m.facts, Text)).where(m.kennel == kennel_id).order_by(m.room)
    return Stamp(row.revision, row.book, _digest([(room, facts) for room, facts in connection.execute(minds)]))


def pass_over(database: Database, known: Mapping[int, Stamp], now: datetime) -> set[int]:
    """The kennels that are still as they were known, their agenda noted as looked at until now."""
    if not known:
        return set()
    k, m, r = t.kennel.c, t.memory.c, t.round_.c
    with database.transaction() as connection:
        rows = select(k.id, k.revision, k.book)
        if database.shared:
            # A kennel in which a turn is under way is left for a real look; no turn begins in the others meanwhile.
            rows = rows.where(k.id.in_(known)).with_for_update(skip_locked=True)
        found = connection.execute(rows).all()
        minds: dict[int, list[tuple[str, str]]] = {}
        for kennel, room, facts in connection.execute(select(m.kennel, m.room, cast(m.facts, Text)).order_by(m.room)):
            minds.setdefault(kennel, []).append((room, facts))
        same = {
            row.id for row in found
            if known.get(row.id) == Stamp(row.revision, row.book, _digest(minds.get(row.id, [])))
        }  # fmt: skip
        connection.execute(update(t.round_).where(r.kennel.in_(same), r.looked_at < now).values(looked_at=now))
    return same


def _digest(minds: list[tuple[str, str]]) -> str:
    return hashlib.sha256(repr(minds).encode()).hexdigest() if minds else ""
