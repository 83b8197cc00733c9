"""The terminal as a chat: what is said and marked, as lines of a script or as a room to look at.

`Lines` writes for a script and for tests; `View` shows the room to a person, with each mark at the end of its
message's line. Both are a `Sender` for one platform whose chats are named like the rooms.
"""

from __future__ import annotations

import asyncio
import re
import shutil
import textwrap
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Protocol, TextIO

from bot.chat.codes import with_code
from bot.chat.errors import Refused
from core.messages import PHOTO, Mark, Message, Say
from core.roster import FAMILY
from shared.texts import text

PLATFORM = "terminal"

_NOT_A_NAME = re.compile(r"[^\w.-]+", re.ASCII)
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")  # would move a terminal's cursor or colours

Draw = Callable[[str, str], bytes]  # room and `Say.picture` -> PNG
Make = Callable[[str, str], tuple[str, bytes]]  # room and `Say.document` -> the file's name and the file


class Screen(Protocol):
    """Where the terminal room is shown."""

    def came(self, message: Message, line: str) -> None:
        """A message went in; `line` is how it was typed."""
        ...

    def said(self, out: Say, at: datetime, picture: str, document: str = "") -> None:
        """Something was said; `picture` and `document` are the paths of what came with it, "" for none."""
        ...

    def marked(self, out: Mark, at: datetime) -> None:
        """A message was acknowledged."""
        ...


@dataclass
class TerminalSender:
    """Sends to a screen; see `bot.chat.Sender`.

    Attributes:
        screen: where it is shown. local: the wall-clock time of now. folder: gives the folder of pictures and files.
        draw: makes the PNG of `Say.picture`; it is called in a thread. make: the same for `Say.document`.
        code: gives the code of a `Say.invite`.
        buttons: what was offered in each room, oldest first: the key of the saying, its labels.
    """

    screen: Screen
    local: Callable[[], datetime]
    folder: Callable[[], Path]
    draw: Draw | None = None
    make: Make | None = None
    code: Callable[[str], str] | None = None
    buttons: dict[str, list[tuple[str, tuple[str, ...]]]] = field(default_factory=dict)

    async def send(self, chat: str, out: Say | Mark, reply_to: str | None) -> str:
        """The key of what was shown ("" for a mark).

        Raises:
            Refused: the picture or file could not be made or written; nothing was shown.
        """
        at = self.local()
        if isinstance(out, Mark):
            self.screen.marked(out, at)
            return ""
        if out.invite and self.code is not None:
            out = with_code(out, self.code(out.invite), "")
        picture = await self._picture(out) if out.picture and self.draw is not None else ""
        document = await self._document(out) if out.document and self.make is not None else ""
        key = f"said {out.key}"
        if out.buttons:
            self.buttons.setdefault(out.room, []).append((key, out.buttons))
        self.screen.said(out, at, picture, document)
        return key

    def offered(self, room: str, label: str) -> tuple[str, str] | None:
        """The newest saying of the room that has that button: its key and the label as it stands; None for none."""
        for key, labels in reversed(self.buttons.get(room, [])):
            for own in labels:
                if own.casefold() == label.casefold():
                    return key, own
        return None

    async def _picture(self, out: Say) -> str:
        assert self.draw is not None
        if out.picture.startswith(PHOTO):
            return out.picture.removeprefix(PHOTO)  # kept by its handle, nothing is drawn
        try:
            png = await asyncio.to_thread(self.draw, out.room, out.picture)
            return str(await asyncio.to_thread(self._write, out.picture, png))
        except (OSError, ValueError) as wrong:
            raise Refused(f"the picture {out.picture[:60]!r}: {wrong}") from wrong

    async def _document(self, out: Say) -> str:
        assert self.make is not None
        try:
            name, content = await asyncio.to_thread(self.make, out.room, out.document)
            path = self.folder() / name
            await asyncio.to_thread(path.write_bytes, content)
        except (OSError, ValueError) as wrong:
            raise Refused(f"the file {out.document[:60]!r}: {wrong}") from wrong
        return str(path)

    def _write(self, name: str, png: bytes) -> Path:
        path = self.folder() / f"{_NOT_A_NAME.sub('-', name).strip('-')[:80] or 'picture'}.png"
        path.write_bytes(png)
        return path


