"""`fettle import FILE`: weights from a CSV, shown first and written on demand; or a whole export, brought back.

`fettle import weights.csv` shows what would be written; `--write` writes it; `--undo` takes the last import back.
`fettle import FOLDER` (or its `records.jsonl`) brings an exported kennel into a database without one.
"""

from __future__ import annotations

import argparse
import hashlib
from pathlib import Path

from bot.reading import weight_table
from bot.replies import weight_tables
from bot.scheduling.clock import SystemClock
from bot.settings import Trouble, database_url, read_settings
from bot.storage import Database, KennelStore
from core.messages import Message
from core.roster import BREEDER, Kennel
from core.turns import Post
from shared.spreadsheet import decoded
from shared.texts import text

LONGEST = 4_000_000  # bytes of a table
KEY = "import "  # how the message keys of imports begin


class ImportTrouble(Trouble):
    """What was to be brought in can't be; the text says why."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """What to bring in, into which kennel, and whether to write."""
    parser.add_argument("file", type=Path, nargs="?", metavar="FILE", help="a CSV of weights, or an exported folder")
    parser.add_argument("--write", action="store_true", help="write the weights; without it they are only shown")
    parser.add_argument("--undo", action="store_true", help="take the weights of the last import back")
    parser.add_argument("--kennel", metavar="NAME", help="which kennel, where the database has several")
    parser.add_argument("--db", metavar="URL", help="the database, instead of FETTLE_DB")


def run(args: argparse.Namespace) -> int:
    """0 once it is shown, written or taken back.

    Raises:
        Trouble: the file or the database can't be used.
    """
    if args.undo == (args.file is not None):
        raise ImportTrouble("Name one file to bring in, or --undo alone.")
    url = database_url(args.db) if args.db else read_settings().database_url
    if args.undo:
        with Database(url, create=False) as database:
            return _undo(database, _kennel_id(database, args.kennel))
    records = args.file / "records.jsonl" if args.file.is_dir() else args.file
    if records.suffix == ".jsonl":
        return _restore(url, records)
    with Database(url, create=False) as database:
        return _weights(database, _kennel_id(database, args.kennel), args.file, args.write)


def _kennel_id(database: Database, name: str | None) -> int:
    kennels = database.kennels()
    found = [n for n, known in kennels.items() if name in (None, known)]
    if len(found) != 1:
        known = ", ".join(kennels.values()) or "none"
        raise ImportTrouble(f"Name one kennel with --kennel; there is: {known}.")
    return found[0]


# A whole export


def _restore(url: str, records: Path) -> int:
    from bot.storage.bringing import restore

    with Database(url) as database:
        try:
            with records.open(encoding="utf-8") as lines:
                brought = restore(database, lines)
        except (OSError, UnicodeDecodeError) as wrong:
            raise ImportTrouble(f"{records} can't be read ({type(wrong).__name__}); name an exported folder.") from None
        print(text("weight_table.brought", name=brought.name, rows=brought.rows, entries=brought.entries,
                   place=database.place))  # fmt: skip
    return 0


# Weights


def _weights(database: Database, kennel_id: int, file: Path, write: bool) -> int:
    raw = _bytes(file)
    now = SystemClock().now()
    with database.writing(kennel_id) as store:
        kennel = store.load_kennel()
        try:
            rows = weight_table.read(decoded(raw), kennel, store.load_book(), kennel.day_of(now))
        except weight_table.TableError as wrong:
            raise ImportTrouble(text(f"weight_table.error.{wrong.why}")) from None
        lines = [weight_tables.Line(**r.facts()) for r in rows]
        for line in lines:
            print(weight_tables.row(line, kennel))
        print(weight_tables.count(lines, kennel))
        posts = tuple(Post(entry=r.entry()) for r in rows if not r.wrong)
        if not posts:
            print(text("weight_table.nothing_written"))
        elif not write:
            print(text("weight_table.preview"))
        else:
            said = text("weight_table.note", name=file.name, n=len(posts))
            key = f"{KEY}{hashlib.sha256(raw).hexdigest()[:12]} {now:%Y%m%dT%H%M%S}"
            message = Message(key=key, room=BREEDER, sender=_breeder(kennel), sent_at=now, text=said)
            store.keep_message(message)
            store.post(posts, (), message)
            print(text("weight_table.written", n=len(posts)))
    return 0


def _undo(database: Database, kennel_id: int) -> int:
    now = SystemClock().now()
    with database.writing(kennel_id) as store:
        rows = _last_import(store)
        if not rows:
            print(text("weight_table.nothing_to_undo"))
            return 0
        message = Message(
            key=f"{KEY}undo {now:%Y%m%dT%H%M%S}", room=BREEDER, sender=_breeder(store.load_kennel()), sent_at=now,
            text=text("weight_table.undone", n=len(rows)),
        )  # fmt: skip
        store.keep_message(message)
        store.post((), rows, message)
        print(message.text)
    return 0


def _last_import(store: KennelStore) -> tuple[int, ...]:
    """The numbers of what counts of the newest import."""
    brought = [p for p in store.load_book() if p.room == BREEDER and p.message.startswith(KEY)]
    newest = max(brought, key=lambda p: p.id, default=None)
    return tuple(p.id for p in brought if newest is not None and p.message == newest.message)


def _breeder(kennel: Kennel) -> str:
    return kennel.breeder.name if kennel.breeder else ""


def _bytes(file: Path) -> bytes:
    try:
        with file.open("rb") as source:
            raw = source.read(LONGEST + 1)
    except OSError as wrong:
        raise ImportTrouble(f"{file} can't be read ({wrong.strerror}).") from None
    if len(raw) > LONGEST:
        raise ImportTrouble(text("weight_table.error.long"))
    return raw
