"""Invitations: made for a person, used once, withdrawn, expired; and the wrong codes that somebody tried."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, delete, func, insert, select, update

from bot.storage import outbox, rooms, roster
from bot.storage import tables as t
from bot.storage.codes import code_of, digest, new_nonce
from core.access import own_room
from core.messages import Say
from core.roster import BREEDER, FAMILY, Kennel, Person
from core.turns import Invite

if TYPE_CHECKING:
    from bot.storage.database import Database

LASTS = timedelta(days=7)
REMEMBERED = timedelta(days=1)  # wrong codes; only the last hour counts
OPEN, USED, WITHDRAWN, EXPIRED = "open", "used", "withdrawn", "expired"


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """An invitation as it stands.

    Attributes:
        kennel: None where whoever uses it begins a kennel. person: "" where the name is that of who uses it.
        state: open, used, withdrawn or expired.
    """

    id: int
    kennel: int | None
    person: str
    role: str
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Guest:
    """Who uses a code: the account, the private chat in which it was said, and the name that the account bears."""

    platform: str
    account: str
    chat: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """Who came in, and into which kennel."""

    kennel: int
    person: Person
    invite: int


Says = Callable[[Came], Sequence[Say]]


class Invites:
    """The door's side: every method is one transaction of its own."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def claim_code(self, kennel: int | None, now: datetime, secret: bytes) -> str:
        """A new code for the breeder of a kennel that nobody has claimed (None: of one that is still to be made)."""
        with self._database.transaction() as connection:
            nonce = add(connection, kennel, Invite(role="breeder"), now, secret)
        return code_of(secret, nonce)

    def find(self, code: str, now: datetime) -> Found | None:
        """The invitation with that code, whatever became of it; None for a code that was never made."""
        with self._database.transaction(writes=False) as connection:
            return _find(connection, code, now)

    def use(self, code: str, guest: Guest, now: datetime, says: Says) -> Came | None:
        """Lets the guest in, with all that is said of it, in one transaction; None where the code is not open."""
        with self._database.transaction() as connection:
            found = _find(connection, code, now)
            if found is None or found.state != OPEN:
                return None
            if found.kennel is not None:
                # As a turn does, and before anything is written: what either saves the other then reads.
                roster.lock(connection, found.kennel)
            i = t.invite.c
            taken = connection.execute(
                update(t.invite).where(i.id == found.id, i.state == OPEN).values(state=USED)
            )
            if taken.rowcount != 1:
                return None
            came = _let_in(connection, found, guest)
            if came is not None:
                outbox.add(connection, came.kennel, says(came), now, "")
        return came

    def wrong(self, platform: str, account: str, now: datetime, within: timedelta) -> int:
        """How many wrong codes the account tried within that time, with this one."""
        with self._database.transaction() as connection:
            connection.execute(insert(t.wrong_try).values(platform=platform, account=account, at=now))
            connection.execute(delete(t.wrong_try).where(t.wrong_try.c.at < now - REMEMBERED))
            return _tries(connection, platform, account, now - within)

    def tries(self, platform: str, account: str, now: datetime, within: timedelta) -> int:
        """How many wrong codes the account tried within that time."""
        with self._database.transaction(writes=False) as connection:
            return _tries(connection, platform, account, now - within)


def add(connection: Connection, kennel: int | None, invite: Invite, now: datetime, secret: bytes) -> str:
    """The nonce of a new invitation; an open one for the same person is withdrawn: one link for one person."""
    if invite.person:
        withdraw(connection, kennel, invite.person)
    nonce = new_nonce()
    connection.execute(
        insert(t.invite).values(
            kennel=kennel, person=invite.person, role=invite.role, digest=digest(code_of(secret, nonce)),
            made_at=now, expires_at=now + LASTS, state=OPEN,
        )
    )
    return nonce


def withdraw(connection: Connection, kennel: int | None, person: str) -> int:
    """How many open invitations of that person do not work any more."""
    i = t.invite.c
    return connection.execute(
        update(t.invite).where(i.kennel == kennel, i.person == person, i.state == OPEN).values(state=WITHDRAWN)
    ).rowcount


def forget_person(connection: Connection, kennel: int, person: str) -> None:
    """Somebody who is off the roster has no way in any more: no account, no private line, no invitation."""
    withdraw(connection, kennel, person)
    rooms.unbind_person(connection, kennel, person)


def _find(connection: Connection, code: str, now: datetime) -> Found | None:
    row = connection.execute(select(t.invite).where(t.invite.c.digest == digest(code))).one_or_none()
    if row is None:
        return None
    state = EXPIRED if row.state == OPEN and row.expires_at <= now else row.state
    return Found(id=row.id, kennel=row.kennel, person=row.person, role=row.role, state=state)


def _tries(connection: Connection, platform: str, account: str, since: datetime) -> int:
    w = t.wrong_try.c
    mine = (w.platform == platform, w.account == account, w.at > since)
    return connection.execute(select(func.count()).select_from(t.wrong_try).where(*mine)).scalar_one()


def _let_in(connection: Connection, found: Found, guest: Guest) -> Came | None:
    """The guest's account and private line bound to the person; None where there is no such person any more."""
    if found.kennel is None:
        return _begin(connection, found, guest)
    kennel = roster.load(connection, found.kennel)
    if found.role == "breeder":
        _claimed(connection, found.kennel)
    person = kennel.breeder if found.role == "breeder" else kennel.person(found.person)
    if not found.person and found.role != "breeder":
        person = _new_helper(connection, found, kennel, guest.name)
    if person is None:
        return None
    rooms.unbind_person(connection, found.kennel, person.name, own_room(kennel, person), guest.platform)
    _bind(connection, found.kennel, guest, person.name, own_room(kennel, person))
    return Came(kennel=found.kennel, person=person, invite=found.id)


def _begin(connection: Connection, found: Found, guest: Guest) -> Came:
    person = Person(name=guest.name, role="breeder")
    kennel = Kennel(name="", people=(person,))
    number = roster.insert_kennel(connection, kennel)
    _claimed(connection, None)
    _bind(connection, number, guest, person.name, own_room(kennel, person))
    return Came(kennel=number, person=person, invite=found.id)


def _claimed(connection: Connection, kennel: int | None) -> None:
    """No code of another start claims it again."""
    i = t.invite.c
    connection.execute(update(t.invite).where(i.kennel == kennel, i.role == "breeder").values(state=USED))


def _bind(connection: Connection, kennel: int, guest: Guest, person: str, room: str) -> None:
    rooms.bind_account(connection, guest.platform, guest.account, kennel, person)
    rooms.bind(connection, guest.platform, guest.chat, kennel, room)


def _new_helper(connection: Connection, found: Found, kennel: Kennel, name: str) -> Person:
    """A helper under the name that the account bears; a name that somebody (or a dog) has gets a number."""
    assert found.kennel is not None
    taken = {FAMILY, BREEDER}  # names of rooms
    named = [*((p.name, *p.also) for p in kennel.people), *((d.name, *d.also) for d in kennel.dogs)]
    taken |= {n.casefold() for names in named for n in names}
    free = next(n for n in _numbered(name) if n.casefold() not in taken)
    person = Person(name=free, role=found.role)
    roster.save(connection, found.kennel, kennel, replace(kennel, people=(*kennel.people, person)))
    k = t.kennel.c
    connection.execute(update(t.kennel).where(k.id == found.kennel).values(revision=k.revision + 1))
    return person


def _numbered(name: str) -> Any:
    yield name
    number = 2
    while True:
        yield f"{name} {number}"
        number += 1
