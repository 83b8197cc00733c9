"""Promise 18: a full disk loses nothing; each statement that fails leaves all as it was, and the next try goes on."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Any

import psycopg
import pytest
from sqlalchemy import event

from bot.storage import Database, Update, errors
from bot.turn import MOST_TRIES, Turns
from core.entries import Weight
from tests.promises.small_hear import hear
from tests.storage.conftest import AT, DAY, said

UPDATE = Update(platform="telegram", chat="1", received_at=AT, raw={"x": 1}, update_key="1", message="1")


@pytest.mark.sqlite_only
def test_no_room_and_room_again(database: Database, kennel_id: int) -> None:
    """The file may not grow: one clear error, no try used up; with room again the message is taken."""
    turns = Turns(database, hear=hear)
    turns.take(said("Nugget 9.1"), kennel_id)
    with limited(database):
        for _ in range(MOST_TRIES + 1):
            with pytest.raises(errors.Full, match="make room"):
                turns.take(said("Nugget 9.2 " + "x" * 200_000, key="2"), kennel_id)
    assert turns.take(said("Nugget 9.3", key="3"), kennel_id)
    with database.reading(kennel_id) as store:
        assert [w.kg for w in store.load_ledger(DAY).entries("Nugget", Weight)] == [9.1, 9.3]


@contextmanager
def limited(database: Database) -> Iterator[None]:
    """The file cannot grow by a page meanwhile, in any connection."""

    def limit(connection: Any) -> None:
        driver = connection.connection.driver_connection
        pages = driver.execute("PRAGMA page_count").fetchone()[0]
        driver.execute(f"PRAGMA max_page_count={pages}")

    def free(connection: Any) -> None:
        connection.connection.driver_connection.execute("PRAGMA max_page_count=1073741823")

    engine = database._engine
    event.listen(engine, "begin", limit)
    try:
        yield
    finally:
        event.remove(engine, "begin", limit)
        event.listen(engine, "begin", free)


class FailAt:
    """Fails the Nth statement of an engine, that one alone or every one from then on."""

    def __init__(self, n: int, for_good: bool) -> None:
        self.n = n
        self.for_good = for_good
        self.seen = 0

    def __call__(self, connection: Any, cursor: Any, sql: str, values: Any, context: Any, many: bool) -> None:
        self.seen += 1
        if self.seen == self.n or (self.for_good and self.seen > self.n):
            if connection.dialect.name == "postgresql":
                raise psycopg.errors.DiskFull("could not extend file")
            failure = sqlite3.OperationalError("database or disk is full")
            failure.sqlite_errorcode = sqlite3.SQLITE_FULL
            raise failure


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "from then on"])
def test_the_nth_statement_fails(database: Database, kennel_id: int, for_good: bool) -> None:
    """N = 1, 2, 3 … through storing an update, a turn and a delivery, until nothing fails any more.

    Each time: what was not confirmed can be done again, and the end is the same as without a failure.
    """
    for n in range(1, 200):
        failing = FailAt(n, for_good)
        key = f"m{n}"
        event.listen(database._engine, "before_cursor_execute", failing)
        failed = False
        try:
            work(database, kennel_id, key)
        except errors.Full:
            failed = True
        finally:
            event.remove(database._engine, "before_cursor_execute", failing)
        work(database, kennel_id, key)
        database.outbox.recover(AT, lease=timedelta(0))
        while parcels := database.outbox.claim(AT):
            for parcel in parcels:
                database.outbox.sent(parcel.id, AT)
        with database.reading(kennel_id) as store:
            book = [p for p in store.load_ledger(DAY).history() if p.message == key]
            assert len(book) == 1, f"statement {n}"
            assert store.find_message("family", key) is not None
        if not failed and failing.seen < n:
            break
    else:
        pytest.fail("it never ended")
    assert n > 20
    assert database.outbox.counts() == {"sent": n}
    assert database.inbox.waiting("telegram") == database.inbox.waiting("direct") == ()


def work(database: Database, kennel_id: int, key: str) -> None:
    """One message from the platform to the sent mark; done again, it changes nothing."""
    update = Update(platform="telegram", chat="1", received_at=AT, raw={"key": key}, update_key=key, message=key)
    database.inbox.take([update])
    turns = Turns(database, hear=hear)
    for row in database.inbox.waiting("telegram"):
        key = row.raw["key"]
        at = AT - timedelta(minutes=int(key[1:]))  # one a minute: more at once are answered together
        turns.take(said("Nugget 9.4", key=key, sent_at=at), kennel_id, inbox_id=row.id)
    for parcel in database.outbox.claim(AT):
        database.outbox.sent(parcel.id, AT)
