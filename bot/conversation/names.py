"""A pup's new name: a buyer's own for their dog, or the breeder's for hers. Both names are understood from then on."""

from __future__ import annotations

from dataclasses import replace

from bot.conversation import roster_changes
from bot.conversation.about import dogs_named, found
from bot.conversation.hearing import Hearing
from core.roster import Dog
from shared.texts import text

MOST_NAMES = 8  # besides the call name


def answer(hearing: Hearing) -> bool:
    """True where a dog was given another name."""
    if hearing.person.role == "buyer":
        return _buyers(hearing)
    return hearing.is_breeder and _breeders(hearing)


def _buyers(hearing: Hearing) -> bool:
    match = found("renamed.ours", hearing)
    own = hearing.kennel.living()
    if match is None or len(own) != 1:
        return False
    dog, name = hearing.house.dog(own[0].name), match["name"].strip()
    if dog is None:
        return False
    hearing.took(match)
    breeder = hearing.scene.kennel.breeder
    if _taken(name, dog, hearing):
        # Two dogs of one name in the house would be asked about for ever: in their own line it is understood anyway.
        hearing.tell_breeder(text("names.taken", who=hearing.person.name, dog=dog.name, name=name))
    elif not _has(dog, name):
        _add(hearing, dog, name)
        hearing.tell_breeder(text("names.told", who=hearing.person.name, dog=dog.name, name=name))
    if breeder is not None:
        hearing.say(text("names.lovely", name=name))
    return True


def _breeders(hearing: Hearing) -> bool:
    match = found("renamed.by_breeder", hearing)
    if match is None:
        return False
    name = match["name"].strip()
    dogs = dogs_named(match[0][: match.start("name") - match.start()], hearing)
    dog = hearing.house.dog(dogs[0].name) if len(dogs) == 1 else None
    if dog is None:
        return False
    hearing.took(match)
    if _taken(name, dog, hearing):
        hearing.say(text("names.is_taken", name=name))
        return True
    if not _has(dog, name):
        _add(hearing, dog, name)
    hearing.mark()
    return True


def _add(hearing: Hearing, dog: Dog, name: str) -> None:
    roster_changes.remember(hearing, dog, also=list(dog.also))
    also = (*dog.also, name)[-MOST_NAMES:]
    hearing.change(roster_changes.with_dog(hearing.house, replace(dog, also=also)))


def _has(dog: Dog, name: str) -> bool:
    return name.casefold() in {n.casefold() for n in (dog.name, *dog.also)}


def _taken(name: str, dog: Dog, hearing: Hearing) -> bool:
    """True where another dog or a person of the house answers to that name."""
    low = name.casefold()
    dogs = {n.casefold() for d in hearing.house.living() if d.name != dog.name for n in (d.name, *d.also)}
    return low in dogs or hearing.house.person(name) is not None
