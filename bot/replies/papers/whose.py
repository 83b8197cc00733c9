"""Who may have which paper, and the desk from which it is written for them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bot.replies.papers.desk import Desk
from bot.replies.say_units import unit_of
from core.access import HELPERS, view
from core.ledger import Ledger
from core.roster import BREEDER, FAMILY, Dog, Kennel, Person

VET, SITTER, HOME, LITTER, BOOK = "vet", "sitter", "home", "litter", "book"
KINDS = (VET, SITTER, HOME, LITTER, BOOK)
OF_DOG = (VET, HOME, LITTER, BOOK)  # those that are about one dog

_AT_HOME = HELPERS | {"breeder"}  # they may have every paper
_MAY = {"sitter": (SITTER, VET), "mentor": (BOOK, LITTER, VET), "buyer": (VET, HOME, BOOK)}


def may_have(person: Person, kind: str) -> bool:
    """True where somebody of that role may have a paper of that kind (of a dog that they may see)."""
    return kind in (KINDS if person.role in _AT_HOME else _MAY.get(person.role, ()))


def reader_of(room: str, kennel: Kennel) -> Person | None:
    """Whose eyes a paper is for that is sent into that room; None for the family's, who see everything."""
    if room == FAMILY:
        return None
    return kennel.breeder if room == BREEDER else kennel.person(room)


def desk_for(room: str, kind: str, dog: Dog | None, kennel: Kennel, ledger: Ledger, on: date) -> Desk | None:
    """The desk for a paper that is sent into a room; None where that room may not have it."""
    reader = reader_of(room, kennel)
    if reader is None and room != FAMILY:
        return None
    if reader is not None:
        if not may_have(reader, kind):
            return None
        seen, book = view(kennel, ledger, reader, on)
    else:
        seen, book = kennel, ledger
    if dog is not None and seen.dog(dog.name) is None:
        return None
    unit = unit_of(kennel, reader)
    outside = reader is not None and reader.role == "buyer"
    if dog is not None and (outside or kind == HOME):
        return _outside(dog, kennel, ledger, reader if outside else None, on, unit)
    return Desk(kennel=seen, ledger=book, on=on, unit=unit)


def _outside(dog: Dog, kennel: Kennel, ledger: Ledger, buyer: Person | None, on: date, unit: str) -> Desk:
    """What a buyer may see of their own dog; where the breeder hands the paper over, with the pup's own cups on it."""
    reader = buyer or Person(name=dog.home, role="buyer", dogs=(dog.name,))
    seen, book = view(kennel, ledger, replace(reader, dogs=(dog.name,), until=None), on)
    own = seen.dogs[0] if buyer is not None else replace(seen.dogs[0], ration=dog.ration)
    eats = kennel.food_of(dog)
    seen = replace(seen, dogs=(own,), foods=(eats,) if eats else ())
    return Desk(kennel=seen, ledger=book, on=on, unit=unit, outside=True)
