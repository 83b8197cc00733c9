"""A book that is brought along is in the database as it was in the file."""

from __future__ import annotations

from datetime import date
from importlib.resources import files

from bot.enrolment.kennel_file import parse
from bot.storage import Database
from core.roster import KnownWeight


def test_the_demos_book_comes_back_as_it_was_brought(url: str) -> None:
    """Every entry with its moment, its writer and its room; each dog knows its newest weighing."""
    file = parse((files("shared") / "kennels" / "larkrise.yaml").read_text(encoding="utf-8"))
    with Database(url) as database:
        number = database.create_kennel(file.kennel)
        with database.writing(number) as store:
            store.bring(file.history)
        with database.reading(number) as store:
            assert tuple(store.load_book().history()) == file.history
            nugget = store.load_kennel().by_name["Nugget"]
    assert nugget.last_weight == KnownWeight(kg=9.2, on=date(2026, 3, 12))
