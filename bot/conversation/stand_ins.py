"""Who does whose part of the rota while somebody is away: another of the house, else the sitter who is here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from core.agenda import DOSE, MEAL, NUDGE, REMIND, ROUND, WEIGH, Due
from core.roster import BREEDER, FAMILY, Kennel, Person
from core.turns import Memory

# Who is asked in whose place: whoever has that task on other days first, then by role; children are never asked.
STANDS_IN = ("partner", "family", "gran", "breeder", "sitter")
FOR_A_SITTER = frozenset({MEAL, DOSE, ROUND})  # and newborns' weights; brushes and nails wait until somebody is home


def stood_in(item: Due, memory: Mapping[str, Memory], kennel: Kennel) -> Due:
    """The item, addressed to somebody else where its person is away that day."""
    other = _other(item, memory, kennel)
    if other is None or (other.role == "sitter" and not _is_for_sitter(item, kennel)):
        return item
    who = person_of(item)
    tasks = tuple(replace(t, person=other.name) if t.person == who else t for t in item.tasks)
    room = BREEDER if other.role == "breeder" else other.name if other.role == "sitter" else FAMILY
    return replace(item, person=other.name if room == FAMILY else "", tasks=tasks, room=room)


def waits(item: Due, memory: Mapping[str, Memory], kennel: Kennel) -> bool:
    """True for what nobody at home can do: its person is away, only a sitter is left, and it is no sitter's task."""
    other = _other(item, memory, kennel)
    return other is not None and other.role == "sitter" and not _is_for_sitter(item, kennel)


def _other(item: Due, memory: Mapping[str, Memory], kennel: Kennel) -> Person | None:
    """Who may be asked where the item's person is away that day; None where they are not, or nobody is left."""
    away = away_on(memory, item.on)
    who = person_of(item)
    if not who or who not in away or item.step not in (REMIND, NUDGE):
        return None
    return stand_in(kennel, item, away)


def person_of(item: Due) -> str:
    """Whose the item is; in a line of one person the tasks say it."""
    return item.person or next((t.person for t in item.tasks if t.person), "")


def away_on(memory: Mapping[str, Memory], on: date) -> frozenset[str]:
    """Who is away on that day."""
    told = memory[BREEDER].facts.get("away", []) if BREEDER in memory else []
    return frozenset(t["who"] for t in told if date.fromisoformat(t["from"]) <= on <= date.fromisoformat(t["to"]))


def stand_in(kennel: Kennel, item: Due, but: frozenset[str]) -> Person | None:
    """Who may be asked in that person's place, None where nobody is left."""
    mine = person_of(item)
    free = [
        p
        for p in kennel.people
        if p.role in STANDS_IN and p.name not in but and p.name != mine and (p.role != "sitter" or p.is_here(item.on))
    ]
    same = {d.who for d in kennel.duties if d.what == item.what}
    late = ("breeder", "sitter")
    return min(
        free, key=lambda p: (p.role == "sitter", p.name not in same or p.role in late, STANDS_IN.index(p.role)),
        default=None,
    )  # fmt: skip


def _is_for_sitter(item: Due, kennel: Kennel) -> bool:
    dogs = [d for name in item.dogs if (d := kennel.dog(name)) is not None]
    newborn = item.kind == WEIGH and bool(dogs) and all(d.is_newborn(item.on) for d in dogs)
    return item.kind in FOR_A_SITTER or newborn
