"""Fixtures for tests of the whole bot; a folder's conftest re-exports those that it uses."""

from __future__ import annotations

from collections.abc import AsyncIterator
from datetime import date
from pathlib import Path

import pytest

from core.roster import Dog
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.hearing import hear
from tests.stand_ins.serving import Serving, kennel

NUGGET = Dog(name="Nugget", sex="m", born=date(2026, 3, 8))
JUNIPER = Dog(name="Juniper", sex="f", born=date(2026, 3, 8))


@pytest.fixture
async def api() -> AsyncIterator[BotApi]:
    """The double, running."""
    async with BotApi() as running:
        yield running


@pytest.fixture
async def serving(api: BotApi, tmp_path: Path) -> AsyncIterator[Serving]:
    """The bot, running on an empty database with a conversation that can be foretold."""
    async with Serving(api, tmp_path / "fettle.db", hear) as running:
        yield running


@pytest.fixture
def number(serving: Serving) -> int:
    """The number of a kennel with Nugget and Juniper, its rooms bound."""
    return serving.settle(kennel(NUGGET, JUNIPER))
