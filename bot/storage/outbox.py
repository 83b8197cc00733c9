"""The outbox: what is to be said, each thing once; claimed, sent, settled.

```text
waiting ─claim→ sending ─sent→ sent
   ↑               ├─put_off→ waiting (later)      passing failure
   │               ├─refuse→ failed                can never go
   └── once more ──┴─recover→ waiting or dropped   found "sending" after a crash or past its lease
waiting ─past not_after→ dropped
```

Adding belongs to a kennel's transaction (`KennelStore.say`); the rest is the delivery's, across all kennels.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import count
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, and_, exists, func, literal, or_, select, tuple_, update

from bot.storage import tables as t
from bot.storage.checkpoints import checkpoint
from bot.storage.rows import insert_or_ignore
from core.codec import from_json, to_json
from core.messages import ANSWER, DIGEST, Mark, Say

if TYPE_CHECKING:
    from bot.storage.database import Database

_CLAIMING = 0x636C61696D  # any number that all our processes share ("claim" in ASCII)
LEASE = timedelta(minutes=2)  # longer than any send with its time-outs


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """One claimed thing to send.

    Attributes:
        id: its number in the outbox. kennel, room: for whom. platform, chat: where ("" where none was asked for).
        out: what is said or marked. tries: which try this is, from 1.
        again: true where an earlier try may have arrived.
    """

    id: int
    kennel: int
    room: str
    platform: str
    chat: str
    out: Say | Mark
    tries: int
    again: bool


def add(connection: Connection, kennel_id: int, out: Iterable[Say | Mark], at: datetime, turn: str) -> int:
    """How many of these are new: what has a known key is left as it is. `turn` makes a mark's key its own."""
    added = 0
    for item in out:
        row: dict[str, Any] = {"kennel": kennel_id, "room": item.room, "payload": to_json(item), "added_at": at}
        if isinstance(item, Say):
            row |= {
                "key": item.key,
                "kind": "say",
                "about": item.about,
                "priority": item.priority,
                "due_at": item.not_before or at,
                "not_after": item.not_after,
            }
        else:
            row |= {
                "key": f"mark {item.room} {item.message} {item.mark} {turn}",
                "kind": "mark",
                "about": "mark",
                "priority": ANSWER,
                "due_at": at,
                "not_after": None,
            }
        new = insert_or_ignore(connection, t.outbox).values(row).returning(t.outbox.c.id)
        # What it returns, not `rowcount`: PostgreSQL's driver knows none for such a statement.
        added += connection.execute(new).scalar() is not None
    return added


def gather(
    connection: Connection, kennel_id: int, say: Say, join: Callable[[Say | None, Say], Say], at: datetime
) -> None:
    """One saying that grows until it is claimed: joined with the one that waits under its key, or, where that has
    left, the first of a next one."""
    o = t.outbox.c
    for n in count(1):
        mine = replace(say, key=say.key if n == 1 else f"{say.key}:{n}")
        waits = (o.kennel == kennel_id, o.key == mine.key, o.state == "waiting", o.tries == 0)
        # Locked on a server: it cannot be claimed until what it grew by is committed.
        found = connection.execute(select(o.payload).where(*waits).with_for_update()).scalar()
        before = from_json(Say, found) if found is not None else None
        grown = join(before, mine)
        if before is None:
            if add(connection, kennel_id, [grown], at, ""):
                return
            continue
        if grown != before:
            connection.execute(update(t.outbox).where(*waits).values(payload=to_json(grown)))
        return


