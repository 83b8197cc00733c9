"""A death: no mark, gentle words; everything set for that dog stops, and its people hear nothing more from here."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from bot.conversation import house_talk, night, roster_changes
from bot.conversation.doubts import ANSWERS, dog_asked_for
from bot.conversation.heard import LONGEST, phrases, speaks_of, yes_or_no
from bot.conversation.hearing import Hearing
from core.messages import URGENT
from core.roster import BREEDER, Dog
from core.turns import Asked
from shared.texts import text


def answer(hearing: Hearing) -> bool:
    """Answer where a death was told of; what else the message records is kept, but nothing else is said."""
    said = hearing.message.text[:LONGEST].replace("’", "'")
    dog = _dead(said, hearing)
    if _ask_which(said, dog, hearing):
        return True
    if dog is None:
        if speaks_of("stillborn", said) and hearing.person.role != "buyer":
            if not night.stillborn(hearing):
                hearing.say(text("loss.stillborn"), about="loss")
            hearing.only_keep = True
        return False
    _tell(hearing, dog)
    return False


def _tell(hearing: Hearing, dog: Dog) -> None:
    hearing.only_keep = True
    if hearing.is_breeder:
        roster_changes.set_gone(hearing, dog, "died")
        hearing.say(_told(dog), about="loss")
    elif hearing.person.role == "buyer":
        _stop_tips(hearing)
        breeder = hearing.kennel.breeder.name if hearing.kennel.breeder else text("urgent.the_breeder")
        hearing.say(text("loss.buyer", breeder=breeder), about="loss")
        house_talk.lost(hearing, dog)
        _ask_breeder(hearing, dog)
    else:
        breeder = hearing.kennel.breeder.name if hearing.kennel.breeder else text("urgent.the_breeder")
        hearing.say(text("loss.family", breeder=breeder), about="loss")
        _ask_breeder(hearing, dog)


def _ask_which(said: str, dog: Dog | None, hearing: Hearing) -> bool:
    """True where a death was told by a colour alone that is no pup's name, or two pups': which it is, is asked."""
    young = [d for d in hearing.kennel.at_home() if d.is_newborn(hearing.on)]
    if hearing.person.role == "buyer" or not young:
        return False
    if dog is None:
        unknown = any(p.search(said) for p in _patterns("loss", tuple(phrases()["night"]["colours"])))
        alike = young if unknown else []
    else:
        alike = [d for d in young if d.name.casefold().endswith(f" {dog.name.casefold()}")]
    if not alike:
        return False
    choices = tuple(d.name for d in ([dog] if dog else []) + alike)
    hearing.ask("which died", text("loss.which"), choices)
    return True


def _which_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    dog = dog_asked_for(hearing, asked, said)
    if dog is None and yes_or_no(said) is not False:
        return False
    if dog is not None:
        _tell(hearing, dog)
    return True


def _told(dog: Dog) -> str:
    said = text("loss.stopped", dog=dog.name)
    return text("loss.with_home", said=said, home=dog.home) if dog.home else said


def _ask_breeder(hearing: Hearing, dog: Dog) -> None:
    breeder = hearing.scene.kennel.breeder
    if breeder is None:
        return
    asked = text("loss.ask_breeder", who=hearing.person.name, dog=dog.name)
    choices = (text("doubts.yes"), text("doubts.no"))
    hearing.ask("death", asked, choices, {"dog": dog.name}, room=BREEDER, person=breeder.name, priority=URGENT)


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    dog = hearing.scene.kennel.dog(asked.facts.get("dog"))
    if meant is None or dog is None or not hearing.is_breeder:
        return False
    if meant:
        roster_changes.set_gone(hearing, dog, "died")
        hearing.say(_told(dog), about="loss")
    else:
        hearing.say(text("loss.kept", dog=dog.name), about="loss")
    return True


def _stop_tips(hearing: Hearing) -> None:
    people = tuple(replace(p, tips=False) if p.name == hearing.person.name else p for p in hearing.scene.kennel.people)
    hearing.change(replace(hearing.house, people=people))


def _dead(said: str, hearing: Hearing) -> Dog | None:
    # "Sorrel Blue died" is not of Blue: the longest name first.
    for dog in sorted(hearing.kennel.living(), key=lambda d: -len(d.name)):
        if any(p.search(said) for p in _patterns("loss", (dog.name, *dog.also))):
            return dog
    own = hearing.kennel.living()
    if hearing.person.role == "buyer" and len(own) == 1:
        if any(p.search(said) for p in _patterns("loss_of_ours", (own[0].name,))):
            return own[0]
    return None


@lru_cache(maxsize=512)
def _patterns(name: str, called: tuple[str, ...]) -> tuple[re.Pattern[str], ...]:
    names = "|".join(re.escape(c) for c in called)
    return tuple(re.compile(p.replace("DOG", rf"\b(?:{names})\b"), re.IGNORECASE) for p in phrases()[name])


ANSWERS["death"] = _answered
ANSWERS["which died"] = _which_answered
