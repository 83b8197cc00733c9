"""Erasing a person or a whole kennel: no row of theirs stays, and nobody's words name them any more.

What the dogs' records need stays without them: a weight that somebody reported is the dog's, and stays as nobody's.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Table, and_, delete, or_, select, update

from bot.storage import tables as t

# Where words of others may name a person: a table, its columns, and what tells a row apart.
_WORDS: tuple[tuple[Table, tuple[str, ...], tuple[str, ...]], ...] = (
    (t.kennel, ("facts",), ("id",)),
    (t.dog, ("facts", "home"), ("id",)),
    (t.food, ("facts",), ("id",)),
    (t.duty, ("facts",), ("id",)),
    (t.litter, ("facts",), ("id",)),
    (t.message, ("text", "pressed"), ("id",)),
    (t.entry, ("facts",), ("kennel", "number")),
    (t.memory, ("facts",), ("kennel", "room")),
    (t.outbox, ("payload", "error"), ("id",)),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Traces:
    """By what a person can be found: names, and accounts and private chats as platform and number."""

    name: str
    names: tuple[str, ...]
    accounts: tuple[tuple[str, str], ...]
    chats: tuple[tuple[str, str], ...]


def traces(connection: Connection, kennel_id: int, name: str, also: Sequence[str]) -> Traces:
    """Where that person of the kennel can be found, looked up before they leave the roster."""
    a, r = t.account.c, t.room.c
    accounts = select(a.platform, a.account).where(a.kennel == kennel_id, a.person == name)
    chats = select(r.platform, r.chat).where(r.kennel == kennel_id, r.room == name)
    return Traces(
        name=name, names=(name, *also), accounts=tuple((x, y) for x, y in connection.execute(accounts)),
        chats=tuple((x, y) for x, y in connection.execute(chats)),
    )


def person(connection: Connection, kennel_id: int, found: Traces, instead: str) -> None:
    """Takes everything of that person out of the kennel; where others named them, `instead` stands."""
    for table, column in ((t.message, "sender"), (t.message, "room"), (t.outbox, "room"), (t.memory, "room"),
                          (t.account, "person"), (t.room, "room"), (t.invite, "person"), (t.person, "name")):
        connection.execute(delete(table).where(table.c.kennel == kennel_id, table.c[column] == found.name))
    book = connection.execute(select(t.kennel.c.book).where(t.kennel.c.id == kennel_id)).scalar_one() + 1
    _own_entries(connection, kennel_id, found.name, book)
    named = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, found.names))})(?:['’]s)?(?!\w)", re.IGNORECASE)
    for table, columns, keys in _WORDS:
        own = table.c.id if table is t.kennel else table.c.kennel
        _scrub(connection, table, own == kennel_id, columns, keys, named, instead, book)
    _keys(connection, kennel_id, named, found)
    connection.execute(update(t.kennel).where(t.kennel.c.id == kennel_id).values(book=book))
    for platform, account in found.accounts:
        w = t.wrong_try.c
        connection.execute(delete(t.wrong_try).where(w.platform == platform, w.account == account))
    _inbox(connection, _chats(connection, kennel_id), found, named)


def kennel(connection: Connection, kennel_id: int) -> None:
    """Takes the whole kennel out: no row of it is left in any table."""
    chats = _chats(connection, kennel_id)
    _forget_raw(connection, chats)
    for table in reversed(t.ALL):
        if "kennel" in table.c:
            connection.execute(delete(table).where(table.c.kennel == kennel_id))
    connection.execute(delete(t.kennel).where(t.kennel.c.id == kennel_id))


def _own_entries(connection: Connection, kennel_id: int, name: str, book: int) -> None:
    """What they reported stays the dog's, as nobody's and without their words."""
    e = t.entry.c
    rows = connection.execute(
        select(e.number, e.facts, e.room).where(e.kennel == kennel_id, or_(e.by == name, e.room == name))
    ).all()
    for row in rows:
        facts = {k: v for k, v in row.facts.items() if k != "said"}
        values = {"by": "", "message": "", "facts": facts, "changed": book}
        if row.room == name:
            values["room"] = ""
        connection.execute(update(t.entry).where(e.kennel == kennel_id, e.number == row.number).values(values))


def _scrub(
    connection: Connection, table: Table, mine: Any, columns: Sequence[str], keys: Sequence[str],
    named: re.Pattern[str], instead: str, book: int,
) -> None:
    wanted = [table.c[k] for k in (*keys, *columns)]
    for row in connection.execute(select(*wanted).where(mine)).mappings().all():
        changed = {c: new for c in columns if (new := _without(row[c], named, instead)) != row[c]}
        if changed:
            if table is t.entry:
                changed["changed"] = book
            connection.execute(update(table).where(and_(*(table.c[k] == row[k] for k in keys))).values(changed))


def _without(value: Any, named: re.Pattern[str], instead: str) -> Any:
    if isinstance(value, str):
        return named.sub(instead, value)
    if isinstance(value, dict):
        return {named.sub(instead, k): _without(v, named, instead) for k, v in value.items()}
    if isinstance(value, list):
        return [_without(v, named, instead) for v in value]
    return value


def _keys(connection: Connection, kennel_id: int, named: re.Pattern[str], found: Traces) -> None:
    """Sayings whose key names the person or the account go whole: a key is what they are known by."""
    o = t.outbox.c
    accounts = {account for _, account in found.accounts}
    rows = connection.execute(select(o.id, o.key).where(o.kennel == kennel_id)).all()
    gone = [row.id for row in rows if named.search(row.key) or accounts & set(re.split(r"[ :]", row.key))]
    for start in range(0, len(gone), 500):
        connection.execute(delete(t.outbox).where(o.id.in_(gone[start : start + 500])))


def _chats(connection: Connection, kennel_id: int) -> tuple[tuple[str, str], ...]:
    """The kennel's chats, and what its rooms are called in the inbox where no platform stored the messages before."""
    r, i = t.room.c, t.inbox.c
    rooms = select(r.platform, r.chat).where(r.kennel == kennel_id)
    own = i.chat.startswith(f"{kennel_id} ", autoescape=True)
    direct = select(i.platform, i.chat).where(i.platform == "direct", own)
    return tuple((x, y) for x, y in connection.execute(rooms.union(direct)))


def _inbox(
    connection: Connection, chats: Sequence[tuple[str, str]], found: Traces, named: re.Pattern[str]
) -> None:
    """Raw updates: those of their private chat go, those of the kennel's chats that come from them or name them are
    emptied, and stay known by their number."""
    _forget_raw(connection, found.chats)
    _forget_raw(connection, [(p, c) for p, c in chats if p == "direct" and c.partition(" ")[2] == found.name])
    i = t.inbox.c
    accounts = {account for _, account in found.accounts}
    for platform, chat in chats:
        rows = connection.execute(select(i.id, i.raw).where(i.platform == platform, i.chat == chat)).all()
        for row in rows:
            said = str(row.raw)
            if named.search(said) or accounts & set(re.findall(r"\d+", said)):
                connection.execute(update(t.inbox).where(i.id == row.id).values(raw={}, error=""))


def _forget_raw(connection: Connection, chats: Sequence[tuple[str, str]]) -> None:
    i = t.inbox.c
    for platform, chat in chats:
        connection.execute(delete(t.inbox).where(i.platform == platform, i.chat == chat))
