"""A kennel that nobody has claimed: the one-time code with which its breeder takes it, shown where Fettle is started.

Whoever can start the program and read what it prints decides who the breeder is; the first to find the bot does not.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from bot.chat.codes import link, shown
from bot.chat.door import PLATFORM
from bot.storage import Database

_MOST = 20  # codes printed at one start; a house of more kennels claims these first


def unclaimed(database: Database) -> list[tuple[int | None, str]]:
    """The kennels whose breeder has no account in Telegram, number and name; (None, "") where there is no kennel."""
    kennels = database.kennels()
    if not kennels:
        return [(None, "")]
    return [(n, name) for n, name in kennels.items() if not _has_breeder(database, n)]


def claiming(database: Database, username: str, now: datetime, secret: bytes) -> Iterator[str]:
    """A line with a fresh code for each of them, for whoever starts the program."""
    for number, name in unclaimed(database)[:_MOST]:
        code = database.invites.claim_code(number, now, secret)
        which = f"{name} has no breeder in Telegram yet" if name else "Nobody keeps a kennel here yet"
        yield (
            f"{which}. The breeder opens {link(username, code)} or writes to @{username}: join {shown(code)} "
            "(works once, for 7 days)"
        )


def _has_breeder(database: Database, number: int) -> bool:
    with database.reading(number) as store:
        breeder = store.load_kennel().breeder
    return breeder is None or breeder.name in database.accounts_of(PLATFORM, number).values()
