"""What a turn gathers while one message is heard: posts, words, marks and what is kept in mind."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import Any

from bot.conversation import waiting
from bot.conversation.waiting import OPEN_FOR as OPEN_FOR
from bot.replies.say_units import unit_of
from bot.replies.tips import called
from core.entries import Entry, Reading
from core.ledger import Ledger, Posted
from core.messages import ANSWER, Mark, Message, Say
from core.roster import BREEDER, FAMILY, Kennel, Person
from core.turns import Asked, Invite, Memory, Post, Scene, Turn

Reader = Callable[[str, str, datetime, Kennel, Sequence[Message]], Reading]

PRESSED_FOR = timedelta(days=1)  # how long a button works


@dataclass(slots=True)
class Hearing:
    """One message on its way through the conversation.

    Attributes:
        kennel, ledger: what the sender may see, as they stood before. scene: everything, for what is said elsewhere.
        only_keep: true once red words or a loss were answered: what the message records is kept, but nothing else
            is said, asked or marked.
        invite, uninvited: an invitation to be made, and people whose links do not work any more.
        erase, erase_kennel: see `core.turns.Turn`.
        taken: where in the words stands what a step has seen to; what stands beside it is read as a note.
        parted: true once an order or a reminder was taken off the message; what is left is its text from then on.
        exactly: true where the rest of a clause is a note too ("topped up green" in "topped up green 303 g").
    """

    message: Message
    scene: Scene
    person: Person
    kennel: Kennel
    ledger: Ledger
    read: Reader
    posts: list[Post] = field(default_factory=list)
    withdrawn: list[int] = field(default_factory=list)
    out: list[Say | Mark] = field(default_factory=list)
    memory: dict[str, Memory] = field(default_factory=dict)
    changed: Kennel | None = None
    only_keep: bool = False
    taken: list[tuple[int, int]] = field(default_factory=list)
    exactly: bool = False
    parted: bool = False
    invite: Invite | None = None
    uninvited: list[str] = field(default_factory=list)
    erase: Person | None = None
    erase_kennel: bool = False
    _books: dict[tuple[int, int, bool], Ledger] = field(default_factory=dict)

    @property
    def at(self) -> datetime:
        """When the message was sent: what it says happened on that local day."""
        return self.message.sent_at

    @property
    def on(self) -> date:
        """The local day of the message."""
        return self.kennel.day_of(self.at)

    @property
    def unit(self) -> str:
        """The weight unit in which the sender is answered."""
        return unit_of(self.kennel, self.person)

    @property
    def is_breeder(self) -> bool:
        """True where the breeder speaks."""
        return self.person.role == "breeder"

    @property
    def house(self) -> Kennel:
        """The whole roster, with what this turn changed."""
        return self.changed or self.scene.kennel

    # What is kept

    def post(self, entry: Entry, replaces: int | None = None) -> None:
        """Keep one entry, in the place of the one with that number where one is given."""
        self.posts.append(Post(entry=entry, replaces=replaces))

    def unpost(self) -> tuple[Entry, ...]:
        """Take back what was posted in this turn so far, and hand it out."""
        entries = tuple(p.entry for p in self.posts)
        self.posts.clear()
        self._books.clear()
        return entries

    def change(self, kennel: Kennel) -> None:
        """The roster is this from now on; its revision rises."""
        self.changed = replace(kennel, revision=self.scene.kennel.revision + 1)

    def book(self, whole: bool = False) -> Ledger:
        """The book as it will be after this turn; the sender's view of it, or the whole."""
        base = self.scene.ledger if whole else self.ledger
        if not self.posts and not self.withdrawn:
            return base
        state = (len(self.posts), len(self.withdrawn), whole)
        if state not in self._books:
            self._books[state] = self._book(base)
        return self._books[state]

    def book_with(self, entries: Sequence[Entry]) -> Ledger:
        """The sender's book as it would be with these entries beside what is posted already."""
        return self.ledger.added(self._rows([*(post.entry for post in self.posts), *entries]))

    def _book(self, base: Ledger) -> Ledger:
        if not self.withdrawn and all(post.replaces is None for post in self.posts):
            return base.added(self._new())
        rows = {p.id: p for p in base.history()}
        for number in self.withdrawn:
            if number in rows:
                rows[number] = replace(rows[number], withdrawn=True)
        for post, posted in zip(self.posts, self._new(), strict=True):
            if post.replaces in rows and post.replaces is not None:
                rows[post.replaces] = replace(rows[post.replaces], replaced_by=posted.id)
            rows[posted.id] = posted
        return Ledger(rows.values())

    def _new(self) -> list[Posted]:
        return self._rows([post.entry for post in self.posts])

    def _rows(self, entries: Sequence[Entry]) -> list[Posted]:
        history = self.scene.ledger.history()
        top = history[-1].id if history else 0
        return [
            Posted(
                id=n,
                entry=entry,
                at=self.at,
                by=self.person.name,
                room=self.message.room,
                message=self.message.key,
            )
            for n, entry in enumerate(entries, top + 1)
        ]

    # What is said

    def say(
        self,
        text: str,
        room: str | None = None,
        about: str = "answer",
        priority: int = ANSWER,
        buttons: tuple[str, ...] = (),
        key: str = "",
        picture: str = "",
        document: str = "",
        invite: bool = False,
    ) -> None:
        """Say something: an answer to the message in its own room, or a word in another room.

        With `invite` the words have room for the link of this turn's invitation.
        """
        where = room or self.message.room
        text = self._as_called(text, where)
        count = sum(isinstance(s, Say) for s in self.out)
        named = key or f"{about}:{where}:{self.message.room}:{self.message.key}:{self.message.edit}:{count}"
        answered = self.message.key if where == self.message.room else None
        self.out.append(
            Say(
                key=named,
                room=where,
                text=text,
                about=about,
                priority=priority,
                buttons=buttons,
                reply_to=answered,
                picture=picture,
                document=document,
                invite="new" if invite else "",
            )
        )

    def _as_called(self, said: str, where: str) -> str:
        """The words with a buyer's dog by the name that its people gave it, in their own line."""
        if self.person.role != "buyer" or where != self.person.name:
            return said
        for dog in self.kennel.living():
            name = called(self.house.dog(dog.name) or dog)
            if name != dog.name:
                said = re.sub(rf"\b{re.escape(dog.name)}\b", name.replace("\\", r"\\"), said)
        return said

    def tell_breeder(
        self, text: str, about: str = "remark", priority: int = ANSWER, buttons: tuple[str, ...] = (), key: str = "",
        document: str = "", picture: str = "",
    ) -> None:
        """A word for the breeder alone, in her private line."""
        if self.scene.kennel.breeder:
            self.say(
                text, room=BREEDER, about=about, priority=priority, buttons=buttons, key=key, document=document,
                picture=picture,
            )

    def say_with(self, text: str, after: bool = False) -> None:
        """Say something in this room in one message with the answer that was just given there: before or after it."""
        for n, said in enumerate(self.out):
            if isinstance(said, Say) and said.room == self.message.room and said.about == "answer":
                self.out[n] = replace(said, text=f"{said.text} {text}" if after else f"{text} {said.text}")
                return
        self.say(text)

    def mark(self) -> None:
        """Acknowledge the message: everything in it is stored."""
        if not self.only_keep and not any(isinstance(o, Mark) for o in self.out):
            self.out.insert(0, Mark(room=self.message.room, message=self.message.key))

    # What is kept in mind

    def mind(self, room: str | None = None) -> Memory:
        """What Fettle has in mind in that room (this one where none is named)."""
        where = room or self.message.room
        return self.memory.get(where) or self.scene.memory.get(where) or Memory()

    def ask(
        self,
        about: str,
        text: str,
        choices: tuple[str, ...] = (),
        facts: Mapping[str, Any] | None = None,
        room: str | None = None,
        person: str | None = None,
        priority: int = ANSWER,
    ) -> None:
        """Ask one question with the likely answers as buttons, and wait for its answer.

        A second one of the same message waits until the first is answered, and what is still open is not asked twice.
        """
        where = room or self.message.room
        asked = Asked(
            about=about,
            person=person or self.person.name,
            at=self.at,
            message=self.message.key,
            choices=choices,
            facts=facts or {},
        )
        if any(isinstance(o, Say) and o.room == where and o.about == "doubt" for o in self.out):
            self.keep(where, waiting=waiting.added(self.mind(where), asked, text, self.at))
            return
        again = next((a for a in self.mind(where).asked if waiting.is_same(a, asked, self.at)), None)
        self._wait_for(asked, where)
        if again is not None:
            self.settle(again, where)
        else:
            self.say(text, room=where, about="doubt", buttons=choices, priority=priority)

    def ask_next(self, answered: Asked) -> None:
        """Ask what else was in doubt in the message of the question just answered; the mark waits for the last one."""
        where = self.message.room
        found = waiting.taken(self.mind(where), answered, self.at)
        if found is None:
            return
        asked, said, left = found
        self.out = [o for o in self.out if not isinstance(o, Mark) and getattr(o, "about", "") != "left out"]
        self.keep(where, waiting=left or None)
        self._wait_for(asked, where)
        self.say(said, room=where, about="doubt", buttons=asked.choices)

    def _wait_for(self, asked: Asked, where: str) -> None:
        mind = self.mind(where)
        kept = tuple(a for a in mind.asked if self.at - a.at <= PRESSED_FOR)
        self.memory[where] = replace(mind, asked=(*kept, asked))

    def settle(self, asked: Asked, room: str | None = None) -> None:
        """Stop waiting for the answer to that question."""
        where = room or self.message.room
        mind = self.mind(where)
        self.memory[where] = replace(mind, asked=tuple(a for a in mind.asked if a != asked))

    def because(self, why: str, room: str | None = None) -> None:
        """Keep the reasons behind the answer just given, for "why?"."""
        where = room or self.message.room
        mind = self.mind(where)
        self.memory[where] = replace(mind, why=why, facts={**mind.facts, "why_at": self.at.isoformat()})

    def keep(self, room: str, **facts: Any) -> None:
        """Keep facts in mind in that room; None forgets one."""
        mind = self.mind(room)
        merged = {k: v for k, v in {**mind.facts, **facts}.items() if v is not None}
        self.memory[room] = replace(mind, facts=merged)

    def took(self, *matches: re.Match[str] | None) -> None:
        """Note that these words were seen to, and with them the clause in which they stand."""
        self.taken.extend(m.span() for m in matches if m is not None)

    def took_exactly(self, *spans: tuple[int, int]) -> None:
        """Note that these words were seen to and nothing else."""
        self.taken.extend(spans)
        self.exactly = True

    def turn(self) -> Turn:
        """All that came of the message."""
        return Turn(
            posts=tuple(self.posts),
            withdrawn=tuple(self.withdrawn),
            kennel=self.changed,
            memory=dict(self.memory),
            out=tuple(self.out),
            invite=self.invite,
            uninvited=tuple(self.uninvited),
            erase=self.erase,
            erase_kennel=self.erase_kennel,
        )


def is_family(room: str) -> bool:
    """True for the room of all helpers."""
    return room == FAMILY
