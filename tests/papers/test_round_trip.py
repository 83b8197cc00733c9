"""Export, import into an empty database, export again: the same, byte for byte."""

from __future__ import annotations

import csv
import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.__main__ import main
from bot.commands.kennel_files import fill, read_kennel_file
from bot.storage import Database
from bot.storage.bringing import NotAnExport, restore
from bot.turn import Turns
from core.messages import Message
from core.roster import Dog, Kennel, Person
from shared.spreadsheet import plain, safe

LARKRISE = Path(__file__).parent.parent.parent / "shared" / "kennels" / "larkrise.yaml"
AT = datetime(2026, 3, 14, 8, 10, tzinfo=UTC)
TALK = (  # one of each: an entry, a correction, an order, a doubt, words of a spreadsheet's formula, an undo
    "Nugget 9.4 kg, ears half up", "sorry, 9.3 not 9.4", "juniper 94 kg", "=cmd|'/c calc'!A1 Bramble 8.4 kg",
    "Moss 13.8, limping since the walk", "undo",
)  # fmt: skip


@pytest.fixture
def source(tmp_path: Path) -> Path:
    """The demo kennel with a morning's talk, its rooms and an account."""
    file = tmp_path / "one.db"
    with Database(f"sqlite:///{file}") as database:
        kennel = fill(database, read_kennel_file(LARKRISE), AT)
        database.bind_room("telegram", "-100", kennel, "family")
        database.bind_account("telegram", "11", kennel, "Maya")
        turns = Turns(database)
        for n, said in enumerate(TALK):
            turns.take(Message(key=str(n), room="family", sender="Maya", sent_at=AT, text=said), kennel)
        with database.writing(kennel) as store:
            store.set_looked_at(AT)
    return file


def exported(file: Path, folder: Path) -> dict[str, bytes]:
    """Every file of an export but the calendar, whose stamp is the moment of the export."""
    assert main(["export", str(folder), "--db", str(file)]) == 0
    (kennel,) = folder.iterdir()
    return {f.name: f.read_bytes() for f in kennel.iterdir() if f.suffix != ".ics"}


def test_export_import_export_gives_the_same(source: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each table, the book in words and the weights; the copy is as big as the kennel."""
    first = exported(source, tmp_path / "first")
    assert main(["import", str(next((tmp_path / "first").iterdir())), "--db", str(tmp_path / "two.db")]) == 0
    assert "Larkrise:" in capsys.readouterr().out
    second = exported(tmp_path / "two.db", tmp_path / "second")
    assert first == second
    rows = [json.loads(line) for line in first["records.jsonl"].splitlines()]
    tables = {r["table"] for r in rows}
    assert {"kennel", "person", "dog", "food", "duty", "litter", "room", "account", "entry", "message", "outbox",
            "round"} <= tables  # fmt: skip
    assert sum(r["table"] == "entry" for r in rows) > 800


def test_the_copy_goes_on_living(source: Path, tmp_path: Path) -> None:
    """What was brought in is read, answered and added to; numbers go on where they ended."""
    exported(source, tmp_path / "first")
    main(["import", str(next((tmp_path / "first").iterdir())), "--db", str(tmp_path / "two.db")])
    with Database(f"sqlite:///{tmp_path / 'two.db'}") as database:
        (number,) = database.kennels()
        with database.reading(number) as store:
            top = max(p.id for p in store.load_book().history())
        message = Message(key="new", room="family", sender="Maya", sent_at=AT, text="Nugget 9.5 kg")
        turn = Turns(database).take(message, number)
        assert turn is not None and len(turn.posts) == 1
        with database.reading(number) as store:
            assert max(p.id for p in store.load_book().history()) == top + 1
            assert store.load_kennel().by_name["Nugget"].last_weight.kg == 9.5  # type: ignore[union-attr]


def test_a_database_with_a_kennel_takes_no_other(
    source: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is mixed, and nothing is written."""
    before = exported(source, tmp_path / "first")
    assert main(["import", str(next((tmp_path / "first").iterdir())), "--db", str(source)]) == 1
    assert "has a kennel already" in capsys.readouterr().err
    assert exported(source, tmp_path / "again") == before


def dog(**other: object) -> str:
    """The line of a dog with these columns."""
    row = {"id": 1, "kennel": 1, "name": "x", "place": 0, "born": "2026-01-01", "facts": {}} | other
    return json.dumps({"table": "dog", "row": row})


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("not json", "Line 2"), ("[]", "Line 2"), ('{"table": "inbox", "row": {}}', "Line 2"),
        (dog(born="soon"), "Line 2"), (dog(name=7), "name"), (dog(colour="red"), "colour"), (dog(kennel=2), "another"),
        (dog(facts="none"), "facts"), (dog(born=None), "born"), ('{"table": "dog", "row": {"kennel": 1}}', "needs"),
        ('{"table": "kennel", "row": {"id": 2, "name": "other", "facts": {}}}', "holds 2"),
        ('{"table": "kennel", "row": {"id": 1, "name": "twice", "facts": {}}}', "holds 2"),
        ('{"table": "room", "row": {"id": 1, "platform": "t", "chat": "1", "kennel": 1, "room": "a"}}\n'
         '{"table": "room", "row": {"id": 1, "platform": "t", "chat": "2", "kennel": 1, "room": "a"}}', "fit together"),
    ],
)  # fmt: skip
def test_lines_that_are_no_export_are_refused_whole(tmp_path: Path, line: str, why: str) -> None:
    """The text says where; the database is as empty as before."""
    head = '{"table": "kennel", "row": {"id": 1, "name": "Larkrise", "facts": {}, "revision": 0}}'
    with Database(f"sqlite:///{tmp_path / 'x.db'}") as database:
        with pytest.raises(NotAnExport, match=why):
            restore(database, [head, *line.split("\n")])
        assert database.kennels() == {}


