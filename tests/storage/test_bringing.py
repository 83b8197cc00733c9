"""A book that is brought along is in the database as it was in the file."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from importlib.resources import files

from bot.enrolment.kennel_file import parse
from bot.storage import Database
from bot.storage.bringing import bring
from core.roster import KnownWeight


def test_the_demos_book_comes_back_as_it_was_brought() -> None:
    """Every entry with its moment, its writer and its room; each dog knows its newest weighing."""
    file = parse((files("shared") / "kennels" / "larkrise.yaml").read_text(encoding="utf-8"))
    with Database("sqlite://") as database:
        number = database.create_kennel(file.kennel)
        bring(database, number, file.history)
        bring(database, number, ())
        with database.reading(number) as store:
            assert tuple(store.load_book().history()) == file.history
            nugget = store.load_kennel().by_name["Nugget"]
    assert nugget.last_weight == KnownWeight(kg=9.2, on=date(2026, 3, 12))


def test_a_second_book_goes_behind_the_first() -> None:
    """Numbers go on; nothing is overwritten."""
    file = parse((files("shared") / "kennels" / "larkrise.yaml").read_text(encoding="utf-8"))
    with Database("sqlite://") as database:
        number = database.create_kennel(file.kennel)
        bring(database, number, file.history[:3])
        bring(database, number, file.history[3:5])
        with database.reading(number) as store:
            got = store.load_book().history()
    assert [p.id for p in got] == [1, 2, 3, 4, 5]
    assert got == tuple(replace(p, id=n) for n, p in enumerate(file.history[:5], start=1))
