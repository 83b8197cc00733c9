"""Small things that every room of the storage needs, on both databases."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, Insert, Table


def insert_or_ignore(connection: Connection, table: Table) -> Insert:
    """An insert that leaves out rows which a unique constraint forbids, as this database writes it."""
    new: Insert = _insert(connection, table).on_conflict_do_nothing()
    return new


def upsert(connection: Connection, table: Table, keys: Sequence[str], values: dict[str, Any]) -> None:
    """One row put in the place of the row with the same keys, or added."""
    changed = {k: v for k, v in values.items() if k not in keys}
    new = _insert(connection, table).values(values)
    connection.execute(new.on_conflict_do_update(index_elements=list(keys), set_=changed))


def _insert(connection: Connection, table: Table) -> Any:
    # The dialect of this database alone: PostgreSQL's brings five drivers' modules along, a fifth of a start's imports.
    if connection.dialect.name == "postgresql":
        from sqlalchemy.dialects.postgresql import insert
    else:
        from sqlalchemy.dialects.sqlite import insert  # type: ignore[assignment]
    return insert(table)
