"""Promise 17: a wrong clock does no harm: far from Telegram's own time announcements are held, and the breeder told.

A clock set back announces nothing twice, one that was never set nothing at all: `tests/scheduling/test_rounds.py` and
`test_14_due_once.py`. Waits are counted on a monotonic clock: `tests/scheduling/test_clock.py`.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import pytest

from core.roster import Duty, Ration
from shared.texts import text
from tests.promises.test_06_late_message import Clock
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.fixtures import NUGGET
from tests.stand_ins.serving import MAYA, TOM, Serving, kennel
from tests.stand_ins.world import World

AT = datetime(2026, 7, 5, 7, 1, tzinfo=UTC)  # a minute after breakfast was due


@pytest.mark.parametrize("off", [timedelta(minutes=1), timedelta(minutes=-1), timedelta(days=1), timedelta(days=-1)])
async def test_a_clock_that_is_far_off_announces_nothing_and_says_so(tmp_path: Path, off: timedelta) -> None:
    far = abs(off) > timedelta(minutes=5)
    clock = Clock(AT - timedelta(minutes=2))
    dog = replace(NUGGET, ration=(Ration(meal="breakfast", cups=0.75),))
    home = replace(kennel(dog), duties=(Duty(what="breakfast", at=time(7), who="Tom"),))
    async with BotApi(World(unix=lambda: int(AT.timestamp()))) as api:
        serving = Serving(api, tmp_path / "fettle.db", None, clock=clock)
        serving.database.open()
        number = serving.settle(home)
        async with serving:
            await serving.stop()
            api.dates = True
            clock.set(AT + off)
            serving.database.open()
            await serving.start()
            await api.until(lambda: api.world.sent or (not far and off < timedelta(0)))
            told = [s for s in api.world.sent if s.text == text("faults.clock")]
            assert [s.chat for s in told] == ([MAYA.id] if far else [])
            assert any("reakfast" in s.text for s in api.world.sent) == (off == timedelta(minutes=1))
            # What is written is kept on the day it was sent, by Telegram's own date, whatever the clock says.
            api.world.write(serving.family, TOM, "Nugget 9.4 kg")
            await api.until(lambda: api.world.marks or serving.book(number) or len(api.world.sent) > 1)
            await serving.stop()
            clock.set(AT + timedelta(minutes=1))  # put right
            serving.database.open()
            await serving.start()
            await api.until(lambda: any("reakfast" in s.text for s in api.world.sent))
            await serving.stop()
    assert sum("reakfast:" in s.text or s.text.startswith("Breakfast") for s in api.world.sent) <= 1
