"""What can go wrong with the database, by what a person can do about it.

```text
StorageError              one clear sentence: what is wrong and what to do
├── Unusable              this database cannot be opened as it is; nothing was changed
│   ├── NotADatabase      another kind of file, or another program's database
│   ├── BrokenDatabase    damaged; never written to, never thrown away
│   ├── NewerDatabase     written by a newer Fettle
│   ├── NoSuchPlace       the folder or server is not there, or may not be used
│   └── ReadOnly          may be read and not written
├── Passing               may work when tried again; nothing was changed
│   ├── Locked            another program holds it
│   └── Full              no room on the disk
├── StaleRoster           the roster was changed by somebody else in between
└── KeyReused             two different messages under one key: a fault of the chat that carried them
```
"""

from __future__ import annotations

import sqlite3

from bot.settings import Trouble


class StorageError(Trouble):
    """Something with the database that a person can mend."""


class Unusable(StorageError):
    """The database cannot be opened as it is."""


class NotADatabase(Unusable):
    """Another kind of file, or another program's database."""


class BrokenDatabase(Unusable):
    """A damaged database."""


class NewerDatabase(Unusable):
    """A database written by a newer Fettle."""


class NoSuchPlace(Unusable):
    """A folder or server that is not there or may not be used."""


class ReadOnly(Unusable):
    """A database that may be read and not written."""


class Passing(StorageError):
    """May work when tried again; nothing was changed."""


class Locked(Passing):
    """Another program holds the database."""


class Full(Passing):
    """No room on the disk."""


class StaleRoster(StorageError):
    """The roster was changed by somebody else in between."""


class KeyReused(StorageError):
    """Two different messages under one key."""


def not_a_database(place: str) -> NotADatabase:
    """The error for a file that is no database of ours."""
    return NotADatabase(f"{place} is not a Fettle database; choose another file with FETTLE_DB. It was left untouched.")


def broken(place: str, found: str) -> BrokenDatabase:
    """The error for a damaged database, with what was found."""
    return BrokenDatabase(
        f"{place} is damaged ({found}); stop Fettle, move this file and those beside it (-wal, -shm) to a safe place, "
        "and put the newest backup there. It was left untouched."
    )


def newer(place: str, revision: str) -> NewerDatabase:
    """The error for a schema that this program does not know."""
    return NewerDatabase(
        f"{place} was written by a newer Fettle (schema {revision}); update the program. It was left untouched."
    )


def read_only(place: str) -> ReadOnly:
    """The error for a database that may not be written."""
    return ReadOnly(f"{place} cannot be written; give this user the right to write the file and its folder.")


def from_driver(error: BaseException, place: str) -> StorageError | None:
    """The driver's error as one of ours; None for one that no person can mend (a fault of the program)."""
    if isinstance(error, sqlite3.Error):
        return _from_sqlite(error, place)
    name = type(error).__name__
    if name == "DiskFull":  # psycopg.errors, SQLSTATE 53100
        return Full(f"There is no room left on the disk of {place}; make room, Fettle goes on by itself.")
    if name in {"LockNotAvailable", "DeadlockDetected", "SerializationFailure"}:
        return Locked(f"{place} is busy with another program; try again in a moment.")
    if name in {"ReadOnlySqlTransaction", "InsufficientPrivilege"}:
        return read_only(place)
    if name in {"OperationalError", "ConnectionTimeout", "AdminShutdown", "InvalidCatalogName", "InvalidPassword"}:
        return NoSuchPlace(f"The database server of {place} does not answer; start it, or mend FETTLE_DB.")
    return None


def _from_sqlite(error: sqlite3.Error, place: str) -> StorageError | None:
    # The primary result code is the low byte of the extended one (sqlite.org/rescode.html).
    code = (getattr(error, "sqlite_errorcode", None) or 0) & 0xFF
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return Locked(f"{place} is held by another program; close it, or try again in a moment.")
    if code == sqlite3.SQLITE_FULL:
        return Full(f"There is no room left on the disk of {place}; make room, Fettle goes on by itself.")
    if code == sqlite3.SQLITE_READONLY:
        return read_only(place)
    if code == sqlite3.SQLITE_NOTADB:
        return not_a_database(place)
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_FORMAT):
        return broken(place, str(error))
    if code in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return NoSuchPlace(f"{place} cannot be opened; check that its folder is there and that this user may write it.")
    if code == sqlite3.SQLITE_IOERR:
        return Full(f"{place} could not be read or written ({error}); check the disk and its free space.")
    return None
