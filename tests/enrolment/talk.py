"""Set-ups as conversations: the breeder's lines in, what Fettle says and the kennel as it becomes out."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from bot.enrolment import enrol
from core.ledger import Ledger
from core.messages import Message, Say
from core.roster import BREEDER, Kennel, Person
from core.turns import Memory, Scene, Turn

NEW = Kennel(name="", people=(Person(name="Ruth", role="breeder"),))
START = datetime(2026, 3, 14, 9, 0, tzinfo=UTC)


class Talk:
    """One breeder's line, from message to message."""

    def __init__(self, kennel: Kennel = NEW, sender: str = "Ruth", room: str = BREEDER) -> None:
        self.kennel, self.sender, self.room = kennel, sender, room
        self.memory: dict[str, Memory] = {}
        self.now, self.buttons = START, ()

    def hear(self, text: str, pressed: str = "", **more: object) -> Turn | None:
        """What comes of one message; the kennel and the memory are kept."""
        self.now += timedelta(minutes=1)
        message = Message(
            key=self.now.isoformat(), room=self.room, sender=self.sender, sent_at=self.now, text=text, pressed=pressed,
            **more,  # type: ignore[arg-type]
        )  # fmt: skip
        scene = Scene(kennel=self.kennel, ledger=Ledger(), now=self.now, memory=self.memory)
        turn = enrol(message, scene)
        if turn is not None:
            self.kennel = turn.kennel or self.kennel
            self.memory.update(turn.memory)
        return turn

    def say(self, text: str, pressed: str = "") -> str | None:
        """What Fettle answers, None where the message is left to the conversation."""
        turn = self.hear(text, pressed)
        if turn is None:
            return None
        (said,) = [o for o in turn.out if isinstance(o, Say)]
        assert said.room == BREEDER and said.text
        self.buttons = said.buttons
        return said.text
