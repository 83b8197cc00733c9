"""`fettle doctor`: looks at settings, database, token and clock, changes nothing, and says what to mend."""

from __future__ import annotations

import argparse
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bot.settings import Settings, SettingsTrouble, Trouble, database_url, read_settings

if TYPE_CHECKING:
    from bot.storage.database import Database

# The form of a token as BotFather gives it (core.telegram.org/bots/api, "Authorizing your bot").
_TOKEN = re.compile(r"[0-9]{3,20}:[A-Za-z0-9_-]{30,64}", re.ASCII)
_ROOM_MB = 100  # free space below which a full disk is days away; common practice, no source
_LATE_BACKUP = timedelta(days=2)  # one a day is made while Fettle runs; a day out may be a holiday of the machine
_EARLIEST = datetime(2026, 1, 1, tzinfo=UTC)  # this program is no older: a clock before it was never set
_AHEAD = timedelta(hours=1)  # messages from further ahead than this mean a clock that is slow


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One thing looked at: `mend` says what to do, "" where all is well."""

    what: str
    state: str
    mend: str = ""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The database, or the texts instead of the look."""
    parser.add_argument("--db", metavar="URL", help="the database, instead of FETTLE_DB")
    parser.add_argument("--texts", action="store_true", help="only print every text that a person can read")


def run(args: argparse.Namespace) -> int:
    """0 where nothing is to be mended, else 1."""
    if args.texts:
        from bot.commands.texts_page import page

        print(page())
        return 0
    from bot.scheduling.clock import SystemClock

    found = list(examine(args.db, SystemClock().now()))
    for item in found:
        print(f"{'mend' if item.mend else 'ok':5} {item.what}: {item.state}" + (f"; {item.mend}" if item.mend else ""))
    return 1 if any(item.mend for item in found) else 0


def examine(db: str | None, now: datetime, settings: Settings | None = None) -> Iterator[Found]:
    """What was found, in the order in which it is best mended."""
    try:
        settings = settings or read_settings()
    except SettingsTrouble as trouble:
        yield Found(what="settings", state="not usable", mend=str(trouble))
        return
    yield Found(what="settings", state=f"log level {settings.log_level}, {settings.api_url or 'the usual Telegram'}")
    yield _token(settings.token)
    yield from _database(database_url(db) if db else settings.database_url, now)
    yield _backups(settings.backups, now)


def _token(token: str) -> Found:
    if not token:
        return Found(what="token", state="none", mend="set FETTLE_TOKEN to the token that BotFather gave you")
    if not _TOKEN.fullmatch(token):
        return Found(what="token", state="not in the form of one", mend="copy it again from BotFather, all of it")
    return Found(what="token", state="there")


def _database(url: str, now: datetime) -> Iterator[Found]:
    from bot.storage.database import Database
    from bot.storage.migrations import HEAD

    try:
        database = Database(url)
        revision = database.check()
        if revision != HEAD:
            mend = "make a backup, then start Fettle: it brings the database up to date"
            state = f"{database.place} has {f'the older schema {revision}' if revision else 'no tables yet'}"
            yield Found(what="database", state=state, mend=mend)
            return
        with Database(url, create=False) as opened:
            yield Found(what="database", state=f"{opened.place} is sound, schema {HEAD}")
            yield from _free_space(opened)
            for look in (_kennels, _claimed, _waiting, _failed):
                yield look(opened)
            yield _clock(opened, now)
    except Trouble as trouble:
        yield Found(what="database", state="not usable", mend=str(trouble))


def _free_space(database: Database) -> Iterator[Found]:
    if database.file is None:
        return
    free = shutil.disk_usage(database.file.parent).free // 1_000_000
    mend = f"make room on the disk of {database.file.parent}" if free < _ROOM_MB else ""
    yield Found(what="disk", state=f"{free} MB free", mend=mend)


def _backups(folder: Path | None, now: datetime) -> Found:
    from bot.storage.nightly import kept

    if folder is None:
        return Found(what="backups", state="off")
    found = kept(folder)
    if not found:
        return Found(what="backups", state=f"none in {folder} yet; `fettle serve` makes one a day")
    newest = max(found)
    late = now.date() - newest > _LATE_BACKUP
    mend = f"look in the log why none was made since, and make room in {folder}" if late else ""
    return Found(what="backups", state=f"{len(found)} in {folder}, the newest of {newest}", mend=mend)


def _kennels(database: Database) -> Found:
    unknown = []
    kennels = database.kennels()
    for number, name in kennels.items():
        with database.reading(number) as store:
            zone = store.load_kennel().zone
        try:
            ZoneInfo(zone)
        except (ZoneInfoNotFoundError, ValueError):
            unknown.append(f"{name} ({zone})")
    mend = f"unknown time zone of {', '.join(unknown)}; set it in the chat" if unknown else ""
    return Found(what="kennels", state=str(len(kennels)), mend=mend)


def _claimed(database: Database) -> Found:
    from bot.commands.claiming import unclaimed

    names = ", ".join(name or "a new kennel" for _, name in unclaimed(database))
    state = f"{names} not claimed in Telegram yet: `fettle serve` prints a one-time code for the breeder"
    return Found(what="breeders", state=state if names else "all there")


def _waiting(database: Database) -> Found:
    counts = database.outbox.counts()
    lost = database.outbox.homeless()
    mend = f"{lost} have no chat to go to; bind the room again from its chat" if lost else ""
    state = f"{counts.get('waiting', 0)} waiting, {counts.get('failed', 0)} failed"
    return Found(what="outbox", state=state, mend=mend)


def _failed(database: Database) -> Found:
    aside = database.inbox.set_aside()
    return Found(what="inbox", state=f"{len(aside)} messages set aside")


def _clock(database: Database, now: datetime) -> Found:
    newest = database.inbox.newest()
    mend = ""
    if now < _EARLIEST:
        mend = "set the machine's clock: it stands before this program was made"
    elif newest is not None and newest > now + _AHEAD:
        mend = f"set the machine's clock: a message came at {newest:%Y-%m-%d %H:%M} UTC, later than now"
    return Found(what="clock", state=f"{now:%Y-%m-%d %H:%M} UTC", mend=mend)
