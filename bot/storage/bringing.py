"""A kennel that was exported, back into a database without one: every row as it was, so that it exports the same."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import JSON, Boolean, Column, Connection, Date, Float, Integer, Table, func, insert, select, text
from sqlalchemy.exc import IntegrityError

from bot.storage import tables as t
from bot.storage.database import Database
from bot.storage.errors import StorageError
from bot.storage.export import TABLES

_BY_NAME: Mapping[str, Table] = {x.name: x for x in TABLES}
_AT_ONCE = 500  # rows of one insert


class NotAnExport(StorageError):
    """The lines are no export of ours, or the database has a kennel already."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """What was written."""

    kennel_id: int
    name: str
    rows: int
    entries: int


def restore(database: Database, lines: Iterable[str]) -> Brought:
    """Writes one exported kennel (`records.jsonl`), whole or not at all.

    Raises:
        NotAnExport: the text says which line, or that the database has a kennel.
        StorageError: the database could not do it.
    """
    rows = _read(lines)
    kennels = rows[t.kennel.name]
    if len(kennels) != 1:
        raise NotAnExport(f"An export holds one kennel; this one holds {len(kennels)}.")
    number = kennels[0]["id"]
    for table in TABLES:
        if table is not t.kennel and any(row.get("kennel") != number for row in rows[table.name]):
            raise NotAnExport(f"A row of {table.name} belongs to another kennel; this is no export of one kennel.")
    try:
        with database.transaction() as connection:
            if connection.execute(select(func.count()).select_from(t.kennel)).scalar_one():
                raise NotAnExport(f"{database.place} has a kennel already; name another database with --db.")
            for table in TABLES:
                found = rows[table.name]
                for n in range(0, len(found), _AT_ONCE):
                    connection.execute(insert(table), found[n : n + _AT_ONCE])
            if connection.dialect.name == "postgresql":
                _count_on(connection)
    except IntegrityError as error:
        raise NotAnExport(f"The rows don't fit together ({type(error.orig).__name__}); nothing was written.") from None
    whole = sum(len(found) for found in rows.values())
    return Brought(kennel_id=number, name=kennels[0]["name"], rows=whole, entries=len(rows[t.entry.name]))


def _read(lines: Iterable[str]) -> dict[str, list[dict[str, Any]]]:
    rows: dict[str, list[dict[str, Any]]] = {table.name: [] for table in TABLES}
    for n, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        try:
            given = json.loads(line)
            table = _BY_NAME[given["table"]]
            rows[table.name].append(_row(table, given["row"]))
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
            raise NotAnExport(f"Line {n} is no row of an export ({type(error).__name__}: {str(error)[:80]}).") from None
    return rows


def _row(table: Table, given: Mapping[str, Any]) -> dict[str, Any]:
    unknown = sorted(given.keys() - set(table.columns.keys()))
    if unknown:
        raise ValueError(f"{table.name} has no {', '.join(unknown)[:40]}; update the program")
    needed = [c.name for c in table.columns if not c.nullable and c.server_default is None]
    missing = [name for name in needed if name not in given]
    if missing:
        raise ValueError(f"{table.name} needs {missing[0]}")
    return {name: _value(table.columns[name], value) for name, value in given.items()}


def _value(column: Column[Any], value: Any) -> Any:
    """The value as the column takes it; a line of another kind is refused here, not by the driver."""
    if value is None:
        if not column.nullable:
            raise ValueError(f"{column.name} may not be empty")
        return None
    if isinstance(column.type, t.Instant):
        moment = datetime.fromisoformat(value)
        if moment.tzinfo is None:
            raise ValueError(f"{column.name} is a moment without a zone")
        return moment
    if isinstance(column.type, Date):
        return date.fromisoformat(value)
    if isinstance(column.type, Boolean):
        wanted: tuple[type, ...] = (bool,)
    elif isinstance(column.type, Integer):
        wanted = (int,)
    elif isinstance(column.type, Float):
        wanted = (int, float)
    else:
        wanted = (dict, list) if isinstance(column.type, JSON) else (str,)
    if not isinstance(value, wanted) or (isinstance(value, bool) and wanted != (bool,)):
        raise ValueError(f"{column.name} can't be {str(value)[:20]!r}")
    return value


def _count_on(connection: Connection) -> None:
    """Lets PostgreSQL number new rows after those that came with their numbers."""
    for table in TABLES:
        if "id" in table.columns:
            top = connection.execute(select(func.max(table.c.id))).scalar()
            if top:
                connection.execute(
                    text("SELECT setval(pg_get_serial_sequence(:name, 'id'), :top)"), {"name": table.name, "top": top}
                )
