"""One turn: what the conversation is handed, and all that came of one message."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from core.entries import Entry
from core.ledger import Ledger
from core.messages import Mark, Message, Say
from core.roster import Kennel, Person


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One question that Fettle asked in a room and that waits for its answer.

    Attributes:
        about: what was asked (`dog`, `value`, `second meal`, `setup`, …). person: of whom.
        at: when. message: key of the message that made it ask.
        choices: the likely answers (also the buttons), best first.
        facts: what must be remembered to act on the answer, ready for JSON.
    """

    about: str
    person: str
    at: datetime
    message: str = ""
    choices: tuple[str, ...] = ()
    facts: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Memory:
    """What Fettle keeps in mind in one room: open questions, the reasons behind its last answer, a set-up under way."""

    asked: tuple[Asked, ...] = ()
    why: str = ""
    facts: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Scene:
    """All that one turn may look at.

    Attributes:
        kennel, ledger: as they stand before the turn.
        now: the instant of the turn (aware); usually when the message was sent.
        memory: by room. recent: earlier messages of this room, oldest first (at most eight, the last half hour).
    """

    kennel: Kennel
    ledger: Ledger
    now: datetime
    memory: Mapping[str, Memory] = field(default_factory=dict)
    recent: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """An entry to be written, and the number in the book of the one whose place it takes (None for none)."""

    entry: Entry
    replaces: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Invite:
    """An invitation to be made: for whom ("" for a helper who brings the name along), and for which role."""

    person: str = ""
    role: str = "family"


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """All that came of one message; it is committed whole or not at all.

    Attributes:
        posts: entries to write. withdrawn: numbers in the book that no longer count.
        kennel: the roster as it is from now on, None where it did not change.
        memory: the rooms whose memory changed. out: what is said and marked, in order.
        invite: an invitation to be made; the words of `out` with an `invite` tell its link.
        uninvited: people whose links do not work any more.
        erase: a person of whom nothing is kept from now on. erase_kennel: true where nothing of the kennel is.
    """

    posts: tuple[Post, ...] = ()
    withdrawn: tuple[int, ...] = ()
    kennel: Kennel | None = None
    memory: Mapping[str, Memory] = field(default_factory=dict)
    out: tuple[Say | Mark, ...] = ()
    invite: Invite | None = None
    uninvited: tuple[str, ...] = ()
    erase: Person | None = None
    erase_kennel: bool = False
