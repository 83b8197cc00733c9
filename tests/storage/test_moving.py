"""Everything moves from SQLite to PostgreSQL and back with one command, and nothing is lost or changed on the way."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, Table, func, select, update

from bot.__main__ import main
from bot.commands.alone import alone
from bot.storage import Database, moving
from bot.storage import tables as t
from core.entries import Weight
from core.roster import Kennel
from core.turns import Post
from tests.stand_ins.postgres import Postgres
from tests.storage.conftest import DAY, said
from tests.storage.filled import fill


def sums(url: str) -> dict[str, moving.Moved]:
    with Database(url) as database, database.transaction(writes=False) as connection:
        return {table.name: moving.checksum(connection, table) for table in t.ALL}


def test_there_and_back_it_is_the_same(tmp_path: Path, postgres: Postgres, capsys: pytest.CaptureFixture[str]) -> None:
    """SQLite to PostgreSQL to SQLite: each table's count and checksum, the roster and the book; then life goes on."""
    first, server, last = f"sqlite:///{tmp_path}/first.db", postgres.new(), f"sqlite:///{tmp_path}/last.db"
    with Database(first) as database:
        number = fill(database)
        with database.reading(number) as store:
            before = store.load_kennel(), store.load_book().history()
    assert main(["move", str(tmp_path / "first.db"), server]) == 0
    assert main(["move", server, str(tmp_path / "last.db")]) == 0
    assert sums(first) == sums(server) == sums(last)
    filled = {name for name, moved in sums(first).items() if moved.rows}
    # Which of the tables nothing of a house's ordinary life fills is written here, so that a new one is thought of.
    assert {x.name for x in t.ALL} - filled <= {"invite", "wrong_try", "turned_away"}
    out = capsys.readouterr().out
    assert f"sha256 {sums(first)['entry'].checksum[:16]}" in out and "FETTLE_DB" in out
    for url in (server, last):
        with Database(url) as database:
            with database.reading(number) as store:
                assert (store.load_kennel(), store.load_book().history()) == before
            # What is new gets numbers that nobody has.
            assert database.create_kennel(Kennel(name="Third")) == 3
            with database.writing(number) as store:
                (posted,) = store.post((Post(entry=Weight(dog="Nugget", on=DAY, kg=9.9)),), (), said(key="9"))
                store.keep_message(said(key="9"))
            assert posted.id == max(p.id for p in before[1]) + 1


def test_a_full_target_is_refused(new_url: Callable[[], str], capsys: pytest.CaptureFixture[str]) -> None:
    """Whatever it holds: nothing is changed in it. Nor is a database moved onto itself."""
    source, target = new_url(), new_url()
    with Database(source) as database:
        fill(database)
    with Database(target) as database:
        database.create_kennel(Kennel(name="Here already"))
    before = sums(target)
    assert main(["move", source, target]) == 1
    assert "is not empty (kennel)" in capsys.readouterr().err
    assert sums(target) == before
    assert main(["move", source, source]) == 1
    assert "same database" in capsys.readouterr().err


def _lose_a_row(connection: Connection, table: Table) -> None:
    if table is t.entry:
        connection.execute(t.entry.delete().where(t.entry.c.number == 1))


def _change_a_figure(connection: Connection, table: Table) -> None:
    if table is t.dog:
        connection.execute(update(t.dog).values(last_kg=t.dog.c.last_kg + 1e-9))


@pytest.mark.parametrize("fault", [_lose_a_row, _change_a_figure])
def test_what_arrives_changed_is_not_kept(
    new_url: Callable[[], str], monkeypatch: pytest.MonkeyPatch, fault: Callable[[Connection, Table], None]
) -> None:
    """One row less, or a figure changed in its ninth place: an error, and an empty target."""
    copy = moving._copy

    def faulty(old: Connection, new: Connection, table: Table) -> None:
        copy(old, new, table)
        fault(new, table)

    monkeypatch.setattr(moving, "_copy", faulty)
    with Database(new_url()) as source, Database(new_url()) as target:
        fill(source)
        with pytest.raises(moving.Differs, match="nothing was kept"):
            moving.move(source, target)
        with target.transaction(writes=False) as connection:
            assert all(connection.execute(select(func.count()).select_from(x)).scalar() == 0 for x in t.ALL)


@pytest.mark.sqlite_only
def test_a_running_house_is_not_moved(database: Database, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What came in after the copy would be left behind: the command says to stop Fettle first."""
    fill(database)
    with alone(database.file):
        assert main(["move", str(database.file), str(tmp_path / "new.db")]) == 1
    assert "already running" in capsys.readouterr().err


def test_a_source_that_is_not_there(tmp_path: Path, capsys: Any) -> None:
    """A slip in the name makes no empty database and says so."""
    assert main(["move", str(tmp_path / "none.db"), str(tmp_path / "new.db")]) == 1
    assert "is not there" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
