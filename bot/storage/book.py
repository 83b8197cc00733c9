"""The book: entries as rows, and the `Ledger` that the rest of the house reads. Bound to one kennel.

Rows are added and marked, never overwritten: `replaces` and `replaced_by` say what took whose place, `withdrawn`
what was undone. Each change stamps its rows with the kennel's `book` number, so that a ledger once decoded is
brought up to date by reading only what changed since.
"""

from __future__ import annotations

import gc
import json
from collections import OrderedDict
from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from threading import Lock
from typing import Any

from sqlalchemy import Connection, Text, cast, insert, or_, select, update

from bot.storage import tables as t
from core.entries import BY_KIND, Entry, as_fields, entry_from
from core.ledger import Ledger, Posted
from core.messages import Message
from core.turns import Post

# Read for a followed dog's whole life; a growth curve or a season's rhythm needs them all.
LIFELONG = (
    "weight",
    "season",
    "mating",
    "whelping",
    "progesterone",
    "dose",
    "ears",
    "condition",
    "tooth",
    "height",
    "health test",
    "leave item",
)
EAR_HAIR = '%"ear %'  # of the grooming, what is kept for life: a dog's own record of its ear hair
RECENT_DAYS = 120  # of everything else: longer than any interval that care looks back on

_C = t.entry.c
# Days, moments and facts as text: they are decoded here, each different one once and all facts in one piece, which
# halves the time of a big book.
_COLUMNS = (
    _C.number,
    _C.dog,
    _C.kind,
    cast(_C.day, Text),
    cast(_C.facts, Text),
    cast(_C.at, Text),
    _C.by,
    _C.room,
    _C.message,
    _C.replaced_by,
    _C.withdrawn,
)


class Decoded:
    """Ledgers already decoded, the least used thrown away; each valid for one state of its kennel's book.

    Shared by all threads of a process; never filled from a transaction that has itself written.
    """

    def __init__(self, most_entries: int = 60_000) -> None:
        # About 0.6 kB an entry (measured), so some 40 MB.
        self._most = most_entries
        self._kept: OrderedDict[int, tuple[tuple[date, frozenset[str]], int, Ledger]] = OrderedDict()
        self._lock = Lock()

    def get(self, kennel_id: int, window: tuple[date, frozenset[str]]) -> tuple[int, Ledger] | None:
        """The book's number and ledger as they were decoded for this window, None where they were not."""
        with self._lock:
            found = self._kept.get(kennel_id)
            if found is None or found[0] != window:
                return None
            self._kept.move_to_end(kennel_id)
            return found[1], found[2]

    def forget(self, kennel_id: int) -> None:
        """The kennel is no more."""
        with self._lock:
            self._kept.pop(kennel_id, None)

    def put(self, kennel_id: int, window: tuple[date, frozenset[str]], book: int, ledger: Ledger) -> None:
        """Keeps one kennel's ledger."""
        with self._lock:
            self._kept[kennel_id] = (window, book, ledger)
            self._kept.move_to_end(kennel_id)
            while len(self._kept) > 1 and sum(len(k[2].history()) for k in self._kept.values()) > self._most:
                self._kept.popitem(last=False)


def load(
    connection: Connection, kennel_id: int, followed: Collection[str], since: date, decoded: Decoded, keep: bool
) -> Ledger:
    """What counts and what did: the followed dogs' lifelong kinds, everything else from `since` on.

    `keep` is false within a transaction that has written: what it sees may yet be taken back.
    """
    window = (since, frozenset(followed))
    book = connection.execute(select(t.kennel.c.book).where(t.kennel.c.id == kennel_id)).scalar_one()
    known = decoded.get(kennel_id, window)
    if known is not None and known[0] == book:
        return known[1]
    hair = (_C.kind == "groom") & cast(_C.facts, Text).like(EAR_HAIR)
    lifelong = (_C.kind.in_(LIFELONG) | hair) & _C.dog.in_(followed)
    if known is not None and known[0] < book:
        changed = _read(connection, _C.kennel == kennel_id, _C.changed > known[0], or_(_C.day >= since, lifelong))
        ledger = known[1].with_posted(changed)
    else:
        # Two questions, one index each: an OR over both would read the kennel's whole book.
        recent = _read(connection, _C.kennel == kennel_id, _C.day >= since)
        older = _read(connection, _C.kennel == kennel_id, lifelong, _C.day < since)
        ledger = Ledger([*recent, *older])
    if keep:
        decoded.put(kennel_id, window, book, ledger)
    return ledger


def load_all(connection: Connection, kennel_id: int) -> Ledger:
    """The whole book, whoever and whenever."""
    return Ledger(_read(connection, _C.kennel == kennel_id))


def posted_under(connection: Connection, kennel_id: int, numbers: Collection[int]) -> dict[int, Posted]:
    """Entries of this kennel by number; numbers of another kennel's are not found."""
    return {p.id: p for p in _read(connection, _C.kennel == kennel_id, _C.number.in_(numbers))} if numbers else {}


