"""A backup a day, and the old ones thinned: each of the last seven days, then one for each of five weeks.

An older one goes only once the new one was made, opened, checked and counted, and holds no fewer entries than the one
before it: a book does not shrink by itself.
"""

from __future__ import annotations

import logging
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bot.storage.backup import backup, count_rows
from bot.storage.database import Database
from bot.storage.errors import NoSuchPlace

log = logging.getLogger(__name__)

DAYS, WEEKS = 7, 5  # common practice, no source: a slip is seen within the week, a slow one within the month


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """The copy of one day, its entries, and the older ones that went."""

    path: Path
    entries: int
    gone: tuple[Path, ...]


def make(database: Database, folder: Path, today: date) -> Made | None:
    """Makes today's backup and thins the old ones; None where today's is there already.

    Raises:
        StorageError: it could not be made; every older one is still there.
    """
    before = kept(folder)
    if today in before:
        return None
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise NoSuchPlace(f"The folder {folder} cannot be made ({error.strerror}); set FETTLE_BACKUPS.") from None
    path = folder / f"fettle-{today.isoformat()}.db"
    entries = backup(database, path)["entry"]
    last = max(before, default=None)
    if last is not None and (was := _entries(before[last])) > entries:
        log.warning("the backup of %s holds %d entries, the one of %s held %d: no old one is thrown away",
                    today, entries, last, was)
        return Made(path=path, entries=entries, gone=())
    keep = worth_keeping([today, *before])
    gone = tuple(before[day] for day in before if day not in keep)
    for old in gone:
        old.unlink(missing_ok=True)
    return Made(path=path, entries=entries, gone=gone)


def kept(folder: Path) -> dict[date, Path]:
    """The backups in the folder, by day; other files are nobody's business."""
    found: dict[date, Path] = {}
    for path in sorted(folder.glob("fettle-*.db")):
        try:
            found[date.fromisoformat(path.stem.removeprefix("fettle-"))] = path
        except ValueError:
            continue
    return found


def worth_keeping(days: Iterable[date]) -> set[date]:
    """The newest seven, and the newest of each of the five calendar weeks before them that have any."""
    newest = sorted(days, reverse=True)
    keep = set(newest[:DAYS])
    weeks: dict[tuple[int, int], date] = {}
    for day in newest[DAYS:]:
        weeks.setdefault(day.isocalendar()[:2], day)
    return keep | set(list(weeks.values())[:WEEKS])


def _entries(path: Path) -> int:
    try:
        return count_rows(path)["entry"]
    except Exception:
        return 0  # a broken old one says nothing about the new one
