"""Promise 17: a wrong clock does no harm: far from Telegram's own time announcements are held, and the breeder told.

A clock set back announces nothing twice, one that was never set nothing at all: `tests/scheduling/test_rounds.py` and
`test_14_due_once.py`. Waits are counted on a monotonic clock: `tests/scheduling/test_clock.py`.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path

import pytest

from bot.commands import serve
from bot.scheduling.clock import SetClock
from bot.scheduling.true_time import TrueTime
from bot.storage import Database
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


def test_a_clock_that_jumps_while_it_runs_is_not_believed_for_a_round() -> None:
    """It was right when Telegram last answered; the monotonic clock tells that so much time has not gone by."""
    clock = SetClock(AT)
    true_time = TrueTime(clock)
    assert not true_time.is_far  # nothing was heard yet
    true_time.heard(AT)
    clock.set(AT + timedelta(hours=1))  # an hour goes by
    assert true_time.off == timedelta(0) and not true_time.is_far
    for jump in (timedelta(hours=20), timedelta(days=-1), timedelta(days=-20000)):
        clock._at = AT + timedelta(hours=1) + jump  # and the clock is set wrong, at once
        assert true_time.off == jump and true_time.is_far
    true_time.heard(clock.now())  # asked anew: it was the machine that slept, the clock is right
    assert not true_time.is_far


async def test_a_machine_that_slept_tells_nobody_of_its_clock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Awake again and without a network at first: held, but nothing is said; with the first answer all is well."""
    clock = SetClock(AT)
    true_time = TrueTime(clock)
    true_time.heard(AT)
    clock._at = AT + timedelta(hours=8)  # the monotonic clock stood still
    network = False

    async def ask(bot: object) -> None:
        if network:
            true_time.heard(clock.now())

    monkeypatch.setattr(serve, "asked_again", ask)
    with Database(f"sqlite:///{tmp_path / 'a.db'}") as database:
        database.create_kennel(kennel(NUGGET))
        assert await serve._is_held(None, database, clock, true_time)  # type: ignore[arg-type]
        network = True
        assert not await serve._is_held(None, database, clock, true_time)  # type: ignore[arg-type]
        assert not any(database.outbox.counts().values())
