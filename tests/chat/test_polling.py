"""Listening: what is confirmed was kept before; what goes wrong is waited out, or stops the bot with one sentence."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager
from typing import Any

import pytest
import telegram

from bot.chat.connecting import make_bot
from bot.chat.errors import AnotherBot, BadToken
from bot.chat.patience import Patience
from bot.chat.polling import Listener
from bot.chat.updates import ALLOWED_UPDATES
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.faults import Broken, Drop, Status
from tests.stand_ins.world import User

MAYA = User(id=11, first="Maya")
QUICK = Patience(poll_s=5, grace_s=1.0)


class Shelf:
    """Keeps raw updates in a list; may be told to fail."""

    def __init__(self) -> None:
        self.kept: list[int] = []
        self.fails = 0
        self.before: Callable[[int], None] = lambda number: None

    async def take_in(self, raw: Mapping[str, Any]) -> None:
        """Keeps the update's number, or fails."""
        self.before(raw["update_id"])
        if self.fails:
            self.fails -= 1
            raise OSError("disk full")
        self.kept.append(raw["update_id"])


class Waits(list[float]):
    """Notes the waits and lets none of them last."""

    async def __call__(self, seconds: float) -> None:
        self.append(seconds)
        await asyncio.sleep(0)


@asynccontextmanager
async def _listening(bot: telegram.Bot, shelf: Shelf, waits: Waits | None = None) -> AsyncIterator[asyncio.Event]:
    stop = asyncio.Event()
    listener = Listener(bot, shelf.take_in, patience=QUICK, pause=waits if waits is not None else Waits())
    task = asyncio.create_task(listener.run(stop))
    try:
        yield stop
    finally:
        stop.set()
        await asyncio.wait_for(task, 2)


async def test_an_update_is_confirmed_only_when_it_is_kept(api: BotApi, bot: telegram.Bot) -> None:
    chat, shelf = api.world.group("Larkrise"), Shelf()
    still_there: list[bool] = []
    shelf.before = lambda number: still_there.append(number in [u["update_id"] for u in api.world.updates])
    for n in range(5):
        api.world.write(chat, MAYA, f"line {n}")
    async with _listening(bot, shelf):
        await api.until(lambda: not api.world.updates)
    assert shelf.kept == [700_000_001 + n for n in range(5)] and still_there == [True] * 5


async def test_what_is_asked_for(api: BotApi, bot: telegram.Bot) -> None:
    async with _listening(bot, Shelf()):
        await api.until(lambda: api.polls)
    given = dict(api.calls)["getUpdates"]
    assert tuple(given["allowed_updates"]) == ALLOWED_UPDATES and "offset" not in given
    assert "message_reaction" not in given["allowed_updates"]


async def test_one_that_cannot_be_kept_comes_again_and_those_after_it_too(api: BotApi, bot: telegram.Bot) -> None:
    chat, shelf, waits = api.world.group("Larkrise"), Shelf(), Waits()
    for n in range(3):
        api.world.write(chat, MAYA, f"line {n}")
    shelf.fails = 4
    async with _listening(bot, shelf, waits):
        await api.until(lambda: len(shelf.kept) == 3)
    assert shelf.kept == [700_000_001, 700_000_002, 700_000_003]
    assert len(waits) == 4 and waits[-1] > waits[0]  # no spin round a full disk


async def test_numbers_that_begin_anew_lower_are_heard(api: BotApi, bot: telegram.Bot) -> None:
    """Bot API, Update: after a week without updates the next number is chosen at random."""
    chat, shelf = api.world.group("Larkrise"), Shelf()
    async with _listening(bot, shelf):
        for number in (900_000_000, 5, 800_000_000):
            api.world.next_update = number
            api.world.write(chat, MAYA, "line")
            await api.until(lambda n=number: n in shelf.kept)  # type: ignore[misc]
            await api.until(lambda: not api.world.updates)
    assert shelf.kept == [900_000_000, 5, 800_000_000]


async def test_an_hour_without_a_network_is_waited_out(
    api: BotApi, bot: telegram.Bot, caplog: pytest.LogCaptureFixture
) -> None:
    chat, shelf, waits = api.world.group("Larkrise"), Shelf(), Waits()
    api.fail("getUpdates", *[Status(502), Drop(), Broken(), Status(500)] * 5)
    api.world.write(chat, MAYA, "line")
    with caplog.at_level(logging.DEBUG):
        async with _listening(bot, shelf, waits):
            await api.until(lambda: shelf.kept)
    assert len(waits) == 20 and 1.0 <= waits[0] <= 1.5
    assert max(waits) <= 300.0 and min(waits[9:]) >= 150.0
    assert sum(waits) > 3600 / 2
    ours = [r for r in caplog.records if r.name == "bot.chat.polling" and r.levelno >= logging.WARNING]
    assert len(ours) == 1  # one line for the whole hour
    assert not [r for r in caplog.records if r.name.startswith("bot.") and TOKEN in r.getMessage()]


async def test_flood_control_on_listening_is_obeyed(api: BotApi, bot: telegram.Bot) -> None:
    waits = Waits()
    api.fail("getUpdates", Status(429, "Too Many Requests: retry after 7", {"retry_after": 7}))
    async with _listening(bot, Shelf(), waits):
        await api.until(lambda: api.polls > 1)
    assert waits == [7.0]


async def test_a_bad_token_stops_with_one_sentence(api: BotApi) -> None:
    async with BotApi() as other:
        other.token = "1:other"
        bot = make_bot(TOKEN, other.url)
        with pytest.raises(BadToken) as caught:
            await Listener(bot, Shelf().take_in, patience=QUICK).run(asyncio.Event())
    assert "FETTLE_TOKEN" in str(caught.value) and TOKEN not in str(caught.value)


async def test_a_second_bot_ends_the_first(api: BotApi, bot: telegram.Bot) -> None:
    first = asyncio.create_task(Listener(bot, Shelf().take_in, patience=QUICK).run(asyncio.Event()))
    await api.until(lambda: api.polls)
    async with _listening(bot, Shelf()):
        with pytest.raises(AnotherBot) as caught:
            await asyncio.wait_for(first, 3)
    assert "Another bot is running" in str(caught.value)


async def test_it_stops_at_once_in_the_middle_of_a_long_poll(api: BotApi, bot: telegram.Bot) -> None:
    stop = asyncio.Event()
    task = asyncio.create_task(Listener(bot, Shelf().take_in, patience=QUICK).run(stop))
    await api.until(lambda: api.polls)
    stop.set()
    await asyncio.wait_for(task, 0.5)


async def test_a_server_that_answers_nonsense_is_waited_out(api: BotApi, bot: telegram.Bot) -> None:
    chat, shelf, waits = api.world.group("Larkrise"), Shelf(), Waits()
    for result in (b'{"a": 1}', b'[7, {"x": 1}]'):
        api.fail("getUpdates", Broken(b'{"ok": true, "result": ' + result + b"}"))
    api.world.write(chat, MAYA, "line")
    async with _listening(bot, shelf, waits):
        await api.until(lambda: shelf.kept)
    assert shelf.kept == [700_000_001]
