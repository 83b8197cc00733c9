"""Promise 21: an update of the program keeps the past: whole or not at all, with a copy, killed or not.

There is one revision so far. So that the road is tried before it is needed, these tests add two of their own: one
rebuilds the parent of every table, which with foreign keys on would delete all its children.
"""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from bot.storage import Database, checkpoints, engine, errors, migrating
from bot.storage.migrations import HEAD, KNOWN
from core.entries import Weight
from core.turns import Post
from tests.storage.conftest import DAY, KENNEL, said

REBUILD = '''
import sqlalchemy as sa
from alembic import op

revision, down_revision = "9001", "{head}"


def upgrade():
    with op.batch_alter_table("kennel", recreate="always") as batch:
        batch.add_column(sa.Column("motto", sa.Text(), server_default="", nullable=False))
'''

FAILS = '''
import sqlalchemy as sa
from alembic import op

revision, down_revision = "9002", "9001"


def upgrade():
    op.add_column("dog", sa.Column("motto", sa.Text()))
    raise RuntimeError("half way")
'''


@pytest.fixture
def later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A program of later days: one more revision than there is."""
    place = tmp_path / "migrations"
    shutil.copytree(Path(migrating.__file__).parent / "migrations", place)
    (place / "versions" / "9001_rebuild.py").write_text(REBUILD.format(head=HEAD))
    monkeypatch.setattr(migrating, "_PLACE", place)
    monkeypatch.setattr(engine, "KNOWN", (*KNOWN, "9001"))
    monkeypatch.setattr(engine, "HEAD", "9001")
    return place


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A database of today with a kennel and a weight in it."""
    path = tmp_path / "fettle.db"
    with Database(f"sqlite:///{path}") as database:
        kennel_id = database.create_kennel(KENNEL)
        with database.writing(kennel_id) as store:
            store.post((Post(entry=Weight(dog="Nugget", on=DAY, kg=9.4)),), (), said())
    return path


def motto_of(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as connection:
        return [row[1] for row in connection.execute("PRAGMA table_info(kennel)") if row[1] == "motto"]


def test_a_parent_rebuilt_keeps_its_children(old: Path, later: Path) -> None:
    """Dogs and entries are still there, the new column too, and the copy is as it was before."""
    with Database(f"sqlite:///{old}") as database, database.reading(1) as store:
        assert store.load_kennel().dogs[0].name == "Clover"
        assert len(store.load_ledger(DAY)) == 1
    assert motto_of(old) == ["motto"]
    kept = old.with_name(f"{old.name}.schema-{HEAD}")
    assert motto_of(kept) == []
    assert engine.check(kept) == "ok"
    with Database(f"sqlite:///{old}") as again:
        assert again.check() == "9001"


def test_a_migration_that_fails_changes_nothing(old: Path, later: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two revisions are pending and the second breaks off: the first is taken back too."""
    (later / "versions" / "9002_fails.py").write_text(FAILS)
    monkeypatch.setattr(engine, "KNOWN", (*KNOWN, "9001", "9002"))
    monkeypatch.setattr(engine, "HEAD", "9002")
    with pytest.raises(RuntimeError, match="half way"):
        Database(f"sqlite:///{old}").open()
    assert motto_of(old) == []
    monkeypatch.undo()
    with Database(f"sqlite:///{old}") as database, database.reading(1) as store:
        assert len(store.load_ledger(DAY)) == 1


def test_killed_within(old: Path, later: Path) -> None:
    """SIGKILL with the new schema written and not committed: the next start does it anew."""

    def kill(name: str) -> None:
        if name == "migration written":
            os.kill(os.getpid(), signal.SIGKILL)

    child = os.fork()
    if child == 0:
        checkpoints.arm(kill)
        try:
            Database(f"sqlite:///{old}").open()
        finally:
            os._exit(0)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL
    assert motto_of(old) == []
    test_a_parent_rebuilt_keeps_its_children(old, later)


def test_killed_while_it_is_made(tmp_path: Path) -> None:
    """A first start that was killed leaves no half database under the name; the next start makes it."""
    path = tmp_path / "fettle.db"

    def kill(name: str) -> None:
        os.kill(os.getpid(), signal.SIGKILL)

    child = os.fork()
    if child == 0:
        checkpoints.arm(kill)
        try:
            Database(f"sqlite:///{path}").open()
        finally:
            os._exit(0)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL
    assert not path.exists()
    with Database(f"sqlite:///{path}") as database:
        assert database.kennels() == {}


def test_the_older_program_refuses_the_newer_database(old: Path, later: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Going back to an older program is refused, untouched; the copy that was kept opens there."""
    Database(f"sqlite:///{old}").open().close()
    monkeypatch.undo()
    with pytest.raises(errors.NewerDatabase, match="update the program"):
        Database(f"sqlite:///{old}").open()
    with Database(f"sqlite:///{old}.schema-{HEAD}") as database:
        assert list(database.kennels().values()) == ["Tindfjell"]


def test_two_starts_at_once(old: Path, later: Path) -> None:
    """Several processes find the older schema together: one brings it up to date, the others wait."""
    children = []
    for _ in range(4):
        child = os.fork()
        if child == 0:
            status = 70
            try:
                Database(f"sqlite:///{old}", busy_seconds=30).open().close()
                status = 0
            finally:
                os._exit(status)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0] * 4
    assert motto_of(old) == ["motto"]
