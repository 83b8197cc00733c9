"""`fettle chat`: a kennel's rooms in the terminal, to try things out or to run a script of a day.

Without `--db` it is a demo that is forgotten at the end; with it, the database is kept, and an empty one
is filled with the demo kennel (or the one of `--kennel`) and its book.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import itertools
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from importlib.resources import files
from pathlib import Path
from typing import TextIO

from bot.chat.moves import moved
from bot.chat.script import MOVES, WRITES, ScriptError, Step, read_line, spoken
from bot.chat.terminal import PLATFORM, Lines, View
from bot.commands.alone import alone
from bot.commands.kennel_files import read_kennel_file
from bot.commands.room import NotPossible, Room, home_of, load_history, rooms_of
from bot.enrolment.kennel_file import KennelFile, parse
from bot.replies import say_units
from bot.scheduling.clock import SystemClock
from bot.settings import Trouble, database_url, read_settings, set_up_log
from bot.storage import Database
from core.roster import BREEDER, FAMILY, Kennel
from shared.texts import listed, text

DEMO_START = datetime(2026, 3, 14, 6, 50)  # wall clock at Larkrise: before breakfast, so that "fed everyone" is news
TICK = timedelta(minutes=1)  # between two messages of somebody who types, so that the room looks like one


class ChatTrouble(Trouble):
    """The terminal room can't be opened; the text says what to do."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The database, the kennel, and where pictures go."""
    parser.add_argument("--db", metavar="URL", help="keep the kennel in this database (a URL or a file's path)")
    parser.add_argument("--kennel", metavar="FILE", help="another kennel than the demo's, for an empty database")
    parser.add_argument("--pictures", metavar="FOLDER", help="where charts are written (a new temporary folder)")


def run(args: argparse.Namespace) -> int:
    """0 at the end of the script, or when the person leaves.

    Raises:
        Trouble: the database or the kennel file can't be used.
    """
    settings = read_settings()
    level = settings.log_level if os.environ.get("FETTLE_LOG") else "warning"
    set_up_log(replace(settings, log_level=level))
    folder = Path(args.pictures) if args.pictures else Path(tempfile.gettempdir()) / f"fettle-pictures-{os.getpid()}"
    if sys.stdin is not None and sys.stdin.isatty():
        return _interactive(args, folder)
    return _script(args, folder)


# The kennel


@dataclass(frozen=True, slots=True)
class _Opened:
    """What the database holds: the kennel's number, and the file that it came from (None for one that was there)."""

    kennel_id: int
    file: KennelFile | None


def _open(database: Database, args: argparse.Namespace) -> _Opened:
    known = database.kennels()
    if known:
        if args.kennel:
            raise ChatTrouble(f"{database.place} already has a kennel; leave --kennel out, or name another database.")
        opened = _Opened(min(known), None)
        if any(room.platform != PLATFORM for room in database.rooms_of(opened.kennel_id)):
            # What waits for the family's own rooms would be shown here, and never there.
            raise ChatTrouble(
                f"{database.place} holds a kennel that has its rooms in a chat; to look at it here, make a copy with "
                "`fettle export`, and `fettle import` it into another database."
            )
        return opened
    file = _kennel_file(args.kennel)
    return _Opened(database.create_kennel(file.kennel), file)


def _kennel_file(named: str | None) -> KennelFile:
    """The kennel of that file, the demo's where none is named."""
    if named is not None:
        return read_kennel_file(Path(named))
    return parse((files("shared") / "kennels" / "larkrise.yaml").read_text(encoding="utf-8"))


def _start(database: Database, opened: _Opened, first: datetime | None, demo: bool) -> datetime:
    """The instant at which the clock stands first: the script's first stamp, the demo's morning, where an earlier
    session ended, or now."""
    with database.reading(opened.kennel_id) as store:
        kennel, looked = store.load_kennel(), store.looked_at()
    if first is not None:
        return first.replace(tzinfo=kennel.tz)
    if looked is not None:
        return looked
    return DEMO_START.replace(tzinfo=kennel.tz) if demo else SystemClock().now()


@contextlib.contextmanager
def _room(args: argparse.Namespace, screen: Lines | View, folder: Path, first: datetime | None) -> Iterator[Room]:
    with contextlib.ExitStack() as stack:
        # A throw-away database is a file too, not one in memory: it is the same road as a kennel's own.
        url = database_url(args.db or f"{stack.enter_context(tempfile.TemporaryDirectory(prefix='fettle-'))}/demo.db")
        database = stack.enter_context(Database(url))
        stack.enter_context(alone(database.file))
        opened = _open(database, args)
        start = _start(database, opened, first, demo=args.kennel is None)
        if opened.file is not None:
            load_history(database, opened.kennel_id, opened.file.history, start)
        yield Room(database, opened.kennel_id, start, screen, folder)


# A script


def _script(args: argparse.Namespace, folder: Path) -> int:
    out = _utf8(sys.stdout)
    lines = enumerate(_lines(), start=1)
    early = []
    first: Step | None = None
    for number, line in lines:
        early.append((number, line))
        with contextlib.suppress(ScriptError):
            first = read_line(line)
        if first is not None:
            break
    with _room(args, Lines(out), folder, first.at if first else None) as room:
        asyncio.run(_play(room, itertools.chain(early, lines)))
    out.flush()
    return 0


