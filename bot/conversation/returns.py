"""A buyer's dog that comes back: it lives here again, and its people hear nothing more from here."""

from __future__ import annotations

from dataclasses import replace

from bot.conversation import worries
from bot.conversation.about import dogs_named, found
from bot.conversation.doubts import ANSWERS
from bot.conversation.heard import yes_or_no
from bot.conversation.hearing import Hearing
from core.entries import Reading
from core.roster import BREEDER, Dog, Kennel
from core.turns import Asked
from core.undoable import difference
from shared.texts import text

ASKED = "back for good"


def answer(hearing: Hearing) -> bool:
    """True where the breeder told that a buyer's dog is back, or a buyer that theirs can't stay."""
    if hearing.person.role == "buyer":
        return _buyers(hearing)
    match = found("back_with_us.told", hearing) if hearing.is_breeder else None
    dogs = [d for d in dogs_named(match[0], hearing) if d.home] if match else []
    if match is None or len(dogs) != 1 or found("back_with_us.visit", hearing):
        return False
    hearing.took(match)
    if found("back_with_us.surely", hearing):
        _lives_here(dogs[0], hearing)
    else:
        asked = text("returns.for_good", dog=dogs[0].name)
        hearing.ask(ASKED, asked, (text("doubts.yes"), text("doubts.no")), {"dog": dogs[0].name}, room=BREEDER)
    return True


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    dog, meant = hearing.house.dog(asked.facts["dog"]), yes_or_no(said)
    if dog is None or meant is None:
        return False
    if meant and dog.home:
        _lives_here(dog, hearing)
    else:
        hearing.mark()
    return True


def _lives_here(dog: Dog, hearing: Hearing) -> None:
    """Told in her own line: what its people hear is between her and them."""
    old, home = hearing.house, dog.home
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
    if hearing.message.room != BREEDER:
        hearing.mark()
    hearing.tell_breeder(said, about="answer")


def _buyers(hearing: Hearing) -> bool:
    """The tips stop at once; the breeder has the words and rings them."""
    surely = found("cannot_keep.surely", hearing)
    match = surely or found("cannot_keep.back_to_us", hearing)
    if match is None or hearing.kennel.breeder is None:
        return False
    if surely is None and found("cannot_keep.visit", hearing):
        hearing.took(match)
        worries.pass_on(Reading(), hearing)  # "could you have her back for the weekend?"
        return True
    people = tuple(replace(p, tips=False) if p.name == hearing.person.name else p for p in hearing.house.people)
    hearing.change(replace(hearing.house, people=people))
    hearing.say(text("returns.heard", breeder=hearing.kennel.breeder.name))
    quote = " ".join(hearing.message.text.split())[:300]
    hearing.tell_breeder(text("returns.told", who=hearing.person.name, said=quote), about="worry")
    if worries.is_ill(hearing):
        return False  # read as a whole, and answered as a worry
    hearing.took(match)
    return True


def _changed(old: Kennel, new: Kennel, said: str, hearing: Hearing) -> dict[str, object]:
    return {"at": hearing.at.isoformat(), "by": hearing.person.name, "setup": difference(old, new), "said": said}


ANSWERS[ASKED] = _answered
