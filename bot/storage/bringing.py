"""A book that somebody brings along, written in one go: a kennel's history from its file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from sqlalchemy import insert, select, update

from bot.storage import roster
from bot.storage import tables as t
from core.entries import as_fields
from core.ledger import Posted

if TYPE_CHECKING:
    from bot.storage.database import Database


def bring(database: Database, kennel_id: int, posted: Sequence[Posted]) -> None:
    """Writes these entries behind what the kennel's book has, in their order, with their own moments and writers.

    Raises:
        StorageError: the database could not do it; nothing is written then.
    """
    if not posted:
        return
    k = t.kennel.c
    with database.transaction() as connection:
        book, last, revision = connection.execute(
            select(k.book, k.last_number, k.revision).where(k.id == kennel_id)
        ).one()
        rows = [_row(kennel_id, number, item, book + 1) for number, item in enumerate(posted, start=last + 1)]
        connection.execute(insert(t.entry), rows)
        connection.execute(
            update(t.kennel)
            .where(k.id == kennel_id)
            .values(book=book + 1, last_number=last + len(rows), revision=revision + 1)
        )
        for dog in sorted({p.entry.dog for p in posted if p.entry.kind == "weight"}):
            roster.set_last_weight(connection, kennel_id, dog)


def _row(kennel_id: int, number: int, item: Posted, book: int) -> dict[str, Any]:
    facts = as_fields(item.entry)
    del facts["dog"], facts["on"]
    return {
        "kennel": kennel_id, "number": number, "dog": item.entry.dog, "kind": item.entry.kind, "day": item.entry.on,
        "facts": facts, "at": item.at, "by": item.by, "room": item.room, "message": item.message, "replaces": None,
        "changed": book,
    }
