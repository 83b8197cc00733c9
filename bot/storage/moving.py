"""All rows from one database into another, empty one: SQLite to PostgreSQL, back, or either to its like.

One transaction reads the source as it stands at one moment, one fills the target; before that one is committed both
are read again, row for row, and compared by count and checksum, table by table. Where anything differs the target
stays as empty as it was.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Connection, Table, func, insert, select, text

from bot.storage import tables as t
from bot.storage.checkpoints import checkpoint
from bot.storage.database import Database
from bot.storage.errors import StorageError

_AT_ONCE = 1_000  # rows: some hundred kilobytes, whatever the size of the book


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """One table: its rows and the SHA-256 of them all, equal in both databases."""

    table: str
    rows: int
    checksum: str


class NotEmpty(StorageError):
    """The target already holds something."""


class Differs(StorageError):
    """What arrived is not what was sent; nothing of it was kept."""


def move(source: Database, target: Database, told: Callable[[Moved], None] = lambda _: None) -> tuple[Moved, ...]:
    """What was copied, table by table; the source is only read.

    Both must be open. `told` hears of each table once it is compared, before the commit.

    Raises:
        NotEmpty: the target holds rows. Differs: what arrived is not what was sent.
        StorageError: one of the databases could not do it.
    """
    with source.transaction(writes=False) as old, target.transaction() as new:
        held = [table.name for table in t.ALL if _count(new, table)]
        if held:
            what = ", ".join(held)
            raise NotEmpty(f"{target.place} is not empty ({what}); choose an empty one. Nothing was changed.")
        for table in t.ALL:
            _copy(old, new, table)
        checkpoint("move copied")
        moved = tuple(_compared(old, new, table, target.place) for table in t.ALL)
        for item in moved:
            told(item)
    return moved


def checksum(connection: Connection, table: Table) -> Moved:
    """Count and checksum of a table's rows, in the order of its key, the same on every database."""
    digest, rows = hashlib.sha256(), 0
    for rows, row in enumerate(_rows(connection, table), start=1):  # noqa: B007 (the count is what is given back)
        digest.update(json.dumps(list(row), default=_plain, ensure_ascii=False, sort_keys=True).encode())
        digest.update(b"\n")
    return Moved(table=table.name, rows=rows, checksum=digest.hexdigest())


def _count(connection: Connection, table: Table) -> int:
    return connection.execute(select(func.count()).select_from(table)).scalar_one()


def _rows(connection: Connection, table: Table) -> Any:
    # Not all at once in memory: on PostgreSQL a cursor of the server's, on SQLite its own.
    by_key = select(table).order_by(*table.primary_key)
    return connection.execute(by_key, execution_options={"yield_per": _AT_ONCE})


def _copy(old: Connection, new: Connection, table: Table) -> None:
    for part in _rows(old, table).mappings().partitions():
        new.execute(insert(table), [dict(row) for row in part])
    number = table.c.get("id")
    if new.dialect.name == "postgresql" and number is not None:
        # Rows that came with their numbers did not move the counter that gives out new ones.
        name = f"'{table.name}', 'id'"
        highest = f'SELECT max(id) FROM "{table.name}"'  # noqa: S608 our own table's name
        new.execute(text(f"SELECT setval(pg_get_serial_sequence({name}), ({highest})) WHERE ({highest}) IS NOT NULL"))


def _compared(old: Connection, new: Connection, table: Table, place: str) -> Moved:
    sent, arrived = checksum(old, table), checksum(new, table)
    if sent != arrived:
        raise Differs(
            f"The table {table.name} arrived in {place} with {arrived.rows} rows of {sent.rows}, or changed; "
            "nothing was kept there. Please report this."
        )
    return arrived


def _plain(value: Any) -> str:
    if isinstance(value, datetime | date):
        return value.isoformat()
    raise TypeError(f"no checksum of a {type(value).__name__}")
