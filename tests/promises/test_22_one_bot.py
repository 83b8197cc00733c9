"""Promise 22: one bot at a time, on one database and on one token."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.commands.alone import AlreadyRunning, alone
from bot.storage import Database
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.process import Process


def test_the_lock_is_let_go_of_when_its_holder_ends(tmp_path: Path) -> None:
    file = tmp_path / "fettle.db"
    with alone(file):
        with pytest.raises(AlreadyRunning, match="already running"), alone(file):
            raise AssertionError("let in twice")
        with alone(tmp_path / "another.db"):
            pass
    with alone(file):
        pass


async def test_a_second_process_on_the_same_database_says_so_and_ends(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "fettle.db"
    Database(f"sqlite:///{file}").open().close()
    async with BotApi() as api:
        first = Process(api.url, file).start()
        await api.until(lambda: api.polls, seconds=10)
        second = Process(api.url, file).start()
        assert await second.ended(10) == 1 and first.running
        first.kill()
        third = Process(api.url, file).start()  # a kill leaves no lock behind
        before = api.polls
        await api.until(lambda: api.polls > before, seconds=10)
        third.kill()


async def test_with_two_on_one_token_the_older_ends_with_a_sentence(tmp_path: Path) -> None:
    async with BotApi() as api:
        first = Process(api.url, tmp_path / "one.db").start()
        await api.until(lambda: api.polls, seconds=10)
        second = Process(api.url, tmp_path / "two.db").start()
        assert await first.ended(10) == 1 and second.running
        second.kill()
