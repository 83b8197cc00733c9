"""The nightly backup: one a day, old ones thinned only behind a good new one; the drill: restored, it is the same."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from bot.__main__ import main
from bot.commands.alone import alone
from bot.commands.housekeeping import Housekeeping
from bot.scheduling.clock import SetClock
from bot.storage import Database, errors, nightly
from bot.storage import tables as t
from core.entries import Weight
from core.ledger import Posted
from core.turns import Post
from tests.storage.conftest import AT, DAY, said
from tests.storage.filled import fill


@pytest.fixture
def number(database: Database) -> int:
    return fill(database)


def book(database: Database, number: int) -> tuple[Posted, ...]:
    with database.reading(number) as store:
        return tuple(store.load_book().history())


def weigh(database: Database, number: int, key: str) -> None:
    with database.writing(number) as store:
        store.post((Post(entry=Weight(dog="Nugget", on=DAY, kg=9.4)),), (), said(key=key))


@pytest.mark.sqlite_only
def test_two_months_of_nights(database: Database, number: int, tmp_path: Path) -> None:
    """Seven days and five weeks stay; today's is made once; other files in the folder are left alone."""
    folder = tmp_path / "backups"
    folder.mkdir()
    (folder / "fettle-notes.db").write_text("mine")
    for n in range(60):
        made = nightly.make(database, folder, DAY + timedelta(days=n))
        assert made is not None and made.path.exists()
        assert nightly.make(database, folder, DAY + timedelta(days=n)) is None
    last = DAY + timedelta(days=59)
    days = sorted(nightly.kept(folder), reverse=True)
    assert days[:7] == [last - timedelta(days=n) for n in range(7)]
    assert len(days) == 7 + 5
    mondays = [day - timedelta(days=day.weekday()) for day in days[7:]]
    assert all(a - b == timedelta(days=7) for a, b in pairwise(mondays))
    assert (folder / "fettle-notes.db").read_text() == "mine"
    assert made.entries == len(book(database, number))
    assert made.path.stat().st_mode & 0o077 == 0  # names and telephone numbers are in it


def test_what_is_worth_keeping() -> None:
    """Gaps in the days, as on a laptop that is mostly shut, cost none of the newest."""
    days = [date(2026, 1, 1), date(2026, 3, 2), date(2026, 3, 4), date(2026, 6, 1)]
    assert nightly.worth_keeping(days) == set(days)


def test_a_smaller_book_throws_nothing_away(database: Database, number: int, tmp_path: Path) -> None:
    """A backup with fewer entries than the one before it is kept, and so is every older one."""
    for n in range(9):
        nightly.make(database, tmp_path, DAY + timedelta(days=n))
    before = set(nightly.kept(tmp_path))
    with database.transaction() as connection:
        connection.execute(t.entry.delete())
    made = nightly.make(database, tmp_path, DAY + timedelta(days=30))
    assert made is not None and made.gone == () and made.entries == 0
    assert set(nightly.kept(tmp_path)) == before | {DAY + timedelta(days=30)}