def take_back(connection: Connection, kennel_id: int, room: str, messages: Collection[str]) -> list[Say]:
    """What waits in the room for these messages, urgent things apart, no longer to be sent; and the marks on them."""
    o = t.outbox.c
    waits = (o.kennel == kennel_id, o.room == room, o.state == "waiting", o.tries == 0, o.priority >= ANSWER)
    # Locked on a server: what the delivery has taken meanwhile is not waiting any more, and is not taken back.
    locked = select(o.id, o.kind, o.payload).where(*waits).order_by(o.id).with_for_update()
    rows = connection.execute(locked).all()
    items = [(row.id, _out(row.kind, row.payload)) for row in rows]
    mine = [(n, x) for n, x in items if (x.message if isinstance(x, Mark) else x.reply_to) in messages]
    connection.execute(
        update(t.outbox)
        .where(o.kennel == kennel_id, o.id.in_([n for n, _ in mine]))
        .values(state="dropped", error="said in one message with others")
    )
    return [x for _, x in mine if isinstance(x, Say)]


class Outbox:
    """The delivery's side: every method is one transaction of its own."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def claim(
        self, now: datetime, platform: str | None = None, limit: int = 10, lease: timedelta = LEASE
    ) -> tuple[Parcel, ...]:
        """What is due, urgent first and in the order of adding within a priority, now marked as being sent.

        Where a platform is named, only what has an open chat there. Nothing overtakes what was put off in the same
        room, but by a higher priority. What is found past its lease is settled first (`recover`).
        """
        o, r = t.outbox.c, t.room.c
        with self._database.transaction() as connection:
            if self._database.shared:
                # One claim at a time, over all processes: of two at once neither would see that the other has just
                # taken a room's first, and would send what comes after it at the same time.
                connection.execute(select(func.pg_advisory_xact_lock(_CLAIMING)))
            _recover(connection, now, lease)
            _drop_late(connection, now)
            # Found once: it is short, and asked about for each thing that waits. (`tries > 0` is true of what is being
            # sent, too; the states are named so that an index leaves out what was sent in all the years before.)
            begun = select(o.kennel, o.room, o.id, o.priority).where(o.state.in_(("sending", "waiting")), o.tries > 0)
            ahead = begun.cte("ahead").prefix_with("MATERIALIZED")
            held = exists().where(
                ahead.c.kennel == o.kennel,
                ahead.c.room == o.room,
                ahead.c.id < o.id,
                ahead.c.priority <= o.priority,
            )
            due = select(t.outbox).where(o.state == "waiting", o.due_at <= now, ~held)
            if platform is None:
                due = due.add_columns(literal("").label("chat"))
            else:
                open_ = and_(r.kennel == o.kennel, r.room == o.room, r.platform == platform, r.shut == "")
                due = due.join(t.room, open_).add_columns(r.chat)
            # Locked on a server: what a turn takes back or adds to just now is waited for, and read as it is then.
            due = due.order_by(o.priority, o.id).limit(limit).with_for_update(of=t.outbox)
            rows = connection.execute(due).all()
            connection.execute(
                update(t.outbox)
                .where(o.id.in_([row.id for row in rows]))
                .values(state="sending", tries=o.tries + 1, claimed_at=now)
            )
        checkpoint("outbox claimed")
        return tuple(
            Parcel(
                id=row.id,
                kennel=row.kennel,
                room=row.room,
                platform=platform or "",
                chat=row.chat,
                out=_out(row.kind, row.payload),
                tries=row.tries + 1,
                again=row.unclear > 0,
            )
            for row in rows
        )

    def still_held(self, parcels: Sequence[Parcel], now: datetime) -> frozenset[int]:
        """Those of the claimed that are this process's still, their lease begun anew.

        One process alone serves a SQLite file: there it is all of them. On a server another takes over what a lane
        with a long picture in it has not come to within the lease; that is then the other's to send.
        """
        if not self._database.shared:
            return frozenset(p.id for p in parcels)
        o = t.outbox.c
        mine = tuple_(o.id, o.tries).in_([(p.id, p.tries) for p in parcels])
        with self._database.transaction() as connection:
            held = update(t.outbox).where(o.state == "sending", mine).values(claimed_at=now).returning(o.id)
            return frozenset(connection.execute(held).scalars())

    def sent(self, parcel: int, now: datetime, sent_key: str = "") -> None:
        """It arrived, under the chat's own key."""
        self._settle(parcel, {"state": "sent", "sent_key": sent_key, "settled_at": now, "error": ""})

    def put_off(self, parcel: int, until: datetime, error: str = "") -> None:
        """It certainly did not arrive and may be tried again then."""
        self._settle(parcel, {"state": "waiting", "due_at": until, "error": error})

    def unclear(self, parcel: int, now: datetime, error: str = "") -> None:
        """Nobody knows whether it arrived (the answer was lost): once more for what matters, else dropped."""
        with self._database.transaction() as connection:
            connection.execute(update(t.outbox).where(t.outbox.c.id == parcel).values(error=error))
            _open_again(connection, now, t.outbox.c.id == parcel)

    def refuse(self, parcel: int, now: datetime, error: str) -> None:
        """It can never go."""
        self._settle(parcel, {"state": "failed", "error": error, "settled_at": now})

    def recover(self, now: datetime, lease: timedelta | None = None) -> int:
        """How many were found in the middle of sending at a start, and settled.

        Urgent lines, answers, reminders and alerts are sent once more, a second time never; tips are dropped.

        Args:
            lease: how old a claim must be. Where none is given: any on SQLite, which one process alone serves; on a
                server the usual lease, because another process may be sending it this very moment.
        """
        if lease is None:
            lease = LEASE if self._database.shared else timedelta(0)
        with self._database.transaction() as connection:
            return _recover(connection, now, lease)

    def counts(self) -> dict[str, int]:
        """How many there are in each state."""
        o = t.outbox.c
        with self._database.transaction(writes=False) as connection:
            rows = connection.execute(select(o.state, func.count().label("number")).group_by(o.state))
            return {row.state: row.number for row in rows}

    def open_counts(self) -> dict[str, int]:
        """How many wait, are being sent, or failed; what was sent in all the years is not counted."""
        return self._database.counts_by_state(t.outbox, ("waiting", "sending", "failed"))

    def homeless(self) -> int:
        """How many wait for a room that no open chat is bound to."""
        o, r = t.outbox.c, t.room.c
        home = exists().where(r.kennel == o.kennel, r.room == o.room, r.shut == "")
        with self._database.transaction(writes=False) as connection:
            return connection.execute(select(func.count()).where(o.state == "waiting", ~home)).scalar_one()

    def _settle(self, parcel: int, values: dict[str, Any]) -> None:
        with self._database.transaction() as connection:
            connection.execute(update(t.outbox).where(t.outbox.c.id == parcel).values(values))
        checkpoint("outbox settled")


