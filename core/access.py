"""The kennel as one person may see it; everything that comes after sees only that.

Three kinds of room: the family's, the breeder's private line, and a private line for each buyer, sitter or
mentor. A buyer sees their own dogs and nothing that leads to another dog, another buyer or an address.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from core.ledger import Ledger
from core.roster import BREEDER, FAMILY, Dog, Kennel, Person, Vet

HELPERS = frozenset({"partner", "family", "child", "gran"})  # roles at home in the family room


def view(kennel: Kennel, ledger: Ledger, person: Person | None, on: date | None = None) -> tuple[Kennel, Ledger]:
    """The kennel and the book as this person may see them.

    The breeder and the family see everything; a buyer only their own dogs, with themselves and the breeder as the
    only people and no vet but their own; a sitter or mentor the dogs at home, within the days of the stay; a stranger
    nothing.
    """
    if person is None or not person.is_here(on):
        return _nothing(kennel), Ledger()
    if person.role == "buyer":
        return _buyers(kennel, ledger, person)
    if person.role in ("sitter", "mentor"):
        dogs = tuple(d for d in kennel.dogs if not d.home and not d.gone)
        people = tuple(p for p in kennel.people if p.role != "buyer")
        return replace(kennel, dogs=dogs, people=people), ledger.for_dogs({d.name for d in dogs})
    return kennel, ledger


def may_write(person: Person | None, room: str, on: date | None = None) -> bool:
    """True where this person belongs in that room: what they write there is heard and answered."""
    if person is None or not person.is_here(on):
        return False
    if person.role == "breeder":
        return True
    if room == FAMILY:
        return person.role in HELPERS
    if room == BREEDER:
        return False
    return room == person.name


def own_room(kennel: Kennel, person: Person) -> str:
    """The room in which this person is answered in private: the breeder's line, or the one of their own name."""
    return BREEDER if person.role == "breeder" else person.name


def _nothing(kennel: Kennel) -> Kennel:
    return Kennel(name=kennel.name, zone=kennel.zone, day_first=kennel.day_first, clock_24=kennel.clock_24)


def _buyers(kennel: Kennel, ledger: Ledger, person: Person) -> tuple[Kennel, Ledger]:
    own = tuple(_alone(d) for d in kennel.dogs if d.name in person.dogs)
    breeder = (kennel.breeder,) if kennel.breeder else ()
    foods = tuple(f for f in kennel.foods if any(d.food == f.name for d in own))
    seen = replace(
        kennel, dogs=own, people=(person, *breeder), litters=(), duties=(), foods=foods, vet=Vet(), show_rules=""
    )
    return seen, ledger.for_dogs({d.name for d in own})


def _alone(dog: Dog) -> Dog:
    """The dog without what leads to another: parents, company, the breeder's notes and her ration for it."""
    return replace(dog, litter=None, sire=None, apart_from=(), notes="", ration=() if not dog.home else dog.ration)
