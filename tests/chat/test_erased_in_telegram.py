"""The breeder has her kennel erased in Telegram: a goodbye, and nothing is left; a buyer erased is a stranger."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from bot.scheduling.clock import SystemClock
from core.roster import Person
from shared.texts import text
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.fixtures import NUGGET
from tests.stand_ins.serving import MAYA, TOM, ZED, Serving, kennel
from tests.stand_ins.world import World


def _rows(serving: Serving) -> str:
    with serving.database.transaction(writes=False) as connection:
        driver = connection.connection.driver_connection
        assert driver is not None
        return "\n".join(driver.iterdump())


async def test_the_kennel_is_erased_and_says_goodbye(tmp_path: Path) -> None:
    world = World(unix=lambda: int(SystemClock().now().timestamp()))  # a press is dated by its arrival
    async with BotApi(world) as api, Serving(api, tmp_path / "a.db", None) as serving:
        serving.settle(kennel(NUGGET))
        api.world.write(serving.family, TOM, "Nugget 9.4 kg")
        api.world.write(serving.line, MAYA, "erase the kennel")
        await api.until(lambda: any(s.buttons and s.chat == MAYA.id for s in api.world.sent))
        asked = next(s for s in api.world.sent if s.buttons and s.chat == MAYA.id)
        api.world.press(serving.line, asked.message, "erase Larkrise", MAYA)
        await api.until(lambda: api.world.sent[-1].text == text("erase.goodbye"))
        assert api.world.sent[-1].chat == MAYA.id
        await api.until(lambda: not serving.database.kennels())
        for gone in ("Larkrise", "Nugget", "Maya", "9.4"):
            assert gone not in _rows(serving)
        api.world.write(serving.line, MAYA, "how is Nugget?")  # she is a stranger now, and a code is waited for
        await api.until(lambda: api.world.sent[-1].text == text("telegram.unclaimed"))


async def test_an_erased_buyer_is_a_stranger(tmp_path: Path) -> None:
    async with BotApi() as api, Serving(api, tmp_path / "a.db", None) as serving:
        home = kennel(replace(NUGGET, home="Zedekiah"))
        buyer = Person(name="Zedekiah", role="buyer", dogs=("Nugget",))
        number = serving.settle(replace(home, people=(*home.people, buyer)))
        serving.database.bind_account("telegram", str(ZED.id), number, "Zedekiah")
        line = api.world.private(ZED)
        api.world.write(line, ZED, "Nugget 9.4 kg at the vets")
        await api.until(lambda: len(serving.book(number)) == 1 and api.world.sent)
        api.world.write(serving.line, MAYA, "erase Zedekiah")
        await api.until(lambda: any(s.buttons and s.chat == MAYA.id for s in api.world.sent))
        api.world.write(serving.line, MAYA, "erase Zedekiah")
        await api.until(lambda: any(s.text == text("erase.done") for s in api.world.sent))
        await api.until(lambda: not serving.database.outbox.counts().get("sending"))
        assert "Zedekiah" not in _rows(serving) and f'"{ZED.id}"' not in _rows(serving)
        assert [kg for _, _, kg, _ in serving.weights(number)] == [9.4]
        api.world.write(line, ZED, "how is Nugget?")
        await api.until(lambda: api.world.sent[-1].text == text("strangers.one_line"))
