"""What a paper is written from: the kennel and the book as its reader may see them, a day, and a unit of weight."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time

from bot.replies import kept, say_units
from core.entries import Entry, Mating
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel
from core.times import instant
from shared.texts import text


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """What stands on the desk while a paper is written.

    Attributes:
        kennel, ledger: as the reader may see them. on: the day of the paper; nothing later is in it.
        unit: of weights, `kg` or `lb`. outside: true for a paper that leaves the house with a buyer.
    """

    kennel: Kennel
    ledger: Ledger
    on: date
    unit: str
    outside: bool = False

    @property
    def at(self) -> datetime:
        """The last minute of the day of the paper."""
        return instant(self.on, time(23, 59), self.kennel.tz)

    @property
    def foot(self) -> str:
        """What stands at the foot of each page."""
        return text("papers.foot", kennel=self.kennel.name, day=self.day(self.on))

    def day(self, on: date) -> str:
        """A day with its year: papers are kept."""
        name = "units.with_year" if self.kennel.day_first else "papers.month_first"
        return text(name, day=say_units.calendar_day(on, self.kennel), year=on.year)

    def moment(self, p: Posted) -> str:
        """The day of an entry, with its time where one is known."""
        local = self.kennel.local(p.at)
        clock = p.entry.clock or (local.time() if local.date() == p.entry.on and not p.brought else None)
        return f"{self.day(p.entry.on)}, {say_units.clock(clock, self.kennel)}" if clock else self.day(p.entry.on)

    def age(self, dog: Dog, on: date) -> str:
        """The dog's age on a day."""
        return say_units.age(dog, on)

    def weight(self, dog: Dog, kg: float, on: date) -> str:
        """A weight with its unit; a newborn's in grams or ounces."""
        return _tenths(say_units.weight(kg, self.unit, newborn=dog.is_newborn(on)))

    def change(self, kg: float, newborn: bool) -> str:
        """A change of weight with its sign and unit."""
        return _tenths(say_units.signed(kg, self.unit, newborn=newborn))

    def by(self, p: Posted) -> str:
        """Who wrote it down; the kennel for somebody whom the reader does not know."""
        if not p.by:
            return text("papers.nobody")
        known = self.kennel.person(p.by)
        return known.name if known is not None else self.kennel.name or text("papers.the_kennel")

    def fact(self, entry: Entry) -> str:
        """What an entry says; a mate whom the reader does not know is not named."""
        if isinstance(entry, Mating) and entry.with_ and self.outside:
            entry = Mating(dog=entry.dog, on=entry.on)
        return kept.fact(entry, self.kennel, self.unit)

    def own_words(self, p: Posted) -> str:
        """The sender's words, where they speak of this dog alone; "" on a paper that leaves the house."""
        said = " ".join(p.entry.said.split())
        if self.outside or not said:
            return ""
        others = [n for d in self.kennel.dogs if d.name != p.entry.dog for n in (d.name, *d.also)]
        if others and re.search(rf"\b(?:{'|'.join(map(re.escape, others))})\b", said, re.IGNORECASE):
            return ""
        return said

    def breeder(self) -> str:
        """The breeder's name, or the word for her."""
        return self.kennel.breeder.name if self.kennel.breeder else text("urgent.the_breeder")


def _tenths(shown: str) -> str:
    """Whole kilograms and ounces with a tenth: below each other "8.0 kg" and "7.4 kg" are easier to compare."""
    number, _, unit = shown.rpartition(" ")
    known = unit in ("kg", "oz") and text(f"units.{unit}", n=number) == shown and " " not in number
    return text(f"units.{unit}", n=f"{number}.0") if known and "." not in number else shown
