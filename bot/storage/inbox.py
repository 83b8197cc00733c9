"""The inbox: each update as the platform gave it, stored before it is understood, each once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, case, delete, func, select, update

from bot.storage import tables as t
from bot.storage.checkpoints import checkpoint
from bot.storage.rows import insert_or_ignore

if TYPE_CHECKING:
    from bot.storage.database import Database


@dataclass(frozen=True, slots=True, kw_only=True)
class Update:
    """One update as it comes in.

    Attributes:
        update_key: the platform's own number of it, None where it has none. chat: where it happened.
        message: key of the message that it brings or changes, None for an update that is no message.
        edit: rises with each edit of the message; 0 as first written. Equal for two edits in one second is allowed.
        digest: any short mark of the content; tells such two edits apart.
        raw: all of it, ready for JSON.
    """

    platform: str
    chat: str
    received_at: datetime
    raw: Mapping[str, Any]
    update_key: str | None = None
    message: str | None = None
    edit: int = 0
    digest: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """One stored update: `state` is new, done or failed; `tries` counts the tries begun."""

    id: int
    platform: str
    chat: str
    raw: Mapping[str, Any]
    received_at: datetime
    state: str
    tries: int
    error: str


class Inbox:
    """Every method is one transaction of its own; when it returns, it is on the disk."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def take(self, updates: Iterable[Update]) -> int:
        """How many of these were new; only after this may the platform be told that they were received."""
        with self._database.transaction() as connection:
            new = sum(insert(connection, u)[1] for u in updates)
        checkpoint("inbox taken")
        return new

    def waiting(self, platform: str, limit: int = 100) -> tuple[Waiting, ...]:
        """What is not yet done: the oldest of each chat, then the second oldest of each, and so on.

        So one chat with a thousand messages does not make the others wait, and the order within a chat is kept.
        """
        i = t.inbox.c
        turn = func.row_number().over(partition_by=i.chat, order_by=i.id)
        return self._read(select(t.inbox).where(i.state == "new", i.platform == platform).order_by(turn), limit)

    def set_aside(self, limit: int = 100) -> tuple[Waiting, ...]:
        """What failed for good and was set aside, oldest first."""
        return self._read(select(t.inbox).where(t.inbox.c.state == "failed"), limit)

    def open_counts(self) -> dict[str, int]:
        """How many wait, or were set aside."""
        return self._database.counts_by_state(t.inbox, ("new", "failed"))

    def newest(self) -> datetime | None:
        """When the newest update came in, None where none ever did."""
        i = t.inbox.c
        with self._database.transaction(writes=False) as connection:
            return connection.execute(select(i.received_at).order_by(i.id.desc()).limit(1)).scalar()

    @contextmanager
    def alone_with(self, row: Waiting) -> Iterator[bool]:
        """True where nobody else is at work in the row's chat, or will be meanwhile, and the row is the next in it.

        One process alone serves a SQLite file: there it is always true. On a server it is a lock that the server lets
        go of when the process ends, however it ends; a row for which it was false is somebody else's or comes later.
        """
        if not self._database.shared:
            yield True
            return
        i = t.inbox.c
        with self._database.transaction() as connection:
            lock = func.pg_try_advisory_xact_lock(func.hashtextextended(f"{row.platform} {row.chat}", 0))
            if not connection.execute(select(lock)).scalar():
                yield False
                return
            # Asked only now that nobody can change it: the row was read before, and may have been done since.
            here = (i.state == "new", i.platform == row.platform, i.chat == row.chat)
            yield connection.execute(select(func.min(i.id)).where(*here)).scalar() == row.id

    def done(self, row: int) -> None:
        """It needs no more: it was no message for a kennel, or is dealt with elsewhere."""
        with self._database.transaction() as connection:
            settle(connection, row, "done")

    def wipe(self, row: int) -> None:
        """It came from a stranger: it needs no more, and nothing of its content is kept."""
        i = t.inbox.c
        with self._database.transaction() as connection:
            connection.execute(update(t.inbox).where(i.id == row).values(state="done", raw={}, error=""))

    def failed(self, row: int, error: str) -> None:
        """It cannot be understood and is set aside."""
        with self._database.transaction() as connection:
            settle(connection, row, "failed", error)

    def begin_try(self, row: int, most: int) -> int | None:
        """Which try this is, from 1, counted on the disk before it begins.

        None where there is nothing to try: done, set aside, or `most` tries were begun before (see `spent`).
        """
        with self._database.transaction() as connection:
            counted = _count_try(connection, row, most)
        checkpoint("try counted")
        return counted

    def take_and_try(self, item: Update, most: int) -> tuple[int, int | None]:
        """The update's row and which try this is (see `begin_try`), stored and counted in one commit."""
        with self._database.transaction() as connection:
            row, _ = insert(connection, item)
            counted = _count_try(connection, row, most)
        checkpoint("try counted")
        return row, counted

    def spent(self, row: int, most: int) -> bool:
        """True where every try was begun and none ended: the message kills whoever reads it."""
        i = t.inbox.c
        with self._database.transaction(writes=False) as connection:
            found = connection.execute(select(i.state, i.tries).where(i.id == row)).one_or_none()
        return found is not None and found.state == "new" and found.tries >= most

    def untry(self, row: int) -> None:
        """Takes a try back that failed for a reason outside the message (a full disk, a locked database)."""
        i = t.inbox.c
        with self._database.transaction() as connection:
            connection.execute(update(t.inbox).where(i.id == row, i.tries > 0).values(tries=i.tries - 1))

    def forget_before(self, day: datetime) -> int:
        """How many settled updates from before that moment were removed; the messages themselves stay."""
        i = t.inbox.c
        with self._database.transaction() as connection:
            return connection.execute(delete(t.inbox).where(i.state != "new", i.received_at < day)).rowcount

    def _read(self, query: Any, limit: int) -> tuple[Waiting, ...]:
        with self._database.transaction(writes=False) as connection:
            rows = connection.execute(query.order_by(t.inbox.c.id).limit(limit)).all()
        return tuple(
            Waiting(
                id=r.id,
                platform=r.platform,
                chat=r.chat,
                raw=r.raw,
                received_at=r.received_at,
                state=r.state,
                tries=r.tries,
                error=r.error,
            )
            for r in rows
        )


