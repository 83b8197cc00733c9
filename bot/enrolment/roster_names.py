"""A name put right, or a dog or a person taken off the list, in the breeder's line."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace

from bot.enrolment import heard
from bot.enrolment.asking import Asking, dog_named, put_dog, put_person, taken
from core.roster import Dog, Kennel, Person

Hit = re.Match[str]


def rename(asking: Asking, hit: Hit) -> bool:
    """ "Rename Fern to Willow": a new name while nothing is written of the dog; later it answers to both."""
    old, new = dog_named(asking.kennel, hit["old"]), heard.call_name_said(hit["new"])
    person = asking.kennel.person(hit["old"].strip())
    if new is None or (old is None and person is None):
        return False
    if other := taken(asking.kennel, new):
        if old is None or other != old.name:
            asking.tell("changed.name_taken", name=new, dog=other)
            return True
    if old is None and person is not None:
        return _person_renamed(asking, person, new)
    assert old is not None
    if asking.scene.ledger.of(old.name):
        put_dog(asking, replace(old, also=tuple(dict.fromkeys((*old.also, new)))))
        asking.tell("changed.renamed_also", dog=old.name, name=new)
        return True
    asking.kennel = _with_name(asking.kennel, old, new)
    asking.tell("changed.renamed", old=old.name, new=new)
    return True


def remove(asking: Asking, hit: Hit) -> bool:
    """ "Remove Skye": a person, or a dog; what was written stays."""
    said = re.split(r"[,;.(]", hit["who"])[0].strip()
    person, dog = asking.kennel.person(said), dog_named(asking.kennel, said)
    if person is not None:
        if person.role == "breeder":
            asking.tell("changed.not_you")
            return True
        put_person(asking, person, None)
        asking.tell("changed.removed", who=person.name)
        return True
    if dog is None or dog.gone:
        return False
    if asking.scene.ledger.of(dog.name):
        put_dog(asking, replace(dog, gone="left"))
        asking.tell("changed.dog_off_kept", dog=dog.name)
        return True
    asking.kennel = _without_dog(asking.kennel, dog)
    asking.tell("changed.dog_off", dog=dog.name)
    return True


def _person_renamed(asking: Asking, person: Person, new: str) -> bool:
    """A person answers to the new name too: what they wrote stands under the old one."""
    put_person(asking, person, replace(person, also=tuple(dict.fromkeys((*person.also, new)))))
    asking.tell("changed.renamed_also", dog=person.name, name=new)
    return True


def _with_name(kennel: Kennel, dog: Dog, new: str) -> Kennel:
    """The kennel in which that dog is called so, wherever it is named."""

    def put(name: str | None) -> str | None:
        return new if name == dog.name else name

    def all_of(names: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(new if n == dog.name else n for n in names)

    dogs = tuple(
        replace(
            d, name=put(d.name) or d.name, litter=put(d.litter), sire=put(d.sire), apart_from=all_of(d.apart_from)
        )
        for d in kennel.dogs
    )  # fmt: skip
    return replace(
        kennel, dogs=dogs,
        litters=tuple(replace(x, dam=put(x.dam) or x.dam, sire=put(x.sire)) for x in kennel.litters),
        people=tuple(replace(p, dogs=all_of(p.dogs)) for p in kennel.people),
        duties=tuple(replace(d, dogs=all_of(d.dogs)) for d in kennel.duties),
        pedigree=tuple(
            replace(a, name=put(a.name) or a.name, sire=put(a.sire), dam=put(a.dam)) for a in kennel.pedigree
        ),
    )  # fmt: skip


def _without_dog(kennel: Kennel, dog: Dog) -> Kennel:
    """The kennel without that dog; a line of the rota that was for it alone goes with it."""
    duties = tuple(
        replace(d, dogs=tuple(n for n in d.dogs if n != dog.name)) for d in kennel.duties if d.dogs != (dog.name,)
    )
    people = tuple(replace(p, dogs=tuple(n for n in p.dogs if n != dog.name)) for p in kennel.people)
    return replace(kennel, dogs=tuple(d for d in kennel.dogs if d.name != dog.name), duties=duties, people=people)


NAME_CHANGES: Mapping[str, Callable[[Asking, Hit], bool]] = {"rename": rename, "remove_person": remove}
