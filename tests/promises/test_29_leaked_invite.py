"""Promise 29: a leaked invite opens no door: one use, seven days, five tries an hour; the breeder is told.

Through the whole bot, over HTTP, with the real conversation.
"""

from __future__ import annotations

import re
from collections.abc import AsyncIterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from bot.chat.door import PLATFORM
from bot.storage import codes
from shared.texts import text
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.fixtures import JUNIPER, NUGGET
from tests.stand_ins.serving import MAYA, TOM, ZED, Serving, Swift, kennel
from tests.stand_ins.world import Chat, User

BO = User(id=16, first="Bo", last="Lind", username="bolind")


class Ahead(Swift):
    """A clock that can be put forward."""

    ahead = timedelta(0)

    def now(self):  # type: ignore[no-untyped-def]
        """The present instant of this clock."""
        return super().now() + self.ahead


class House:
    """The bot, the breeder's line, and what she was told."""

    def __init__(self, api: BotApi, serving: Serving, clock: Ahead) -> None:
        self.api, self.serving, self.clock = api, serving, clock
        self.number = serving.settle(kennel(NUGGET, replace(JUNIPER, name="Juniper")))

    async def say(self, chat: Chat, user: User, words: str, lines: int = 1) -> list[str]:
        """Somebody writes; the next lines that Fettle says, in whatever room."""
        before = len(self.api.world.sent)
        self.api.world.write(chat, user, words)
        await self.api.until(lambda: len(self.api.world.sent) >= before + lines, seconds=8)
        return [s.text for s in self.api.world.sent[before:]]

    async def link(self, words: str = "invite Bo for Nugget") -> str:
        """The code in the link that the breeder gets."""
        (said,) = await self.say(self.serving.line, MAYA, words)
        found = re.search(r"https://t\.me/fettle_test_bot\?start=(\w{26})\n", said)
        assert found is not None, said
        assert re.search(r"join ((?:\w{5,6}-?){5})\n", said)
        return found[1]

    def told(self) -> list[str]:
        """What the breeder was told in her line."""
        return [s.text for s in self.api.world.sent if s.chat == MAYA.id]

    def rows(self) -> str:
        """Every row of every table as text."""
        with self.serving.database.transaction(writes=False) as connection:
            driver = connection.connection.driver_connection
            assert driver is not None
            return "\n".join(driver.iterdump())


@pytest.fixture
async def house(api: BotApi, tmp_path: Path) -> AsyncIterator[House]:
    clock = Ahead()
    async with Serving(api, tmp_path / "fettle.db", None, clock=clock) as serving:
        yield House(api, serving, clock)


async def test_a_link_lets_one_in_and_tells_who_came(house: House) -> None:
    code = await house.link()
    assert code not in house.rows() and codes.digest(code) in house.rows()
    said = await house.say(house.api.world.private(BO), BO, f"/start {code}", lines=2)
    assert any(t.startswith("Hello Bo! Tell me of Nugget") for t in said)
    assert text("invites.came", who="Bo", account="Bo Lind (@bolind)") in said
    answer = await house.say(house.api.world.private(BO), BO, "how is Nugget?")
    assert answer[0].startswith("Nugget, ")


@pytest.mark.parametrize("why", ["used", "expired", "withdrawn"])
async def test_a_link_that_is_over_gives_one_polite_line_and_the_breeder_hears_of_it(house: House, why: str) -> None:
    code = await house.link()
    if why == "used":
        await house.say(house.api.world.private(BO), BO, f"/start {code}", lines=2)
    elif why == "expired":
        house.clock.ahead = timedelta(days=7, seconds=1)
    else:
        await house.say(house.serving.line, MAYA, "withdraw Bo's link")
    said = await house.say(house.api.world.private(ZED), ZED, f"/start {code}", lines=2)
    assert sorted(said) == sorted((
        text("invites.no_such"), text("invites.used_again", who="Zed (@zed)", link=text("invites.link_of", who="Bo"))
    ))
    assert ZED.id not in map(int, house.serving.database.accounts_of(PLATFORM, house.number))
    assert code not in house.rows() or why == "used"


async def test_five_wrong_codes_shut_the_door_for_that_sender_for_an_hour(house: House) -> None:
    code = await house.link()
    private = house.api.world.private(ZED)
    for n in range(4):
        assert await house.say(private, ZED, f"/start {'A' * 25}{n}") == [text("invites.no_such")]
    said = await house.say(private, ZED, "join 1234", lines=2)
    assert text("invites.guessing", who="Zed (@zed)", n=5) in said and text("invites.no_such") in said
    assert await house.say(private, ZED, f"/start {code}") == [text("invites.shut")]  # the right one, too late
    assert not house.serving.database.person_of(PLATFORM, str(ZED.id), house.number)
    # Others come in meanwhile, and after an hour the sender is heard again.
    await house.say(house.api.world.private(BO), BO, f"/start {code}", lines=2)
    again = await house.link("invite a helper")
    house.clock.ahead = timedelta(hours=1, seconds=1)
    assert any(t.startswith("Hello Zed!") for t in await house.say(private, ZED, f"/start {again}", lines=2))


async def test_a_known_person_does_not_burn_the_link_of_another(house: House) -> None:
    code = await house.link()
    house.serving.database.bind_account(PLATFORM, str(TOM.id), house.number, "Tom")
    await house.say(house.api.world.private(TOM), TOM, f"/start {code}")
    assert any("Hello Bo" in t for t in await house.say(house.api.world.private(BO), BO, f"/start {code}", lines=2))


async def test_a_code_in_a_group_is_nothing(house: House) -> None:
    code = await house.link()
    house.api.world.write(house.serving.family, BO, f"/start {code}")
    await house.api.until(lambda: any("Bo Lind" in t for t in house.told()))  # asked about, as anybody unknown
    found = house.serving.database.invites.find(code, house.clock.now())
    assert found is not None and found.state == "open"


async def test_a_buyer_whose_access_ended_is_a_stranger_with_an_old_button_too(house: House) -> None:
    private = house.api.world.private(BO)
    await house.say(private, BO, f"/start {await house.link()}", lines=2)
    await house.say(house.serving.line, MAYA, "remove Bo")
    assert await house.say(private, BO, "how is Nugget?") == [text("strangers.one_line")]
    number = house.api.world.post(private, {
        "text": "Nugget, 9.4 kg?",
        "reply_markup": {"inline_keyboard": [[{"text": "yes", "callback_data": "0"}]]},
    })["message_id"]
    before = len(house.api.world.sent)
    house.api.world.press(private, number, "yes", BO)
    await house.api.until(lambda: not house.api.world.updates)
    await house.say(house.serving.line, MAYA, "how is Juniper?")
    assert len(house.api.world.sent) == before + 1
