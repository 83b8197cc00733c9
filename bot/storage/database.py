"""The database: opened, and handed out as transactions, each bound to one kennel."""

from __future__ import annotations

import logging
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path

from sqlalchemy import Connection, Table, func, select
from sqlalchemy.exc import DBAPIError

from bot.storage import engine as engines
from bot.storage import errors, rooms, roster, stamps, strangers
from bot.storage import tables as t
from bot.storage.book import Decoded
from bot.storage.inbox import Inbox
from bot.storage.invites import Invites
from bot.storage.outbox import Outbox
from bot.storage.rooms import Room
from bot.storage.stamps import Stamp
from bot.storage.store import KennelStore
from core.roster import Kennel

log = logging.getLogger(__name__)


@dataclass(slots=True)
class Kept:
    """What a process keeps decoded: true to the revision that it bears, read again when the database has another."""

    kennels: dict[int, Kennel] = field(default_factory=dict)
    ledgers: Decoded = field(default_factory=Decoded)


class Database:
    """SQLite or PostgreSQL, by URL. Safe to share between threads; each transaction is one thread's own.

    Args:
        url: `sqlite:///FILE`, `sqlite://` (in memory, for tests) or `postgresql://…`.
        create: false where a file that is not there is a mistake.
        busy_seconds: how long a SQLite transaction waits for another's.
    """

    def __init__(self, url: str, *, create: bool = True, busy_seconds: float = 5.0) -> None:
        self._create = create
        self._url = engines.parse(url)
        self._engine = engines.make_engine(self._url, busy_seconds)
        self._kept = Kept()
        self.place = engines.place_of(self._url)
        self.inbox = Inbox(self)
        self.outbox = Outbox(self)
        self.invites = Invites(self)

    def __enter__(self) -> Database:
        return self.open()

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def file(self) -> Path | None:
        """The SQLite file, None for a database in memory or on a server."""
        return engines.file_of(self._url)

    @property
    def shared(self) -> bool:
        """True for a server's database, which several processes may serve beside each other."""
        return self._engine.dialect.name == "postgresql"

    def open(self) -> Database:
        """The database itself, checked and at today's schema (made where there was none).

        Raises:
            StorageError: it cannot be used; the text says what to do, and nothing was changed.
        """
        if not self._create:
            self.check()
        engines.open_schema(self._engine, self._url)
        self._kept = Kept()  # while it was closed the file may have been replaced, by a backup restored
        return self

    def check(self) -> str:
        """The schema's revision of a database that may be used, "" for one without tables; it is only read.

        Raises:
            StorageError: why it may not be used.
        """
        if self._engine.dialect.name == "sqlite":
            return engines.check_file(self._url)
        with self.transaction(writes=False) as connection:
            return engines.check_tables(connection, self.place)

    def close(self) -> None:
        """Lets go of all connections."""
        self._engine.dispose()

    def compact(self) -> None:
        """Writes a SQLite file anew, so that what was deleted is in none of its free pages; nothing elsewhere.

        A file that is in use just now is left for another time: the rows are gone in any case.
        """
        if self.file is None:
            return
        connection = self._engine.raw_connection()
        try:
            cursor = connection.cursor()
            cursor.execute("VACUUM")
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        except sqlite3.OperationalError as error:
            log.warning("the database file could not be written anew after an erasure: %s", error)
        finally:
            connection.close()

    # -- transactions

    @contextmanager
    def transaction(self, *, writes: bool = True) -> Iterator[Connection]:
        """One transaction across kennels, for the inbox, the outbox and the rooms: whole or not at all.

        Raises:
            StorageError: the database could not do it.
        """
        try:
            with self._engine.connect().execution_options(**{engines.WRITES: writes}) as connection:
                if not writes and self._engine.dialect.name == "postgresql":
                    connection = connection.execution_options(isolation_level="REPEATABLE READ")
                with connection.begin():
                    yield connection
        except DBAPIError as error:
            ours = errors.from_driver(error.orig or error, self.place)
            if ours is None:
                raise
            raise ours from None

    @contextmanager
    def writing(self, kennel_id: int) -> Iterator[KennelStore]:
        """One transaction that may read and write one kennel; no other one writes to it meanwhile.

        Raises:
            StorageError: the database could not do it; nothing is written then.
        """
        with self.transaction() as connection:
            if connection.dialect.name == "postgresql":
                roster.lock(connection, kennel_id)
            yield KennelStore(connection, kennel_id, self._kept)

    @contextmanager
    def reading(self, kennel_id: int) -> Iterator[KennelStore]:
        """One transaction that reads one kennel as it stands at its beginning.

        Raises:
            StorageError: the database could not do it.
        """
        with self.transaction(writes=False) as connection:
            yield KennelStore(connection, kennel_id, self._kept)

    # -- kennels

    def create_kennel(self, kennel: Kennel) -> int:
        """The number of a new kennel with this roster."""
        with self.transaction() as connection:
            return roster.insert_kennel(connection, kennel)

    def kennels(self) -> dict[int, str]:
        """All kennels: number to name."""
        with self.transaction(writes=False) as connection:
            rows = connection.execute(select(t.kennel.c.id, t.kennel.c.name).order_by(t.kennel.c.id))
            return {row.id: row.name for row in rows}

    def counts_by_state(self, table: Table, states: Sequence[str]) -> dict[str, int]:
        """How many rows of the inbox or the outbox are in each of these states."""
        counted = select(table.c.state, func.count()).where(table.c.state.in_(states)).group_by(table.c.state)
        with self.transaction(writes=False) as connection:
            return dict.fromkeys(states, 0) | {row[0]: row[1] for row in connection.execute(counted)}

    def pass_over(self, known: Mapping[int, Stamp], now: datetime) -> set[int]:
        """The kennels that are still as they were known, their agenda noted as looked at until now."""
        return stamps.pass_over(self, known, now)

    # -- rooms and accounts

    def bind_room(self, platform: str, chat: str, kennel_id: int, room: str) -> None:
        """The chat is this room of this kennel from now on, whatever it was before."""
        with self.transaction() as connection:
            rooms.bind(connection, platform, chat, kennel_id, room)

    def unbind_room(self, platform: str, chat: str) -> None:
        """The chat is no kennel's room any more."""
        with self.transaction() as connection:
            rooms.unbind(connection, platform, chat)

    def room_of(self, platform: str, chat: str) -> Room | None:
        """The room that this chat is, None for a stranger's."""
        with self.transaction(writes=False) as connection:
            return rooms.find(connection, platform, chat)

    def rooms_of(self, kennel_id: int) -> tuple[Room, ...]:
        """All rooms of one kennel."""
        with self.transaction(writes=False) as connection:
            return rooms.of_kennel(connection, kennel_id)

    def move_room(self, platform: str, old_chat: str, new_chat: str) -> None:
        """The chat has another name from now on (a group became a supergroup)."""
        with self.transaction() as connection:
            rooms.move(connection, platform, old_chat, new_chat)

    def shut_room(self, platform: str, chat: str, why: str) -> None:
        """Nothing is sent there any more; "" opens it again."""
        with self.transaction() as connection:
            rooms.shut(connection, platform, chat, why)

    def bind_account(self, platform: str, account: str, kennel_id: int, person: str) -> None:
        """The account is this person of this kennel from now on."""
        with self.transaction() as connection:
            rooms.bind_account(connection, platform, account, kennel_id, person)

    def unbind_account(self, platform: str, account: str, kennel_id: int) -> None:
        """The account is nobody of this kennel any more."""
        with self.transaction() as connection:
            rooms.unbind_account(connection, platform, account, kennel_id)

    def person_of(self, platform: str, account: str, kennel_id: int) -> str:
        """The name of the person behind the account in this kennel, "" for somebody unknown."""
        with self.transaction(writes=False) as connection:
            return rooms.person_of(connection, platform, account, kennel_id)

    def accounts_of(self, platform: str, kennel_id: int) -> dict[str, str]:
        """The kennel's accounts on that platform: account to person."""
        with self.transaction(writes=False) as connection:
            return rooms.accounts_of(connection, platform, kennel_id)

    def is_first_today(self, platform: str, account: str, day: date) -> bool:
        """True once a day for a stranger's account, over all processes and restarts."""
        with self.transaction() as connection:
            return strangers.is_first(connection, platform, account, day)

    def homes_of(self, platform: str, account: str) -> tuple[tuple[int, str], ...]:
        """The kennels in which the account is somebody, oldest binding first: number and person."""
        with self.transaction(writes=False) as connection:
            return rooms.homes_of(connection, platform, account)
