"""Promise 33: secrets stay secret: the token and people's words are in no log."""

from __future__ import annotations

import logging

import pytest

from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.faults import Broken, Status
from tests.stand_ins.serving import TOM, Serving


async def test_a_token_is_in_no_log(
    api: BotApi, serving: Serving, number: int, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO):
        api.fail("sendMessage", Status(500), Status(403, "Forbidden: odd"))
        api.fail("getUpdates", Status(502), Broken())
        api.world.write(serving.family, TOM, "how is Nugget?")
        await api.until(lambda: ("sendMessage", 403) in api.refused, seconds=8)
    ours = [r for r in caplog.records if r.name.startswith(("bot.", "telegram"))]
    assert ours and not [r for r in ours if TOKEN in r.getMessage() or "Nugget" in r.getMessage()]