def insert(connection: Connection, item: Update) -> tuple[int, bool]:
    """The row of this update, and whether it is new."""
    i = t.inbox.c
    values = {
        "platform": item.platform,
        "update_key": item.update_key,
        "chat": item.chat,
        "message": item.message,
        "edit": item.edit,
        "digest": item.digest,
        "raw": dict(item.raw),
        "received_at": item.received_at,
    }
    added = connection.execute(insert_or_ignore(connection, t.inbox).values(values).returning(i.id)).scalar()
    if added is not None:
        return int(added), True
    same = (i.platform == item.platform) & (
        (i.update_key == item.update_key)
        | ((i.chat == item.chat) & (i.message == item.message) & (i.edit == item.edit) & (i.digest == item.digest))
    )
    # Where both constraints forbid it (never seen yet), the row with the same update number speaks.
    order = case((i.update_key == item.update_key, 0), else_=1)
    return int(connection.execute(select(i.id).where(same).order_by(order).limit(1)).scalar_one()), False


def _count_try(connection: Connection, row: int, most: int) -> int | None:
    i = t.inbox.c
    counted = connection.execute(
        update(t.inbox).where(i.id == row, i.state == "new", i.tries < most).values(tries=i.tries + 1)
    )
    if not counted.rowcount:
        return None
    return connection.execute(select(i.tries).where(i.id == row)).scalar()


def settle(connection: Connection, row: int, state: str, error: str = "") -> None:
    """Marks the update within the caller's transaction."""
    connection.execute(update(t.inbox).where(t.inbox.c.id == row).values(state=state, error=error))
