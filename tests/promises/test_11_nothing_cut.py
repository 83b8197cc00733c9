"""Promise 11: nothing is cut in the middle, whatever its length; a retry goes on where it stopped.

The double refuses what is over 4,096 UTF-16 units, as Telegram does (Bot API, `sendMessage`, from memory). Where to cut
is tested in `tests/chat/test_splitting.py`.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.messages import Message, Say
from core.roster import Dog
from core.turns import Scene, Turn
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.faults import Status
from tests.stand_ins.serving import TOM, Serving, Swift, kennel

NUGGET = Dog(name="Nugget", born=date(2026, 3, 8))
LONG = {
    "4095": "a" * 4095,
    "4096": "a" * 4096,
    "4097": "a" * 4097,
    "emoji": "🐾" * 2049,
    "words": "Nugget ate well. " * 700,
    "lines": "\n".join(f"{n}: " + "x" * 80 for n in range(120)),
}


def _long(message: Message, scene: Scene) -> Turn:
    said = LONG[message.text]
    return Turn(out=(Say(key=message.key, room=message.room, text=said, reply_to=message.key, buttons=("yes",)),))


@pytest.mark.parametrize("name", LONG)
@pytest.mark.parametrize("fails", [False, True])
async def test_all_of_it_arrives_in_order(tmp_path: Path, name: str, fails: bool) -> None:
    async with BotApi() as api, Serving(api, tmp_path / "a.db", _long, clock=Swift(60.0)) as serving:
        serving.settle(kennel(NUGGET))
        if fails:  # the second part is refused once
            api.fail("sendMessage", None, Status(500))
        asked = api.world.write(serving.family, TOM, name)
        whole = "".join(LONG[name].split())
        await api.until(lambda: sum(len("".join(s.text.split())) for s in api.world.sent) >= len(whole), seconds=10)
        sent = api.world.sent
    assert "".join("".join(s.text.split()) for s in sent) == whole  # each part once
    assert [s.reply_to for s in sent] == [asked] + [None] * (len(sent) - 1)
    assert [s.buttons for s in sent] == [()] * (len(sent) - 1) + [("yes",)]
    assert 400 not in [code for _, code in api.refused]