def test_a_failed_backup_throws_nothing_away(
    database: Database, number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """No room on the disk: the old ones stay, no half one lies about, the log says so, and the next night works."""
    folder = tmp_path / "backups"
    for n in range(9):
        nightly.make(database, folder, DAY + timedelta(days=n - 30))
    before = sorted(folder.iterdir())

    def full(path: Path) -> str:
        raise errors.Full("There is no room left on the disk")

    keeping = Housekeeping(database, SetClock(AT), folder)
    with monkeypatch.context() as patched, caplog.at_level(logging.ERROR):
        patched.setattr("bot.storage.backup.check", full)
        asyncio.run(keeping.work())
    assert "no backup was made: There is no room" in caplog.text
    assert sorted(folder.iterdir()) == before
    asyncio.run(keeping.work())
    assert AT.date() in nightly.kept(folder)


async def test_soon_after_a_start_it_is_made(database: Database, number: int, tmp_path: Path) -> None:
    """A laptop that is off at three in the night has its backup all the same; told to stop, it ends."""
    stop = asyncio.Event()
    began = asyncio.create_task(Housekeeping(database, SetClock(AT), tmp_path / "backups").begin(stop))
    async with asyncio.timeout(10):
        while not nightly.kept(tmp_path / "backups"):
            await asyncio.sleep(0.01)
        stop.set()
        await began


@pytest.mark.sqlite_only
async def test_a_backup_that_cannot_be_made_ends_nothing(
    database: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """No right to look into the folder, a disk that fails: told in the log by type and place, tried the next night."""

    def refused(*_: object) -> None:
        raise PermissionError(13, "Permission denied", "/srv/Anas kennel")

    monkeypatch.setattr("bot.commands.housekeeping.make", refused)
    await Housekeeping(database, SetClock(AT), tmp_path).work()
    assert "no backup was made: PermissionError at " in caplog.text and "Anas" not in caplog.text


@pytest.mark.sqlite_only
def test_the_drill(
    database: Database, number: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The night's backup, a morning's work, the file broken: restored it is the night's book, and life goes on."""
    file = database.file
    assert file is not None
    made = nightly.make(database, tmp_path / "backups", DAY)
    assert made is not None
    night = book(database, number)
    weigh(database, number, "a")
    database.close()
    kept = file.read_bytes()
    file.write_bytes(kept[:2000] + b"\xff" * 4096 + kept[6096:])
    with pytest.raises(errors.BrokenDatabase):
        database.open()
    broken = file.read_bytes()
    with alone(file):
        assert main(["restore", str(made.path), "--db", str(file)]) == 1
    assert "already running" in capsys.readouterr().err and file.read_bytes() == broken
    assert main(["restore", str(made.path), "--db", str(file)]) == 0
    said_ = capsys.readouterr().out
    (aside,) = [p for p in file.parent.glob("fettle.db.before-*") if p.name[-4:] not in ("-wal", "-shm")]
    assert str(aside) in said_ and aside.read_bytes() == broken
    with database.open():
        assert book(database, number) == night
        weigh(database, number, "b")
        assert len(book(database, number)) == len(night) + 1
    assert main(["restore", str(broken_backup(tmp_path)), "--db", str(file)]) == 1
    with database.open():
        assert len(book(database, number)) == len(night) + 1


def broken_backup(folder: Path) -> Path:
    path = folder / "broken.db"
    path.write_bytes(b"SQLite format 3\x00" + b"\xff" * 9000)
    return path


@pytest.mark.sqlite_only
def test_a_sound_database_is_set_aside_with_all_that_it_holds(database: Database, number: int, tmp_path: Path) -> None:
    """What was committed last and lay in the -wal is in the file that was set aside, which opens as it is."""
    assert database.file is not None
    made = nightly.make(database, tmp_path / "backups", DAY)
    assert made is not None
    weigh(database, number, "a")
    newest = book(database, number)
    assert main(["restore", str(made.path), "--db", str(database.file)]) == 0
    database.close()
    (aside,) = [p for p in database.file.parent.glob("fettle.db.before-*") if p.name[-4:] not in ("-wal", "-shm")]
    with Database(f"sqlite:///{aside}") as before:
        assert book(before, number) == newest


def test_a_backup_goes_back_to_a_server(
    database: Database, number: int, url: str, new_url: Callable[[], str], tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The backup of either database fills an empty one of its kind; a full server is not replaced by a slip."""
    made = nightly.make(database, tmp_path, DAY)
    assert made is not None
    empty = new_url()
    assert main(["move", str(made.path), empty]) == 0
    with Database(empty) as restored:
        assert book(restored, number) == book(database, number)
    if database.shared:
        assert main(["restore", str(made.path), "--db", url]) == 1
        assert "fettle move" in capsys.readouterr().err
