"""Promise 14: a due thing is announced once for its day: after a restart, after a clock set back, by whoever looks.

Two processes at once, and a round cut off in the middle: `tests/scheduling/test_rounds.py`. Here the whole bot is
stopped around a round, and the clock is put back while it is away.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import pytest

from core.roster import Duty, Ration
from tests.promises.test_06_late_message import Clock
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.fixtures import NUGGET
from tests.stand_ins.serving import Serving, kennel

AT = datetime(2026, 7, 5, 6, 59, tzinfo=UTC)


@pytest.mark.parametrize("back", [timedelta(0), timedelta(minutes=1), timedelta(hours=2), timedelta(days=1)])
async def test_breakfast_is_named_once_whatever_the_clock_does_at_a_restart(tmp_path: Path, back: timedelta) -> None:
    clock = Clock(AT)
    dog = replace(NUGGET, ration=(Ration(meal="breakfast", cups=0.75),))
    home = replace(kennel(dog), duties=(Duty(what="breakfast", at=time(7), who="Tom"),))
    async with BotApi() as api:
        serving = Serving(api, tmp_path / "fettle.db", None, clock=clock)
        serving.database.open()
        serving.settle(home)
        async with serving:
            for now in (AT + timedelta(minutes=2), AT + timedelta(minutes=3) - back, AT + timedelta(minutes=4)):
                await serving.stop()
                clock.set(now)
                serving.database.open()
                await serving.start()
            await api.until(lambda: api.world.sent)
            await serving.stop()
        said = Counter(s.text for s in api.world.sent if "Breakfast" in s.text or "breakfast" in s.text)
    assert len(said) == 1 and set(said.values()) == {1}, said
