"""Care tips for a buyer's first year: which there are, and one in words."""

from __future__ import annotations

from functools import cache

from core.roster import Dog
from core.tips import Tip
from shared.tables import number, table
from shared.texts import text


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


def tip(key: str, dog: Dog) -> str:
    """The words of one tip about this dog, by the name that its people gave it."""
    sex = dog.sex or "any"
    he, him, his = (text(f"units.pronoun.{word}.{sex}") for word in ("he", "him", "his"))
    return text(f"tips.{key}", dog=called(dog), he=he, him=him, his=his)


def called(dog: Dog) -> str:
    """The name that its people call a dog by: the last one added, where it lives with a buyer."""
    return dog.also[-1] if dog.home and dog.also else dog.name
