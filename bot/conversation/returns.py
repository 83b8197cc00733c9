"""A buyer's dog that comes back: it lives here again, and its people hear nothing more from here."""

from __future__ import annotations

from dataclasses import replace

from bot.conversation.about import dogs_named, found
from bot.conversation.hearing import Hearing
from core.roster import BREEDER, Kennel
from core.undoable import difference
from shared.texts import text


def answer(hearing: Hearing) -> bool:
    """True where the breeder told that a buyer's dog is back, or a buyer that theirs can't stay."""
    if hearing.person.role == "buyer":
        return _buyers(hearing)
    match = found("back_with_us", hearing) if hearing.is_breeder else None
    dogs = [d for d in dogs_named(match[0], hearing) if d.home] if match else []
    if match is None or len(dogs) != 1:
        return False
    hearing.took(match)
    dog, home = dogs[0], dogs[0].home
    old = hearing.house
    new = replace(
        old,
        dogs=tuple(replace(d, home="") if d.name == dog.name else d for d in old.dogs),
        people=tuple(
            replace(p, dogs=tuple(n for n in p.dogs if n != dog.name), tips=False) if p.name == home else p
            for p in old.people
        ),
    )
    said = text("returns.back", dog=dog.name, home=home)
    hearing.change(new)
    hearing.keep(BREEDER, changed=_changed(old, new, said, hearing))
    hearing.say(said)
    return True


def _buyers(hearing: Hearing) -> bool:
    """The tips stop at once; the breeder has the words and rings them."""
    match = found("cannot_keep", hearing)
    if match is None or hearing.kennel.breeder is None:
        return False
    hearing.took(match)
    people = tuple(replace(p, tips=False) if p.name == hearing.person.name else p for p in hearing.house.people)
    hearing.change(replace(hearing.house, people=people))
    hearing.say(text("returns.heard", breeder=hearing.kennel.breeder.name))
    quote = " ".join(hearing.message.text.split())[:300]
    hearing.tell_breeder(text("returns.told", who=hearing.person.name, said=quote), about="worry")
    return True


def _changed(old: Kennel, new: Kennel, said: str, hearing: Hearing) -> dict[str, object]:
    return {"at": hearing.at.isoformat(), "by": hearing.person.name, "setup": difference(old, new), "said": said}
