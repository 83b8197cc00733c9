"""Care tips for a buyer's first year: which there are, and one in words."""

from __future__ import annotations

from functools import cache

from core.roster import Dog, Kennel
from core.tips import Tip
from shared.tables import number, table
from shared.texts import text

SAID_IN_WEEKS = 63  # days; the first days at home are said as days


@cache
def tips() -> tuple[Tip, ...]:
    """The tips of the year, with the ages at which they are of use."""
    found = []
    for row in table("tips"):
        days, months = number(row, "days"), number(row, "months")
        found.append(
            Tip(
                key=row["key"],
                days=int(days or 0),
                months=None if months is None else int(months),
                sex=row["sex"],
                homes=row["homes"],
            )
        )
    return tuple(found)


def tip(key: str, dog: Dog, kennel: Kennel | None = None) -> str:
    """The words of one tip about this dog, by the name that its people gave it; the breeder's own where she has some.

    In her own words the buyer's dog is "the dog" or "the pup" as she wrote it.
    """
    own = kennel.own_tip(key) if kennel is not None else None
    if own:
        return own
    sex = dog.sex or "any"
    he, him, his = (text(f"units.pronoun.{word}.{sex}") for word in ("he", "him", "his"))
    return text(f"tips.{key}", dog=called(dog), he=he, him=him, his=his)


def age(one: Tip) -> str:
    """The age at which a tip is of use, in words."""
    if one.months is not None:
        return text("units.age.months", n=one.months)
    if one.days >= SAID_IN_WEEKS and one.days % 7 == 0:
        return text("units.age.weeks", n=one.days // 7)
    return text("units.age.days", n=one.days)


def called(dog: Dog) -> str:
    """The name that its people call a dog by: the last one added, where it lives with a buyer."""
    return dog.also[-1] if dog.home and dog.also else dog.name
