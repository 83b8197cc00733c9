"""Promise 23: told to stop, it finishes the turn under way and ends within 10 seconds; what hangs is noticed."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path

import pytest
from aiohttp import ClientSession

from bot.chat.patience import Patience
from bot.chat.webhook import SECRET_HEADER, address_of
from bot.commands import serve
from bot.commands.watching import keep_watch
from bot.scheduling.clock import SystemClock
from bot.scheduling.watch import Watch
from bot.storage import Database, Update, codes
from core.messages import Message
from core.roster import Dog
from core.turns import Scene, Turn
from tests.chat.test_webhook import free
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.faults import Late
from tests.stand_ins.hearing import hear
from tests.stand_ins.process import Process
from tests.stand_ins.serving import MAYA, QUICK, TOM, Serving, Swift, kennel

NUGGET = Dog(name="Nugget", born=date(2026, 3, 8))


def _slowly(message: Message, scene: Scene) -> Turn:
    time.sleep(0.5)
    return hear(message, scene)


async def test_the_turn_under_way_is_finished_and_the_rest_waits(tmp_path: Path) -> None:
    async with BotApi() as api, Serving(api, tmp_path / "fettle.db", _slowly, clock=SystemClock()) as serving:
        number = serving.settle(kennel(NUGGET))
        for kg in (9.1, 9.2, 9.3):
            api.world.write(serving.family, TOM, f"Nugget {kg} kg")
        await api.until(lambda: serving.database.inbox.waiting("telegram"))
        await asyncio.sleep(0.2)
        began = time.monotonic()
        await serving.stop()
        assert time.monotonic() - began < 3
        assert len(serving.book(number)) == 1 and len(serving.database.inbox.waiting("telegram")) == 2
        await serving.start()
        await api.until(lambda: len(serving.book(number)) == 3)


async def test_a_send_that_hangs_does_not_keep_it_from_ending(tmp_path: Path) -> None:
    async with BotApi() as api:
        file = tmp_path / "fettle.db"
        with Database(f"sqlite:///{file}") as database:
            serving = Serving(api, file, hear)
            serving.database = database
            serving.settle(kennel(NUGGET))
            api.fail("sendMessage", Late(30))
            api.world.write(serving.line, MAYA, "how is Nugget?")
            process = Process(api.url, file).start()
            await api.until(lambda: any(m == "sendMessage" for m, _ in api.calls), seconds=10)
            began = time.monotonic()
            process.tell()
            assert await process.ended(12) == 0
            assert time.monotonic() - began < QUICK.stop_s + 2
            assert Patience().stop_s + 2 < 10


async def test_told_to_stop_in_a_long_poll_it_ends_at_once(tmp_path: Path) -> None:
    async with BotApi() as api:
        process = Process(api.url, tmp_path / "fettle.db").start()
        await api.until(lambda: api.polls, seconds=10)
        began = time.monotonic()
        process.tell()
        assert await process.ended(10) == 0
        assert time.monotonic() - began < 2


@pytest.fixture
def watched(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[Watch]]:
    """The watch of each bot that is started; a hang of ten seconds is one."""
    found: list[Watch] = []

    async def seen(watch: Watch, *args: object) -> None:
        found.append(watch)
        await keep_watch(watch, *args)  # type: ignore[arg-type]

    monkeypatch.setattr(serve, "keep_watch", seen)
    for longest in ("_TURN_S", "_CALL_S"):
        monkeypatch.setattr(serve, longest, 10.0)
    yield found


class Held:
    """Stands still while it is held, as a lock that nobody lets go of does; in whatever thread it is called."""

    def __init__(self) -> None:
        self.go = threading.Event()

    def __call__(self, *_: object) -> None:
        self.go.wait(30)


async def test_a_turn_that_hangs_is_noticed(tmp_path: Path, watched: list[Watch]) -> None:
    """The second half: the watchdog hears nothing more (`tests/scheduling/test_watch.py`), and all is begun anew."""
    held, clock = Held(), Swift(100)

    def slowly(message: Message, scene: Scene) -> Turn:
        if "8.0" in message.text:
            held()
        return hear(message, scene)

    async with BotApi() as api, Serving(api, tmp_path / "fettle.db", slowly, clock=clock) as serving:
        number = serving.settle(kennel(NUGGET))
        api.world.write(serving.family, TOM, "Nugget 9.1 kg")
        await api.until(lambda: len(serving.book(number)) == 1)
        (watch,) = watched
        await asyncio.sleep(0.3)  # half a minute in which nobody writes is no hang
        assert watch.hanging(clock.monotonic())["turns"] is False
        api.world.write(serving.family, TOM, "Nugget 8.0 kg")
        await api.until(lambda: watch.hanging(clock.monotonic())["turns"])
        assert {name for name, hangs in watch.hanging(clock.monotonic()).items() if hangs} == {"turns"}
        held.go.set()
        await api.until(lambda: not watch.hanging(clock.monotonic())["turns"])
        await api.until(lambda: len(serving.book(number)) == 2)


async def test_a_call_of_the_webhook_that_hangs_is_noticed(tmp_path: Path, watched: list[Watch]) -> None:
    held, clock, port = Held(), Swift(100), free()
    address = address_of(f"http://{port}/in", port)
    secret = codes.secret_of(TOKEN, "webhook").hex()
    async with BotApi() as api, Serving(api, tmp_path / "a.db", hear, clock=clock, called=address) as serving:
        serving.settle(kennel(NUGGET))
        (watch,) = watched
        take = serving.database.inbox.take

        def slowly(updates: Iterable[Update]) -> int:
            held()
            return take(updates)

        serving.database.inbox.take = slowly  # type: ignore[method-assign]
        await asyncio.sleep(0.3)
        assert watch.hanging(clock.monotonic())["webhook"] is False
        async with ClientSession() as session:
            calling = asyncio.create_task(
                session.post(address.url, json={"update_id": 1}, headers={SECRET_HEADER: secret})
            )
            await api.until(lambda: watch.hanging(clock.monotonic())["webhook"])
            held.go.set()
            assert (await calling).status == 200
        assert watch.hanging(clock.monotonic())["webhook"] is False
