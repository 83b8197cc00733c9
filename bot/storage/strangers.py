"""Who was turned away today: of strangers nothing but the account is kept, and that for the day alone."""

from __future__ import annotations

from datetime import date

from sqlalchemy import Connection, delete, func, select

from bot.storage import tables as t
from bot.storage.rows import insert_or_ignore

_MOST = 10_000  # strangers of one day that are answered


def is_first(connection: Connection, platform: str, account: str, day: date) -> bool:
    """True once a day for an account; from now on it is known for that day, and those of other days are forgotten."""
    a = t.turned_away.c
    connection.execute(delete(t.turned_away).where(a.day != day))
    if connection.execute(select(func.count()).select_from(t.turned_away)).scalar_one() >= _MOST:
        return False
    values = {"platform": platform, "account": account, "day": day}
    added = insert_or_ignore(connection, t.turned_away).values(values).returning(a.account)
    return connection.execute(added).scalar() is not None
