"""Pedigrees: the inbreeding coefficient that a mating would give, over a stated number of generations.

Wright's coefficient: the chance that both copies of a gene come from one and the same ancestor's. It is worked out
from the kinship of the parents, which gives what adding up Wright's paths gives. An ancestor who is not known counts as
unrelated, so the figure is "at least": how many of the ancestors are known belongs to it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from core.roster import Dog, Kennel

Parents = Mapping[str, tuple[str | None, str | None]]  # sire and dam by name; None where unknown


class PedigreeError(ValueError):
    """A dog stands among its own ancestors."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kin:
    """What the pedigree says of a pair.

    Attributes:
        coefficient: of their pups, 0 to 1; at least, as far as ancestors are known. generations: looked at.
        known, of: places in the pups' pedigree that are filled, out of 2 + 4 + … in those generations.
        common: the nearest common ancestors (one of the pair itself where it stands behind the other), by name.
    """

    coefficient: float
    generations: int
    known: int
    of: int
    common: tuple[str, ...] = ()
    source: tuple[str, ...] = ("wright-1922",)
    caution: tuple[str, ...] = ("at_least", "unknown_counts_as_unrelated")


def parents_of(kennel: Kennel) -> Parents:
    """Sire and dam of every dog on the roster and in the kennel's pedigree; nicknames stand for the dog."""
    names = {n.casefold(): d.name for d in kennel.dogs for n in (d.name, *d.also)}

    def real(name: str | None) -> str | None:
        return names.get(name.casefold(), name) if name else None

    known: dict[str, tuple[str | None, str | None]] = {}
    for a in kennel.pedigree:
        known[real(a.name) or a.name] = (real(a.sire), real(a.dam))
    for d in kennel.dogs:
        sire, dam = known.get(d.name, (None, None))
        known[d.name] = (real(d.sire) or sire, real(d.litter) or dam)
    return known


def kin(sire: Dog, dam: Dog, kennel: Kennel, generations: int) -> Kin:
    """The pair's kin over so many generations of their pups' pedigree (the parents are the first).

    Source: Wright 1922; kinship as in Mrode 2014, chapter 2.

    Raises:
        PedigreeError: the pedigree goes round in a circle.
        ValueError: fewer than one generation.
    """
    if generations < 1:
        raise ValueError("a pedigree has at least one generation")
    parents = _within(sire.name, dam.name, parents_of(kennel), generations)
    places = 2 ** (generations + 1) - 2
    return Kin(
        coefficient=kinship(sire.name, dam.name, parents),
        generations=generations,
        known=_places(sire.name, parents, generations) + _places(dam.name, parents, generations),
        of=places,
        common=_nearest_common(sire.name, dam.name, parents),
    )


def kinship(a: str, b: str, parents: Parents) -> float:
    """The kinship of two animals: the inbreeding coefficient that a pup of theirs would have.

    f(a, a) = (1 + F(a)) / 2; f(a, b) = the mean of b's with both parents of the younger. Unknown parents: unrelated.

    Raises:
        PedigreeError: the pedigree goes round in a circle.
    """
    order = _order({a, b}, parents)
    known: dict[tuple[str, str], float] = {}

    def f(x: str | None, y: str | None) -> float:
        if x is None or y is None:
            return 0.0
        if order[x] < order[y]:
            x, y = y, x
        if (x, y) not in known:
            sire, dam = parents.get(x, (None, None))
            known[x, y] = 0.5 * (1 + f(sire, dam)) if x == y else 0.5 * (f(sire, y) + f(dam, y))
        return known[x, y]

    return f(a, b)


def _order(names: set[str], parents: Parents) -> dict[str, int]:
    """Everybody behind these, each with a place after those of its parents."""
    place: dict[str, int] = {}
    open_: set[str] = set()

    def visit(name: str) -> None:
        if name in place:
            return
        if name in open_:
            raise PedigreeError(f"{name} stands among its own ancestors")
        open_.add(name)
        for parent in parents.get(name, (None, None)):
            if parent is not None:
                visit(parent)
        open_.remove(name)
        place[name] = len(place)

    for name in sorted(names):
        visit(name)
    return place


def _within(sire: str, dam: str, parents: Parents, generations: int) -> Parents:
    """The part of the pedigree with those who stand in one of the first so many generations behind the pups."""
    found: dict[str, tuple[str | None, str | None]] = {}
    row = {sire, dam}
    for _ in range(generations - 1):
        for name in row - found.keys():
            found[name] = parents.get(name, (None, None))
        row = {p for name in row for p in parents.get(name, (None, None)) if p is not None}
    return found


def _places(name: str, parents: Parents, left: int) -> int:
    """Filled places from this ancestor on, itself counted, so many generations deep."""
    if left == 0:
        return 0
    return 1 + sum(_places(p, parents, left - 1) for p in parents.get(name, (None, None)) if p is not None)


def _ancestors(name: str, parents: Parents) -> set[str]:
    """The animal itself and everybody behind it."""
    found: set[str] = set()
    row = [name]
    while row:
        one = row.pop()
        if one not in found:
            found.add(one)
            row += [p for p in parents.get(one, (None, None)) if p is not None]
    return found


def _nearest_common(a: str, b: str, parents: Parents) -> tuple[str, ...]:
    """The common ancestors who have a child in this pedigree that is not itself common to both sides."""
    mine, theirs = _ancestors(a, parents), _ancestors(b, parents)
    common = mine & theirs
    near = {p for child in (mine | theirs) - common for p in parents.get(child, (None, None)) if p is not None}
    return tuple(sorted(common & (near | {a, b})))
