"""Codes as people write them; and the terminal room, where a code is typed."""

from __future__ import annotations

import asyncio
import io
import re
from datetime import datetime
from pathlib import Path

import pytest

from bot.chat.codes import code_in, link, shown
from bot.chat.script import read_line
from bot.chat.terminal import Lines
from bot.commands.room import Room
from bot.storage import Database
from shared.texts import text
from tests.dialogue_house import demo

CODE = "2H04WGG7Q24Q0QMF9KVXSS2AHM"


@pytest.mark.parametrize(
    "said",
    [CODE, CODE.lower(), shown(CODE), f"join {shown(CODE)}", f"Join: {CODE}.", f"code {CODE}", "“" + CODE + "”",
     "join 2H04W GG7Q2 4Q0QM F9KVX SS2AHM", shown(CODE).replace("0", "O")],
)  # fmt: skip
def test_a_code_is_read_as_people_write_it(said: str) -> None:
    assert code_in(said) == CODE


@pytest.mark.parametrize(
    "said",
    ["", "hello", "join us for a walk", "Nugget 9.4 kg", "join", "code red", "fed everyone dogs are happy",
     "join the dogs for a walk on sat", f"{CODE} and more", "9" * 400],
)  # fmt: skip
def test_talk_is_no_code(said: str) -> None:
    assert code_in(said) == ""


def test_a_wrong_one_is_a_try() -> None:
    """Behind /start whatever stands there; after "join" what is not a word."""
    assert code_in("abc", sure=True) == code_in("join 12345") == code_in(f"join {CODE}9") == "?"


def test_the_link_is_one_that_telegram_takes() -> None:
    """Up to 64 of A-Z a-z 0-9 _ - (core.telegram.org/bots/features#deep-linking, from memory)."""
    assert re.fullmatch(r"https://t\.me/fettle_bot\?start=[A-Za-z0-9_-]{1,64}", link("fettle_bot", CODE))


def test_in_the_terminal_a_code_is_typed(tmp_path: Path) -> None:
    out = io.StringIO()
    kennel = demo().kennel

    async def play() -> None:
        with Database(f"sqlite:///{tmp_path / 'a.db'}") as database:
            start = datetime(2026, 3, 14, 8, tzinfo=kennel.tz)
            room = Room(database, database.create_kennel(kennel), start, Lines(out), tmp_path)

            async def say(line: str) -> None:
                step = read_line(line)
                assert step is not None
                await room.take(step, line)

            await say("[2026-03-14 08:10] Maya in breeder: invite a helper")
            found = re.search(r"join ([0-9A-Z-]+)", out.getvalue())
            assert found is not None
            await say(f"[2026-03-14 08:11] Zed in Zed: join {found[1]}")
            await say(f"[2026-03-14 08:12] Pia in Pia: join {found[1]}")
            await say("[2026-03-14 08:13] Zed: Nugget 9.3 kg")

    asyncio.run(play())
    lines = out.getvalue().splitlines()
    assert "https://" not in out.getvalue()
    assert any(line.startswith("[2026-03-14 08:11] Fettle to Zed: Hello Zed!") for line in lines)
    assert f"[2026-03-14 08:12] Fettle to Pia: {text('invites.no_such')}" in lines
    assert lines[-1] == "[2026-03-14 08:13] Fettle marks ✍"
