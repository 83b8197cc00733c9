"""Promise 33: secrets stay secret: the token and people's words are in no log."""

from __future__ import annotations

import logging
from pathlib import Path

import pytest

from core.messages import Message, Say
from core.roster import FAMILY
from core.turns import Scene, Turn
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.faults import Broken, Status
from tests.stand_ins.fixtures import NUGGET
from tests.stand_ins.serving import TOM, Serving, kennel


async def test_a_token_is_in_no_log(
    api: BotApi, serving: Serving, number: int, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO):
        api.fail("sendMessage", Status(500), Status(403, "Forbidden: odd"))
        api.fail("getUpdates", Status(502), Broken())
        api.world.write(serving.family, TOM, "how is Nugget?")
        await api.until(lambda: ("sendMessage", 403) in api.refused, seconds=8)
    ours = [r for r in caplog.records if r.name.startswith(("bot.", "telegram"))]
    assert ours and not [r for r in ours if TOKEN in _whole(r) or "Nugget" in _whole(r)]


def _whole(record: logging.LogRecord) -> str:
    """The record with its traceback, as a handler writes it that does not strike out the token."""
    return logging.Formatter("%(name)s %(message)s").format(record)


async def test_what_a_fault_quotes_is_in_no_log(api: BotApi, tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    """A turn, a picture and a round that raise with somebody's words, or the token, in what they raise."""

    def raises(message: Message, scene: Scene) -> Turn:
        raise ValueError(f"{message.text} {TOKEN}")

    caplog.set_level(logging.INFO)
    async with Serving(api, tmp_path / "a.db", raises) as serving:
        number = serving.settle(kennel(NUGGET))
        api.world.write(serving.family, TOM, "Nugget ate Wren's slippers")
        with serving.database.writing(number) as store:
            said = Say(key="c", room=FAMILY, text="look", picture="chart:weight:Nugget's sister:2026-03-14")
            store.say([said], at=serving.clock.now())
        await api.until(lambda: api.world.sent and serving.database.inbox.set_aside())
    ours = [_whole(r) for r in caplog.records if r.name.startswith("bot")]
    assert any("try 3: ValueError at " in line for line in ours) and any("picture" in line for line in ours)
    assert not [line for line in ours if TOKEN in line or "slippers" in line or "Nugget" in line]
