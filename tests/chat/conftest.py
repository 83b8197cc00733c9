"""A Bot API double and a bot of the real library that talks to it over HTTP."""

from __future__ import annotations

from collections.abc import AsyncIterator

import pytest
import telegram

from bot.chat.connecting import make_bot
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.fixtures import api, number, serving

__all__ = ["api", "bot", "number", "serving"]


@pytest.fixture
async def bot(api: BotApi) -> AsyncIterator[telegram.Bot]:
    """python-telegram-bot's own Bot, pointed at the double."""
    async with make_bot(TOKEN, api.url) as made:
        yield made
