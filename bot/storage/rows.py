"""Small things that every room of the storage needs, on both databases."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, Insert, Table
from sqlalchemy.dialects import postgresql, sqlite


def insert_or_ignore(connection: Connection, table: Table) -> Insert:
    """An insert that leaves out rows which a unique constraint forbids, as this database writes it."""
    if connection.dialect.name == "postgresql":
        return postgresql.insert(table).on_conflict_do_nothing()
    return sqlite.insert(table).on_conflict_do_nothing()


def upsert(connection: Connection, table: Table, keys: Sequence[str], values: dict[str, Any]) -> None:
    """One row put in the place of the row with the same keys, or added."""
    changed = {k: v for k, v in values.items() if k not in keys}
    if connection.dialect.name == "postgresql":
        postgres = postgresql.insert(table).values(values)
        connection.execute(postgres.on_conflict_do_update(index_elements=list(keys), set_=changed))
    else:
        lite = sqlite.insert(table).values(values)
        connection.execute(lite.on_conflict_do_update(index_elements=list(keys), set_=changed))
