"""Changes of the roster that the breeder's words bring about, each remembered so that "undo" takes it back."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Any

from bot.conversation.hearing import Hearing
from core.feeding import reordered
from core.roster import BREEDER, Dog, Kennel, Ration


def set_gone(hearing: Hearing, dog: Dog, why: str) -> None:
    """The dog is no longer followed."""
    remember(hearing, dog, gone=dog.gone)
    hearing.change(with_dog(hearing.house, replace(dog, gone=why)))


def set_ration(hearing: Hearing, dog: Dog, ration: tuple[Ration, ...]) -> Dog:
    """The dog with the breeder's standing order from today on; what stood until now is remembered for the sums."""
    remember(hearing, dog, ration=[[r.meal, r.cups] for r in dog.ration], before=len(dog.before))
    ordered = reordered(dog, hearing.house, hearing.on, ration=ration)
    hearing.change(with_dog(hearing.house, ordered))
    return ordered


def last_change(hearing: Hearing) -> datetime | None:
    """When the breeder last changed the roster by a word that can be taken back; None for never."""
    told = hearing.mind(BREEDER).facts.get("changed")
    return datetime.fromisoformat(told["at"]) if told else None


def take_back(hearing: Hearing) -> Dog | None:
    """The dog as it was before the last change, put back on the roster; None where there is nothing to take back."""
    told: dict[str, Any] | None = hearing.mind(BREEDER).facts.get("changed")
    dog = hearing.house.dog(told["dog"]) if told else None
    if told is None or dog is None:
        return None
    if "orders" in told:
        hearing.keep(BREEDER, orders=told["orders"] or None)
    if "gone" in told:
        dog = replace(dog, gone=told["gone"])
    if "also" in told:
        dog = replace(dog, also=tuple(told["also"]))
    if "ration" in told:
        ration = tuple(Ration(meal=m, cups=c) for m, c in told["ration"])
        dog = replace(dog, ration=ration, before=dog.before[: told["before"]])
    hearing.change(with_dog(hearing.house, dog))
    hearing.keep(BREEDER, changed=None)
    return dog


def with_dog(kennel: Kennel, dog: Dog) -> Kennel:
    """The kennel with this dog in the place of the one of its name."""
    return replace(kennel, dogs=tuple(dog if d.name == dog.name else d for d in kennel.dogs))


def remember(hearing: Hearing, dog: Dog, **before: Any) -> None:
    """Keep in mind what stood before a change of this dog, so that "undo" can bring it back."""
    hearing.keep(BREEDER, changed={"at": hearing.at.isoformat(), "dog": dog.name, **before})
