"""Weights that are brought along as a table: read by the kennel's customs, shown, written, taken back."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from bot.__main__ import main
from bot.commands.kennel_files import fill, read_kennel_file
from bot.conversation import hear
from bot.reading import weight_table
from bot.reading.weight_table import Row, TableError, day_of, kilograms, read
from bot.storage import Database
from bot.turn import Turns
from core.entries import Weight
from core.ledger import Ledger
from core.messages import Message, Say
from core.units import KG_PER_LB, KG_PER_OZ
from tests.dialogue_house import House

LARKRISE = Path(__file__).parent.parent.parent / "shared" / "kennels" / "larkrise.yaml"
TODAY = date(2026, 3, 14)


@pytest.fixture(scope="module")
def house() -> House:
    return House.of_demo()


def rows(text: str, house: House, day_first: bool = True, ledger: Ledger | None = None) -> tuple[Row, ...]:
    """The table's rows, against an empty book where none is given."""
    kennel = replace(house.kennel, day_first=day_first)
    return read(text, kennel, Ledger() if ledger is None else ledger, TODAY)


def good(text: str, house: House, day_first: bool = True) -> list[tuple[str, date | None, float | None]]:
    return [(r.dog, r.on, r.kg) for r in rows(text, house, day_first) if not r.wrong]


def test_a_row_for_each_weighing(house: House) -> None:
    """The unit in the head, days day-first, nicknames and capitals as they come."""
    text = "Date,Dog,Weight (kg)\n08/03/2026,Nugget,8.7\n1.3.2026,nug,8\n2026-02-22,JUNIPER,6.4\n"
    assert good(text, house) == [
        ("Nugget", date(2026, 3, 8), 8.7), ("Nugget", date(2026, 3, 1), 8.0), ("Juniper", date(2026, 2, 22), 6.4),
    ]  # fmt: skip


def test_month_first_where_the_kennel_has_it(house: House) -> None:
    """3/8 is 8 March there; a day that the calendar does not have is told, never turned round."""
    text = "date,dog,kg\n3/8/2026,Nugget,8.7\n2/13/2026,Nugget,6.7\n"
    assert [r[1] for r in good(text, house, day_first=False)] == [date(2026, 3, 8), date(2026, 2, 13)]
    found = rows(text, house)
    assert [r.wrong for r in found] == ["ahead", "no day"] and found[0].on == date(2026, 8, 3)


def test_the_unit_in_the_cell_beats_the_head(house: House) -> None:
    """Pounds and ounces, grams, a decimal comma with semicolons as a German spreadsheet writes them."""
    text = "Day;Pup;Weight kg\n08.03.2026;Nugget;8,7\n01.03.2026;Nugget;17 lb 10 oz\n24.01.2026;Ash;352 g\n"
    found = good(text, house)
    assert found[0][2] == 8.7 and found[2] == ("Ash", date(2026, 1, 24), 0.352)
    assert found[1][2] == pytest.approx(17 * KG_PER_LB + 10 * KG_PER_OZ, abs=1e-4)


def test_a_column_for_each_dog(house: House) -> None:
    """A litter's own sheet: empty cells and dashes are no weights; columns that are nobody's are passed over."""
    text = "date\tRed (g)\tBlue (g)\tnotes\n9 March 2026\t350\t361\tnight\n10 March 2026\t357\t–\t\n"
    assert good(text, house) == [
        ("Red", date(2026, 3, 9), 0.35), ("Blue", date(2026, 3, 9), 0.361), ("Red", date(2026, 3, 10), 0.357),
    ]  # fmt: skip


def test_no_unit_is_never_guessed(house: House) -> None:
    """A figure without a unit, in a head without one, is left out and said."""
    found = rows("date,dog,weight\n08/03/2026,Nugget,8.7\n08/03/2026,Juniper,7.4 kg\n", house)
    assert [(r.dog, r.wrong) for r in found] == [("Nugget", "no unit"), ("Juniper", "")]


def test_what_is_left_out_says_why(house: House) -> None:
    """Unknown dogs, days that are none, ahead or before birth, words, minus signs, slips of a point."""
    text = (
        "date,dog,weight kg\n08/03/2026,Zorro,8.7\n31/02/2026,Nugget,8.7\n15/03/2026,Nugget,9\n14/11/2025,Nugget,1\n"
        "08/03/2026,Nugget,heavy\n08/03/2026,Nugget,-8.7\n01/03/2026,Nugget,8\n03/03/2026,Nugget,82\n"
        "05/03/2026,Nugget,8.4\n05/03/2026,Nugget,8.4\n"
    )
    assert [r.wrong for r in rows(text, house)] == [
        "no dog", "no day", "ahead", "unborn", "no weight", "no weight", "", "unlikely", "", "twice",
    ]  # fmt: skip


def test_what_is_in_the_book_is_not_written_twice(house: House) -> None:
    """The same weight of that day is there; another one is told with what the book has."""
    found = rows("date,dog,weight kg\n08/03/2026,Nugget,8.7\n01/03/2026,Nugget,8.2\n", house, ledger=house.ledger)
    assert [(r.wrong, r.beside) for r in found] == [("there", None), ("other", 8.0)]


@pytest.mark.parametrize(
    ("text", "why"),
    [("", "empty"), ("\n \n", "empty"), ("hello there\nhow are you\n", "heads"), ("dog,weight kg\nNugget,8\n", "heads"),
     ("x" * (weight_table.LONGEST + 1), "long"), ("date,food\n1/3/2026,8\n", "heads")],
)  # fmt: skip
def test_what_is_no_table_is_told(house: House, text: str, why: str) -> None:
    with pytest.raises(TableError) as told:
        rows(text, house)
    assert told.value.why == why


