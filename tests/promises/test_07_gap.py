"""Promise 7: a gap is admitted: after thirty hours down the first words name the hours whose messages may be lost.

What the rounds make of three hours, a night, and weeks is in `tests/scheduling/test_rounds.py`; here the whole bot
starts after the gap.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shared.texts import text
from tests.promises.test_06_late_message import Clock
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.fixtures import NUGGET
from tests.stand_ins.serving import MAYA, Serving, kennel

AT = datetime(2026, 7, 5, 20, 0, tzinfo=UTC)  # 21:00 in London


@pytest.mark.parametrize(("hours", "lost"), [(30, True), (23, False)])
async def test_the_first_words_name_the_gap(tmp_path: Path, hours: int, lost: bool) -> None:
    clock = Clock(AT)
    async with BotApi() as api:
        serving = Serving(api, tmp_path / "fettle.db", None, clock=clock)
        serving.database.open()
        serving.settle(replace(kennel(NUGGET), zone="Europe/London"))
        async with serving:
            await serving.stop()
            said = len(api.world.sent)
            clock.set(AT + timedelta(hours=hours))
            serving.database.open()
            await serving.start()
            if lost:
                await api.until(lambda: len(api.world.sent) > said)
                first = api.world.sent[said]
                assert first.chat == MAYA.id and first.text.endswith(text("reminders.down_lost"))
                assert "21:00" in first.text and "03:00" in first.text
            await serving.stop()
        assert lost == any(text("reminders.down_lost") in s.text for s in api.world.sent)
