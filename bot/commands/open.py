"""`fettle open`: a one-time code with which somebody begins another kennel in the same database."""

from __future__ import annotations

import argparse

from bot.settings import database_url, read_settings


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The database in which the kennel is begun."""
    parser.add_argument("--db", metavar="URL", help="the database, instead of FETTLE_DB")


def run(args: argparse.Namespace) -> int:
    """0 once the code is printed; the bot may be running.

    Raises:
        Trouble: the database can't be used.
    """
    from bot.chat.codes import shown
    from bot.scheduling.clock import SystemClock
    from bot.storage import Database, codes

    url = database_url(args.db) if args.db else read_settings().database_url
    with Database(url, create=False) as database:
        # Kept as a hash, so that any secret makes a good code: the bot's token is not needed here.
        code = database.invites.claim_code(None, SystemClock().now(), codes.new_secret())
    print(f"Whoever is to keep another kennel here writes to the bot: join {shown(code)} (works once, for 7 days)")
    return 0
