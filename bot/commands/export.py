"""`fettle export FOLDER`: everything that is kept, in open formats.

`records.jsonl` holds every row and is what `fettle import` reads back; a CSV for each table stands beside it, the
book in words (`book.csv`), the weights (`weights.csv`) and what is due (`what-is-due.ics`). `--papers` adds each
dog's papers as PDF and plain text.

`fettle export --pictures FOLDER` writes the README's pictures, drawn from the demo kennel (`bot.commands.pictures`).
"""

from __future__ import annotations

import argparse
from datetime import date, datetime, timedelta
from pathlib import Path

from bot.replies import due_calendar, papers, sheets
from bot.scheduling.clock import SystemClock
from bot.settings import Trouble, database_url, read_settings
from bot.storage import Database
from core.ledger import Ledger
from core.roster import FAMILY, Kennel

HOME_DAYS = 112  # a pup's going-home record is written to this age; own choice


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The folder to fill, which kennel, and the database."""
    where = parser.add_mutually_exclusive_group(required=True)
    where.add_argument("folder", type=Path, metavar="FOLDER", nargs="?", help="where to write; made if not there")
    where.add_argument("--pictures", type=Path, metavar="FOLDER", help="write the README's pictures there")
    parser.add_argument("--papers", action="store_true", help="each dog's papers too, as PDF and plain text")
    parser.add_argument("--kennel", metavar="NAME", help="only this kennel; all of them where it is not given")
    parser.add_argument("--db", metavar="URL", help="the database, instead of FETTLE_DB")


def run(args: argparse.Namespace) -> int:
    """0 once every kennel asked for is written, or the pictures are."""
    if args.pictures is not None:
        from bot.commands.pictures import write

        for path in write(args.pictures):
            print(path)
        return 0
    from bot.storage.export import export

    now = SystemClock().now()
    url = database_url(args.db) if args.db else read_settings().database_url
    with Database(url, create=False) as database:
        kennels = database.kennels()
        wanted = {n: name for n, name in kennels.items() if args.kennel in (None, name)}
        if not wanted:
            known = ", ".join(kennels.values()) or "none"
            raise Trouble(f"There is no kennel {args.kennel or ''} to export; there is: {known}.".replace("  ", " "))
        for number, name in wanted.items():
            written = export(database, number, args.folder / _folder(number, name))
            with database.reading(number) as store:
                kennel, book = store.load_kennel(), store.load_book()
            files = _open_formats(written.folder, kennel, book, now)
            files += _papers(written.folder / "papers", kennel, book, kennel.day_of(now)) if args.papers else 0
            print(f"{written.folder}: {written.rows} rows, {written.entries} entries, {files} more files")
    return 0


def _open_formats(folder: Path, kennel: Kennel, book: Ledger, now: datetime) -> int:
    """The book in words, the weights, and the calendar: how many files."""
    made = {
        "book.csv": sheets.book(kennel, book).encode(),
        "weights.csv": sheets.weights(book).encode(),
        "what-is-due.ics": due_calendar.render(kennel, book, now),
    }
    return _written(folder, made)


def _papers(folder: Path, kennel: Kennel, book: Ledger, on: date) -> int:
    """Every paper of the kennel, as the house has it: how many files."""
    wanted = [(papers.SITTER, "")]
    for dog in kennel.dogs:
        wanted += [(papers.VET, dog.name), (papers.BOOK, dog.name)]
        if timedelta(0) <= on - dog.born < timedelta(days=HOME_DAYS) and not dog.gone:
            wanted.append((papers.HOME, dog.name))
    wanted += [(papers.LITTER, dam) for dam in dict.fromkeys(x.dam for x in kennel.litters) if kennel.dog(dam)]
    specs = [papers.spec(kind, on, dog, form) for kind, dog in wanted for form in (papers.PDF, papers.TXT)]
    files: dict[str, bytes] = {}
    for name, content in (papers.make(s, kennel, book, FAMILY) for s in specs):
        start, _, form = name.rpartition(".")
        # Two dogs' names may look alike in a file's name; neither paper takes the other's place.
        files[name if name not in files else f"{start}-{len(files)}.{form}"] = content
    return _written(folder, files)


def _written(folder: Path, files: dict[str, bytes]) -> int:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            (folder / name).write_bytes(content)
    except OSError as wrong:
        raise Trouble(f"{folder} cannot be written ({wrong.strerror}); choose another folder.") from None
    return len(files)


def _folder(number: int, name: str) -> str:
    """A folder's name that no kennel's name can turn into another place."""
    plain = "".join(c if c.isalnum() else "-" for c in name).strip("-")[:60]
    return f"{number}-{plain}" if plain else str(number)
