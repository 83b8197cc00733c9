"""The real command, the real conversation: `fettle serve` as a process, against the Bot API double."""

from __future__ import annotations

import asyncio
import os
import re
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
from tests.papers.reading_pdf import words
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.faults import Status
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
    env["FETTLE_DATA"] = str(file.parent)  # where its backups go
    command = [sys.executable, "-m", "bot", "serve", *arguments]
    process = subprocess.Popen(command, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
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


async def test_a_kennel_from_a_file_is_claimed_by_the_code_that_is_printed(tmp_path: Path) -> None:
    """`--kennel FILE` fills an empty database; whoever has the code has the breeder's line, by her own name."""
    source = tmp_path / "kennel.yaml"
    source.write_text("kennel: Fenmoor\npeople:\n  - {name: Hanna, role: breeder}\n", encoding="utf-8")
    file = tmp_path / "fettle.db"
    async with BotApi(_world()) as api:
        line = api.world.private(MAYA)
        with _fettle(api, file, "--kennel", str(source)) as first:
            assert first.stdout is not None
            printed = await asyncio.to_thread(first.stdout.readline)
            assert printed.startswith("Fenmoor has no breeder in Telegram yet.")
            found = re.search(r"https://t\.me/fettle_test_bot\?start=(\w+)", printed)
            assert found is not None
            api.world.write(line, MAYA, f"/start {found[1]}")
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


async def test_the_breeder_sends_a_table_and_gets_a_paper(tmp_path: Path) -> None:
    """A CSV in her line is shown, written on a press of yes, and is in the book; the vet's page comes as a PDF. The
    same file in the family's room is no table."""
    file = tmp_path / "fettle.db"
    number = _settled(file)
    days = [(NOW - timedelta(days=n)).date() for n in (21, 14)]
    table = f"date,dog,weight (kg)\n{days[0]},Nugget,7.6\n{days[1]},Nugget,8.2\n".encode()
    async with BotApi(_world()) as api:
        family, line = api.world.group("Family", chat=FAMILY_CHAT), api.world.private(MAYA)
        with _fettle(api, file):
            api.world.document(family, TOM, "weights.csv", table)
            api.world.document(line, MAYA, "weights.csv", table)
            await api.until(lambda: [s for s in api.world.sent if s.buttons], seconds=20)
            shown = next(s for s in api.world.sent if s.buttons)
            assert "2 weights to write: Nugget" in shown.text and shown.chat == MAYA.id
            api.world.press(line, shown.message, "yes", MAYA)
            await api.until(lambda: [s for s in api.world.sent if "2 weights are written" in s.text], seconds=20)
            api.world.write(line, MAYA, "vet page for Nugget")
            await api.until(lambda: [s for s in api.world.sent if s.file], seconds=30)
    paper = next(s for s in api.world.sent if s.file)
    assert paper.file.startswith(b"%PDF-") and paper.file_name.startswith("Nugget-vet-page-")
    assert "8.2 kg" in words(paper.file)
    with Database(f"sqlite:///{file}") as database, database.reading(number) as store:
        kept = [(w.on, w.kg) for w in store.load_book().entries("Nugget", Weight)]
    assert kept == [(days[0], 7.6), (days[1], 8.2)]


async def test_a_table_that_cannot_be_fetched_is_told(tmp_path: Path) -> None:
    """The breeder hears that the file did not come, and may send it again."""
    file = tmp_path / "fettle.db"
    _settled(file)
    async with BotApi(_world()) as api:
        line = api.world.private(MAYA)
        api.fail("getFile", Status(400, "Bad Request: file is temporarily unavailable"))
        with _fettle(api, file):
            api.world.document(line, MAYA, "weights.csv", b"date,dog,kg\n")
            await api.until(lambda: [s for s in api.world.sent if "couldn't fetch" in s.text], seconds=20)