def _out(kind: str, payload: dict[str, Any]) -> Say | Mark:
    return from_json(Say, payload) if kind == "say" else from_json(Mark, payload)


def _recover(connection: Connection, now: datetime, lease: timedelta) -> int:
    return _open_again(connection, now, and_(t.outbox.c.state == "sending", t.outbox.c.claimed_at <= now - lease))


def _open_again(connection: Connection, now: datetime, which: Any) -> int:
    o = t.outbox.c
    # A second mark on the same message changes nothing for anyone; the rest by what it is.
    may = and_(or_(o.kind == "mark", o.priority <= DIGEST), o.unclear == 0)
    again = connection.execute(
        update(t.outbox).where(which, may).values(state="waiting", due_at=now, unclear=o.unclear + 1)
    )
    dropped = connection.execute(
        update(t.outbox)
        .where(which, o.state == "sending")
        .values(state="dropped", settled_at=now, error="may have arrived; not sent again")
    )
    return again.rowcount + dropped.rowcount


def _drop_late(connection: Connection, now: datetime) -> None:
    o = t.outbox.c
    connection.execute(
        update(t.outbox)
        .where(o.state == "waiting", o.not_after.is_not(None), o.not_after < now)
        .values(state="dropped", settled_at=now, error="too late")
    )
