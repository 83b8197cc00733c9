"""The engine: SQLite as it must be set up to lose nothing, or PostgreSQL, and the opening checks of each."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError
from sqlalchemy.pool import StaticPool

from bot.storage import errors
from bot.storage.migrating import make_new, revision_of, upgrade
from bot.storage.migrations import HEAD, KNOWN

WRITES = "fettle_writes"  # the execution option of a connection whose transaction writes
_MIGRATION_LOCK = 0x466574746C65  # any number that all our processes share ("Fettle" in ASCII)
_SQLITE_HEADER = b"SQLite format 3\x00"  # sqlite.org/fileformat2.html, 1.3


def parse(url: str) -> URL:
    """The URL with the driver that we use.

    Raises:
        NoSuchPlace: not a URL, or a database that we do not know.
    """
    try:
        parsed = make_url(url)
    except (ArgumentError, ValueError):  # a port that is no number is the latter; the URL may hold a password: unsaid
        raise errors.NoSuchPlace(
            "What is named as the database is no database URL; write sqlite:///FILE or "
            "postgresql://USER@HOST:PORT/DATABASE."
        ) from None
    if parsed.get_backend_name() == "postgresql":
        return parsed.set(drivername="postgresql+psycopg")
    if parsed.get_backend_name() != "sqlite":
        raise errors.NoSuchPlace(f"{parsed.drivername} is not supported; write sqlite:///FILE or postgresql://…")
    return parsed


def place_of(url: URL) -> str:
    """The database as it may be named to a person: no password."""
    if url.get_backend_name() == "sqlite":
        return f"The database {url.database or 'in memory'}"
    return f"The database {url.set(query={}).render_as_string(hide_password=True)}"  # a query may hold one, too


def file_of(url: URL) -> Path | None:
    """The SQLite file, None for a database in memory or on a server."""
    if url.get_backend_name() != "sqlite" or not url.database or url.database == ":memory:":
        return None
    return Path(url.database)


def make_engine(url: URL, busy_seconds: float) -> Engine:
    """An engine whose write transactions take their lock at once, and whose commits are on the disk."""
    try:
        if url.get_backend_name() == "postgresql":
            return create_engine(url, pool_pre_ping=True)
        # In memory every connection would be a database of its own: one is shared.
        pool: dict[str, Any] = {} if file_of(url) else {"poolclass": StaticPool}
        engine = create_engine(url, connect_args={"timeout": busy_seconds, "check_same_thread": False}, **pool)
    except (NoSuchModuleError, ImportError) as error:
        raise errors.NoSuchPlace(
            f"The program for {place_of(url)[:1].lower()}{place_of(url)[1:]} is not installed ({error}); "
            "install Fettle with its postgres extra."
        ) from None
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    return engine


def _set_up(connection: sqlite3.Connection, record: object) -> None:
    connection.isolation_level = None  # BEGIN is ours: the driver's own would take the write lock too late
    cursor = connection.cursor()
    cursor.execute("PRAGMA foreign_keys=ON")
    # With WAL, FULL survives a power loss; NORMAL may lose the last commits (sqlite.org/pragma.html, synchronous).
    cursor.execute("PRAGMA synchronous=FULL")
    cursor.close()


def _begin(connection: Connection) -> None:
    # A transaction that reads first and writes later would lose updates or fail at the upgrade of its lock.
    writes = connection.get_execution_options().get(WRITES, True)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def check_file(url: URL) -> str:
    """The revision of a SQLite file that may be used, "" for one without tables; the file is only read.

    Raises:
        Unusable: why it may not be used.
    """
    path, place = file_of(url), place_of(url)
    if path is None:
        return ""
    if not path.exists():
        raise errors.NoSuchPlace(f"{place} is not there; mend FETTLE_DB, or start `fettle serve` once to make it.")
    _check_file(path, place)
    revision = _revision_in(path, place)
    _check_revision(revision, place)
    return revision or ""


def check_tables(connection: Connection, place: str) -> str:
    """The revision of a database on a server that may be used, "" for one without tables.

    Raises:
        Unusable: why it may not be used.
    """
    revision = revision_of(connection)
    _check_revision(revision, place)
    return revision or ""


def open_schema(engine: Engine, url: URL) -> None:
    """The database with today's schema: made where there was none, checked, and brought up to date.

    Raises:
        Unusable: see `bot.storage.errors`; nothing was changed then.
    """
    path = file_of(url)
    place = place_of(url)
    if path is not None and not path.exists():
        _create_file(path, place)
    check_file(url)
    try:
        if path is not None:
            with engine.connect() as connection:
                _driver(connection).execute("PRAGMA journal_mode=WAL")
        with engine.connect().execution_options(**{WRITES: False}) as connection:
            revision = revision_of(connection)
        if revision != HEAD:
            _bring_up_to_date(engine, place, path)
    except DBAPIError as error:
        raise errors.from_driver(error.orig or error, place) or error from None


def _check_revision(revision: str | None, place: str) -> None:
    if revision is None:
        raise errors.not_a_database(place)
    if revision and revision not in KNOWN:
        raise errors.newer(place, revision)


def _bring_up_to_date(engine: Engine, place: str, path: Path | None) -> None:
    with engine.connect() as connection:
        if engine.dialect.name == "sqlite":
            # Rebuilding a parent table with this on would delete its children; it cannot be changed in a transaction.
            _driver(connection).execute("PRAGMA foreign_keys=OFF")
        try:
            with connection.begin():
                if engine.dialect.name == "postgresql":
                    connection.execute(text("SELECT pg_advisory_xact_lock(:n)"), {"n": _MIGRATION_LOCK})
                revision = revision_of(connection)  # again, now that no other process can change it
                _check_revision(revision, place)
                if revision == "":
                    make_new(connection)
                elif revision != HEAD:
                    if path is not None:
                        _keep_copy(path, revision or "")
                    upgrade(connection)
        finally:
            if engine.dialect.name == "sqlite":
                _driver(connection).execute("PRAGMA foreign_keys=ON")


def _driver(connection: Connection) -> Any:
    return connection.connection.driver_connection


def _keep_copy(path: Path, revision: str) -> None:
    """A copy as it was before the change of schema, beside the database; an earlier one is kept."""
    from bot.storage.backup import copy_file

    kept = path.with_name(f"{path.name}.schema-{revision}")
    if not kept.exists():
        copy_file(path, kept)


def _create_file(path: Path, place: str) -> None:
    """A new database under its name only once it is whole: killed before, there is none, not half a one."""
    part = path.with_name(f"{path.name}.new-{os.getpid()}")
    try:
        # A kennel's book holds names and telephone numbers: it is its owner's alone.
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        part.unlink(missing_ok=True)
        part.touch(mode=0o600)
    except OSError as error:
        raise errors.NoSuchPlace(
            f"{place} cannot be made ({error.strerror}); give this user the right to write the folder {path.parent}, "
            "or choose another with FETTLE_DB."
        ) from None
    engine = make_engine(URL.create("sqlite", database=str(part)), busy_seconds=5)
    try:
        with engine.begin() as connection:
            make_new(connection)
        engine.dispose()
        try:
            os.link(part, path)
        except FileExistsError:
            pass  # another process was quicker: its database is as good
        except OSError:
            part.rename(path)  # a file system without hard links
    except DBAPIError as error:
        raise errors.from_driver(error.orig or error, place) or error from None
    finally:
        engine.dispose()
        part.unlink(missing_ok=True)


def _check_file(path: Path, place: str) -> None:
    """Nothing where the file may be used; it is only read here.

    Raises:
        Unusable: why it may not.
    """
    if not path.is_file():
        raise errors.not_a_database(place)
    try:
        with path.open("rb") as file:
            head = file.read(len(_SQLITE_HEADER))
    except OSError as error:
        raise errors.NoSuchPlace(f"{place} cannot be read ({error.strerror}); mend its rights.") from None
    if not head:
        raise errors.broken(place, "the file is empty")
    if head != _SQLITE_HEADER:
        raise errors.not_a_database(place)
    if not os.access(path, os.W_OK) or not os.access(path.parent, os.W_OK):
        raise errors.read_only(place)
    try:
        found = check(path)
    except sqlite3.Error as error:
        raise errors.from_driver(error, place) or error from None
    if found != "ok":
        raise errors.broken(place, found)


def read_only(path: Path, *, still: bool = False) -> sqlite3.Connection:
    """A connection that cannot write, not even a checkpoint at its close.

    Even so it leaves an empty -wal and -shm beside the file; not where `still` promises that nobody writes.
    """
    return sqlite3.connect(f"{path.absolute().as_uri()}?{'immutable=1' if still else 'mode=ro'}", uri=True)


def _is_in_use(path: Path) -> bool:
    """True where a -wal lies beside the file: another program has it open, or one was killed."""
    return path.with_name(f"{path.name}-wal").exists()


def check(path: Path) -> str:
    """`ok`, or the first thing that SQLite finds wrong in the file.

    Raises:
        sqlite3.Error: it cannot even be looked at.
    """
    still = not _is_in_use(path)
    try:
        found = _quick_check(path, still)
    except sqlite3.Error:
        if not still or not _is_in_use(path):
            raise
        found = ""
    if found != "ok" and still and _is_in_use(path):
        found = _quick_check(path, still=False)  # somebody opened it meanwhile: what was seen may have been in motion
    return found


def _quick_check(path: Path, still: bool) -> str:
    connection = read_only(path, still=still)
    try:
        return str(connection.execute("PRAGMA quick_check(1)").fetchone()[0]).strip().replace("\n", " ")
    finally:
        connection.close()


def _revision_in(path: Path, place: str) -> str | None:
    connection = read_only(path, still=not _is_in_use(path))
    try:
        names = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        if "alembic_version" not in names:
            return None if names else ""
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        return str(row[0]) if row else None
    except sqlite3.Error as error:
        raise errors.from_driver(error, place) or error from None
    finally:
        connection.close()
