"""Promise 6: a late message is entered on the day it was sent: 20 hours offline, over midnight and a clock change."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.scheduling.clock import SetClock
from core.entries import Weight
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.fixtures import JUNIPER, NUGGET
from tests.stand_ins.serving import TOM, Serving, kennel
from tests.stand_ins.world import World


class Clock(SetClock):
    """Stands still, and lets others run while it is waited by."""

    async def wait(self, seconds: float) -> None:
        """Nothing, once the others had a turn."""
        await super().wait(seconds)
        await asyncio.sleep(min(seconds, 0.02))


@pytest.mark.parametrize(
    ("zone", "sent", "heard", "day"),
    [
        ("Europe/London", "2026-07-05T23:30", "2026-07-06T19:30", "2026-07-05"),
        ("Europe/London", "2026-03-28T22:00", "2026-03-29T18:00", "2026-03-28"),  # clocks go forward in between
        ("America/New_York", "2026-10-31T23:50", "2026-11-01T19:50", "2026-10-31"),  # and back
        ("Europe/London", "2026-03-29T02:10", "2026-03-29T22:10", "2026-03-29"),
        ("Pacific/Auckland", "2026-07-06T00:10", "2026-07-06T20:10", "2026-07-06"),  # 5 July in UTC
    ],
)
@pytest.mark.parametrize("words", ["Nugget 9.4 kg", "Nugget 9.4 kg this morning", "nugget weighed 9.4 today"])
async def test_it_is_entered_on_the_day_it_was_sent(
    tmp_path: Path, zone: str, sent: str, heard: str, day: str, words: str
) -> None:
    at, late = (datetime.fromisoformat(x).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC) for x in (sent, heard))
    clock = Clock(late)
    async with BotApi(World(unix=lambda: int(at.timestamp()))) as api:
        serving = Serving(api, tmp_path / "fettle.db", None, clock=clock)
        serving.database.open()
        dogs = (replace(d, born=date(2025, 11, 1)) for d in (NUGGET, JUNIPER))
        number = serving.settle(replace(kennel(*dogs), zone=zone))
        serving.database.bind_account("telegram", str(TOM.id), number, "Tom")
        api.world.write(serving.family, TOM, words)
        api.world.write(serving.family, TOM, "Juniper was 8.9 kg yesterday")
        async with serving:
            await api.until(lambda: len(serving.book(number)) == 2)
            posted = serving.book(number)
    on = date.fromisoformat(day)
    assert [p.entry.on for p in posted] == [on, on - timedelta(days=1)]
    assert all(isinstance(p.entry, Weight) for p in posted)
