"""Common English words: no typing slip turns one into a dog, and one is a person's name only by its capital."""

from __future__ import annotations

from functools import cache
from importlib.resources import files


@cache
def listed() -> frozenset[str]:
    """The words, in small letters and without their everyday endings."""
    lines = (files("shared") / "phrases" / "ordinary_en.txt").read_text(encoding="utf-8").splitlines()
    return frozenset(w for line in lines if not line.startswith("#") for w in line.split())
