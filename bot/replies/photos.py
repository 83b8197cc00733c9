"""A kept photo in words: whose, how old, which day, and what was written of ears and weight about then."""

from __future__ import annotations

from datetime import date, timedelta

from bot.replies import kept, say_units
from core.entries import Ears, Photo, Weight
from core.ledger import Ledger
from core.roster import Dog, Kennel, Person
from shared.texts import text

NEAR = timedelta(days=3)  # ears and weights within so many days stand beside a photo; own choice


def caption(dog: Dog, photo: Photo, ledger: Ledger, kennel: Kennel, unit: str, today: date) -> str:
    """"Nugget, 16 weeks, 6 March: both ears half up, 8.7 kg"."""
    facts = []
    for kind in (Ears, Weight):
        near = [e for e in ledger.entries(dog.name, kind) if abs(e.on - photo.on) <= NEAR]
        best = min(near, key=lambda e: (abs(e.on - photo.on), e.on), default=None)
        if best is not None:
            fact = kept.fact(best, kennel, unit)
            day = say_units.day(best.on, today, kennel)
            facts.append(fact if best.on == photo.on else text("photos.of_day", fact=fact, day=day))
    said = {
        "dog": dog.name, "age": say_units.age(dog, photo.on), "day": say_units.day(photo.on, today, kennel),
    }
    return text("photos.caption_with", facts=", ".join(facts), **said) if facts else text("photos.caption", **said)


def from_buyer(who: Person, dog: Dog, photo: Photo, today: date) -> str:
    """What the breeder is told of a buyer's photo."""
    about = text("buyers.aged", dog=dog.name, age=say_units.age(dog, today))
    quote = " ".join(photo.said.split())[:300]
    if quote:
        return text("photos.from_buyer_said", who=who.name, about=about, said=quote)
    return text("photos.from_buyer", who=who.name, about=about)
