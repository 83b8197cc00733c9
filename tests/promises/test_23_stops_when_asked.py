"""Promise 23, first half: told to stop, it finishes the turn under way and ends within 10 seconds."""

from __future__ import annotations

import asyncio
import time
from datetime import date
from pathlib import Path

from bot.chat.patience import Patience
from bot.scheduling.clock import SystemClock
from bot.storage import Database
from core.messages import Message
from core.roster import Dog
from core.turns import Scene, Turn
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.faults import Late
from tests.stand_ins.hearing import hear
from tests.stand_ins.process import Process
from tests.stand_ins.serving import MAYA, QUICK, TOM, Serving, kennel

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
