"""A house in memory for the dialogues: the real `hear` on the demo kennel, no chat, no database."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

import shared
from bot.chat.script import EDITS, MOVES, PRESSES, SENDS, Step
from bot.conversation import announced, asked_again, hear, in_mind
from bot.conversation.hearing import Reader
from bot.enrolment.kennel_file import KennelFile, parse
from bot.replies import reminders
from bot.replies.tips import tips
from core.agenda import due
from core.entries import Weight
from core.ledger import Ledger, Posted
from core.messages import Mark, Message, Say
from core.roster import FAMILY, Kennel, KnownWeight
from core.turns import Memory, Scene, Turn

RECENT, RECENT_FOR = 8, timedelta(minutes=30)


@cache
def demo(name: str = "larkrise") -> KennelFile:
    """The demo kennel with the book that it brings along."""
    return parse((Path(shared.__file__).parent / "kennels" / f"{name}.yaml").read_text(encoding="utf-8"))


@dataclass
class House:
    """One kennel, its book, and what was said in its rooms."""

    kennel: Kennel
    ledger: Ledger
    now: datetime
    memory: dict[str, Memory] = field(default_factory=dict)
    heard: list[Message] = field(default_factory=list)
    said: set[str] = field(default_factory=set)

    @classmethod
    def of_demo(cls, now: datetime | None = None) -> House:
        """The demo kennel on the morning of 14 March 2026, 08:00 at the kennel."""
        file = demo()
        ledger = Ledger(file.history)
        start = now or datetime(2026, 3, 14, 8, 0, tzinfo=file.kennel.tz)
        return cls(kennel=_weighed(file.kennel, ledger), ledger=ledger, now=start)

    def take(self, step: Step) -> list[str]:
        """Do one step of a script; what Fettle says and marks, in the script's own lines."""
        before = self.now
        if step.at is not None:
            self.now = step.at.replace(tzinfo=self.kennel.tz)
        if step.does == MOVES:
            return self._due_since(before)
        message = self._message(step)
        turn = self.hear(message)
        return self._lines(turn)

    def _due_since(self, before: datetime) -> list[str]:
        """What falls due on the way to now, as the rounds say it: looked at each minute at which something may."""
        lines = []
        end = self.now
        minutes = int((end - before).total_seconds() // 60)
        for n in range(1, minutes + 1):
            start, self.now = before + timedelta(minutes=n - 1), before + timedelta(minutes=n)
            for item in due(self.kennel, self.ledger, start, self.now, tips()):
                now = announced(item, self.memory, self.kennel)
                say = reminders.words(now, self.kennel, self.ledger, self.now) if now else None
                if say is not None:
                    lines += self._lines(Turn(out=(say,)))
            again = asked_again(self.memory, self.kennel, self.ledger, start, self.now)
            new = tuple(say for say in again if say.key not in self.said)
            self.memory.update(in_mind(new, self.memory, self.kennel, self.now))
            lines += self._lines(Turn(out=new))
        self.now = end
        return lines

    def hear(self, message: Message, read: Reader | None = None) -> Turn:
        """Let `hear` hear a message and keep what comes of it."""
        recent = tuple(
            m
            for m in self.heard
            if m.room == message.room and self.now - m.sent_at <= RECENT_FOR and m.key != message.key
        )[-RECENT:]
        scene = Scene(kennel=self.kennel, ledger=self.ledger, now=self.now, memory=self.memory, recent=recent)
        turn = hear(message, scene, read)
        self._commit(turn, message)
        self.heard = [m for m in self.heard if (m.room, m.key) != (message.room, message.key)] + [message]
        return turn

    def _message(self, step: Step) -> Message:
        person = self.kennel.person(step.who)
        room = step.room or (person.name if person and person.role in ("buyer", "sitter", "mentor") else FAMILY)
        sender = person.name if person else step.who
        own = [m for m in self.heard if m.room == room and m.sender == sender and not m.pressed]
        if step.does == EDITS and own:
            return replace(own[-1], text=step.text, edit=own[-1].edit + 1)
        pressed = step.text if step.does == PRESSES else ""
        sent = step.does == SENDS
        text = "" if pressed or sent else step.text
        return Message(
            key=str(len(self.heard) + 1), room=room, sender=sender, sent_at=self.now, text=text, pressed=pressed,
            table=(Path(__file__).parent / "dialogues" / step.text).read_text(encoding="utf-8") if sent else "",
            picture=step.picture,
        )

    def _commit(self, turn: Turn, message: Message) -> None:
        rows = {p.id: p for p in self.ledger.history()}
        for number in turn.withdrawn:
            rows[number] = replace(rows[number], withdrawn=True)
        for post in turn.posts:
            new = max(rows, default=0) + 1
            rows[new] = Posted(
                id=new, entry=post.entry, at=message.sent_at, by=message.sender, room=message.room, message=message.key
            )
            if post.replaces is not None:
                rows[post.replaces] = replace(rows[post.replaces], replaced_by=new)
        if turn.posts or turn.withdrawn:
            self.ledger = Ledger(rows.values())
        if turn.kennel is not None or turn.posts or turn.withdrawn:
            self.kennel = _weighed(turn.kennel or self.kennel, self.ledger)
        self.memory.update(turn.memory)

    def _lines(self, turn: Turn) -> list[str]:
        stamp = f"[{self.now:%Y-%m-%d %H:%M}]"
        lines = []
        for out in turn.out:
            if isinstance(out, Mark):
                lines.append(f"{stamp} Fettle marks {out.mark}")
                continue
            if out.key in self.said:
                continue
            self.said.add(out.key)
            lines.append(f"{stamp} Fettle to {out.room}: {_shown(out)}")
        return lines


def _shown(say: Say) -> str:
    text = say.text.replace("\n", "\\n")
    if say.picture:
        text += f" (picture {say.picture})"
    if say.document:
        text += f" (file {say.document})"
    return text + (f" [{' | '.join(say.buttons)}]" if say.buttons else "")


def _weighed(kennel: Kennel, ledger: Ledger) -> Kennel:
    """The kennel whose dogs know their newest weighing, as the storage hands it out."""
    return replace(kennel, dogs=tuple(_last(d.name, ledger, kennel) for d in kennel.dogs))


def _last(name: str, ledger: Ledger, kennel: Kennel):  # type: ignore[no-untyped-def]
    dog = kennel.by_name[name]
    found: Iterable[Weight] = ledger.entries(name, Weight)
    newest = max(found, key=lambda w: w.on, default=None)
    return replace(dog, last_weight=KnownWeight(kg=newest.kg, on=newest.on)) if newest else dog
