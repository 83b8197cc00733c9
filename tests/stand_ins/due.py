"""When the outbox has something to send next, for tests whose clock jumps there."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import func, select

from bot.storage import Database
from bot.storage import tables as t


def next_due(database: Database) -> datetime | None:
    """When the first waiting thing may leave, None where nothing waits."""
    o = t.outbox.c
    with database.transaction(writes=False) as connection:
        return connection.execute(select(func.min(o.due_at)).where(o.state == "waiting")).scalar()
