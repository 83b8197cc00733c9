"""A kennel's rows in open formats: `records.jsonl`, a line for each row, and a CSV for each table.

```text
{"table": "entry", "row": {"number": 12, "dog": "Nugget", "kind": "weight", "day": "2026-07-05", "facts": {…}, …}}
```

Instants are ISO 8601 in UTC. `read_book` reads the entries back, `bot.storage.bringing.restore` all of it.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Table, select

from bot.storage import tables as t
from bot.storage.database import Database
from bot.storage.errors import NoSuchPlace
from core.entries import entry_from
from core.ledger import Ledger, Posted
from shared.spreadsheet import safe

# Every table of a kennel's records. Left out is what belongs to the program: the inbox (its messages are in `message`),
# and the invitations with the wrong codes that were tried.
TABLES = tuple(x for x in t.ALL if x not in (t.inbox, t.invite, t.wrong_try, t.turned_away))


@dataclass(frozen=True, slots=True, kw_only=True)
class Exported:
    """What was written."""

    folder: Path
    rows: int
    entries: int


def export(database: Database, kennel_id: int, folder: Path) -> Exported:
    """Writes one kennel as it stands at one moment.

    Raises:
        StorageError: the database or the folder could not do it.
    """
    counts: dict[str, int] = {}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with (
            database.transaction(writes=False) as connection,
            (folder / "records.jsonl").open("w", encoding="utf-8") as lines,
        ):
            for table in TABLES:
                own = table.c.id if table is t.kennel else table.c.kennel
                found = connection.execute(select(table).where(own == kennel_id).order_by(*table.primary_key))
                rows = ({k: _plain(v) for k, v in row.items()} for row in found.mappings())
                counts[table.name] = _write(table, rows, folder, lines)
    except OSError as error:
        raise NoSuchPlace(f"{folder} cannot be written ({error.strerror}); choose another folder.") from None
    return Exported(folder=folder, rows=sum(counts.values()), entries=counts["entry"])


def read_book(lines: Iterable[str]) -> Ledger:
    """The book as it was exported.

    Raises:
        ValueError: a line that is not an exported row.
    """
    return Ledger(_posted(row["row"]) for row in map(json.loads, lines) if row["table"] == "entry")


def _write(table: Table, rows: Iterator[dict[str, Any]], folder: Path, lines: Any) -> int:
    written = 0
    with (folder / f"{table.name}.csv").open("w", encoding="utf-8", newline="") as file:
        sheet = csv.writer(file)
        sheet.writerow([c.name for c in table.columns])
        for written, row in enumerate(rows, start=1):  # noqa: B007 (the count is what is given back)
            lines.write(json.dumps({"table": table.name, "row": row}, ensure_ascii=False) + "\n")
            sheet.writerow([_cell(v) for v in row.values()])
    return written


def _plain(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date | datetime) else value


def _cell(value: Any) -> Any:
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False)
    return safe(value) if isinstance(value, str) else value


def _posted(row: Mapping[str, Any]) -> Posted:
    return Posted(
        id=row["number"],
        entry=entry_from(row["kind"], {**row["facts"], "dog": row["dog"], "on": row["day"]}),
        at=datetime.fromisoformat(row["at"]),
        by=row["by"],
        room=row["room"],
        message=row["message"],
        replaced_by=row["replaced_by"],
        withdrawn=row["withdrawn"],
    )
