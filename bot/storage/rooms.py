"""Which chat is which kennel's room, and which account is whose. The one place that looks across kennels by chat."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, delete, select, update

from bot.storage import tables as t
from bot.storage.rows import upsert


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A chat that belongs to a kennel; `shut` says why nothing can be sent there, "" while it can."""

    platform: str
    chat: str
    kennel: int
    room: str
    shut: str = ""


def bind(connection: Connection, platform: str, chat: str, kennel_id: int, room: str) -> None:
    """The chat is this room from now on, whatever it was before; no other chat of the platform is."""
    r = t.room.c
    same = (r.platform == platform, r.kennel == kennel_id, r.room == room, r.chat != chat)
    connection.execute(delete(t.room).where(*same))
    values = {"platform": platform, "chat": chat, "kennel": kennel_id, "room": room, "shut": ""}
    upsert(connection, t.room, ("platform", "chat"), values)


def unbind(connection: Connection, platform: str, chat: str) -> None:
    """The chat is no kennel's room any more."""
    connection.execute(delete(t.room).where(t.room.c.platform == platform, t.room.c.chat == chat))


def find(connection: Connection, platform: str, chat: str) -> Room | None:
    """The room that this chat is, None for a stranger's."""
    r = t.room.c
    row = connection.execute(select(t.room).where(r.platform == platform, r.chat == chat)).one_or_none()
    if row is None:
        return None
    return Room(platform=platform, chat=chat, kennel=row.kennel, room=row.room, shut=row.shut)


def of_kennel(connection: Connection, kennel_id: int) -> tuple[Room, ...]:
    """All rooms of one kennel."""
    rows = connection.execute(select(t.room).where(t.room.c.kennel == kennel_id).order_by(t.room.c.id))
    return tuple(Room(platform=r.platform, chat=r.chat, kennel=r.kennel, room=r.room, shut=r.shut) for r in rows)


def move(connection: Connection, platform: str, old: str, new: str) -> None:
    """The chat has another name from now on; what was already bound to the new name gives way."""
    if find(connection, platform, old) is None:
        return
    unbind(connection, platform, new)
    connection.execute(update(t.room).where(t.room.c.platform == platform, t.room.c.chat == old).values(chat=new))


def shut(connection: Connection, platform: str, chat: str, why: str) -> None:
    """Nothing is sent there any more ("" opens it again)."""
    r = t.room.c
    connection.execute(update(t.room).where(r.platform == platform, r.chat == chat).values(shut=why))


def bind_account(connection: Connection, platform: str, account: str, kennel_id: int, person: str) -> None:
    """The account is this person of this kennel from now on."""
    values = {"platform": platform, "account": account, "kennel": kennel_id, "person": person}
    upsert(connection, t.account, ("platform", "account", "kennel"), values)


def unbind_account(connection: Connection, platform: str, account: str, kennel_id: int) -> None:
    """The account is nobody of this kennel any more."""
    a = t.account.c
    connection.execute(delete(t.account).where(a.platform == platform, a.account == account, a.kennel == kennel_id))


def unbind_person(connection: Connection, kennel_id: int, person: str, room: str = "", platform: str = "") -> None:
    """No account is that person any more and no chat their private line (`room`, else named as they are); on one
    platform where one is named."""
    a, r = t.account.c, t.room.c
    accounts = delete(t.account).where(a.kennel == kennel_id, a.person == person)
    chats = delete(t.room).where(r.kennel == kennel_id, r.room == (room or person))
    if platform:
        accounts, chats = accounts.where(a.platform == platform), chats.where(r.platform == platform)
    connection.execute(accounts)
    connection.execute(chats)


def person_of(connection: Connection, platform: str, account: str, kennel_id: int) -> str:
    """The name of the person behind the account in this kennel, "" for somebody unknown."""
    a = t.account.c
    found = connection.execute(
        select(a.person).where(a.platform == platform, a.account == account, a.kennel == kennel_id)
    ).scalar()
    return found or ""


def accounts_of(connection: Connection, platform: str, kennel_id: int) -> dict[str, str]:
    """The kennel's accounts on that platform: account to person."""
    a = t.account.c
    rows = connection.execute(select(a.account, a.person).where(a.platform == platform, a.kennel == kennel_id))
    return {row.account: row.person for row in rows}


def homes_of(connection: Connection, platform: str, account: str) -> tuple[tuple[int, str], ...]:
    """The kennels in which the account is somebody, oldest binding first: number and person."""
    a = t.account.c
    rows = connection.execute(
        select(a.kennel, a.person).where(a.platform == platform, a.account == account).order_by(a.id)
    )
    return tuple((row.kennel, row.person) for row in rows)
