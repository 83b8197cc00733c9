"""`fettle restore FILE`: a backup in the place of the database; what was there is set aside, not thrown away."""

from __future__ import annotations

import argparse
from pathlib import Path

from bot.settings import Trouble, database_url, read_settings


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The backup, and the database to replace."""
    parser.add_argument("file", type=Path, metavar="FILE", help="the backup; it is only read")
    parser.add_argument("--db", metavar="URL", help="the database, instead of FETTLE_DB")


def run(args: argparse.Namespace) -> int:
    """0 once the backup stands in the database's place.

    Raises:
        Trouble: nothing was changed; the text says why.
    """
    from bot.commands.alone import alone
    from bot.scheduling.clock import SystemClock
    from bot.storage.backup import count_rows, restore
    from bot.storage.database import Database

    file = Database(database_url(args.db) if args.db else read_settings().database_url).file
    if file is None:
        raise Trouble("A server's database is not replaced; make an empty one there, then: fettle move FILE URL")
    if not file.parent.is_dir():
        raise Trouble(f"The folder {file.parent} is not there; make it, or mend FETTLE_DB.")
    with alone(file):
        aside = restore(args.file, file, SystemClock().now())
        rows = count_rows(file)
    print(f"{file}: {rows['kennel']} kennels, {rows['entry']} entries, {rows['message']} messages, as in {args.file}.")
    if aside is not None:
        print(f"What was there before is {aside}.")
    return 0
