"""Several kennels in one database: none sees a row of another's, by any door."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import event

from bot.storage import Database, KennelStore
from bot.storage import tables as t
from core.entries import Weight
from core.messages import Say
from core.roster import Kennel
from core.turns import Invite, Memory, Post
from tests.storage.conftest import AT, DAY, KENNEL, said

# A condition on the kennel's number, as SQLite's driver and PostgreSQL's write it.
BOUND = re.compile(r"\bkennel(\.id)? = (\?|%\(\w+\)s)")


@pytest.fixture
def other(database: Database, kennel_id: int) -> int:
    """A second kennel with the same dogs, after the first one has filled every table."""
    with database.writing(kennel_id) as store:
        store.post((Post(entry=Weight(dog="Nugget", on=DAY, kg=9.4)),), (), said())
        store.keep_message(said())
        store.remember({"family": Memory(why="because")})
        store.say([Say(key="k", room="family", text="hello")], AT)
        store.set_looked_at(AT)
    database.bind_account("telegram", "7", kennel_id, "Maya")
    return database.create_kennel(KENNEL)


def test_nothing_of_the_first_is_seen_from_the_second(database: Database, other: int) -> None:
    """Every way of looking gives the second kennel nothing of the first."""
    with database.reading(other) as store:
        assert len(store.load_ledger(DAY)) == len(store.load_book()) == 0
        assert store.load_kennel() == KENNEL
        assert store.recent("family", AT) == ()
        assert store.find_message("family", "1") is None
        assert store.memory() == {}
        assert store.looked_at() is None
        assert not store.is_said("k")
    assert database.person_of("telegram", "7", other) == ""


def test_the_second_cannot_touch_the_first(database: Database, kennel_id: int, other: int) -> None:
    """A number of the first kennel's book is unknown in the second; numbers begin at 1 in each."""
    with pytest.raises(LookupError), database.writing(other) as store:
        store.post((), (1,), said())
    with database.writing(other) as store:
        (posted,) = store.post((Post(entry=Weight(dog="Nugget", on=DAY, kg=3.0)),), (), said())
        assert posted.id == 1
        store.keep_message(said("other words"))
        store.remember({"family": Memory()})
    with database.reading(kennel_id) as store:
        assert [w.kg for w in store.load_ledger(DAY).entries("Nugget", Weight)] == [9.4]
        message = store.find_message("family", "1")
        assert message is not None and message.text == "Nugget 9.4 kg"
        assert store.memory() == {"family": Memory(why="because")}


def test_every_query_of_a_store_names_its_kennel(database: Database, other: int) -> None:
    """At the level of SQL: each statement on a kennel's table is bound to the kennel, whatever method sent it."""
    owned = {x.name for x in t.ALL if "kennel" in x.c} | {"kennel"}
    with watched(database) as statements, database.writing(other) as store:
        kennel = store.load_kennel()
        for name, call in calls(store, kennel).items():
            before = len(statements)
            call()
            assert len(statements) > before, f"{name} asked the database nothing: the test does not test it"
    seen = [(sql, values) for sql, values in statements if any(f" {name}" in f" {sql}" for name in owned)]
    assert len(seen) > 20
    for sql, values in seen:
        if sql.startswith("INSERT"):
            assert "kennel" in sql.split(")")[0], sql
        else:
            assert BOUND.search(sql) or sql.startswith("BEGIN"), sql
        rows = values if isinstance(values, list) else [values]
        assert all(other in (row.values() if isinstance(row, dict) else row) for row in rows), (sql, values)


def calls(store: KennelStore, kennel: Kennel) -> dict[str, Any]:
    """Each public method of a store with arguments that make it ask; a new method must be added here."""
    post = (Post(entry=Weight(dog="Nugget", on=DAY, kg=9.4)),)
    found: dict[str, Any] = {
        "load_kennel": store.load_kennel,
        "save_kennel": lambda: store.save_kennel(kennel, Kennel(name="New", dogs=kennel.dogs[:1])),
        "load_ledger": lambda: store.load_ledger(DAY + timedelta(days=1)),
        "load_book": store.load_book,
        "bring": lambda: store.bring(()),
        "post": lambda: store.post(post, (), said(key="2")),
        "keep_message": lambda: store.keep_message(said()),
        "find_message": lambda: store.find_message("family", "1"),
        "recent": lambda: store.recent("family", AT),
        "remember": lambda: store.remember({"family": Memory(why="x"), "breeder": Memory()}),
        "memory": store.memory,
        "say": lambda: store.say([Say(key="k", room="family", text="hello")], AT),
        "gather": lambda: store.gather(Say(key="g", room="family", text="a"), lambda before, now: now, AT),
        "sent_since": lambda: store.sent_since("family", "Maya", AT, 9),
        "take_back": lambda: store.take_back("family", {"1"}),
        "said_as": lambda: store.said_as("family", "1"),
        "is_said": lambda: store.is_said("k"),
        "invite": lambda: store.invite(Invite(person="Ana", role="buyer"), AT, b"secret"),
        "uninvite": lambda: store.uninvite("Ana"),
        "traces_of": lambda: store.traces_of("Ana", ()),
        "erase_person": lambda: store.erase_person(store.traces_of("Ana", ()), "somebody"),
        "set_looked_at": lambda: store.set_looked_at(AT),
        "looked_at": store.looked_at,
        "stamp": store.stamp,
    }
    # The inbox is the program's own: an update is stored before anyone knows whose it is.
    public = {n for n, _ in inspect.getmembers(KennelStore, inspect.isfunction) if not n.startswith("_")}
    # Erasing the kennel ends the store; `test_erasing.py` looks at it with another kennel beside.
    assert public - {"settle_inbox", "erase_kennel"} == set(found)
    return found


@contextmanager
def watched(database: Database) -> Iterator[list[tuple[str, Any]]]:
    """The statements sent meanwhile, with their values."""
    seen: list[tuple[str, Any]] = []

    def note(connection: Any, cursor: Any, sql: str, values: Any, context: Any, many: bool) -> None:
        seen.append((" ".join(sql.split()), values))

    engine = database._engine
    event.listen(engine, "before_cursor_execute", note)
    try:
        yield seen
    finally:
        event.remove(engine, "before_cursor_execute", note)
