"""Papers: the vet's page, the sitter's sheet, a going-home record, a litter sheet, a dog's book; as PDF or plain text.

The words of the conversation carry only a short description of the paper ("paper:vet:pdf:2026-03-14:Nugget"); it is
written when it is sent, from the whole book and through the eyes of the room that it goes to.
"""

from __future__ import annotations

import re
from datetime import date

from bot.replies.papers import as_pdf, as_text, book, going_home, litter, sitting, vet
from bot.replies.papers.model import Paper
from bot.replies.papers.whose import BOOK, HOME, KINDS, LITTER, OF_DOG, SITTER, VET, desk_for, may_have
from core.ledger import Ledger
from core.roster import Kennel
from shared.texts import text

PDF, TXT = "pdf", "txt"

__all__ = ["BOOK", "HOME", "KINDS", "LITTER", "OF_DOG", "PDF", "SITTER", "TXT", "VET", "PaperError", "make", "may_have",
           "spec", "write"]  # fmt: skip


class PaperError(ValueError):
    """A paper that can't be written: the text says which."""


def spec(kind: str, on: date, dog: str = "", form: str = PDF) -> str:
    """The short description of a paper as of a day."""
    return f"paper:{kind}:{form}:{on.isoformat()}:{dog}"


def make(said: str, kennel: Kennel, ledger: Ledger, room: str) -> tuple[str, bytes]:
    """The paper of that description for a room: the name of its file, and the file.

    Args:
        kennel, ledger: the whole of both; what the room may not see is left out here.

    Raises:
        PaperError: no such paper, or none that this room may have.
    """
    parts = said.split(":", 4)
    if len(parts) < 5 or parts[0] != "paper" or parts[1] not in KINDS or parts[2] not in (PDF, TXT):
        raise PaperError(f"no such paper: {said[:60]!r}")
    _, kind, form, day, name = parts
    try:
        on = date.fromisoformat(day)
    except ValueError:
        raise PaperError(f"no such day: {day[:20]!r}") from None
    paper = write(kind, name, kennel, ledger, room, on)
    content = as_pdf.render(paper, on) if form == PDF else as_text.render(paper).encode()
    return f"{file_name(kind, name, on)}.{form}", content


def write(kind: str, name: str, kennel: Kennel, ledger: Ledger, room: str, on: date) -> Paper:
    """The paper before it is set.

    Raises:
        PaperError: a dog that is not on the roster, or a paper that this room may not have.
    """
    dog = kennel.dog(name) if kind in OF_DOG else None
    if dog is None and kind in OF_DOG:
        raise PaperError(f"no such dog: {name[:60]!r}")
    desk = desk_for(room, kind, dog, kennel, ledger, on)
    if desk is None:
        raise PaperError(f"no {kind} paper for {room[:60]!r}")
    if dog is None:
        return sitting.sheet(desk)
    seen = desk.kennel.by_name[dog.name]
    writers = {VET: vet.page, HOME: going_home.record, LITTER: litter.sheet, BOOK: book.book}
    return writers[kind](seen, desk)


def file_name(kind: str, dog: str, on: date) -> str:
    """A file's name that no dog's name can turn into another place."""
    plain = re.sub(r"[^\w-]+", "-", dog).strip("-")[:60]
    return "-".join(p for p in (plain, text(f"papers.file.{kind}"), on.isoformat()) if p)
