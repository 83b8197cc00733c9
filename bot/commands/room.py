"""A kennel in the terminal: steps go in through the inbox and a turn, time moves through the rounds, and what is
said comes out through the outbox and its delivery, exactly as with any other chat."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from functools import partial
from pathlib import Path

from bot.chat.codes import code_in
from bot.chat.joining import knock
from bot.chat.script import EDITS, MOVES, PRESSES, SENDS, Step
from bot.chat.terminal import PLATFORM, Screen, TerminalSender
from bot.chat.updates import LONGEST_TABLE
from bot.commands.making import make_document
from bot.commands.telegram_book import TelegramBook
from bot.conversation import moments
from bot.replies import charts
from bot.scheduling.clock import SetClock
from bot.scheduling.delivery import Delivery
from bot.scheduling.rounds import Rounds
from bot.storage import Database, codes
from bot.turn import Turns
from core.access import own_room
from core.agenda import due
from core.ledger import Posted
from core.messages import Message, Say
from core.roster import BREEDER, FAMILY, Kennel, Person
from core.times import instant
from shared.spreadsheet import decoded
from shared.texts import listed, text

OWN_LINE = frozenset({"buyer", "sitter", "mentor"})  # who writes in a private line unless another room is named


class NotPossible(Exception):
    """A step that can't be taken; the text says why."""


