"""A consistent copy of a SQLite database while it is in use, believed only once it was opened and counted."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

from bot.storage import errors
from bot.storage.checkpoints import checkpoint
from bot.storage.database import Database
from bot.storage.engine import check, read_only


def copy_file(source: Path, target: Path) -> None:
    """Copies by the backup API and puts the copy under its name only when it is whole.

    Never a plain copy of the file: with a transaction under way or without its -wal it may be no database
    (sqlite.org/howtocorrupt.html, 1.2).

    Raises:
        StorageError: it could not be copied; the target is as it was.
    """
    part = target.with_name(f"{target.name}.part")
    try:
        part.unlink(missing_ok=True)
        taken, given = read_only(source), sqlite3.connect(part)
        try:
            taken.backup(given)
            # One file to carry away: WAL would leave a second one beside it.
            given.execute("PRAGMA journal_mode=DELETE")
        finally:
            given.close()
            taken.close()
        checkpoint("backup copied")
        found = check(part)
        if found != "ok":
            raise errors.broken(f"The copy {part}", found)
        _to_disk(part)
        part.replace(target)
    except sqlite3.Error as error:
        raise errors.from_driver(error, f"The copy {target}") or error from None
    except OSError as error:
        raise errors.NoSuchPlace(f"The copy {target} cannot be written ({error.strerror}); choose another.") from None
    finally:
        part.unlink(missing_ok=True)


def backup(database: Database, target: Path) -> dict[str, int]:
    """The rows of each table in the copy, counted in the copy itself.

    Raises:
        StorageError: no copy was made; the text says why.
    """
    source = database.file
    if source is None:
        raise errors.NoSuchPlace(f"{database.place} is not a SQLite file; on PostgreSQL use pg_dump.")
    database.check()
    if target.exists():
        raise errors.NoSuchPlace(f"{target} is already there; choose another name, a backup never overwrites.")
    copy_file(source, target)
    return count_rows(target)


def count_rows(path: Path) -> dict[str, int]:
    """The rows of each table of a SQLite file."""
    connection = read_only(path)
    try:
        names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        # Table names of our own schema, not anybody's words.
        return {n: connection.execute(f'SELECT count(*) FROM "{n}"').fetchone()[0] for n in sorted(names)}  # noqa: S608
    finally:
        connection.close()


def _to_disk(path: Path) -> None:
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
