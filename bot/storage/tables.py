"""The tables. Every row that belongs to a kennel carries its number, and each index begins with it.

Instants are UTC, days are local days of the kennel. What is searched or must be unique is a column; the
rest of a dataclass is JSON in `facts`. Nothing here is ever deleted with its kennel by a cascade: erasing a
kennel is a decision of its own, table by table.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    JSON,
    BigInteger,
    Boolean,
    Column,
    Date,
    DateTime,
    Dialect,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    false,
)
from sqlalchemy.types import TypeDecorator

# Named constraints can be changed by a later migration on every database (Alembic, "The Importance of Naming
# Constraints").
NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}


class Instant(TypeDecorator[datetime]):
    """An aware moment, kept as UTC; a naive one is refused, in both directions of use (kept or compared)."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """UTC for PostgreSQL; UTC without its mark for SQLite, which has none."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"an instant without a zone cannot be kept: {value!r}")
        utc = value.astimezone(UTC)
        return utc.replace(tzinfo=None) if dialect.name == "sqlite" else utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Aware UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


metadata = MetaData(naming_convention=NAMING)

# SQLite numbers rows by itself only in an INTEGER primary key.
_Id = BigInteger().with_variant(Integer, "sqlite")


def _id() -> Column[int]:
    return Column("id", _Id, primary_key=True, autoincrement=True)


def _kennel() -> Column[int]:
    return Column("kennel", Integer, ForeignKey("kennel.id"), nullable=False)


def _text(name: str) -> Column[str]:
    return Column(name, Text, nullable=False, server_default="")


kennel = Table(
    "kennel",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("name", Text, nullable=False),
    Column("facts", JSON, nullable=False),
    Column("revision", Integer, nullable=False, server_default="0"),  # rises with each change of the roster
    Column("book", Integer, nullable=False, server_default="0"),  # rises with each change of the entries
    Column("last_number", Integer, nullable=False, server_default="0"),  # the newest entry's number
)

person = Table(
    "person",
    metadata,
    _id(),
    _kennel(),
    Column("name", Text, nullable=False),
    Column("place", Integer, nullable=False),
    Column("role", String(20), nullable=False),
    Column("facts", JSON, nullable=False),
    UniqueConstraint("kennel", "name"),
)

dog = Table(
    "dog",
    metadata,
    _id(),
    _kennel(),
    Column("name", Text, nullable=False),
    Column("place", Integer, nullable=False),
    Column("born", Date, nullable=False),
    _text("home"),
    _text("gone"),
    Column("facts", JSON, nullable=False),
    # The newest weighing that counts; `given_*` is what the roster was set up with.
    Column("last_kg", Float),
    Column("last_on", Date),
    Column("given_kg", Float),
    Column("given_on", Date),
    UniqueConstraint("kennel", "name"),
)


def _listed(name: str) -> Table:
    """A short list of the roster whose rows have no name of their own."""
    return Table(
        name,
        metadata,
        _id(),
        _kennel(),
        Column("place", Integer, nullable=False),
        Column("facts", JSON, nullable=False),
        UniqueConstraint("kennel", "place"),
    )


food = _listed("food")
duty = _listed("duty")
litter = _listed("litter")

room = Table(
    "room",
    metadata,
    _id(),
    Column("platform", String(20), nullable=False),
    Column("chat", Text, nullable=False),
    _kennel(),
    Column("room", Text, nullable=False),
    _text("shut"),  # why nothing can be sent there any more
    UniqueConstraint("platform", "chat"),
    Index("ix_room_kennel_room", "kennel", "room"),
    # What is said in a room is said once.
    Index("uq_room_platform_kennel_room", "platform", "kennel", "room", unique=True),
)

account = Table(
    "account",
    metadata,
    _id(),
    Column("platform", String(20), nullable=False),
    Column("account", Text, nullable=False),
    _kennel(),
    Column("person", Text, nullable=False),
    UniqueConstraint("platform", "account", "kennel"),
)

# An invitation into a kennel; nothing in it lets anybody in: the code is kept as a hash.
invite = Table(
    "invite",
    metadata,
    _id(),
    Column("kennel", Integer, ForeignKey("kennel.id")),  # NULL: whoever uses it begins a kennel
    _text("person"),  # "" where it is the name of who uses it
    Column("role", String(20), nullable=False),
    Column("digest", String(64), nullable=False),
    Column("made_at", Instant, nullable=False),
    Column("expires_at", Instant, nullable=False),
    Column("state", String(10), nullable=False, server_default="open"),
    UniqueConstraint("digest"),
    Index("ix_invite_kennel_person", "kennel", "person"),
)

# Wrong codes that an account tried lately; they belong to no kennel.
wrong_try = Table(
    "wrong_try",
    metadata,
    _id(),
    Column("platform", String(20), nullable=False),
    Column("account", Text, nullable=False),
    Column("at", Instant, nullable=False),
    Index("ix_wrong_try_platform_account_at", "platform", "account", "at"),
)

