"""Promise 20: a backup is one that was restored; an export is one that was read back."""

from __future__ import annotations

import csv
import errno
import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread

import pytest

from bot.__main__ import main
from bot.storage import Database, StorageError, checkpoints
from bot.storage.backup import backup, count_rows, restore
from bot.storage.errors import NoSuchPlace
from bot.storage.export import TABLES, read_book
from bot.turn import Turns
from core.entries import Weight
from core.ledger import Ledger
from core.roster import Dog, Kennel
from core.turns import Post
from tests.promises.small_hear import hear
from tests.storage.conftest import AT, DAY, said
from tests.storage.test_ledger import EVERY_KIND


@pytest.fixture
def filled(database: Database, kennel_id: int) -> Database:
    """A book with every kind of entry, a correction and an undo."""
    with database.writing(kennel_id) as store:
        store.post(tuple(Post(entry=x) for x in EVERY_KIND), (), said())
    turns = Turns(database, hear=hear)
    turns.take(said("Juniper 8.7", key="2"), kennel_id)
    turns.take(said("Juniper 8.8", key="3", reply_to="2"), kennel_id)
    turns.take(said("undo", key="4"), kennel_id)
    return database


def book_of(database: Database, kennel_id: int) -> Ledger:
    with database.reading(kennel_id) as store:
        return store.load_book()


@pytest.mark.sqlite_only
def test_restored_it_is_the_same_kennel(filled: Database, kennel_id: int, tmp_path: Path) -> None:
    """The copy, put in the place of the database, holds the same roster and the same book."""
    copy = tmp_path / "elsewhere" / "copy.db"
    copy.parent.mkdir()
    assert main(["backup", str(copy), "--db", str(filled.file)]) == 0
    assert [p.name for p in copy.parent.iterdir()] == ["copy.db"]  # one file, nothing beside it
    with Database(f"sqlite:///{copy}") as restored:
        assert book_of(restored, kennel_id).history() == book_of(filled, kennel_id).history()
        with restored.reading(kennel_id) as store, filled.reading(kennel_id) as original:
            assert store.load_kennel() == original.load_kennel()


@pytest.mark.sqlite_only
def test_a_copy_under_way_is_whole(filled: Database, kennel_id: int, tmp_path: Path) -> None:
    """While another thread posts two entries at a time, no copy holds one without the other."""
    stop = Event()

    def write() -> None:
        n = 100
        while not stop.is_set():
            n += 1
            pair = (Post(entry=Weight(dog="Nugget", on=DAY, kg=9.0)), Post(entry=Weight(dog="Juniper", on=DAY, kg=8.0)))
            with filled.writing(kennel_id) as store:
                store.post(pair, (), said(key=str(n)))

    writer = Thread(target=write)
    writer.start()
    try:
        before = len(book_of(filled, kennel_id).history())
        sizes = [backup(filled, tmp_path / f"{n}.db")["entry"] for n in range(8)]
    finally:
        stop.set()
        writer.join()
    assert all((size - before) % 2 == 0 for size in sizes)
    assert sizes == sorted(sizes)


@pytest.mark.sqlite_only
def test_a_backup_never_overwrites(filled: Database, tmp_path: Path) -> None:
    """Neither another backup nor, by a slip, the database itself."""
    copy = tmp_path / "copy.db"
    backup(filled, copy)
    kept = copy.read_bytes()
    assert filled.file is not None
    for target in (copy, filled.file):
        with pytest.raises(NoSuchPlace, match="never overwrites"):
            backup(filled, target)
    assert copy.read_bytes() == kept
    with pytest.raises(NoSuchPlace, match="cannot be"):
        backup(filled, tmp_path / "no such folder" / "copy.db")


@pytest.mark.sqlite_only
def test_an_export_read_back_is_the_same_book(filled: Database, kennel_id: int, tmp_path: Path) -> None:
    """Every entry of every kind, replaced and withdrawn ones too; every table's rows are counted."""
    assert main(["export", str(tmp_path / "out"), "--db", str(filled.file)]) == 0
    (folder,) = (tmp_path / "out").iterdir()
    lines = (folder / "records.jsonl").read_text(encoding="utf-8").splitlines()
    assert read_book(lines).history() == book_of(filled, kennel_id).history()
    assert filled.file is not None
    rows = count_rows(filled.file)
    for table in TABLES:
        in_lines = sum(json.loads(line)["table"] == table.name for line in lines)
        with (folder / f"{table.name}.csv").open(encoding="utf-8", newline="") as file:
            in_sheet = len(list(csv.reader(file))) - 1
        assert in_lines == in_sheet == rows[table.name], table.name


