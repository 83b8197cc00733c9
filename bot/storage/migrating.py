"""The schema: made new, or brought from an older one to today's in one transaction."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, inspect, text

from bot.storage.checkpoints import checkpoint
from bot.storage.migrations import HEAD
from bot.storage.tables import metadata

VERSION_TABLE = "alembic_version"
_PLACE = Path(__file__).parent / "migrations"


def revision_of(connection: Connection) -> str | None:
    """The schema's revision, "" for a database without any table, None for another program's database."""
    tables = inspect(connection).get_table_names()
    if VERSION_TABLE in tables:
        return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return None if tables else ""


def make_new(connection: Connection) -> None:
    """Today's schema in an empty database.

    Made from the tables themselves: quicker than one revision after another, and a test holds both equal.
    """
    metadata.create_all(connection)
    # As Alembic makes it.
    columns = "version_num VARCHAR(32) NOT NULL, CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)"
    connection.execute(text(f"CREATE TABLE {VERSION_TABLE} ({columns})"))
    connection.execute(text(f"INSERT INTO {VERSION_TABLE} VALUES (:head)"), {"head": HEAD})  # noqa: S608 a constant
    checkpoint("migration written")


def upgrade(connection: Connection, to: str = "head") -> None:
    """An older schema brought up to date, within the connection's own transaction."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(_PLACE).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, to)
    if connection.dialect.name == "sqlite":
        lost = connection.execute(text("PRAGMA foreign_key_check")).fetchall()
        if lost:
            raise RuntimeError(f"the migration would leave rows without their parents: {lost[:5]}")
    checkpoint("migration written")
