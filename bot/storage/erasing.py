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
from shared.ordinary import listed

# Where others may name a person: a table, its columns, and what tells a row apart.
_WORDS: tuple[tuple[Table, tuple[str, ...], tuple[str, ...]], ...] = (
    (t.kennel, ("facts",), ("id",)),
    (t.dog, ("facts", "home"), ("id",)),
    (t.duty, ("facts",), ("id",)),
    (t.message, ("text", "pressed"), ("id",)),
    (t.entry, ("facts",), ("kennel", "number")),
    (t.memory, ("facts",), ("kennel", "room")),
    (t.outbox, ("payload", "error"), ("id",)),
)
# Fields and columns in which somebody's own words stand, and those that hold a person's name and nothing else. All
# others mean something to the program: a zone, a sire or a food may have the name of a person, and stays what it is.
_SAID = frozenset({"notes", "said", "words", "result", "text", "buttons", "pressed", "error"})
_WHO = frozenset({"home", "who"})
# What is in mind is words and names of any kind, but for these fields of a roster or an entry.
_NOT_IN_MIND = frozenset(
    {"zone", "kind", "about", "dog", "sire", "dam", "litter", "apart_from", "with", "food", "breed"}
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
    names = _Names.of(found.names, instead)
    for table, columns, keys in _WORDS:
        own = table.c.id if table is t.kennel else table.c.kennel
        _scrub(connection, table, own == kennel_id, columns, keys, names, book)
    _keys(connection, kennel_id, names.words, found)
    connection.execute(update(t.kennel).where(t.kennel.c.id == kennel_id).values(book=book))
    for platform, account in found.accounts:
        for table in (t.wrong_try, t.turned_away):
            connection.execute(delete(table).where(table.c.platform == platform, table.c.account == account))
    _inbox(connection, _chats(connection, kennel_id), found, names.words)


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
    names: _Names, book: int,
) -> None:
    wanted = [table.c[k] for k in (*keys, *columns)]
    for row in connection.execute(select(*wanted).where(mine)).mappings().all():
        in_mind = table is t.memory
        changed = {c: new for c in columns if (new := names.out_of(row[c], c, in_mind)) != row[c]}
        if changed:
            if table is t.entry:
                changed["changed"] = book
            connection.execute(update(table).where(and_(*(table.c[k] == row[k] for k in keys))).values(changed))


@dataclass(frozen=True, slots=True)
class _Names:
    """A person's names as they stand in words, whole values that are one of them, and what stands instead."""

    words: re.Pattern[str]
    whole: frozenset[str]
    instead: str

    @classmethod
    def of(cls, names: Sequence[str], instead: str) -> _Names:
        """The names in whatever letter case; one that is an ordinary word ("May") with its capital alone."""
        each = (
            re.escape(n[:1].upper() + n[1:]) if n.casefold() in listed() else f"(?i:{re.escape(n)})" for n in names
        )
        words = re.compile(rf"(?<!\w)(?:{'|'.join(each)})(?:['’]s)?(?!\w)")
        return cls(words, frozenset(n.casefold() for n in names), instead)

    def out_of(self, value: Any, field: str, in_mind: bool) -> Any:
        """The value of that field without them: in words wherever they stand, elsewhere only as a person's name.

        Args:
            in_mind: true where all but a few fields are words.
        """
        if isinstance(value, str):
            if field in _SAID or (in_mind and field not in _NOT_IN_MIND):
                return self.words.sub(self.instead, value)
            return self.instead if field in _WHO and value.casefold() in self.whole else value
        if isinstance(value, dict):
            inner = {k: self.out_of(v, k, in_mind) for k, v in value.items()}
            return {self.instead if in_mind and k.casefold() in self.whole else k: v for k, v in inner.items()}
        if isinstance(value, list):
            return [self.out_of(v, field, in_mind) for v in value]
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