# Strangers who were told today that this is a private book.
turned_away = Table(
    "turned_away",
    metadata,
    Column("platform", String(20), primary_key=True),
    Column("account", Text, primary_key=True),
    Column("day", Date, primary_key=True),
)

inbox = Table(
    "inbox",
    metadata,
    _id(),
    Column("platform", String(20), nullable=False),
    Column("update_key", Text),  # the platform's own number of the update; NULL where it has none
    Column("chat", Text, nullable=False),
    Column("message", Text),  # NULL for an update that is no message
    Column("edit", BigInteger, nullable=False, server_default="0"),
    # Tells two edits within one second apart, where the platform counts edits by the second.
    Column("digest", String(64), nullable=False, server_default=""),
    Column("raw", JSON, nullable=False),
    Column("state", String(10), nullable=False, server_default="new"),
    Column("tries", Integer, nullable=False, server_default="0"),
    _text("error"),
    Column("received_at", Instant, nullable=False),
    UniqueConstraint("platform", "update_key"),
    UniqueConstraint("platform", "chat", "message", "edit", "digest"),
    Index("ix_inbox_state_id", "state", "id"),
)

message = Table(
    "message",
    metadata,
    _id(),
    _kennel(),
    Column("room", Text, nullable=False),
    Column("key", Text, nullable=False),
    Column("edit", BigInteger, nullable=False),
    _text("sender"),
    Column("sent_at", Instant, nullable=False),
    _text("text"),
    Column("reply_to", Text),
    _text("pressed"),
    _text("picture"),
    Column("quoted", Boolean, nullable=False, server_default=false()),
    UniqueConstraint("kennel", "room", "key"),
    Index("ix_message_kennel_room_sent_at", "kennel", "room", "sent_at"),
)

entry = Table(
    "entry",
    metadata,
    Column("kennel", Integer, ForeignKey("kennel.id"), primary_key=True, autoincrement=False),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("dog", Text, nullable=False),
    Column("kind", String(20), nullable=False),
    Column("day", Date, nullable=False),
    Column("facts", JSON, nullable=False),
    Column("at", Instant, nullable=False),
    _text("by"),
    _text("room"),
    _text("message"),
    Column("replaces", Integer),
    Column("replaced_by", Integer),
    Column("withdrawn", Boolean, nullable=False, server_default=false()),
    Column("changed", Integer, nullable=False),  # the kennel's `book` at its last change
    Index("ix_entry_kennel_dog_kind_day", "kennel", "dog", "kind", "day"),
    Index("ix_entry_kennel_day", "kennel", "day"),
    Index("ix_entry_kennel_changed", "kennel", "changed"),
)

memory = Table(
    "memory",
    metadata,
    Column("kennel", Integer, ForeignKey("kennel.id"), primary_key=True, autoincrement=False),
    Column("room", Text, primary_key=True),
    Column("facts", JSON, nullable=False),
)

outbox = Table(
    "outbox",
    metadata,
    _id(),
    _kennel(),
    Column("key", Text, nullable=False),
    Column("room", Text, nullable=False),
    Column("kind", String(4), nullable=False),  # say or mark
    Column("about", Text, nullable=False),
    Column("payload", JSON, nullable=False),
    Column("priority", Integer, nullable=False),
    Column("due_at", Instant, nullable=False),  # not before, or the next try
    Column("not_after", Instant),
    Column("state", String(10), nullable=False, server_default="waiting"),
    Column("tries", Integer, nullable=False, server_default="0"),
    Column("unclear", Integer, nullable=False, server_default="0"),  # times a crash left open whether it was sent
    _text("error"),
    _text("sent_key"),  # the chat's own key of what was sent
    Column("added_at", Instant, nullable=False),
    Column("claimed_at", Instant),
    Column("settled_at", Instant),
    UniqueConstraint("kennel", "key"),
    Index("ix_outbox_state_priority_due_at", "state", "priority", "due_at"),
    Index("ix_outbox_kennel_room_state", "kennel", "room", "state"),
    Index("ix_outbox_kennel_room_sent_key", "kennel", "room", "sent_key"),
)

round_ = Table(
    "round",
    metadata,
    Column("kennel", Integer, ForeignKey("kennel.id"), primary_key=True, autoincrement=False),
    Column("looked_at", Instant, nullable=False),
)

# In the order in which rows can be copied into an empty database.
ALL: tuple[Table, ...] = tuple(metadata.sorted_tables)


def facts_without(values: dict[str, Any], *columns: str) -> dict[str, Any]:
    """The JSON of a dataclass without the fields that have a column of their own."""
    return {k: v for k, v in values.items() if k not in columns}