def post(
    connection: Connection, kennel_id: int, posts: Sequence[Post], withdrawn: Iterable[int], message: Message
) -> tuple[Posted, ...]:
    """Writes entries and withdrawals, and gives every row that changed, as it stands now.

    An entry that is withdrawn gives its place back to the one that it had replaced.

    Raises:
        LookupError: a number that is not in this kennel's book.
        ValueError: an entry to be replaced whose place another has already taken.
    """
    withdrawn = tuple(dict.fromkeys(withdrawn))
    if not posts and not withdrawn:
        return ()
    named = {p.replaces for p in posts if p.replaces is not None}
    missing = (named | set(withdrawn)) - posted_under(connection, kennel_id, named | set(withdrawn)).keys()
    if missing:
        raise LookupError(f"no entries {sorted(missing)} in the book of kennel {kennel_id}")
    counters = select(t.kennel.c.book, t.kennel.c.last_number).where(t.kennel.c.id == kennel_id)
    book, last = connection.execute(counters).one()
    book += 1
    touched: set[int] = set(withdrawn)
    if withdrawn:
        mine = _C.kennel == kennel_id
        connection.execute(update(t.entry).where(mine, _C.number.in_(withdrawn)).values(withdrawn=True, changed=book))
        older = select(_C.replaces).where(mine, _C.number.in_(withdrawn), _C.replaces.is_not(None))
        freed = (
            connection.execute(select(_C.number).where(mine, _C.number.in_(older), _C.replaced_by.in_(withdrawn)))
            .scalars()
            .all()
        )
        connection.execute(update(t.entry).where(mine, _C.number.in_(freed)).values(replaced_by=None, changed=book))
        touched |= set(freed)
    numbered = list(enumerate(posts, start=last + 1))
    if numbered:
        connection.execute(insert(t.entry), [_row(kennel_id, n, item, message, book) for n, item in numbered])
    for number, item in numbered:
        touched.add(number)
        if item.replaces is not None:
            taken = connection.execute(
                update(t.entry)
                .where(_C.kennel == kennel_id, _C.number == item.replaces, _C.replaced_by.is_(None))
                .values(replaced_by=number, changed=book)
            )
            if taken.rowcount != 1:
                raise ValueError(f"the place of entry {item.replaces} is already taken")
            touched.add(item.replaces)
    connection.execute(
        update(t.kennel).where(t.kennel.c.id == kennel_id).values(book=book, last_number=last + len(posts))
    )
    found = posted_under(connection, kennel_id, touched)
    return tuple(found[n] for n in sorted(found))


def bring(connection: Connection, kennel_id: int, history: Sequence[Posted]) -> None:
    """Writes a book that was kept elsewhere into an empty one, numbers and links as they are.

    Raises:
        ValueError: the kennel's book is not empty.
    """
    counters = select(t.kennel.c.book, t.kennel.c.last_number).where(t.kennel.c.id == kennel_id)
    book, last = connection.execute(counters).one()
    if last:
        raise ValueError(f"the book of kennel {kennel_id} is not empty")
    if not history:
        return
    replaces = {p.replaced_by: p.id for p in history if p.replaced_by is not None}
    rows = []
    for p in history:
        item = Post(entry=p.entry, replaces=replaces.get(p.id))
        said = Message(key=p.message, room=p.room, sender=p.by, sent_at=p.at, text="")
        row = _row(kennel_id, p.id, item, said, book + 1)
        rows.append(row | {"replaced_by": p.replaced_by, "withdrawn": p.withdrawn})
    connection.execute(insert(t.entry), rows)
    highest = max(p.id for p in history)
    connection.execute(update(t.kennel).where(t.kennel.c.id == kennel_id).values(book=book + 1, last_number=highest))


def _row(kennel_id: int, number: int, item: Post, message: Message, book: int) -> dict[str, Any]:
    facts = as_fields(item.entry)
    del facts["dog"], facts["on"]
    return {
        "kennel": kennel_id,
        "number": number,
        "dog": item.entry.dog,
        "kind": item.entry.kind,
        "day": item.entry.on,
        "facts": facts,
        "at": message.sent_at,
        "by": message.sender,
        "room": message.room,
        "message": message.key,
        "replaces": item.replaces,
        "changed": book,
    }


@contextmanager
def _collecting_later() -> Iterator[None]:
    """No garbage is looked for meanwhile: thousands of new objects, none of them garbage, would set it off again and
    again (measured: a sixth of the time of a big book)."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _read(connection: Connection, *conditions: Any) -> list[Posted]:
    with _collecting_later():
        return _decoded(connection, *conditions)


def _decoded(connection: Connection, *conditions: Any) -> list[Posted]:
    result = connection.execute(select(*_COLUMNS).where(*conditions))
    # The driver's own tuples: no column of these needs the library's rows, which cost as much as the reading.
    rows = result.cursor.fetchall()
    result.close()
    all_facts = json.loads(f"[{','.join(row[4] for row in rows)}]")
    days: dict[str, date] = {}
    moments: dict[str, datetime] = {}
    posted = []
    for row, facts in zip(rows, all_facts, strict=True):
        number, dog, kind, day, _, at, by, room, message, replaced_by, withdrawn = row
        facts["dog"] = dog
        facts["on"] = days.get(day) or days.setdefault(day, date.fromisoformat(day))
        moment = moments.get(at) or moments.setdefault(at, _moment(at))
        posted.append(
            Posted(
                id=number,
                entry=_entry(kind, facts),
                at=moment,
                by=by,
                room=room,
                message=message,
                replaced_by=replaced_by,
                withdrawn=bool(withdrawn),
            )
        )
    return posted


def _entry(kind: str, facts: dict[str, Any]) -> Entry:
    """As `entry_from`, whose copy of the facts is spared where none of them is to be changed (`on` is a date)."""
    if "with" in facts or "clock" in facts or "until" in facts:
        return entry_from(kind, facts)
    return BY_KIND[kind](**facts)


def _moment(said: str) -> datetime:
    """SQLite keeps UTC without its mark; PostgreSQL answers in the zone of the session, with its offset."""
    moment = datetime.fromisoformat(said)
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)