class Lines:
    """The screen of a script: one line for each thing that happened, in order.

    [2026-03-14 08:10] Maya: Nugget 9.4 kg
    [2026-03-14 08:10] Fettle marks ✍
    [2026-03-14 08:11] Fettle to breeder: One line.\\nAnother. (picture PATH) [yes | no]
    """

    def __init__(self, out: TextIO) -> None:
        self._out = out

    def came(self, message: Message, line: str) -> None:
        """The line as it was given."""
        print(line, file=self._out)

    def said(self, out: Say, at: datetime, picture: str, document: str = "") -> None:
        """What was said, with its line breaks as \\n, its picture, its file and its buttons."""
        shown = out.text.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")
        if picture:
            shown += f" (picture {picture})"
        if document:
            shown += f" (file {document})"
        if out.buttons:
            shown += f" [{' | '.join(out.buttons)}]"
        print(f"[{at:%Y-%m-%d %H:%M}] Fettle to {out.room}: {shown}", file=self._out)

    def marked(self, out: Mark, at: datetime) -> None:
        """The mark on the message above."""
        print(f"[{at:%Y-%m-%d %H:%M}] Fettle marks {out.mark}", file=self._out)


class View:
    """The screen of a person: the room as a chat.

    A message that went in is held until it is known whether it was marked; `settle` shows it. What is said in
    another room than the family's carries the room's name.
    """

    NAMES = 11  # width of the column of names

    def __init__(self, out: TextIO, *, colours: bool = False, width: int | None = None) -> None:
        self._out, self._colours = out, colours
        self._width = width
        self._day: date | None = None
        self._held: tuple[Message, datetime] | None = None
        self._mark = ""
        self._after: list[Callable[[], None]] = []

    def came(self, message: Message, line: str) -> None:
        """Holds the message until `settle`."""
        self.settle()
        self._held = (message, message.sent_at)

    def said(self, out: Say, at: datetime, picture: str, document: str = "") -> None:
        """Shows what was said, after the message that is held."""
        shown = out.text + (f"\n{text('terminal.picture', path=picture)}" if picture else "")
        shown += f"\n{text('terminal.file', path=document)}" if document else ""
        if out.buttons:
            shown += "\n" + "  ".join(f"[{b}]" for b in out.buttons)
        self._later(lambda: self._line(at, "Fettle", out.room, shown, "1;36"))

    def marked(self, out: Mark, at: datetime) -> None:
        """Puts the mark on its message: at the end of the line that is held, else on a short line of its own."""
        if self._held is not None and self._held[0].key == out.message:
            self._mark = out.mark
        else:
            self._later(lambda: self._line(at, "Fettle", out.room, text("terminal.marked", mark=out.mark), "1;36"))

    def settle(self) -> None:
        """Shows the message that is held, with its mark, and what was said after it."""
        if self._held is not None:
            message, at = self._held
            shown = message.text or (f"[{message.pressed}]" if message.pressed else "")
            shown = shown or (text("terminal.table") if message.table else "")
            if message.edit:
                shown = text("terminal.edited", text=shown)
            self._line(at, message.sender, message.room, shown + (f"  {self._mark}" if self._mark else ""), "1")
        self._held, self._mark = None, ""
        after, self._after = self._after, []
        for show in after:
            show()
        self._out.flush()

    def note(self, said: str) -> None:
        """A word of the terminal itself, beside the room."""
        for line in said.splitlines():
            print(self._coloured(line, "2"), file=self._out)
        self._out.flush()

    def _later(self, show: Callable[[], None]) -> None:
        if self._held is not None:
            self._after.append(show)
        else:
            show()

    def _line(self, at: datetime, who: str, room: str, said: str, colour: str) -> None:
        if at.date() != self._day:
            self._day = at.date()
            day = text("units.day_month", day=at.day, month=text(f"units.month.{at.month}"))
            title = text("terminal.day", weekday=text(f"units.weekday.{at.weekday()}"), day=day)
            print(self._coloured(title, "2"), file=self._out)
        name = _one_line(who)[: self.NAMES]
        head = f"{at:%H:%M}  {name:<{self.NAMES}} "
        start = self._coloured(f"{at:%H:%M}", "2") + "  " + self._coloured(f"{name:<{self.NAMES}}", colour) + " "
        if room != FAMILY:
            said = f"({_one_line(room)}) {said}"
        indent = " " * len(head)
        width = max(40, (self._width or shutil.get_terminal_size((100, 24)).columns) - len(head) - 1)
        lines: list[str] = []
        for part in said.replace("\r", "\n").split("\n"):
            lines += textwrap.wrap(_one_line(part), width, break_on_hyphens=False) or [""]
        for n, line in enumerate(lines):
            print((start if n == 0 else indent) + line, file=self._out)

    def _coloured(self, said: str, code: str) -> str:
        return f"\x1b[{code}m{said}\x1b[0m" if self._colours else said


def _one_line(said: str) -> str:
    """The words without what would move a terminal's cursor."""
    return _CONTROL.sub("·", said.replace("\n", " "))
