"""Promise 9: each reply and reminder is sent at least once, twice only when an answer was lost, never three times.

Kills before, during and after the call are in `test_01_kills_of_serve.py`; here the network fails on and on.
"""

from __future__ import annotations

import asyncio
from collections import Counter
from datetime import date
from pathlib import Path

import pytest

from bot.scheduling.pace import Limits
from core.roster import Dog
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.faults import Broken, Drop, Fault, Late, Status
from tests.stand_ins.hearing import hear
from tests.stand_ins.serving import TOM, UNPACED, Serving, Swift, kennel

NUGGET = Dog(name="Nugget", born=date(2026, 3, 8))


@pytest.mark.parametrize(
    ("faults", "copies"),
    [
        ((Drop(done=True), Drop(done=True), Drop(done=True)), 2),  # each time it arrived and nobody heard so
        ((Broken(), Drop(done=True)), 2),
        ((Drop(done=True), Status(502)), 2),  # lost, then surely not sent, then sent
        ((Status(500), Drop(), Status(429, "Too Many Requests", {"retry_after": 1})), 1),
        ((Drop(), Status(500)), 1),  # the connection was cut before anything was done: nobody can know
    ],
)
async def test_never_three_times(tmp_path: Path, faults: tuple[Fault, ...], copies: int) -> None:
    async with BotApi() as api, Serving(api, tmp_path / "a.db", hear, clock=Swift(60.0), limits=UNPACED) as serving:
        serving.settle(kennel(NUGGET))
        api.fail("sendMessage", *faults)
        api.world.write(serving.family, TOM, "how is Nugget?")
        await api.until(lambda: len(api.world.sent) == copies, seconds=15)
        for _ in range(2):  # and a start, which looks after what was being sent, adds none
            await serving.stop()
            serving.database.open()
            await serving.start()
        await asyncio.sleep(0.2)
        assert Counter(s.text for s in api.world.sent) == {"Nugget: no weight yet.": copies}
        assert not serving.database.outbox.counts().get("sending")


async def test_a_time_out_after_the_server_took_it_is_one_more_at_most(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("bot.chat.connecting._READ_S", 0.3)
    async with BotApi() as api:
        served = Serving(api, tmp_path / "a.db", hear, clock=Swift(60.0), limits=Limits(margin_s=0.0))
        async with served as serving:
            serving.settle(kennel(NUGGET))
            api.fail("sendMessage", Late(0.6), Late(0.6), Late(0.6))
            api.world.write(serving.family, TOM, "how is Nugget?")
            await api.until(lambda: len(api.world.sent) == 2, seconds=10)
            await asyncio.sleep(1.0)
    assert len(api.world.sent) == 2
