"""The first schema: kennel, roster, rooms, inbox, messages, entries, memory, outbox, rounds."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def row_number() -> sa.types.TypeEngine[int]:
    """SQLite numbers rows by itself only in an INTEGER primary key."""
    return sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Makes every table."""
    op.create_table(
        "inbox",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("platform", sa.String(length=20), nullable=False),
        sa.Column("update_key", sa.Text(), nullable=True),
        sa.Column("chat", sa.Text(), nullable=False),
        sa.Column("message", sa.Text(), nullable=True),
        sa.Column("edit", sa.BigInteger(), server_default="0", nullable=False),
        sa.Column("digest", sa.String(length=64), server_default="", nullable=False),
        sa.Column("raw", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(length=10), server_default="new", nullable=False),
        sa.Column("tries", sa.Integer(), server_default="0", nullable=False),
        sa.Column("error", sa.Text(), server_default="", nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_inbox")),
        sa.UniqueConstraint(
            "platform", "chat", "message", "edit", "digest", name=op.f("uq_inbox_platform_chat_message_edit_digest")
        ),
        sa.UniqueConstraint("platform", "update_key", name=op.f("uq_inbox_platform_update_key")),
    )
    op.create_index("ix_inbox_state_id", "inbox", ["state", "id"], unique=False)
    op.create_table(
        "kennel",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.Column("revision", sa.Integer(), server_default="0", nullable=False),
        sa.Column("book", sa.Integer(), server_default="0", nullable=False),
        sa.Column("last_number", sa.Integer(), server_default="0", nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kennel")),
    )
    op.create_table(
        "account",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("platform", sa.String(length=20), nullable=False),
        sa.Column("account", sa.Text(), nullable=False),
        sa.Column("kennel", sa.Integer(), nullable=False),
        sa.Column("person", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_account_kennel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_account")),
        sa.UniqueConstraint("platform", "account", "kennel", name=op.f("uq_account_platform_account_kennel")),
    )
    op.create_table(
        "dog",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("kennel", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("born", sa.Date(), nullable=False),
        sa.Column("home", sa.Text(), server_default="", nullable=False),
        sa.Column("gone", sa.Text(), server_default="", nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.Column("last_kg", sa.Float(), nullable=True),
        sa.Column("last_on", sa.Date(), nullable=True),
        sa.Column("given_kg", sa.Float(), nullable=True),
        sa.Column("given_on", sa.Date(), nullable=True),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_dog_kennel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_dog")),
        sa.UniqueConstraint("kennel", "name", name=op.f("uq_dog_kennel_name")),
    )
    op.create_table(
        "duty",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("kennel", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_duty_kennel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_duty")),
        sa.UniqueConstraint("kennel", "place", name=op.f("uq_duty_kennel_place")),
    )
    op.create_table(
        "entry",
        sa.Column("kennel", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("dog", sa.Text(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.Text(), server_default="", nullable=False),
        sa.Column("room", sa.Text(), server_default="", nullable=False),
        sa.Column("message", sa.Text(), server_default="", nullable=False),
        sa.Column("replaces", sa.Integer(), nullable=True),
        sa.Column("replaced_by", sa.Integer(), nullable=True),
        sa.Column("withdrawn", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.Column("changed", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_entry_kennel")),
        sa.PrimaryKeyConstraint("kennel", "number", name=op.f("pk_entry")),
    )
    op.create_index("ix_entry_kennel_changed", "entry", ["kennel", "changed"], unique=False)
    op.create_index("ix_entry_kennel_day", "entry", ["kennel", "day"], unique=False)
    op.create_index("ix_entry_kennel_dog_kind_day", "entry", ["kennel", "dog", "kind", "day"], unique=False)
    op.create_table(
        "food",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("kennel", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_food_kennel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_food")),
        sa.UniqueConstraint("kennel", "place", name=op.f("uq_food_kennel_place")),
    )
    op.create_table(
        "litter",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("kennel", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_litter_kennel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_litter")),
        sa.UniqueConstraint("kennel", "place", name=op.f("uq_litter_kennel_place")),
    )
    op.create_table(
        "memory",
        sa.Column("kennel", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("room", sa.Text(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_memory_kennel")),
        sa.PrimaryKeyConstraint("kennel", "room", name=op.f("pk_memory")),
    )
    op.create_table(
        "message",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("kennel", sa.Integer(), nullable=False),
        sa.Column("room", sa.Text(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("edit", sa.BigInteger(), nullable=False),
        sa.Column("sender", sa.Text(), server_default="", nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("text", sa.Text(), server_default="", nullable=False),
        sa.Column("reply_to", sa.Text(), nullable=True),
        sa.Column("pressed", sa.Text(), server_default="", nullable=False),
        sa.Column("picture", sa.Text(), server_default="", nullable=False),
        sa.Column("quoted", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_message_kennel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_message")),
        sa.UniqueConstraint("kennel", "room", "key", name=op.f("uq_message_kennel_room_key")),
    )
    op.create_index("ix_message_kennel_room_sent_at", "message", ["kennel", "room", "sent_at"], unique=False)
    op.create_table(
        "outbox",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("kennel", sa.Integer(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("room", sa.Text(), nullable=False),
        sa.Column("kind", sa.String(length=4), nullable=False),
        sa.Column("about", sa.Text(), nullable=False),
        sa.Column("payload", sa.JSON(), nullable=False),
        sa.Column("priority", sa.Integer(), nullable=False),
        sa.Column("due_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("not_after", sa.DateTime(timezone=True), nullable=True),
        sa.Column("state", sa.String(length=10), server_default="waiting", nullable=False),
        sa.Column("tries", sa.Integer(), server_default="0", nullable=False),
        sa.Column("unclear", sa.Integer(), server_default="0", nullable=False),
        sa.Column("error", sa.Text(), server_default="", nullable=False),
        sa.Column("sent_key", sa.Text(), server_default="", nullable=False),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("claimed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("settled_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_outbox_kennel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outbox")),
        sa.UniqueConstraint("kennel", "key", name=op.f("uq_outbox_kennel_key")),
    )
    op.create_index("ix_outbox_kennel_room_sent_key", "outbox", ["kennel", "room", "sent_key"], unique=False)
    op.create_index("ix_outbox_kennel_room_state", "outbox", ["kennel", "room", "state"], unique=False)
    op.create_index("ix_outbox_state_priority_due_at", "outbox", ["state", "priority", "due_at"], unique=False)
    op.create_table(
        "person",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("kennel", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_person_kennel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("kennel", "name", name=op.f("uq_person_kennel_name")),
    )
    op.create_table(
        "room",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("platform", sa.String(length=20), nullable=False),
        sa.Column("chat", sa.Text(), nullable=False),
        sa.Column("kennel", sa.Integer(), nullable=False),
        sa.Column("room", sa.Text(), nullable=False),
        sa.Column("shut", sa.Text(), server_default="", nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_room_kennel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_room")),
        sa.UniqueConstraint("platform", "chat", name=op.f("uq_room_platform_chat")),
    )
    op.create_index("ix_room_kennel_room", "room", ["kennel", "room"], unique=False)
    op.create_table(
        "round",
        sa.Column("kennel", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("looked_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_round_kennel")),
        sa.PrimaryKeyConstraint("kennel", name=op.f("pk_round")),
    )


def downgrade() -> None:
    """Never: a database is restored from the copy that was kept before the upgrade."""
    raise NotImplementedError
