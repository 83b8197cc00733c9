"""A consistent copy of a database while it is in use, believed only once it was opened and counted.

The copy is a SQLite file, whatever it is a copy of: one file to carry away, which `restore` puts in the place of a
SQLite database and `bot.storage.moving` brings to a server.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from bot.storage import errors
from bot.storage.checkpoints import checkpoint
from bot.storage.database import Database
from bot.storage.engine import check, read_only
from bot.storage.moving import move


def copy_file(source: Path, target: Path) -> None:
    """Copies by the backup API and puts the copy under its name only when it is whole.

    Never a plain copy of the file: with a transaction under way or without its -wal it may be no database
    (sqlite.org/howtocorrupt.html, 1.2).

    Raises:
        StorageError: it could not be copied; the target is as it was.
    """
    with _proven_copy(source, target) as part:
        part.replace(target)


def backup(database: Database, target: Path) -> dict[str, int]:
    """The rows of each table in the copy, counted in the copy itself.

    Raises:
        StorageError: no copy was made; the text says why.
    """
    database.check()
    if target.exists():
        raise errors.NoSuchPlace(f"{target} is already there; choose another name, a backup never overwrites.")
    if database.file is not None:
        copy_file(database.file, target)
    else:
        _copy_server(database, target)
    return count_rows(target)


def restore(copy: Path, target: Path, now: datetime) -> Path | None:
    """Puts a copy of it in the place of a SQLite database that nobody has open; gives where what was there lies now.

    Raises:
        StorageError: the copy cannot be used, or not be put there; what is there is as it was, or the text says where
            it lies.
    """
    Database(f"sqlite:///{copy}", create=False).check()
    with _proven_copy(copy, target) as part:  # whole and sound before anything is moved
        aside = _aside_of(target, now) if target.exists() else None
        moved = _set_aside(target, aside) if aside else []
        try:
            checkpoint("old set aside")
            part.replace(target)
        except OSError as error:
            lies = f"is in its place ({target})" if _put_back(moved) else f"lies in {aside}"
            why = error.strerror
            raise errors.NoSuchPlace(f"{target} cannot be written ({why}); what was there before {lies}.") from None
    return aside


def count_rows(path: Path) -> dict[str, int]:
    """The rows of each table of a SQLite file."""
    connection = read_only(path)
    try:
        names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        # Table names of our own schema, not anybody's words.
        return {n: connection.execute(f'SELECT count(*) FROM "{n}"').fetchone()[0] for n in sorted(names)}  # noqa: S608
    finally:
        connection.close()


def _copy_server(database: Database, target: Path) -> None:
    """The same from a server, whose own copies need the server's own programs to be read."""
    part = _part(target)
    try:
        part.unlink(missing_ok=True)
        with Database(f"sqlite:///{part}") as copy:
            move(database, copy)
        connection = sqlite3.connect(part)
        connection.execute("PRAGMA journal_mode=DELETE")
        connection.close()
        _prove(part)
        part.replace(target)
    except OSError as error:
        raise errors.NoSuchPlace(f"The copy {target} cannot be written ({error.strerror}); choose another.") from None
    finally:
        part.unlink(missing_ok=True)


@contextmanager
def _proven_copy(source: Path, target: Path) -> Iterator[Path]:
    """A copy of a SQLite file beside the target, sound and on the disk, ready to take its name.

    Raises:
        StorageError: it could not be made, or (raised in the block as an `OSError`) not be put there.
    """
    part = _part(target)
    try:
        # A kennel's book holds names and telephone numbers: its copy is its owner's alone, too.
        part.unlink(missing_ok=True)
        part.touch(mode=0o600)
        taken, given = read_only(source), sqlite3.connect(part)
        try:
            taken.backup(given)
            # One file to carry away: WAL would leave a second one beside it.
            given.execute("PRAGMA journal_mode=DELETE")
        finally:
            given.close()
            taken.close()
        _prove(part)
        yield part
    except sqlite3.Error as error:
        raise errors.from_driver(error, f"The copy {target}") or error from None
    except OSError as error:
        raise errors.NoSuchPlace(f"The copy {target} cannot be written ({error.strerror}); choose another.") from None
    finally:
        part.unlink(missing_ok=True)


def _prove(part: Path) -> None:
    """Nothing where the finished copy is sound; it is on the disk then.

    Raises:
        StorageError: it is not sound.
    """
    checkpoint("backup copied")
    found = check(part)
    if found != "ok":
        raise errors.broken(f"The copy {part}", found)
    _to_disk(part)


def _aside_of(path: Path, now: datetime) -> Path:
    aside = path.with_name(f"{path.name}.before-{now:%Y%m%d-%H%M%S}")
    if aside.exists():
        raise errors.NoSuchPlace(f"{aside} is already there; try again in a second, nothing is ever overwritten.")
    return aside


def _set_aside(path: Path, aside: Path) -> list[tuple[Path, Path]]:
    """The files of a database under another name: what each was called, and is called now.

    Raises:
        OSError: they cannot be renamed; they bear their old names.
    """
    try:
        # Opened and closed by the last who has it, a sound database takes its -wal in.
        connection = sqlite3.connect(path)
        connection.execute("SELECT count(*) FROM sqlite_master")
        connection.close()
    except sqlite3.Error:
        pass  # a broken one is set aside as it lies
    moved: list[tuple[Path, Path]] = []
    try:
        # The -wal first: left behind, it would be read into the copy that is put there.
        for end in ("-wal", "-shm", ""):
            beside, there = path.with_name(path.name + end), aside.with_name(aside.name + end)
            if beside.exists():
                beside.rename(there) if end else _give_second_name(beside, there)
                moved.append((beside, there))
    except OSError:
        _put_back(moved)
        raise
    return moved


def _give_second_name(path: Path, name: Path) -> None:
    """Under both names until the copy takes the first: killed in between, the old database is still in its place."""
    try:
        os.link(path, name)
    except OSError:
        path.rename(name)  # a file system without hard links


def _put_back(moved: list[tuple[Path, Path]]) -> bool:
    """True where all bear their old names again, and those alone."""
    try:
        for was, now in reversed(moved):
            now.unlink() if was.exists() else now.rename(was)
    except OSError:
        return False
    return True


def _part(target: Path) -> Path:
    return target.with_name(f"{target.name}.part")


def _to_disk(path: Path) -> None:
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
