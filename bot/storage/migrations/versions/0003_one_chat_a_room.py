"""One chat for a room of a kennel on each platform, and who was turned away today."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Where two chats were one room the first that was bound stays; then the index and the table."""
    room = sa.table("room", sa.column("id"), sa.column("platform"), sa.column("kennel"), sa.column("room"))
    first = sa.select(sa.func.min(room.c.id)).group_by(room.c.platform, room.c.kennel, room.c.room)
    op.execute(sa.delete(room).where(room.c.id.not_in(first)))
    op.create_index("uq_room_platform_kennel_room", "room", ["platform", "kennel", "room"], unique=True)
    op.create_table(
        "turned_away",
        sa.Column("platform", sa.String(length=20), nullable=False),
        sa.Column("account", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.PrimaryKeyConstraint("platform", "account", "day", name=op.f("pk_turned_away")),
    )


def downgrade() -> None:
    """Never: a database is restored from the copy that was kept before the upgrade."""
    raise NotImplementedError
