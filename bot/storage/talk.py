"""What was said in a kennel's rooms, and what Fettle has in mind there. Bound to one kennel."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, delete, select

from bot.storage import tables as t
from bot.storage.rows import upsert
from core.codec import from_json, to_json
from core.messages import Message
from core.turns import Memory

RECENT = 8  # earlier messages that may say what is meant (core.turns.Scene)
RECENT_FOR = timedelta(minutes=30)


def keep(connection: Connection, kennel_id: int, message: Message) -> None:
    """Writes the message; a newer edit takes the place of the text before it."""
    upsert(
        connection,
        t.message,
        ("kennel", "room", "key"),
        {
            "kennel": kennel_id,
            "room": message.room,
            "key": message.key,
            "edit": message.edit,
            "sender": message.sender,
            "sent_at": message.sent_at,
            "text": message.text,
            "reply_to": message.reply_to,
            "pressed": message.pressed,
            "picture": message.picture,
            "quoted": message.quoted,
        },
    )


def find(connection: Connection, kennel_id: int, room: str, key: str) -> Message | None:
    """The newest form of that message, None where it never came."""
    m = t.message.c
    row = connection.execute(select(t.message).where(m.kennel == kennel_id, m.room == room, m.key == key)).one_or_none()
    return _message(row) if row else None


def recent(connection: Connection, kennel_id: int, room: str, now: datetime, but: str) -> tuple[Message, ...]:
    """The room's last messages before `now`, oldest first, without the one of key `but`."""
    m = t.message.c
    found = connection.execute(
        select(t.message)
        .where(m.kennel == kennel_id, m.room == room, m.sent_at >= now - RECENT_FOR, m.sent_at <= now, m.key != but)
        .order_by(m.sent_at.desc(), m.id.desc())
        .limit(RECENT)
    ).all()
    return tuple(_message(row) for row in reversed(found))


def sent_since(connection: Connection, kennel_id: int, room: str, sender: str, since: datetime, most: int) -> set[str]:
    """The keys of that person's messages in the room after that instant, at most so many."""
    m = t.message.c
    mine = (m.kennel == kennel_id, m.room == room, m.sent_at > since, m.sender == sender)
    return set(connection.execute(select(m.key).where(*mine).limit(most)).scalars())


def memory(connection: Connection, kennel_id: int) -> dict[str, Memory]:
    """What is in mind, by room; rooms with nothing in mind are left out."""
    rows = connection.execute(select(t.memory.c.room, t.memory.c.facts).where(t.memory.c.kennel == kennel_id))
    return {room: from_json(Memory, facts) for room, facts in rows}


def remember(connection: Connection, kennel_id: int, memories: Mapping[str, Memory]) -> None:
    """Writes the memory of these rooms; an empty one leaves no row."""
    for room, kept in memories.items():
        if kept == Memory():
            m = t.memory.c
            connection.execute(delete(t.memory).where(m.kennel == kennel_id, m.room == room))
        else:
            upsert(
                connection, t.memory, ("kennel", "room"), {"kennel": kennel_id, "room": room, "facts": to_json(kept)}
            )


def _message(row: Any) -> Message:
    return Message(
        key=row.key,
        room=row.room,
        sender=row.sender,
        sent_at=row.sent_at,
        text=row.text,
        edit=row.edit,
        reply_to=row.reply_to,
        pressed=row.pressed,
        picture=row.picture,
        quoted=row.quoted,
    )
