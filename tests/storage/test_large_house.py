"""What one kennel asks of the database costs the same however many others there are: no statement reads a whole table.

Held by the databases' own plans rather than by a clock: each statement that a message, a question, a morning's round
and a delivery send is explained, in a house large enough that a table is worth an index.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, time, timedelta
from typing import Any

import pytest
from sqlalchemy import event, insert

from bot.scheduling.rounds import Rounds
from bot.storage import Database, Update
from bot.storage import tables as t
from bot.turn import Turns
from core.roster import BREEDER
from tests.bench import scale_book
from tests.bench.scale_book import PLATFORM, TODAY, build, note

GROWING = ("entry", "message", "outbox", "inbox")
MORNING = datetime.combine(TODAY + timedelta(days=1), time(7), tzinfo=UTC)


@pytest.fixture
def house(database: Database, monkeypatch: pytest.MonkeyPatch) -> tuple[Database, int]:
    """Twelve kennels of 400 entries, and what came in long ago; the number of one of them."""
    monkeypatch.setattr(scale_book, "ENTRIES", 400)
    numbers = build(database, 12)
    with database.transaction() as connection:
        old = {"platform": PLATFORM, "chat": "-1", "raw": {}, "state": "done", "received_at": MORNING}
        connection.execute(insert(t.inbox), [old | {"update_key": f"old {n}"} for n in range(2_000)])
    if database.shared:
        with database.transaction() as connection:
            connection.exec_driver_sql("ANALYZE")
    return database, numbers[7]


def test_nothing_reads_a_whole_table(house: tuple[Database, int], url: str) -> None:
    """A note, a question, a round with the alert, and the delivery of what came of them."""
    opened, number = house
    Rounds(opened).look_at(number, MORNING - timedelta(minutes=1))
    database = Database(url)  # one that has nothing in memory yet
    turns, rounds = Turns(database), Rounds(database)
    with explained(database) as plans:
        for n, (said, room) in enumerate((("Nugget 9.4 kg", "family"), ("how is Nugget?", BREEDER))):
            at = MORNING + timedelta(seconds=n)
            update = Update(
                platform=PLATFORM, chat="-1", update_key=str(n), message=str(n), received_at=at, raw={"text": said}
            )
            database.inbox.take([update])
            (row,) = database.inbox.waiting(PLATFORM)
            assert turns.take(note(number, str(n), said, at, room), number, inbox_id=row.id, now=at)
        assert rounds.look_at(number, MORNING + timedelta(hours=3))
        for parcel in database.outbox.claim(MORNING + timedelta(hours=3), PLATFORM):
            database.outbox.sent(parcel.id, MORNING)
        database.room_of(PLATFORM, "-1")
        database.person_of(PLATFORM, "1", number)
    database.close()
    assert len(plans) > 25
    whole = re.compile(rf"(SCAN|Seq Scan on) ({'|'.join(GROWING)})\b")
    for sql, plan in plans.items():
        assert not whole.search(plan), f"{sql}\n{plan}"


@contextmanager
def explained(database: Database) -> Iterator[dict[str, str]]:
    """The plan of every statement sent meanwhile."""
    sent: dict[str, Any] = {}

    def see(connection: Any, cursor: Any, sql: str, values: Any, context: Any, many: bool) -> None:
        if sql.lstrip().startswith(("SELECT", "UPDATE", "DELETE", "WITH")):
            sent.setdefault(sql, values[0] if many else values)

    plans: dict[str, str] = {}
    event.listen(database._engine, "before_cursor_execute", see)
    try:
        yield plans
    finally:
        event.remove(database._engine, "before_cursor_execute", see)
    how = "EXPLAIN " if database.shared else "EXPLAIN QUERY PLAN "
    with database.transaction(writes=False) as connection:
        for sql, values in sent.items():
            rows = connection.exec_driver_sql(how + sql, values).all()
            plans[" ".join(sql.split())] = "\n".join(str(row[-1]) for row in rows)