@pytest.mark.parametrize(
    ("said", "day_first", "on"),
    [
        ("2026-03-08", True, date(2026, 3, 8)), ("2026-03-08T10:05", False, date(2026, 3, 8)),
        ("8/3/26", True, date(2026, 3, 8)), ("3/8/26", False, date(2026, 3, 8)), ("08.03.2026", True, date(2026, 3, 8)),
        ("8 March 2026", True, date(2026, 3, 8)), ("March 8, 2026", False, date(2026, 3, 8)),
        ("8 Mar 2026", True, date(2026, 3, 8)), ("13/13/2026", True, None), ("29/02/2026", True, None),
        ("29/02/2024", True, date(2024, 2, 29)), ("yesterday", True, None), ("8", True, None), ("", True, None),
        ("march", True, None), ("0000-01-01", True, None),
    ],
)  # fmt: skip
def test_days_of_cells(said: str, day_first: bool, on: date | None) -> None:
    assert day_of(said, day_first) == on


@pytest.mark.parametrize(
    ("said", "unit", "kg"),
    [("9.4", "kg", 9.4), ("9,4", "kg", 9.4), ("9400", "g", 9.4), ("352 g", "kg", 0.352), ("8.7 kg (vet)", "", None),
     ("8 kg 9 kg", "", None), ("", "kg", None), ("NaN", "kg", None), ("=8.7", "kg", None), ("1e3", "g", None)],
)  # fmt: skip
def test_weights_of_cells(said: str, unit: str, kg: float | None) -> None:
    assert kilograms(said, unit) == (None if kg is None else pytest.approx(kg, abs=1e-4))


# The command


@pytest.fixture
def database(tmp_path: Path) -> Path:
    file = tmp_path / "fettle.db"
    with Database(f"sqlite:///{file}") as opened:
        fill(opened, read_kennel_file(LARKRISE), datetime(2026, 3, 14, 8, tzinfo=UTC))
    return file


def weights_of(file: Path, dog: str) -> list[tuple[date, float]]:
    with Database(f"sqlite:///{file}") as opened, opened.reading(1) as store:
        return [(w.on, w.kg) for w in store.load_book().entries(dog, Weight)]


def test_shown_first_written_on_demand_and_taken_back(
    database: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is written without --write; --undo takes back just what the import wrote; twice changes nothing."""
    table = tmp_path / "teasel.csv"
    table.write_bytes("﻿Date,Dog,Weight kg\r\n15/02/2026,Teasel,5.8\r\n22/02/2026,Teasel,6.3\r\n".encode())
    before = weights_of(database, "Teasel")
    db = ["--db", str(database)]
    assert main(["import", str(table), *db]) == 0
    out = capsys.readouterr().out
    assert "line 2: Teasel, 15 February 2026, 5.8 kg" in out and "Nothing is written yet" in out
    assert weights_of(database, "Teasel") == before
    assert main(["import", str(table), "--write", *db]) == 0
    assert "2 weights are written" in capsys.readouterr().out
    assert set(weights_of(database, "Teasel")) - set(before) == {(date(2026, 2, 15), 5.8), (date(2026, 2, 22), 6.3)}
    assert main(["import", str(table), "--write", *db]) == 0
    assert "2 left out" in capsys.readouterr().out
    assert main(["import", "--undo", *db]) == 0
    assert "2 weights of the last import are taken back" in capsys.readouterr().out
    assert weights_of(database, "Teasel") == before
    assert main(["import", "--undo", *db]) == 0
    assert "no import to take back" in capsys.readouterr().out


def test_undo_in_the_chat_takes_an_import_back(database: Path, tmp_path: Path) -> None:
    """The breeder's "undo" in her line reaches what was just brought in."""
    table = tmp_path / "t.csv"
    table.write_text("date,dog,kg\n2026-02-15,Teasel,5.8\n")
    before = weights_of(database, "Teasel")
    main(["import", str(table), "--write", "--db", str(database)])
    with Database(f"sqlite:///{database}") as opened:
        now = datetime.now(UTC)  # noqa: TID251 (the import was stamped by the clock of this machine)
        message = Message(key="u", room="breeder", sender="Maya", sent_at=now, text="undo")
        turn = Turns(opened, hear=hear).take(message, 1)
    assert turn is not None and any("5.8 kg" in s.text for s in turn.out if isinstance(s, Say))
    assert weights_of(database, "Teasel") == before


def test_the_exported_weights_are_read_back(database: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every row of weights.csv is known again: nothing to write, nothing unread."""
    main(["export", str(tmp_path / "out"), "--db", str(database)])
    (folder,) = (tmp_path / "out").iterdir()
    capsys.readouterr()
    assert main(["import", str(folder / "weights.csv"), "--db", str(database)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) > 140 and all("in the book already" in x for x in lines if x.startswith("line "))


def test_a_file_that_cannot_be_used_is_told(database: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One sentence, status 1, nothing written."""
    db = ["--db", str(database)]
    (tmp_path / "bad.csv").write_bytes(b"\xff\xfe\x00nothing")
    for argv in (["import", str(tmp_path / "none.csv"), *db], ["import", str(tmp_path / "bad.csv"), *db],
                 ["import", *db], ["import", str(tmp_path / "bad.csv"), "--undo", *db]):  # fmt: skip
        assert main(argv) == 1, argv
        assert capsys.readouterr().err.startswith("fettle: ")
