"""A script of the terminal room, played by Telegram accounts against the serving bot; what comes back in the same form.

    [2026-03-14 08:10] Maya: Nugget 9.4 kg      goes in through getUpdates
    [2026-03-14 08:10] Fettle marks ✍           came out as a reaction
"""

from __future__ import annotations

import asyncio
from datetime import datetime
from pathlib import Path

from bot.chat.door import PLATFORM
from bot.chat.script import EDITS, MOVES, PRESSES, Step, read_line
from bot.conversation import moments
from bot.enrolment.kennel_file import KennelFile
from bot.scheduling.clock import SetClock
from bot.scheduling.rounds import Rounds
from bot.storage import Database
from core.access import own_room
from core.agenda import due
from core.roster import FAMILY, Kennel, Person
from core.times import instant
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.due import next_due
from tests.stand_ins.serving import Serving
from tests.stand_ins.world import Chat, User, World

_OWN_LINE = frozenset({"buyer", "sitter", "mentor"})
_GROUP = -100


class _Clock(SetClock):
    """Moved by the script; what waits by it waits a little in truth, so that others get their turn."""

    async def wait(self, seconds: float) -> None:
        """Nothing, once the others had a turn."""
        await super().wait(seconds)
        await asyncio.sleep(min(seconds, 0.02))


class Replay:
    """One script, line by line; `lines` is what a reader of all the rooms would have seen."""

    def __init__(self, file: KennelFile, folder: Path, start: datetime) -> None:
        self.clock = _Clock(start.replace(tzinfo=file.kennel.tz))
        self.api = BotApi(World(unix=lambda: int(self.clock.now().timestamp())))
        self.serving = Serving(self.api, folder / "replay.db", None, clock=self.clock)
        self.lines: list[str] = []
        self._kennel_file = file
        self._users: dict[str, User] = {}
        self._last: dict[str, tuple[Chat, int]] = {}
        self._seen = [0, 0]

    async def play(self, script: str) -> list[str]:
        """The lines that came of the script."""
        async with self.api:
            database = self.serving.database.open()
            self._number = database.create_kennel(self._kennel_file.kennel)
            with database.writing(self._number) as store:
                store.bring([p for p in self._kennel_file.history if p.at < self.clock.now()])
            with database.writing(self._number) as store:
                store.set_looked_at(self.clock.now())
            self._enrol(database, self._kennel_file.kennel)
            async with self.serving:
                for line in script.splitlines():
                    step = read_line(line)
                    if step is not None:
                        await self._take(step, line.strip())
        return self.lines

    def _enrol(self, database: Database, kennel: Kennel) -> None:
        """Everybody's account, and a private line for the breeder and those who have one of their own."""
        self._family = self.api.world.group("Family", chat=_GROUP)
        database.bind_room(PLATFORM, str(_GROUP), self._number, FAMILY)
        for place, person in enumerate(kennel.people, start=1):
            user = self._users[person.name] = User(id=1000 + place, first=person.name)
            database.bind_account(PLATFORM, str(user.id), self._number, person.name)
            if person.role in _OWN_LINE or person.role == "breeder":
                self.api.world.private(user)
                database.bind_room(PLATFORM, str(user.id), self._number, own_room(kennel, person))

    async def _take(self, step: Step, line: str) -> None:
        at = self.clock.now() if step.at is None else instant(step.at.date(), step.at.time(), self._kennel().tz)
        if at > self.clock.now():
            await self._move(at)
        if step.does == MOVES:
            return
        self.lines.append(line)
        person = self._kennel().person(step.who)
        assert person is not None, f"{step.who} is not on the roster"
        if step.does == EDITS:
            chat, number = self._last[person.name]
            after = int(self.clock.now().timestamp()) - chat.messages[number]["date"]
            self.api.world.edit(chat, number, step.text, after=after)
        elif step.does == PRESSES:
            chat, number, label = self._offered(person, step.text)
            self.api.world.press(chat, number, label, self._users[person.name])
        else:
            chat = self._chat(person, step.room)
            number = self.api.world.write(chat, self._users[person.name], step.text)
            self._last[person.name] = (chat, number)
        await self._quiet()

    def _kennel(self) -> Kennel:
        with self.serving.database.reading(self._number) as store:
            return store.load_kennel()

    def _chat(self, person: Person, room: str) -> Chat:
        if (room or FAMILY) == FAMILY and not (person.role in _OWN_LINE and not room):
            return self._family
        return self.api.world.chats[self._users[person.name].id]

    def _offered(self, person: Person, label: str) -> tuple[Chat, int, str]:
        """The newest button of that label that this person can see."""
        for sent in reversed(self.api.world.sent):
            if sent.chat in (_GROUP, self._users[person.name].id) and label in sent.buttons:
                return self.api.world.chats[sent.chat], sent.message, label
        raise AssertionError(f"no button {label!r} for {person.name}")

    async def _move(self, to: datetime) -> None:
        """Moves the clock; what falls due on the way is looked for at its time, as a round each half minute would."""
        rounds = Rounds(self.serving.database)
        kennel = self._kennel()
        with self.serving.database.reading(self._number) as store:
            ledger = store.load_ledger(kennel.day_of(to), kennel)
            again = moments(store.memory(), self.clock.now(), to)
        items = due(kennel, ledger, self.clock.now(), to, rounds.tips)
        for at in sorted({i.at for i in items} | {*again, to}):
            self.clock.set(at)
            rounds.look_at(self._number, at)
            await self._quiet()

    async def _quiet(self) -> None:
        """Waits until all is heard and said, then notes what came."""
        await self.api.until(self._is_quiet, seconds=20)
        stamp = f"[{self._kennel().local(self.clock.now()):%Y-%m-%d %H:%M}]"
        came = [f"{stamp} Fettle marks {m.mark}" for m in self.api.world.marks[self._seen[0] :]]
        for sent in self.api.world.sent[self._seen[1] :]:
            room = self.serving.database.room_of(PLATFORM, str(sent.chat))
            words = sent.text.replace("\n", "\\n")
            buttons = f" [{' | '.join(sent.buttons)}]" if sent.buttons else ""
            picture = " (picture)" if sent.photo else ""
            came.append(f"{stamp} Fettle to {room.room if room else '?'}: {words}{buttons}{picture}")
        self._seen = [len(self.api.world.marks), len(self.api.world.sent)]
        self.lines += came

    def _is_quiet(self) -> bool:
        """True where nothing is on its way; looked at in the order in which things travel."""
        database = self.serving.database
        if self.api.world.updates or database.inbox.waiting(PLATFORM):
            return False
        due_at = next_due(database)
        return (due_at is None or due_at > self.clock.now()) and not database.outbox.counts().get("sending")
