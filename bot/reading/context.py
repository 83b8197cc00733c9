"""What earlier messages of the chat give: the dog that they spoke of.

Earlier messages are only read where the message itself leaves something open.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from bot.reading import questions
from bot.reading.clause import Clause
from bot.reading.work import Work
from core.entries import Entry
from core.messages import Message
from core.roster import Kennel

ANOTHERS_WORD = timedelta(minutes=10)  # "he" may be the dog that somebody else named just now, not longer ago
A_QUESTION = timedelta(hours=1)  # … or whom somebody asked after ("How was the walk with Varg?")
SAME_TALK = timedelta(hours=3)  # an earlier message of longer ago gives no dog (own choice)


@dataclass(slots=True)
class Earlier:
    """One earlier message, read."""

    message: Message
    work: Work
    entries: tuple[Entry, ...]


@dataclass(slots=True)
class Context:
    """The earlier messages of the chat, read on demand, newest first."""

    before: Sequence[Message]
    sender: str
    sent_at: datetime
    kennel: Kennel
    reader: Callable[[Message], tuple[Work, tuple[Entry, ...]]]
    stranger: Callable[[Clause], bool] | None = None
    _read: list[Earlier] | None = field(default=None)

    def recent(self) -> list[Earlier]:
        """The earlier messages of the same talk, newest first."""
        return [e for e in self.earlier() if abs(self.sent_at - e.message.sent_at) <= SAME_TALK]

    def earlier(self) -> list[Earlier]:
        """Every earlier message, newest first."""
        if self._read is None:
            self._read = []
            for message in reversed(self.before):
                work, entries = self.reader(message)
                self._read.append(Earlier(message, work, entries))
        return self._read

    def dogs(self, c: Clause) -> tuple[str, ...] | None:
        """The dog (or dogs) that an earlier message gives to a clause without one."""
        p = c.pronoun
        only = self.kennel.living()
        if len(only) == 1 and not c.human and not c.other and (c.saying or p is not None or c.ask):
            return (only[0].name,)  # a buyer's own room knows one dog
        if p is None and (not c.saying or self.reads_stranger(c)):
            return None  # "Fido 9.4 kg": a name that nobody here has
        same = [e for e in self.recent() if e.message.sender == self.sender]
        others = [e for e in self.recent() if e.message.sender != self.sender]
        others = [e for e in others[:1] if self.sent_at - e.message.sent_at <= (ANOTHERS_WORD, A_QUESTION)[_asked(e)]]
        for earlier in (*same, *others):
            named = _named_last(earlier.work)
            if not named:
                continue
            if p is None and earlier.message.sender != self.sender:
                return None  # without a pronoun only an answer takes another's dog; see `answers`
            if p is not None and p.plural:
                everyone = _named_all(earlier.work)
                if len(everyone) > 1 and (not p.count or p.count == len(everyone)):
                    return everyone
                continue
            if p is not None and p.sex:
                fits = tuple(n for n in named if self._sex(n) in (p.sex, ""))
                if len(fits) == 1:
                    return fits
                fits = tuple(n for n in _named_all(earlier.work) if self._sex(n) in (p.sex, ""))
                return fits if len(fits) == 1 else None
            return named if len(named) == 1 else None
        return None

    def reads_stranger(self, c: Clause) -> bool:
        """True where an unknown word stands where the dog would: a dog of no roster, a person, a thing."""
        return self.stranger is not None and self.stranger(c)

    def _sex(self, name: str) -> str:
        dog = self.kennel.dog(name)
        return dog.sex if dog else ""


def _asked(earlier: Earlier) -> bool:
    """True for a question from one person to another; one to Fettle has had its answer."""
    asked = any(c.ask for c in earlier.work.clauses) or any("?" in w for w in earlier.work.words.w)
    return asked and not questions.read(earlier.work)


def _named_last(work: Work) -> tuple[str, ...]:
    for c in reversed(work.clauses):
        if c.named:
            return c.dogs
    return ()


def _named_all(work: Work) -> tuple[str, ...]:
    return tuple(dict.fromkeys(n for c in work.clauses for n in c.dogs if c.named or c.how == "list"))
