"""The real command, the real conversation: `fettle serve` as a process, against the Bot API double."""

from __future__ import annotations

import asyncio
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

from bot.chat.door import PLATFORM
from bot.scheduling.clock import SystemClock
from bot.storage import Database
from core.entries import Ears, Weight
from core.roster import BREEDER, FAMILY, Dog, KnownWeight
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.serving import FAMILY_CHAT, GRAN, MAYA, TOM, kennel
from tests.stand_ins.world import World

NOW = SystemClock().now()
# 17 weeks old, a little heavier than last week: nothing to be asked back.
NUGGET = Dog(
    name="Nugget", sex="m", born=(NOW - timedelta(weeks=17)).date(), adult_kg=18.0, ear_watch=True,
    last_weight=KnownWeight(kg=8.9, on=(NOW - timedelta(days=7)).date()),
)


def _world() -> World:
    return World(unix=lambda: int(SystemClock().now().timestamp()))


def _settled(file: Path) -> int:
    with Database(f"sqlite:///{file}") as database:
        number = database.create_kennel(kennel(NUGGET))
        database.bind_account(PLATFORM, str(MAYA.id), number, "Maya")
        database.bind_room(PLATFORM, str(MAYA.id), number, BREEDER)
        database.bind_room(PLATFORM, str(FAMILY_CHAT), number, FAMILY)
    return number


@contextmanager
def _fettle(api: BotApi, file: Path, *arguments: str) -> Iterator[subprocess.Popen[str]]:
    """`fettle serve`, as somebody starts it; killed at the end where it still runs."""
    env = os.environ | {"FETTLE_TOKEN": TOKEN, "FETTLE_API_URL": api.url, "FETTLE_DB": str(file)}
    command = [sys.executable, "-m", "bot", "serve", *arguments]
    process = subprocess.Popen(command, env=env, stderr=subprocess.PIPE, text=True)
    try:
        yield process
    finally:
        process.kill()
        process.communicate()


async def test_a_family_writes_and_the_process_is_killed_in_between(tmp_path: Path) -> None:
    """Three lines and a question, two kills -9: each entry once in the book, each mark given, the question answered."""
    file = tmp_path / "fettle.db"
    number = _settled(file)
    async with BotApi(_world()) as api:
        family = api.world.group("Family", chat=FAMILY_CHAT)
        api.world.private(MAYA)
        with _fettle(api, file):
            first = api.world.write(family, MAYA, "Nugget 9.2 kg, ears half up")
            await api.until(lambda: api.world.marks, seconds=15)
        second = api.world.write(family, TOM, "who is picking up milk?")
        third = api.world.write(family, GRAN, "Nugget had a crumb of cheese")
        with _fettle(api, file):
            await api.until(lambda: not api.world.updates, seconds=15)
        asked = api.world.write(family, TOM, "how is Nugget?")
        with _fettle(api, file) as last:
            await api.until(lambda: [s for s in api.world.sent if s.reply_to == asked], seconds=15)
            await api.until(lambda: {m.message for m in api.world.marks} == {first, third}, seconds=15)
            last.send_signal(signal.SIGTERM)
            assert await asyncio.to_thread(last.wait, 10) == 0
            log = last.stderr.read() if last.stderr else ""
        answers = [s for s in api.world.sent if s.chat == FAMILY_CHAT]
    assert len(answers) == 1 and "9.2" in answers[0].text and answers[0].reply_to == asked
    assert second not in {m.message for m in api.world.marks}
    with Database(f"sqlite:///{file}") as database, database.reading(number) as store:
        posted = store.load_book().history()
        said = [store.find_message(FAMILY, f"{FAMILY_CHAT}/{n}") for n in (first, second, third, asked)]
    assert sorted((p.entry.kind, p.by) for p in posted) == [("ears", "Maya"), ("treat", "Gran"), ("weight", "Maya")]
    assert [p.entry.kg for p in posted if isinstance(p.entry, Weight)] == [9.2]
    assert [(p.entry.left, p.entry.right) for p in posted if isinstance(p.entry, Ears)] == [("half", "half")]
    assert [m.text if m else None for m in said] == [
        "Nugget 9.2 kg, ears half up", "who is picking up milk?", "Nugget had a crumb of cheese", "how is Nugget?"
    ]
    assert TOKEN not in log and "Nugget" not in log and "listening as @fettle_test_bot" in log


async def test_a_chart_is_sent_as_a_picture(tmp_path: Path) -> None:
    file = tmp_path / "fettle.db"
    _settled(file)
    async with BotApi(_world()) as api:
        family = api.world.group("Family", chat=FAMILY_CHAT)
        with _fettle(api, file):
            earlier = int((NOW - timedelta(days=3)).timestamp())
            api.world.write(family, TOM, "Nugget 9 kg", date=earlier)
            api.world.write(family, TOM, "Nugget 9.2 kg")
            asked = api.world.write(family, TOM, "chart Nugget")
            await api.until(lambda: api.world.sent, seconds=20)
    (sent,) = api.world.sent
    assert sent.photo.startswith(b"\x89PNG") and sent.text and sent.reply_to == asked


async def test_a_kennel_from_a_file_is_the_first_starter_s(tmp_path: Path) -> None:
    """`--kennel FILE` fills an empty database; whoever starts the bot first has the breeder's line, by her own name."""
    source = tmp_path / "kennel.yaml"
    source.write_text("kennel: Fenmoor\npeople:\n  - {name: Hanna, role: breeder}\n", encoding="utf-8")
    file = tmp_path / "fettle.db"
    async with BotApi(_world()) as api:
        line = api.world.private(MAYA)
        with _fettle(api, file, "--kennel", str(source)):
            api.world.write(line, MAYA, "/start")
            await api.until(lambda: api.world.sent, seconds=20)
        with _fettle(api, file, "--kennel", str(source)) as second:
            assert await asyncio.to_thread(second.wait, 20) == 1
            told = second.stderr.read() if second.stderr else ""
    assert [s.chat for s in api.world.sent] == [MAYA.id]
    assert "already has a kennel" in told.strip().splitlines()[-1]
    with Database(f"sqlite:///{file}") as database:
        assert database.person_of(PLATFORM, str(MAYA.id), 1) == "Hanna"


async def test_a_token_that_is_not_known_is_one_sentence_and_a_status(tmp_path: Path) -> None:
    async with BotApi(_world()) as api:
        api.token = "1:another"
        with _fettle(api, tmp_path / "fettle.db") as process:
            assert await asyncio.to_thread(process.wait, 20) == 1
            told = process.stderr.read() if process.stderr else ""
    assert told.strip().splitlines()[-1].startswith("fettle: Telegram does not know this token")
    assert "Traceback" not in told and TOKEN not in told
