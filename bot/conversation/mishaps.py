"""What cannot wait for the morning: a dose given twice, a bitch that a dog got to, a dog that ran off; and whom to
ring."""

from __future__ import annotations

from bot.conversation.about import dogs_named, found
from bot.conversation.hearing import Hearing
from bot.conversation.red_words import vet
from core.messages import URGENT
from core.roster import BREEDER, Dog
from shared.texts import text

QUOTE = 200  # letters of what was said that the breeder is shown
YOUNG_DAYS = 150  # no pup under five months is thought to have mated; own choice


def twice(hearing: Hearing) -> bool:
    """Answer a dose that was given twice; the message is still read, and what it records is kept."""
    said = hearing.message.text
    if not said or "?" in said or hearing.message.edit or hearing.only_keep:
        return False
    if found("mishap.twice", hearing) is None or found("mishap.not_twice", hearing):
        return False
    dogs = [d.name for d in dogs_named(said, hearing)]
    what = text("mishaps.twice")
    if hearing.person.role == "buyer":
        line = text("urgent.buyer_now", what=what, breeder=_breeder(hearing))
    else:
        line = text("urgent.now", what=what, vet=vet(hearing.scene.kennel, hearing.at))
    line = text("urgent.named", dog=dogs[0], line=line) if len(dogs) == 1 else line
    hearing.only_keep = True
    hearing.say(line, about="urgent", priority=URGENT)
    if not hearing.is_breeder:
        told = text("urgent.told_breeder", who=hearing.person.name, said=_quote(hearing), line=line)
        hearing.tell_breeder(told, about="urgent", priority=URGENT)
    return False


def answer(hearing: Hearing) -> bool:
    """True where somebody asked for the vet's number, or told what the breeder must hear at once."""
    return _number(hearing) or _mated(hearing) or _lost(hearing)


def _number(hearing: Hearing) -> bool:
    if hearing.person.role == "buyer":
        return False  # theirs is another vet
    own_line = hearing.is_breeder and hearing.message.room == BREEDER
    asked = found("vet_number", hearing) or (None if own_line else found("whom_to_ring", hearing))
    if asked is None:
        return False
    hearing.took(asked)
    hearing.say(text("mishaps.vet", vet=vet(hearing.scene.kennel, hearing.at)))
    return True


def _mated(hearing: Hearing) -> bool:
    match = found("mishap.mated", hearing)
    if match is None or "?" in hearing.message.text or hearing.person.role == "buyer":
        return False
    dogs = dogs_named(match[0], hearing)
    if len(dogs) > 1 and not any(_could(a, b, hearing) for a in dogs for b in dogs):
        return False
    hearing.took(match)
    _tell(hearing, "mated")
    return True


def _could(bitch: Dog, dog: Dog, hearing: Hearing) -> bool:
    grown = all(d.age_days(hearing.on) >= YOUNG_DAYS and not d.neutered for d in (bitch, dog))
    return grown and bitch.sex == "f" and dog.sex == "m"


def _lost(hearing: Hearing) -> bool:
    match = found("mishap.lost", hearing)
    if match is None or "?" in hearing.message.text or found("mishap.not_lost", hearing):
        return False
    hearing.took(match)
    _tell(hearing, "lost")
    return True


def _tell(hearing: Hearing, what: str) -> None:
    """The breeder hears it at once; who told it hears that she does."""
    if hearing.is_breeder or hearing.scene.kennel.breeder is None:
        return
    hearing.say(text(f"mishaps.told_{what}", breeder=_breeder(hearing)))
    told = text("mishaps.tells", who=hearing.person.name, said=_quote(hearing))
    hearing.tell_breeder(told, about="urgent", priority=URGENT)


def _breeder(hearing: Hearing) -> str:
    return hearing.scene.kennel.breeder.name if hearing.scene.kennel.breeder else text("urgent.the_breeder")


def _quote(hearing: Hearing) -> str:
    return " ".join(hearing.message.text.split())[:QUOTE]
