"""The whole bot in this process, on a database file and the Bot API double, with short waits."""

from __future__ import annotations

import asyncio
from datetime import datetime, timedelta
from pathlib import Path

from bot.chat.door import PLATFORM
from bot.chat.patience import Patience
from bot.chat.webhook import Address
from bot.commands.serve import serve
from bot.scheduling.clock import Clock, SystemClock
from bot.scheduling.pace import Limits, Pace
from bot.settings import Settings
from bot.storage import Database
from bot.turn import Hear
from core.entries import Weight
from core.ledger import Posted
from core.messages import Message
from core.roster import BREEDER, FAMILY, Dog, Kennel, Person
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.world import Chat, User

MAYA = User(id=11, first="Maya")
TOM = User(id=12, first="Tom")
GRAN = User(id=15, first="Gran")
ZED = User(id=14, first="Zed", username="zed")
FAMILY_CHAT = -100

QUICK = Patience(poll_s=3, grace_s=2.0, stop_s=1.0, first_s=0.02, longest_s=0.1)
UNPACED = Limits(chat=1000, chat_s=0.001, group=1000, group_s=0.001, all=1000, all_s=0.001, margin_s=0.0)


class Swift:
    """A clock that runs so many times faster than the machine's, so that no test waits for a retry of seconds."""

    def __init__(self, speed: float = 20.0) -> None:
        self._speed, self._clock = speed, SystemClock()
        self._began, self._monotonic = self._clock.now(), self._clock.monotonic()

    def now(self) -> datetime:
        """The present instant of this clock."""
        return self._began + timedelta(seconds=self.monotonic())

    def monotonic(self) -> float:
        """Seconds of this clock since it was made."""
        return (self._clock.monotonic() - self._monotonic) * self._speed

    async def wait(self, seconds: float) -> None:
        """Nothing, once that many of its seconds have passed."""
        await self._clock.wait(seconds / self._speed)


class Serving:
    """`fettle serve` against a double, from `async with` to its end; may be stopped and started again."""

    def __init__(
        self, api: BotApi, file: Path, hear: Hear | None, *, clock: Clock | None = None, limits: Limits = UNPACED,
        called: Address | None = None,
    ) -> None:
        self.called = called
        self.api, self.hear, self.clock, self.limits = api, hear, clock or Swift(), limits
        self.database = Database(f"sqlite:///{file}")
        self.folder = file.parent
        self.family: Chat = api.world.group("Family", chat=FAMILY_CHAT)
        self.line: Chat = api.world.private(MAYA)
        self._task: asyncio.Task[None] | None = None

    async def __aenter__(self) -> Serving:
        self.database.open()
        await self.start()
        return self

    async def __aexit__(self, *_: object) -> None:
        await self.stop()
        self.database.close()

    async def start(self) -> None:
        """Starts it; returns once it listens."""
        self._stop = asyncio.Event()
        before, told = self.api.polls, self.api.count("setWebhook")
        settings = Settings(database_url="", data_dir=self.folder, token=TOKEN, api_url=self.api.url)
        self._task = asyncio.create_task(
            serve(
                settings, self.database, self._stop,
                called=self.called, hear=self.hear, clock=self.clock, patience=QUICK, pace=Pace(self.limits),
            )
        )
        await self.api.until(
            lambda: self.api.polls > before
            or self.api.count("setWebhook") > told
            or (self._task is not None and self._task.done())
        )

    async def stop(self) -> None:
        """Tells it to stop, as SIGTERM does, and waits; raises what ended it before."""
        self._stop.set()
        if self._task is not None:
            await asyncio.wait_for(self._task, 10)
            self._task = None

    def settle(self, kennel: Kennel) -> int:
        """A kennel whose breeder has her line and whose family has its group; its number."""
        number = self.database.create_kennel(kennel)
        self.database.bind_account(PLATFORM, str(MAYA.id), number, "Maya")
        self.database.bind_room(PLATFORM, str(MAYA.id), number, BREEDER)
        self.database.bind_room(PLATFORM, str(FAMILY_CHAT), number, FAMILY)
        return number

    def book(self, kennel: int) -> tuple[Posted, ...]:
        """All that was ever posted, in order."""
        with self.database.reading(kennel) as store:
            return store.load_book().history()

    def weights(self, kennel: int) -> list[tuple[str, str, float, bool]]:
        """Every weight ever posted: who said it, of which dog, kilograms, and whether it counts."""
        posted = self.book(kennel)
        return [(p.by, p.entry.dog, p.entry.kg, p.counts) for p in posted if isinstance(p.entry, Weight)]

    def message(self, kennel: int, key: str, room: str = FAMILY) -> Message | None:
        """The message as it is kept."""
        with self.database.reading(kennel) as store:
            return store.find_message(room, key)


def kennel(*dogs: Dog) -> Kennel:
    """An invented kennel with these dogs, whose people are Maya (breeder), Tom (partner) and Gran."""
    people = (Person(name="Maya", role="breeder"), Person(name="Tom", role="partner"), Person(name="Gran", role="gran"))
    return Kennel(name="Larkrise", people=people, dogs=dogs)
