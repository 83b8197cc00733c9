"""What a set-up and a change have in common: one message of the breeder's in her line, and what comes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from bot.enrolment.rota_lines import clock_shown
from core.messages import ANSWER, Message, Say
from core.roster import BREEDER, Dog, Kennel, Person
from core.turns import Memory, Post, Scene, Turn
from core.undoable import difference
from shared.texts import listed, text

SETUP = "setup"  # where the facts of a set-up under way are kept in mind
CHANGED = "changed"  # where the last change of the roster is kept in mind, for "undo"


@dataclass
class Asking:
    """One message on its way: the kennel as it becomes, what is said, and where the set-up stands.

    Attributes:
        facts: of the set-up under way: `step`, `queue` (dogs whose birth is still asked), `food`; None where none is.
        posts: what it writes into the book: the pups' first weights.
    """

    message: Message
    scene: Scene
    kennel: Kennel
    facts: dict[str, Any] | None
    told: list[str] = field(default_factory=list)
    buttons: tuple[str, ...] = ()
    posts: list[Post] = field(default_factory=list)

    @classmethod
    def of(cls, message: Message, scene: Scene) -> Asking:
        """The message with what is in mind in the breeder's line."""
        facts = _mind(scene).facts.get(SETUP)
        return cls(message=message, scene=scene, kennel=scene.kennel, facts=dict(facts) if facts else None)

    @property
    def said(self) -> str:
        """The words, or the label of the button."""
        return (self.message.pressed or self.message.text).strip()

    @property
    def today(self) -> date:
        """The local day at the kennel."""
        return self.kennel.day_of(self.message.sent_at)

    @property
    def me(self) -> Person | None:
        """Who speaks."""
        return self.kennel.person(self.message.sender)

    def tell(self, key: str, /, **values: object) -> None:
        """Adds a line to the answer."""
        self.told.append(text(f"setup.{key}", **values))

    def turn(self) -> Turn:
        """All that came of it."""
        mind = _mind(self.scene)
        facts: Mapping[str, Any] = {k: v for k, v in mind.facts.items() if k != SETUP}
        if self.facts is not None:
            facts = {**facts, SETUP: self.facts}
        if self.kennel != self.scene.kennel:
            facts = {**facts, CHANGED: self._changed()}
        say = Say(
            key=f"setup:{self.message.key}:{self.message.edit}",
            room=BREEDER,
            text="\n".join(self.told),
            about="setup",
            priority=ANSWER,
            buttons=self.buttons,
            reply_to=self.message.key,
        )
        return Turn(
            posts=tuple(self.posts),
            kennel=self.kennel if self.kennel != self.scene.kennel else None,
            memory={BREEDER: replace(mind, facts=facts)} if facts != mind.facts else {},
            out=(say,) if self.told else (),
        )

    def _changed(self) -> dict[str, Any]:
        """What "undo" needs to bring the kennel back, and what it was that was said of the change."""
        return {
            "at": self.message.sent_at.isoformat(), "by": self.message.sender,
            "setup": difference(self.scene.kennel, self.kennel), "said": self.told[0] if self.told else "",
        }

    def add_dogs(self, dogs: list[Dog]) -> None:
        """Puts dogs on the roster."""
        self.kennel = replace(self.kennel, dogs=(*self.kennel.dogs, *dogs))


def sample_date(kennel: Kennel, today: date) -> str:
    """A day as this family writes it, for examples: "15.11.2025"."""
    day = date(today.year - 1, 11, 15)
    return f"{day.day}.{day.month}.{day.year}" if kennel.day_first else f"{day.month}/{day.day}/{day.year}"


def taken(kennel: Kennel, name: str) -> str:
    """Who already answers to that name, "" where nobody does."""
    low = name.casefold()
    for dog in kennel.dogs:
        if low in {dog.name.casefold(), *(a.casefold() for a in dog.also)}:
            return dog.name
    person = kennel.person(name)
    return person.name if person else ""


def dog_named(kennel: Kennel, said: str) -> Dog | None:
    """The dog that a few words name."""
    low = " ".join(said.casefold().split()).strip(" .,'’")
    return next((d for d in kennel.dogs if low in {d.name.casefold(), *(a.casefold() for a in d.also)}), None)


def put_person(asking: Asking, old: Person | None, new: Person | None) -> None:
    """Puts a person in the place of another on the list; None for nobody."""
    people = (
        [p for p in asking.kennel.people if p is not old]
        if new is None
        else [new if p is old else p for p in asking.kennel.people]
    )
    if old is None and new is not None:
        people.append(new)
    asking.kennel = replace(asking.kennel, people=tuple(people))


def put_dog(asking: Asking, dog: Dog) -> None:
    """Puts a dog in the place of the one of its name."""
    dogs = tuple(dog if d.name == dog.name else d for d in asking.kennel.dogs)
    asking.kennel = replace(asking.kennel, dogs=dogs)


def vet_shown(kennel: Kennel) -> str:
    """The vet's numbers in words, "" where none is known."""
    told = []
    if kennel.vet.day:
        told.append(text("setup.vet_day", day=kennel.vet.day))
    if kennel.vet.night:
        told.append(text("setup.vet_night", night=kennel.vet.night))
    return listed(told)


def time_there(asking: Asking) -> str:
    """The time of the message on the kennel's clock."""
    return clock_shown(asking.kennel.local(asking.message.sent_at).time(), asking.kennel)


def number(value: float) -> str:
    """A figure without idle decimals."""
    return f"{value:g}"


def _mind(scene: Scene) -> Memory:
    return scene.memory.get(BREEDER) or Memory()