async def _play(room: Room, lines: Iterator[tuple[int, str]]) -> None:
    for number, line in lines:
        try:
            step = read_line(line)
            if step is not None:
                await room.take(replace(step, text=step.text.replace("\\n", "\n")), line)
        except (ScriptError, NotPossible) as wrong:
            sys.stdout.flush()
            print(text("terminal.line", n=number, why=wrong), file=sys.stderr)


def _lines() -> Iterator[str]:
    """The lines of standard input as text, whatever bytes they are, without their ends."""
    for n, raw in enumerate(sys.stdin.buffer):
        line = raw.decode("utf-8", "replace").rstrip("\r\n")
        yield line.removeprefix("\ufeff") if n == 0 else line


def _utf8(out: TextIO) -> TextIO:
    if hasattr(out, "reconfigure"):
        out.reconfigure(encoding="utf-8", errors="replace")
    return out


# A person


@dataclass
class _Typist:
    """Who types, and in which room."""

    who: str
    room: str


def _interactive(args: argparse.Namespace, folder: Path) -> int:
    with contextlib.suppress(ImportError):
        import readline  # noqa: F401 (gives `input` its editing keys and a history)
    out = _utf8(sys.stdout)
    view = View(out, colours=out.isatty() and not os.environ.get("NO_COLOR"))
    with _room(args, view, folder, None) as room:
        kennel = room.kennel()
        typist = _Typist(kennel.breeder.name if kennel.breeder else "", FAMILY)
        _head(view, room, typist, kept=bool(args.db))
        with asyncio.Runner() as loop:
            while True:
                prompt = (
                    f"{typist.who}> "
                    if typist.room == home_of(room.kennel().person(typist.who))
                    else (f"{typist.who} in {typist.room}> ")
                )
                try:
                    line = input(prompt)
                except (EOFError, KeyboardInterrupt):
                    line = "quit"
                    print(file=out)
                if line.strip().casefold() in ("quit", "exit"):
                    break
                _wipe(out, prompt + line)
                if line.strip() == "?":
                    _head(view, room, typist, kept=bool(args.db))
                    continue
                try:
                    loop.run(_typed(room, view, typist, line.encode("utf-8", "replace").decode("utf-8").strip()))
                except (ScriptError, NotPossible) as wrong:
                    view.note(str(wrong))
                view.settle()
    view.note(text("terminal.bye"))
    return 0


async def _typed(room: Room, view: View, typist: _Typist, line: str) -> None:
    """Does what the line says: changes who types or where, moves the clock, or speaks."""
    if not line:
        return
    kennel = room.kennel()
    if _changed(kennel, typist, line):
        view.note(text("terminal.now_typing", who=typist.who, room=typist.room))
        return
    now = room.local().replace(tzinfo=None)
    if (to := moved(line, now)) is not None:
        await room.take(Step(does=MOVES, at=to), line)
        view.settle()
        view.note(_clock(room))
        return
    step = _step(kennel, typist, line)
    if step.at is None:
        await room.move(room.clock.now() + TICK)
    elif step.at < now:
        raise NotPossible(text("terminal.not_back"))
    await room.take(step, line)


def _changed(kennel: Kennel, typist: _Typist, line: str) -> bool:
    """True where the line only says who types, or in which room.

    Raises:
        NotPossible: nobody is called that.
    """
    word, _, rest = line.partition(" ")
    rest = rest.strip()
    if word.casefold() == "as" and rest:
        person = kennel.person(rest)
        if person is not None:
            typist.who, typist.room = person.name, home_of(person)
            return True
        if len(rest.split()) == 1:  # "as usual he left half" is talk
            names = listed([p.name for p in kennel.people])
            raise NotPossible(text("terminal.nobody", who=rest, people=names))
    if word.casefold() == "in" and rest:
        named = next((r for r in rooms_of(kennel) if r.casefold() == rest.casefold()), None)
        if named is not None:
            typist.room = named
            return True
    return False


def _step(kennel: Kennel, typist: _Typist, line: str) -> Step:
    """The step of a line: as it is stamped, as somebody known speaks in it, else spoken by whoever types."""
    if line.startswith("["):
        with contextlib.suppress(ScriptError):
            step = read_line(line)
            if step is not None:
                return step
    word, _, rest = line.partition(" ")
    if word.casefold() in ("press", "presses") and rest:
        return spoken(f"{typist.who} in {typist.room} presses {rest}")
    with contextlib.suppress(ScriptError):
        step = spoken(line)
        if kennel.person(step.who) is not None:
            return step
    return Step(does=WRITES, who=typist.who, room=typist.room, text=line)


def _head(view: View, room: Room, typist: _Typist, kept: bool) -> None:
    kennel = room.kennel()
    shown = text("terminal.head", kennel=kennel.name or BREEDER, day=_day(room), who=typist.who)
    view.note(shown if kept else f"{shown}\n{text('terminal.keeps')}")
    view.note("")


def _day(room: Room) -> str:
    local = room.local()
    return f"{say_units.weekday(local.date())} {say_units.calendar_day(local.date(), room.kennel())}, {local:%H:%M}"


def _clock(room: Room) -> str:
    local, kennel = room.local(), room.kennel()
    return text(
        "terminal.clock", time=say_units.clock(local, kennel), weekday=say_units.weekday(local.date()),
        day=say_units.calendar_day(local.date(), kennel),
    )  # fmt: skip


def _wipe(out: TextIO, typed: str) -> None:
    """Takes the typed line off the screen: the room shows it, with its mark."""
    if out.isatty():
        rows = 1 + (len(typed) - 1) // max(20, shutil.get_terminal_size().columns)
        out.write("\x1b[1A\x1b[2K" * rows)
