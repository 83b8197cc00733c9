"""The coefficient by kinship is the sum over Wright's paths, for any pedigree."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.pedigree import Parents, kinship


@st.composite
def pedigrees(draw: st.DrawFn) -> Parents:
    """Animals "0", "1", …, each with parents among those before it, or unknown ones."""
    number = draw(st.integers(4, 11))
    parents: dict[str, tuple[str | None, str | None]] = {}
    for i in range(number):
        mine = st.one_of(st.none(), st.integers(0, i - 1).map(str)) if i else st.none()
        sire, dam = draw(mine), draw(mine)
        parents[str(i)] = (sire, dam) if sire is None or sire != dam else (sire, None)
    return parents


def paths_up(name: str, parents: Parents) -> Iterator[tuple[str, ...]]:
    """Every path from an animal up to itself or one of its ancestors."""
    yield (name,)
    for parent in parents[name]:
        if parent is not None:
            for path in paths_up(parent, parents):
                yield (name, *path)


def by_paths(a: str, b: str, parents: Parents) -> float:
    """Wright 1922: over each pair of paths that meet in a common ancestor and nowhere else, (1/2)^n · (1 + F)."""
    total = 0.0
    for mine in paths_up(a, parents):
        for theirs in paths_up(b, parents):
            if mine[-1] == theirs[-1] and not set(mine[:-1]) & set(theirs[:-1]):
                if mine[-1] in mine[:-1] or theirs[-1] in theirs[:-1]:
                    continue
                sire, dam = parents[mine[-1]]
                own = by_paths(sire, dam, parents) if sire is not None and dam is not None else 0.0
                total += 0.5 ** (len(mine) + len(theirs) - 1) * (1 + own)
    return total


@settings(max_examples=150, deadline=None)
@given(pedigrees())
def test_kinship_is_the_sum_over_paths(parents: Parents) -> None:
    a, b = (str(n) for n in (len(parents) - 1, len(parents) - 2))
    assert kinship(a, b, parents) == pytest.approx(by_paths(a, b, parents), abs=1e-12)
    assert kinship(a, b, parents) == pytest.approx(kinship(b, a, parents), abs=1e-15)
    assert 0 <= kinship(a, b, parents) <= 1
