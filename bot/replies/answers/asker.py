"""What an answer is made from, and what comes out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from bot.replies.say_units import unit_of
from core.ledger import Ledger
from core.roster import FAMILY, Dog, Kennel, Person

MOST_LINES = 8  # an answer about everybody has no more lines


@dataclass(frozen=True, slots=True, kw_only=True)
class Asker:
    """Who asks, where and when, and what they may see (kennel and ledger are their view already).

    `only` are the things due that the words of the question named ("next wormer"); empty for all.
    """

    person: Person
    room: str
    kennel: Kennel
    ledger: Ledger
    at: datetime
    only: tuple[str, ...] = ()

    @property
    def on(self) -> date:
        """The local day."""
        return self.kennel.day_of(self.at)

    @property
    def unit(self) -> str:
        """The weight unit of the answer."""
        return unit_of(self.kennel, self.person)

    @property
    def is_breeder(self) -> bool:
        """True where the breeder asks."""
        return self.person.role == "breeder"

    @property
    def in_family(self) -> bool:
        """True in the room where everybody reads along."""
        return self.room == FAMILY

    def pups(self) -> tuple[Dog, ...]:
        """The followed pups past four weeks that live here (a buyer's own where a buyer asks)."""
        return tuple(d for d in self.here() if d.is_pup(self.on) and not d.is_newborn(self.on))

    def here(self) -> tuple[Dog, ...]:
        """The followed dogs that live here (a buyer's own where a buyer asks)."""
        return self.kennel.living() if self.person.role == "buyer" else self.kennel.at_home()


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What is said to a question, the reasons kept for "why?", a picture to draw, and words for the breeder alone.

    `which` is not None where the text asks back for the dog: the likely ones, for buttons.
    """

    text: str
    why: str = ""
    picture: str = ""
    breeder: str = ""
    which: tuple[str, ...] | None = None
