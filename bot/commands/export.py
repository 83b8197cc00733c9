"""`fettle export FOLDER`: everything that is kept, as one JSON-lines file and one CSV file for each table.

`fettle export --pictures FOLDER` writes the README's pictures, drawn from the demo kennel (`bot.commands.pictures`).
"""

from __future__ import annotations

import argparse
from pathlib import Path

from bot.settings import Trouble, database_url, read_settings


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The folder to fill, which kennel, and the database."""
    where = parser.add_mutually_exclusive_group(required=True)
    where.add_argument("folder", type=Path, metavar="FOLDER", nargs="?", help="where to write; made if not there")
    where.add_argument("--pictures", type=Path, metavar="FOLDER", help="write the README's pictures there")
    parser.add_argument("--kennel", metavar="NAME", help="only this kennel; all of them where it is not given")
    parser.add_argument("--db", metavar="URL", help="the database, instead of FETTLE_DB")


def run(args: argparse.Namespace) -> int:
    """0 once every kennel asked for is written, or the pictures are."""
    if args.pictures is not None:
        from bot.commands.pictures import write

        for path in write(args.pictures):
            print(path)
        return 0
    from bot.storage.database import Database
    from bot.storage.export import export

    url = database_url(args.db) if args.db else read_settings().database_url
    with Database(url, create=False) as database:
        kennels = database.kennels()
        wanted = {n: name for n, name in kennels.items() if args.kennel in (None, name)}
        if not wanted:
            known = ", ".join(kennels.values()) or "none"
            raise Trouble(f"There is no kennel {args.kennel or ''} to export; there is: {known}.".replace("  ", " "))
        for number, name in wanted.items():
            written = export(database, number, args.folder / _folder(number, name))
            print(f"{written.folder}: {written.rows} rows, {written.entries} entries")
    return 0


def _folder(number: int, name: str) -> str:
    """A folder's name that no kennel's name can turn into another place."""
    plain = "".join(c if c.isalnum() else "-" for c in name).strip("-")[:60]
    return f"{number}-{plain}" if plain else str(number)
