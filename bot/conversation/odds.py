"""Small things that the reader leaves to the conversation: a joke with a risk, a part left of what, two fangs, the
heat of the whelping box."""

from __future__ import annotations

from datetime import timedelta

from bot.conversation.about import dog_meant, dogs_named, found
from bot.conversation.doubts import ANSWERS, pack, unpack
from bot.conversation.heard import phrases, plain, speaks_of
from bot.conversation.hearing import Hearing
from bot.replies import say_units
from core import care, fed
from core.entries import Meal, Tooth
from core.roster import FAMILY, Dog
from core.turns import Asked
from core.units import celsius
from shared.texts import text

WEEK = timedelta(days=7)  # a milk fang beside its new one for a week or two is for the vet; common practice
BOX_FROM_F = 60  # a box figure from here on is Fahrenheit


def answer(hearing: Hearing) -> bool:
    """True where one of these was said, and has been seen to."""
    return _joke(hearing) or _part_left(hearing) or _two_fangs(hearing) or _box(hearing)


def _joke(hearing: Hearing) -> bool:
    said = hearing.message.text
    if not speaks_of("joke.laugh", said) or not found("joke.ate", hearing):
        return False
    if not hearing.is_breeder:
        quote = " ".join(said.split())[:160]
        hearing.tell_breeder(text("remarks.joke", who=hearing.person.name, said=quote))
    return True


# "left about a quarter"

def _part_left(hearing: Hearing) -> bool:
    match = found("part_left", hearing)
    dog = dog_meant(hearing) if match else None
    if match is None or dog is None:
        return False
    part = match["part"].casefold()
    meal = fed.today(hearing.ledger, hearing.kennel, hearing.at).latest_meal or None
    entry = Meal(dog=dog.name, on=hearing.on, meal=meal, eaten="some", said=hearing.message.text)
    choices = (text("doubts.part.cup"), text("doubts.part.bowl"))
    asked = text("doubts.part.ask", part=part[0].upper() + part[1:], same=part)
    hearing.ask("part left", asked, choices, {"entry": pack(entry)})
    return True


def _part_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    low = plain(said)
    known = phrases()["cup_or_bowl"]
    if not any(low == w for words in known.values() for w in words):
        return False
    entry = unpack(asked.facts["entry"])
    hearing.post(_with_words(entry, said))
    hearing.mark()
    return True


def _with_words(entry: Meal | object, said: str) -> Meal:
    assert isinstance(entry, Meal)
    return Meal(dog=entry.dog, on=entry.on, meal=entry.meal, eaten=entry.eaten, said=f"{entry.said} ({said})")


# A milk fang beside its new one

def _two_fangs(hearing: Hearing) -> bool:
    dog = dog_meant(hearing) if found("two_fangs", hearing) else None
    if dog is None:
        return False
    hearing.post(Tooth(dog=dog.name, on=hearing.on, said=hearing.message.text))
    day = say_units.day(hearing.on + WEEK, hearing.on, hearing.kennel)
    hearing.tell_breeder(text("remarks.two_fangs", dog=dog.name, day=day))
    if hearing.person.role == "buyer":
        hearing.say(text("buyers.noted"))
    else:
        hearing.mark()
    return True


# The heat of the whelping box

def _box(hearing: Hearing) -> bool:
    match = found("box_heat", hearing)
    pups = _youngest(hearing)
    if match is None or not pups or hearing.person.role == "buyer":
        return False
    n = float(match["n"].replace(",", "."))
    unit = (match["unit"] or "").casefold()
    heat = celsius(n) if unit == "f" or (not unit and n >= BOX_FROM_F) else n
    warmth = care.box_warmth(pups[0].age_days(hearing.on), heat)
    if warmth is None:
        return False
    key, low, high = warmth
    hearing.keep(FAMILY, box={"at": hearing.at.isoformat(), "celsius": round(heat, 1)})
    if key is None:
        hearing.mark()
        return True
    shown = [say_units.temperature(t, hearing.unit) for t in (heat, low, high)]
    day = pups[0].age_days(hearing.on)
    hearing.say(text(f"newborn.box.{key}", heat=shown[0], low=shown[1], high=shown[2], n=day))
    return True


def _youngest(hearing: Hearing) -> list[Dog]:
    """The newborns that the box is of: those named, else the youngest."""
    dogs = dogs_named(hearing.message.text, hearing) or hearing.kennel.at_home()
    return sorted((d for d in dogs if d.is_newborn(hearing.on)), key=lambda d: d.age_days(hearing.on))


ANSWERS["part left"] = _part_answered
