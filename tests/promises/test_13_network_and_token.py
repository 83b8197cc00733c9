"""Promise 13: a dead network is waited out; a bad token is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.chat.errors import BadToken
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.faults import Broken, Drop, Status
from tests.stand_ins.fixtures import NUGGET
from tests.stand_ins.hearing import hear
from tests.stand_ins.serving import TOM, Serving, kennel


async def test_a_bad_token_ends_it_with_one_sentence(api: BotApi, tmp_path: Path) -> None:
    api.token = "1:another"
    serving = Serving(api, tmp_path / "fettle.db", hear)
    serving.database.open()
    await serving.start()
    with pytest.raises(BadToken, match="FETTLE_TOKEN") as caught:
        await serving.stop()
    assert TOKEN not in str(caught.value)


async def test_a_network_that_is_gone_for_an_hour_loses_nothing(api: BotApi, serving: Serving, number: int) -> None:
    """Every call fails for a while, in the ways in which calls fail; then all is heard and all is said, once."""
    for method in ("getUpdates", "sendMessage", "setMessageReaction"):
        api.fail(method, Status(502), Drop(), Status(500))
    asked = api.world.write(serving.family, TOM, "how is Nugget?")
    kept = api.world.write(serving.family, TOM, "Nugget 9.4 kg")
    await api.until(lambda: api.world.marks and api.world.sent, seconds=20)
    assert [p.entry.said for p in serving.book(number)] == ["Nugget 9.4 kg"]
    assert [m.message for m in api.world.marks] == [kept] and [s.reply_to for s in api.world.sent] == [asked]


async def test_it_starts_without_a_network_and_waits(api: BotApi, tmp_path: Path) -> None:
    api.fail("getMe", Drop(), Status(502), Broken())
    api.fail("deleteWebhook", Drop())
    api.webhook = "https://elsewhere.example"  # a webhook of former times is in the way of listening
    async with Serving(api, tmp_path / "fettle.db", hear) as serving:
        serving.settle(kennel(NUGGET))
        api.world.write(serving.family, TOM, "Nugget 9.4 kg")
        await api.until(lambda: api.world.marks)
