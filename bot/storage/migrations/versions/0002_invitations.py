"""Invitations, kept as hashes, and the wrong codes that were tried."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def row_number() -> sa.types.TypeEngine[int]:
    """SQLite numbers rows by itself only in an INTEGER primary key."""
    return sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Makes the two tables."""
    op.create_table(
        "invite",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("kennel", sa.Integer(), nullable=True),
        sa.Column("person", sa.Text(), server_default="", nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("state", sa.String(length=10), server_default="open", nullable=False),
        sa.ForeignKeyConstraint(["kennel"], ["kennel.id"], name=op.f("fk_invite_kennel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_invite")),
        sa.UniqueConstraint("digest", name=op.f("uq_invite_digest")),
    )
    op.create_index("ix_invite_kennel_person", "invite", ["kennel", "person"], unique=False)
    op.create_table(
        "wrong_try",
        sa.Column("id", row_number(), autoincrement=True, nullable=False),
        sa.Column("platform", sa.String(length=20), nullable=False),
        sa.Column("account", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_wrong_try")),
    )
    op.create_index("ix_wrong_try_platform_account_at", "wrong_try", ["platform", "account", "at"], unique=False)


def downgrade() -> None:
    """Never: a database is restored from the copy that was kept before the upgrade."""
    raise NotImplementedError
