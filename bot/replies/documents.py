"""Files that are sent with a word: papers, and the calendar of what is due."""

from __future__ import annotations

from bot.replies import due_calendar, papers
from core.ledger import Ledger
from core.roster import Kennel


def make(what: str, kennel: Kennel, ledger: Ledger, room: str) -> tuple[str, bytes]:
    """The name of the file and the file of a short description ("paper:vet:pdf:2026-03-14:Nugget").

    Args:
        kennel, ledger: the whole of both; what the room may not see is left out.

    Raises:
        ValueError: no such file, or none that this room may have.
    """
    if what.startswith("calendar:"):
        return due_calendar.make(what, kennel, ledger, room)
    return papers.make(what, kennel, ledger, room)
