"""`fettle move FROM TO`: every record into another, empty database, compared by count and checksum."""

from __future__ import annotations

import argparse

from bot.settings import Trouble, database_url


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The two databases."""
    parser.add_argument("source", metavar="FROM", help="the database that is full: a file or a URL; it is only read")
    parser.add_argument("target", metavar="TO", help="the database to fill: a file or a URL; it must be empty")


def run(args: argparse.Namespace) -> int:
    """0 once everything is there and was compared.

    Raises:
        Trouble: nothing was moved; the text says why.
    """
    from bot.commands.alone import alone
    from bot.storage.database import Database
    from bot.storage.migrations import HEAD
    from bot.storage.moving import move

    if database_url(args.source) == database_url(args.target):
        raise Trouble("FROM and TO are the same database; name another one to move to.")
    source, target = Database(database_url(args.source), create=False), Database(database_url(args.target))
    revision = source.check()
    if revision != HEAD:
        raise Trouble(f"{source.place} has an older schema; start Fettle on it once, which brings it up to date.")
    # A message that came in meanwhile would be left behind.
    with alone(source.file), source, target:
        for item in move(source, target):
            print(f"{item.table:10} {item.rows:9} rows  sha256 {item.checksum[:16]}")
        print(f"{target.place} holds the same as {source.place[:1].lower()}{source.place[1:]}.")
    print("Set FETTLE_DB to the new one before you start Fettle again; the old one is as it was.")
    return 0
