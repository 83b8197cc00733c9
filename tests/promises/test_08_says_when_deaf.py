"""Promise 8: it says when it cannot hear (Telegram's privacy mode, and no administrator of the group)."""

from __future__ import annotations

from pathlib import Path

from shared.texts import text
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.fixtures import NUGGET
from tests.stand_ins.hearing import hear
from tests.stand_ins.serving import MAYA, Serving, kennel
from tests.stand_ins.world import World


async def test_privacy_mode_is_told_to_the_breeder(tmp_path: Path) -> None:
    async with BotApi(World(privacy=True)) as api:
        serving = Serving(api, tmp_path / "fettle.db", hear)
        serving.database.open()
        serving.settle(kennel(NUGGET))
        async with serving:
            await api.until(lambda: api.world.sent)
            assert [(s.chat, s.text) for s in api.world.sent] == [(MAYA.id, text("telegram.deaf"))]
            await serving.stop()
            serving.family.bot_is_admin = True
            await serving.start()
        assert len(api.world.sent) == 1