def test_no_cell_of_an_export_is_a_formula(tmp_path: Path) -> None:
    """OWASP, "CSV Injection": no cell begins with = + - @, a tab or a line break, in any table."""
    names = ("=HYPERLINK(1)", "+1", "-1", "@SUM(A1)", "\tTab", "'=quoted", "＝wide")
    kennel = Kennel(
        name="=1+1", people=(Person(name="@Maya", role="breeder"),),
        dogs=tuple(Dog(name=n, born=AT.date(), notes=n) for n in names),
    )  # fmt: skip
    file = tmp_path / "one.db"
    with Database(f"sqlite:///{file}") as database:
        database.create_kennel(kennel)
    first = exported(file, tmp_path / "first")
    for name, content in first.items():
        if name.endswith(".csv"):
            for row in csv.reader(content.decode().splitlines(keepends=True)):
                assert not any(cell.startswith(("=", "+", "@", "\t", "\r", "\n", "＝")) for cell in row), (name, row)
    assert main(["import", str(next((tmp_path / "first").iterdir())), "--db", str(tmp_path / "two.db")]) == 0
    assert exported(tmp_path / "two.db", tmp_path / "second") == first


@pytest.mark.parametrize("cell", ["=1", "'=1", "''=1", "'", "", "it's", "-3", "a=b", "'tis", "@x", "\tx"])
def test_a_guarded_cell_comes_back(cell: str) -> None:
    """`plain` undoes `safe`, whatever apostrophes the words had."""
    assert plain(safe(cell)) == cell


def test_a_kennel_without_a_breeder_and_names_alike_are_exported(tmp_path: Path) -> None:
    """A kennel just begun; two dogs whose names differ only in a mark: each has its own files."""
    file = tmp_path / "one.db"
    with Database(f"sqlite:///{file}") as database:
        database.create_kennel(Kennel(name="", dogs=tuple(Dog(name=n, born=AT.date()) for n in ("Nug!", "Nug?"))))
    assert main(["export", str(tmp_path / "out"), "--papers", "--db", str(file)]) == 0
    (kennel,) = (tmp_path / "out").iterdir()
    said = [f.read_text() for f in (kennel / "papers").glob("Nug-vet-page*.txt")]
    assert sorted(s.split(":")[0] for s in said) == ["Nug!", "Nug?"]


def test_papers_are_exported_too(source: Path, tmp_path: Path) -> None:
    """Each dog has its vet's page and book, each pup its record, each litter its sheet, in both forms."""
    assert main(["export", str(tmp_path / "out"), "--papers", "--db", str(source)]) == 0
    (kennel,) = (tmp_path / "out").iterdir()
    names = {f.name for f in (kennel / "papers").iterdir()}
    for start in ("sitter-sheet", "Nugget-vet-page", "Moss-book", "Tansy-litter-sheet"):
        assert {n.rsplit(".", 1)[1] for n in names if n.startswith(start)} == {"pdf", "txt"}, start
    assert (kennel / "what-is-due.ics").read_bytes().startswith(b"BEGIN:VCALENDAR")