class Room:
    """One kennel, its clock and its screen.

    Args:
        start: the instant at which the clock stands first. folder: where pictures are written.
    """

    def __init__(self, database: Database, kennel_id: int, start: datetime, screen: Screen, folder: Path) -> None:
        self._database, self._id = database, kennel_id
        self.clock = SetClock(start)
        self._screen = screen
        self._secret = codes.new_secret()
        self._turns = Turns(database, secret=self._secret)
        # The terminal loses no message while it is closed, so nothing is said of it.
        self._rounds = Rounds(database, messages_kept=None)
        self._book = TelegramBook(database, PLATFORM)
        self.sender = TerminalSender(
            screen, self.local, lambda: _made(folder), self._draw, partial(make_document, database, kennel_id),
            partial(codes.code_of, self._secret),
        )
        self._delivery = Delivery(database, self.sender, self.clock, PLATFORM, is_group=lambda room: False)
        self._kennel = self._load()
        self._bound: set[str] = set()
        self._gone = False  # the kennel was erased
        self._last: dict[tuple[str, str], Message] = {}
        self._run, self._count = secrets.token_hex(4), 0
        self._bind()
        with database.writing(kennel_id) as store:
            looked = store.looked_at()
            if looked is None or looked < start:
                store.set_looked_at(start)  # a demo that was closed was not down

    def kennel(self) -> Kennel:
        """The kennel as it stood after the last turn."""
        return self._kennel

    def _load(self) -> Kennel:
        with self._database.reading(self._id) as store:
            return store.load_kennel()

    def local(self) -> datetime:
        """The wall-clock time at the kennel."""
        return self.kennel().local(self.clock.now())

    def instant_of(self, wall: datetime) -> datetime:
        """The instant of a wall-clock time at the kennel."""
        return instant(wall.date(), wall.time(), self.kennel().tz)

    async def take(self, step: Step, line: str) -> None:
        """Takes one step: moves the clock, lets the message be heard, delivers what comes of it.

        Raises:
            NotPossible: an edit of nothing, a button that is not there, a room that does not exist.
            StorageError: the database could not do it.
        """
        if self._gone:
            raise NotPossible(text("terminal.gone"))
        sent_at = self.clock.now() if step.at is None else self.instant_of(step.at)
        if sent_at > self.clock.now():
            await self.move(sent_at)
        if step.does == MOVES:
            return
        message = self._message(step, sent_at)
        self._screen.came(replace(message, sent_at=self.kennel().local(sent_at)), line)
        if self._came_in(message):
            await self._settle()
            return
        turn = self._turns.take(message, self._id, now=self.clock.now())
        if turn is not None and turn.erase_kennel:
            self._gone = True
            self._screen.said(Say(key="", room=message.room, text=text("erase.goodbye")), self.local(), "")
            return
        if not message.pressed:
            self._last[message.sender, message.room] = self._last[message.sender, ""] = message
        await self._settle()

    def _came_in(self, message: Message) -> bool:
        """True where the message was the code of an invitation, said in somebody's own line; it is no note then."""
        code = code_in(message.text)
        if not code or message.room in (FAMILY, BREEDER):
            return False
        who = message.sender
        answer = knock(
            self._book, code, account=who, chat=self._chat(who), name=who, shown=who, at=self.clock.now(),
            only=self._id,
        )
        with self._database.writing(self._id) as store:
            store.say(answer.say, at=self.clock.now())
        if answer.line:
            self._screen.said(Say(key="", room=message.room, text=answer.line), self.local(), "")
        return True

    async def _settle(self) -> None:
        """Delivers what a turn left; in another time zone the clock goes on showing the same time."""
        before, after = self._kennel, self._load()
        if after.zone == before.zone:
            self._kennel = after
            await self._deliver()
            return
        await self._deliver()
        wall = self.local().replace(tzinfo=None)
        self._kennel = after
        self.clock.set(self.instant_of(wall))
        with self._database.writing(self._id) as store:
            store.set_looked_at(self.clock.now())

    async def move(self, to: datetime) -> None:
        """Moves the clock forward to that instant; what falls due on the way goes out at its time."""
        kennel = self.kennel()
        start = self.clock.now()
        with self._database.reading(self._id) as store:
            ledger = store.load_ledger(kennel.day_of(to), kennel)
            again = moments(store.memory(), start, to)
        # Nobody writes on the way, so what falls due is known before the clock moves.
        items = due(kennel, ledger, start, to, self._rounds.tips)
        for at in sorted({item.at for item in items} | {*again, to}):
            self.clock.set(at)
            self._rounds.look_at(self._id, at)
            await self._deliver()

    async def _deliver(self) -> None:
        self._bind()
        await self._delivery.flush()

    def _bind(self) -> None:
        """Makes a chat of each room of the kennel: the terminal shows them all."""
        kennel = self.kennel()
        rooms = {FAMILY, BREEDER, *(p.name for p in kennel.people if p.role in OWN_LINE)}
        for room in sorted(rooms - self._bound):
            self._bind_one(room)

    def _bind_one(self, room: str) -> None:
        if room not in self._bound:
            self._database.bind_room(PLATFORM, self._chat(room), self._id, room)
            self._bound.add(room)

    def _chat(self, room: str) -> str:
        return f"{self._id} {room}"

    # -- messages

    def _message(self, step: Step, sent_at: datetime) -> Message:
        kennel = self.kennel()
        person = kennel.person(step.who)
        sender = person.name if person else step.who
        room = self.room_named(step.room, kennel, sender) if step.room else home_of(person)
        if step.does == EDITS:
            return self._edited(sender, room if step.room else "", step.text)
        if step.does == PRESSES:
            return self._pressed(kennel, person, sender, room, bool(step.room), step.text, sent_at)
        self._bind_one(room)
        if step.does == SENDS:
            return Message(
                key=self._key(), room=room, sender=sender, sent_at=sent_at, text="", table=_table(Path(step.text))
            )
        return Message(
            key=self._key(), room=room, sender=sender, sent_at=sent_at, text=step.text, picture=step.picture
        )

    def room_named(self, said: str, kennel: Kennel, sender: str) -> str:
        """The room of that name.

        Raises:
            NotPossible: there is none.
        """
        low = said.casefold()
        if low in (FAMILY, BREEDER):
            return low
        person = kennel.person(said)
        if person is not None:
            return own_room(kennel, person)
        if low == sender.casefold():
            return sender  # a stranger's private line
        raise NotPossible(text("terminal.no_room", room=said, rooms=listed(rooms_of(kennel))))

    def _edited(self, sender: str, room: str, said: str) -> Message:
        before = self._last.get((sender, room))
        if before is None:
            raise NotPossible(text("terminal.no_message", who=sender))
        return replace(before, text=said, edit=before.edit + 1)

    def _pressed(
        self, kennel: Kennel, person: Person | None, sender: str, room: str, named: bool, label: str, sent_at: datetime
    ) -> Message:
        rooms = [room] if named or person is None else list(dict.fromkeys((room, own_room(kennel, person))))
        for here in rooms:
            if found := self.sender.offered(here, label):
                key, own = found
                return Message(
                    key=self._key(), room=here, sender=sender, sent_at=sent_at, text="", pressed=own, reply_to=key
                )
        raise NotPossible(text("terminal.no_button", label=label, who=sender))

    def _key(self) -> str:
        self._count += 1
        return f"{self._run}-{self._count}"

    def _draw(self, room: str, spec: str) -> bytes:
        with self._database.reading(self._id) as store:
            kennel = store.load_kennel()
            ledger = store.load_ledger(kennel.day_of(self.clock.now()), kennel)
        return charts.render(spec, kennel, ledger, room)


def home_of(person: Person | None) -> str:
    """The room in which somebody writes where none is named."""
    return person.name if person is not None and person.role in OWN_LINE else FAMILY


def rooms_of(kennel: Kennel) -> list[str]:
    """The names of the kennel's rooms."""
    return [FAMILY, BREEDER, *(p.name for p in kennel.people if p.role in OWN_LINE)]


def load_history(database: Database, kennel_id: int, history: Sequence[Posted], until: datetime) -> None:
    """Writes the book that a kennel file brings along, as far as it was told before that instant."""
    with database.writing(kennel_id) as store:
        store.bring([p for p in history if p.at < until])


def _table(file: Path) -> str:
    """The text of a table.

    Raises:
        NotPossible: it can't be read, or is too long.
    """
    try:
        if file.stat().st_size > LONGEST_TABLE:
            raise NotPossible(text("weight_table.error.long"))
        return decoded(file.read_bytes())
    except OSError:
        raise NotPossible(text("weight_table.error.fetch")) from None


def _made(folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    return folder
