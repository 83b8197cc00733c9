"""The schema: made new or migrated, it is the same; an older one keeps its rows; a newer one is refused."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from bot.storage import Database, migrating
from bot.storage.engine import make_engine, parse
from bot.storage.migrations import HEAD, KNOWN
from bot.storage.tables import metadata
from tests.stand_ins.postgres import Postgres


def schema(path: Path) -> dict[tuple[str, str], str]:
    """What SQLite itself has on record, spaces, quotes and order of constraints apart."""
    with closing(sqlite3.connect(path)) as connection, connection:
        rows = connection.execute("SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall()
    return {(kind, name): _tidy(sql) for kind, name, sql in rows}


def _tidy(sql: str) -> str:
    head, _, body = " ".join(sql.replace('"', "").split()).partition("(")
    parts = [p.strip() for p in body.removesuffix(")").split(", ")]
    return f"{head.strip()} ({', '.join(sorted(parts))}"


def migrate(path: Path, to: str) -> None:
    engine = make_engine(parse(f"sqlite:///{path}"), 5)
    with engine.begin() as connection:
        migrating.upgrade(connection, to)
    engine.dispose()


def test_new_equals_all_migrations(tmp_path: Path) -> None:
    """A database made today and one that came through every revision are the same, and both are the tables."""
    new, old = tmp_path / "new.db", tmp_path / "old.db"
    Database(f"sqlite:///{new}").open().close()
    migrate(old, "head")
    assert schema(new) == schema(old)
    engine = make_engine(parse(f"sqlite:///{old}"), 5)
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []


def test_a_server_gets_the_same_schema_both_ways(postgres: Postgres) -> None:
    """On PostgreSQL: made new and through every revision, each as the tables say."""
    new, old = postgres.new(), postgres.new()
    Database(new).open().close()
    with_revisions = make_engine(parse(old), 5)
    with with_revisions.begin() as connection:
        migrating.upgrade(connection)
    with_revisions.dispose()
    for url in (new, old):
        with Database(url) as database, database.transaction(writes=False) as connection:
            assert compare_metadata(MigrationContext.configure(connection), metadata) == []
            assert database.check() == HEAD


def test_the_known_revisions_are_the_revisions() -> None:
    """The list that spares a start from importing Alembic names exactly the revisions there are, in order."""
    config = Config()
    config.set_main_option("script_location", str(Path(migrating.__file__).parent / "migrations"))
    scripts = ScriptDirectory.from_config(config)
    assert [s.revision for s in scripts.walk_revisions()] == list(reversed(KNOWN))
    assert scripts.get_heads() == [HEAD]


def test_a_start_does_not_load_alembic(tmp_path: Path) -> None:
    """0.6 s saved at each start."""
    script = (
        "import sys; from bot.storage import Database\n"
        f"for _ in range(2): Database('sqlite:///{tmp_path / 'a.db'}').open().close()\n"
        "assert 'alembic' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", script], check=True)


@pytest.mark.parametrize("revision", KNOWN[:-1])
def test_an_older_schema_is_brought_up_to_date_and_kept(tmp_path: Path, revision: str) -> None:
    """Each schema that there ever was becomes today's; a copy of it as it was stands beside it."""
    path = tmp_path / "old.db"
    migrate(path, revision)
    with Database(f"sqlite:///{path}") as database:
        assert database.check() == HEAD
    assert (tmp_path / f"old.db.schema-{revision}").exists()


def test_of_two_chats_that_were_one_room_the_first_stays(tmp_path: Path) -> None:
    path = tmp_path / "old.db"
    migrate(path, "0002")
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("INSERT INTO kennel (id, name, facts) VALUES (1, 'A', '{}')")
        for chat, room in (("11", "breeder"), ("13", "Ana"), ("14", "Ana")):
            connection.execute("INSERT INTO room (platform, chat, kennel, room) VALUES ('x', ?, 1, ?)", (chat, room))
    with Database(f"sqlite:///{path}") as database:
        assert [(r.chat, r.room) for r in database.rooms_of(1)] == [("11", "breeder"), ("13", "Ana")]


def test_an_empty_schema_is_filled(tmp_path: Path) -> None:
    """A file with SQLite's header and no table is taken for a new database."""
    path = tmp_path / "bare.db"
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("PRAGMA user_version=7")
    with Database(f"sqlite:///{path}") as database:
        assert database.kennels() == {}
        assert database.check() == HEAD
