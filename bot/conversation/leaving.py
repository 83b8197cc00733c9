"""A pup that leaves: what of its list is done, and "is Ash ready to go?"."""

from __future__ import annotations

from bot.conversation.about import dogs_named, every, found, joined
from bot.conversation.heard import patterns, phrases
from bot.conversation.hearing import Hearing
from bot.replies import leaving as words
from core import leaving
from core.entries import LeaveItem
from core.roster import Dog

YOUNG_DAYS = 112  # a pup of this age has left or stays; the list is not for grown dogs; own choice
MOST_PUPS = 8


def answer(hearing: Hearing) -> bool:
    """True where an item was ticked, or the breeder's people asked who is ready; buyers have no part in it."""
    return hearing.person.role != "buyer" and (_asked(hearing) or _told(hearing))


def _asked(hearing: Hearing) -> bool:
    asked = found("leaving.asked", hearing)
    pups = _pups(hearing, every_pup=True) if asked else []
    if asked is None or not pups:
        return False
    hearing.took(asked)
    book = hearing.book()
    seen = [leaving.ready(p, book, hearing.kennel, hearing.at) for p in pups[:MOST_PUPS]]
    hearing.say("\n".join(words.stands(s, hearing.kennel, hearing.on) for s in seen))
    hearing.because(words.why(seen))
    return True


def _told(hearing: Hearing) -> bool:
    said = hearing.message.text
    if "?" in said or any(p.search(said) for p in patterns("leaving.not")):
        return False
    items = phrases()["leaving"]["items"]
    where = [(i, joined(m, hearing)) for i in items for m in every(f"leaving.items.{i}", hearing)]
    ticks = dict.fromkeys((pup, item) for item, (a, b) in where for pup in _ticked(said[a:b], hearing))
    if not ticks:
        return False
    numbers = [m.span() for p in patterns("leaving.number") for m in p.finditer(said)]
    hearing.took_exactly(*(span for _, span in where), *numbers)
    for pup, item in ticks:
        hearing.post(LeaveItem(dog=pup.name, on=hearing.on, item=item, said=said))
    hearing.mark()
    return True


def _ticked(words: str, hearing: Hearing) -> list[Dog]:
    """Whose item it is: of those named in the words themselves, else of all that the message names."""
    named = dogs_named(words, hearing)
    return [d for d in _pups(hearing, every_pup=False) if not named or d in named]


def _pups(hearing: Hearing, every_pup: bool) -> list[Dog]:
    """The pups that are named; of the house, where nobody is named and all are meant."""

    def may_leave(dog: Dog) -> bool:
        return not dog.home and 28 <= dog.age_days(hearing.on) < YOUNG_DAYS

    named = dogs_named(hearing.message.text, hearing)
    everybody = every_pup and any(p.search(hearing.message.text) for p in patterns("leaving.everybody"))
    return [d for d in (named or (hearing.kennel.living() if everybody else ())) if may_leave(d)]
