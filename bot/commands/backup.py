"""`fettle backup FILE`: a consistent copy while Fettle runs, opened and counted before it is believed."""

from __future__ import annotations

import argparse
from pathlib import Path

from bot.settings import database_url, read_settings


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The file to make, and the database to copy."""
    parser.add_argument("file", type=Path, metavar="FILE", help="the copy to make; must not be there yet")
    parser.add_argument("--db", metavar="URL", help="the database, instead of FETTLE_DB")


def run(args: argparse.Namespace) -> int:
    """0 once the copy is whole and was read back."""
    from bot.storage.backup import backup
    from bot.storage.database import Database

    url = database_url(args.db) if args.db else read_settings().database_url
    # Not opened: an older schema is copied as it is, before anything brings it up to date.
    rows = backup(Database(url), args.file)
    print(f"{args.file}: {rows['kennel']} kennels, {rows['entry']} entries, {rows['message']} messages; checked.")
    return 0
