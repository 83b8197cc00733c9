"""One kennel's rows within one transaction: every query is bound to its number."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import Connection, select, update

from bot.storage import book, erasing, inbox, invites, outbox, roster, stamps, talk
from bot.storage import tables as t
from bot.storage.rows import upsert
from bot.storage.stamps import Stamp
from core.codec import from_json
from core.ledger import Ledger, Posted
from core.messages import Mark, Message, Say
from core.roster import Kennel
from core.turns import Invite, Memory, Post

if TYPE_CHECKING:
    from bot.storage.database import Kept


class KennelStore:
    """What one transaction may read and write of one kennel; it gives and takes the types of core only."""

    def __init__(self, connection: Connection, kennel_id: int, kept: Kept) -> None:
        self._connection = connection
        self._id = kennel_id
        self._kept = kept
        self._wrote_roster = False
        self._wrote_book = False

    @property
    def kennel_id(self) -> int:
        """The kennel's number."""
        return self._id

    # -- roster

    def load_kennel(self) -> Kennel:
        """The kennel as it stands.

        Raises:
            LookupError: there is no kennel of that number.
        """
        revision = self._connection.execute(select(t.kennel.c.revision).where(t.kennel.c.id == self._id)).scalar()
        known = self._kept.kennels.get(self._id)
        if known is not None and known.revision == revision:
            return known
        kennel = roster.load(self._connection, self._id)
        if not self._wrote_roster:
            self._kept.kennels[self._id] = kennel
        return kennel

    def save_kennel(self, old: Kennel, new: Kennel) -> Kennel:
        """Writes what differs and gives the kennel as it stands then, its revision raised.

        Raises:
            StaleRoster: the stored roster is not the old one any more.
        """
        roster.save(self._connection, self._id, old, new)
        for gone in {p.name for p in old.people} - {p.name for p in new.people}:
            invites.forget_person(self._connection, self._id, gone)
        self._wrote_book = True  # a dog's new name reaches into its entries
        self._raise_revision()
        return self.load_kennel()

    # -- book

    def load_ledger(self, today: date, kennel: Kennel | None = None) -> Ledger:
        """What is needed to judge the kennel today: the followed dogs' weights, ears, seasons and the like of a
        lifetime, everything else of the last 120 days; replaced and withdrawn entries stand in its history."""
        followed = frozenset(d.name for d in (kennel or self.load_kennel()).living())
        since = today - timedelta(days=book.RECENT_DAYS)
        return book.load(self._connection, self._id, followed, since, self._kept.ledgers, not self._wrote_book)

    def load_book(self) -> Ledger:
        """The whole book, dogs that are gone too."""
        return book.load_all(self._connection, self._id)

    def post(self, posts: Sequence[Post], withdrawn: Collection[int], message: Message) -> tuple[Posted, ...]:
        """Writes entries and withdrawals; gives every row that changed as it stands now, and keeps each dog's last
        weight true.

        Raises:
            LookupError: a number that is not in this kennel's book.
            ValueError: an entry to be replaced whose place another has already taken.
        """
        changed = book.post(self._connection, self._id, posts, withdrawn, message)
        self._wrote_book = self._wrote_book or bool(changed)
        weighed = {p.entry.dog for p in changed if p.entry.kind == "weight"}
        moved = [dog for dog in sorted(weighed) if roster.set_last_weight(self._connection, self._id, dog)]
        if moved:
            self._raise_revision()
        return changed

    def bring(self, history: Sequence[Posted]) -> None:
        """Writes a book that was kept elsewhere into an empty one, numbers and links as they are.

        Raises:
            ValueError: the kennel's book is not empty.
        """
        book.bring(self._connection, self._id, history)
        self._wrote_book = self._wrote_book or bool(history)
        dogs = {p.entry.dog for p in history if p.entry.kind == "weight"}
        if [dog for dog in sorted(dogs) if roster.set_last_weight(self._connection, self._id, dog)]:
            self._raise_revision()

    # -- talk

    def keep_message(self, message: Message) -> None:
        """Writes the message; a newer edit takes the place of the text before it."""
        talk.keep(self._connection, self._id, message)

    def find_message(self, room: str, key: str) -> Message | None:
        """The newest form of that message, None where it never came."""
        return talk.find(self._connection, self._id, room, key)

    def recent(self, room: str, now: datetime, but: str = "") -> tuple[Message, ...]:
        """At most eight messages of the room's last half hour, oldest first, without the one of key `but`."""
        return talk.recent(self._connection, self._id, room, now, but)

    def sent_since(self, room: str, sender: str, since: datetime, most: int) -> set[str]:
        """The keys of that person's messages in the room after that instant, at most so many."""
        return talk.sent_since(self._connection, self._id, room, sender, since, most)

    def memory(self) -> dict[str, Memory]:
        """What is in mind, by room."""
        return talk.memory(self._connection, self._id)

    def remember(self, memories: Mapping[str, Memory]) -> None:
        """Writes the memory of these rooms; an empty one is forgotten."""
        talk.remember(self._connection, self._id, memories)

    # -- outbox, inbox, rounds

    def say(self, out: Iterable[Say | Mark], at: datetime, turn: str = "") -> int:
        """How many of these are new in the outbox; what has a known key is left as it is.

        `turn` names what brought them about; with it the key of a mark, which has none, is made.
        """
        return outbox.add(self._connection, self._id, out, at, turn)

    def gather(self, say: Say, join: Callable[[Say | None, Say], Say], at: datetime) -> None:
        """Puts it into the outbox, joined with what waits there under the same key and was not claimed yet."""
        outbox.gather(self._connection, self._id, say, join, at)

    def take_back(self, room: str, messages: Collection[str]) -> list[Say]:
        """What was to be said in the room to these messages and nobody claimed yet, urgent things apart; it is not
        sent any more, nor are the marks on them."""
        return outbox.take_back(self._connection, self._id, room, messages)

    def said_as(self, room: str, sent_key: str) -> Say | None:
        """What Fettle said in the room under the chat's own key, None where it was not Fettle's or not a saying."""
        o = t.outbox.c
        payload = self._connection.execute(
            select(o.payload).where(o.kennel == self._id, o.room == room, o.sent_key == sent_key, o.kind == "say")
        ).scalar()
        return from_json(Say, payload) if payload is not None else None

    def is_said(self, key: str) -> bool:
        """True where something with that key was ever put into the outbox."""
        o = t.outbox.c
        return self._connection.execute(select(o.id).where(o.kennel == self._id, o.key == key)).scalar() is not None

    def invite(self, invite: Invite, at: datetime, secret: bytes) -> str:
        """Makes an invitation into this kennel and gives its nonce (see `bot.storage.codes`)."""
        return invites.add(self._connection, self._id, invite, at, secret)

    def uninvite(self, person: str) -> int:
        """How many open invitations of that person do not work any more."""
        return invites.withdraw(self._connection, self._id, person)

    def traces_of(self, name: str, also: Sequence[str]) -> erasing.Traces:
        """By what a person of the kennel can be found; to be asked before they leave the roster."""
        return erasing.traces(self._connection, self._id, name, also)

    def erase_person(self, traces: erasing.Traces, instead: str) -> None:
        """Takes everything of that person out; where others named them, `instead` stands."""
        erasing.person(self._connection, self._id, traces, instead)
        self._wrote_book = True
        self._raise_revision()

    def erase_kennel(self) -> None:
        """Takes the kennel out whole; the store is of no use after that."""
        erasing.kennel(self._connection, self._id)
        self._kept.kennels.pop(self._id, None)
        self._kept.ledgers.forget(self._id)

    def settle_inbox(self, row: int, state: str, error: str = "") -> None:
        """Marks the update `done` or `failed` within this transaction."""
        inbox.settle(self._connection, row, state, error)

    def looked_at(self) -> datetime | None:
        """The last instant up to which the agenda was looked at, None before the first round."""
        r = t.round_.c
        return self._connection.execute(select(r.looked_at).where(r.kennel == self._id)).scalar()

    def set_looked_at(self, at: datetime) -> None:
        """Keeps the instant up to which the agenda was looked at."""
        upsert(self._connection, t.round_, ("kennel",), {"kennel": self._id, "looked_at": at})

    def stamp(self) -> Stamp:
        """The kennel's state in short (see `bot.storage.stamps`)."""
        return stamps.of_kennel(self._connection, self._id)

    def _raise_revision(self) -> None:
        # At each change, not once a transaction: a caller may save twice, each time on what it last saw.
        self._wrote_roster = True
        k = t.kennel.c
        self._connection.execute(update(t.kennel).where(k.id == self._id).values(revision=k.revision + 1))