@pytest.mark.sqlite_only
@pytest.mark.parametrize("links", [True, False], ids=["hard links", "no hard links"])
@pytest.mark.parametrize("step", ["backup copied", "old set aside"])
def test_a_restore_that_fails_leaves_the_database_in_its_place(
    filled: Database, kennel_id: int, tmp_path: Path, step: str, links: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No room while the copy is made, no right to write at its end: what was there is there, and nothing beside it."""
    copy, file = tmp_path / "copy.db", filled.file
    assert file is not None
    backup(filled, copy)
    with filled.writing(kennel_id) as store:
        store.post((Post(entry=Weight(dog="Nugget", on=DAY, kg=9.0)),), (), said(key="later"))
    book = book_of(filled, kennel_id).history()
    filled.close()
    if not links:
        monkeypatch.setattr(os, "link", failing)
    with armed(step), pytest.raises(StorageError, match="cannot be written"):
        restore(copy, file, AT)
    assert sorted(p.name for p in tmp_path.iterdir() if "-" not in p.suffix) == ["copy.db", file.name]
    with Database(f"sqlite:///{file}") as there:
        assert book_of(there, kennel_id).history() == book


@pytest.mark.sqlite_only
def test_a_restore_that_cannot_even_put_back_says_where_the_old_one_lies(
    filled: Database, kennel_id: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy, file = tmp_path / "copy.db", filled.file
    assert file is not None
    backup(filled, copy)
    filled.close()
    monkeypatch.setattr(os, "link", failing)
    monkeypatch.setattr("bot.storage.backup._put_back", lambda moved: False)
    with armed("old set aside"), pytest.raises(StorageError) as told:
        restore(copy, file, AT)
    aside = Path(re.search(r"lies in (.*)\.$", str(told.value))[1])  # type: ignore[index]
    with Database(f"sqlite:///{aside}") as there:
        assert there.kennels()


@pytest.mark.sqlite_only
def test_killed_in_a_restore_there_is_a_database(filled: Database, tmp_path: Path) -> None:
    """The child is killed once the old one was set aside, before the copy takes its place."""
    copy, file = tmp_path / "copy.db", filled.file
    backup(filled, copy)
    filled.close()
    script = (
        "import os, sys, pathlib, datetime\n"
        "from bot.storage import backup, checkpoints\n"
        "checkpoints.arm(lambda name: os.kill(os.getpid(), 9) if name == 'old set aside' else None)\n"
        "backup.restore(*map(pathlib.Path, sys.argv[1:]), datetime.datetime(2026, 7, 5))\n"
    )
    done = subprocess.run([sys.executable, "-c", script, str(copy), str(file)], check=False, timeout=60)
    assert done.returncode == -9
    with Database(f"sqlite:///{file}", create=False) as there:
        assert there.kennels()


def failing(*_: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


@contextmanager
def armed(step: str) -> Iterator[None]:
    """At that step the disk is full."""
    checkpoints.arm(lambda name: failing() if name == step else None)
    try:
        yield
    finally:
        checkpoints.arm(None)


def test_only_the_kennel_asked_for(
    filled: Database, url: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One kennel's export has nothing of another's; an unknown name is answered with the known ones."""
    filled.create_kennel(Kennel(name="../Other", dogs=(Dog(name="Stranger", born=DAY),)))
    out = tmp_path / "out"
    assert main(["export", str(out), "--db", url, "--kennel", "Tindfjell"]) == 0
    assert "Stranger" not in "".join(p.read_text(encoding="utf-8") for p in out.rglob("*.*") if p.is_file())
    capsys.readouterr()
    assert main(["export", str(out), "--db", url, "--kennel", "Nowhere"]) == 1
    assert "Tindfjell" in capsys.readouterr().err
    assert main(["export", str(out), "--db", url]) == 0
    assert sorted(p.name for p in out.iterdir()) == ["1-Tindfjell", "2-Other"]


def test_a_cell_is_no_formula(database: Database, url: str, tmp_path: Path) -> None:
    """A name that a spreadsheet would run is quoted in the CSV, and as it was in the JSON lines."""
    name = '=HYPERLINK("http://example.org")'
    kennel_id = database.create_kennel(Kennel(name="K", dogs=(Dog(name=name, born=DAY),)))
    with database.writing(kennel_id) as store:
        store.keep_message(said("-1 kg\nand more", sent_at=AT))
    assert main(["export", str(tmp_path / "out"), "--db", url]) == 0
    (folder,) = (tmp_path / "out").iterdir()
    with (folder / "dog.csv").open(encoding="utf-8", newline="") as file:
        assert "'" + name in next(row for row in csv.reader(file) if "2026-07-05" in row)
    with (folder / "message.csv").open(encoding="utf-8", newline="") as file:
        assert any("'-1 kg\nand more" in row for row in csv.reader(file))
    assert any(json.loads(x)["row"].get("name") == name for x in (folder / "records.jsonl").open(encoding="utf-8"))


