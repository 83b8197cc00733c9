"""A reader that reads by hand: each text stands for the reading that the test gives it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from core.entries import Entry, Reading
from core.messages import Message, Say
from core.roster import Kennel
from core.turns import Turn
from tests.dialogue_house import House


@dataclass
class Hand:
    """A house whose messages are read as the test says."""

    house: House = field(default_factory=House.of_demo)
    readings: dict[str, Reading] = field(default_factory=dict)
    keys: int = 0

    def says(
        self, who: str, text: str, reading: Reading | None = None, after: float = 1, room: str = "family",
        edits: str = "", presses: str = "", reply_to: str | None = None,
    ) -> Turn:
        """`who` writes `text` so many minutes later; what comes of it, kept in the house."""
        if reading is not None:
            self.readings[text] = reading
        self.house.now += timedelta(minutes=after)
        self.keys += 1
        message = Message(
            key=edits or str(self.keys), room=room, sender=who, sent_at=self.house.now, text=text,
            edit=1 if edits else 0, pressed=presses, reply_to=reply_to,
        )
        return self.house.hear(message, self._read)

    def _read(self, text: str, sender: str, at: datetime, kennel: Kennel, before: object = ()) -> Reading:
        return self.readings.get(text, Reading())


def told(*entries: Entry) -> Reading:
    """A reading of entries alone."""
    return Reading(entries=entries)


def words(turn: Turn) -> list[tuple[str, str]]:
    """What was said: room and text."""
    return [(o.room, o.text) for o in turn.out if isinstance(o, Say)]


def marks(turn: Turn) -> int:
    """How many marks were given."""
    return sum(not isinstance(o, Say) for o in turn.out)
