"""Changes of the roster that the breeder's words bring about, each remembered so that "undo" takes it back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import Any

from bot.conversation import once
from bot.conversation.hearing import Hearing
from core.feeding import reordered
from core.roster import BREEDER, Dog, Kennel, Litter, Ration
from core.undoable import put_back
from shared.texts import text


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
    """When the roster was last changed by a word that the sender may take back; None for never.

    The breeder may take back every change, others what they wrote themselves.
    """
    told = hearing.mind(BREEDER).facts.get("changed")
    if not told or not (hearing.is_breeder or told.get("by") == hearing.person.name):
        return None
    return datetime.fromisoformat(told["at"])


def was_setup(hearing: Hearing) -> bool:
    """True where the last change was one of the set-up's: the rota, people, units."""
    return "setup" in (hearing.mind(BREEDER).facts.get("changed") or {})


def take_back(hearing: Hearing) -> tuple[str, ...]:
    """The names of what is on the roster again as it was before the last change; empty where nothing is."""
    told: dict[str, Any] | None = hearing.mind(BREEDER).facts.get("changed")
    if told is None:
        return ()
    if "setup" in told:
        hearing.change(put_back(hearing.house, told["setup"]))
        hearing.keep(BREEDER, changed=None)
        return (told["said"],)
    if "once" in told:
        once.forget(hearing, told["once"])
        for before in told.get("was", []):
            once.put(hearing, before)  # it was only moved
        hearing.keep(BREEDER, changed=None)
        moved = "reminders.once_moved" if told["once"] else "reminders.once_dropped"
        name = moved if told.get("was") else "reminders.once_named"
        return tuple(text(name, what=w) for w in told["said"])
    if "orders" in told:
        hearing.keep(BREEDER, orders=told["orders"] or None)
    before = told["dogs"] if "dogs" in told else {told["dog"]: told}
    house, back = hearing.house, []
    for name, was in before.items():
        dog = house.dog(name)
        if dog is None:
            continue
        back.append(name)
        house = with_dog(house, _as_it_was(dog, was)) if not was.get("new") else _without(house, name)
    if "food" in told:
        name, kcal, grams = told["food"]
        foods = tuple(replace(f, kcal_per_cup=kcal, g_per_cup=grams) if f.name == name else f for f in house.foods)
        house = replace(house, foods=foods)
        back = [name]
    if "night" in told:
        hearing.keep(BREEDER, night=told["night"])
    if "litters" in told:
        house = replace(house, litters=tuple(_litter(x) for x in told["litters"]))
    if back or house != hearing.house:
        hearing.change(house)
        hearing.keep(BREEDER, changed=None)
    return tuple(back)


def _as_it_was(dog: Dog, was: Mapping[str, Any]) -> Dog:
    if "gone" in was:
        dog = replace(dog, gone=was["gone"])
    if "also" in was:
        dog = replace(dog, also=tuple(was["also"]))
    if "ration" in was:
        ration = tuple(Ration(meal=m, cups=c) for m, c in was["ration"])
        dog = replace(dog, ration=ration, before=dog.before[: was["before"]])
    return dog


def _without(kennel: Kennel, name: str) -> Kennel:
    return replace(kennel, dogs=tuple(d for d in kennel.dogs if d.name != name))


def _litter(told: Mapping[str, Any]) -> Litter:
    born = date.fromisoformat(told["born"]) if told["born"] else None
    return Litter(dam=told["dam"], sire=told["sire"], born=born, counted=told["counted"])


def litters_told(kennel: Kennel) -> list[dict[str, Any]]:
    """The litters as facts that can be remembered."""
    return [
        {"dam": x.dam, "sire": x.sire, "born": x.born.isoformat() if x.born else None, "counted": x.counted}
        for x in kennel.litters
    ]


def with_dog(kennel: Kennel, dog: Dog) -> Kennel:
    """The kennel with this dog in the place of the one of its name."""
    return replace(kennel, dogs=tuple(dog if d.name == dog.name else d for d in kennel.dogs))


def remember(hearing: Hearing, dog: Dog, **before: Any) -> None:
    """Keep in mind what stood before a change of this dog, so that "undo" can bring it back."""
    told = {"at": hearing.at.isoformat(), "by": hearing.person.name, "dog": dog.name, **before}
    hearing.keep(BREEDER, changed=told)


def remember_all(hearing: Hearing, dogs: Mapping[str, Mapping[str, Any]], **before: Any) -> None:
    """The same for several dogs, each with what stood before it (`new` for one that was not there)."""
    told = {"at": hearing.at.isoformat(), "by": hearing.person.name, "dogs": dict(dogs), **before}
    hearing.keep(BREEDER, changed=told)
