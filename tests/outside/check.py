"""One published figure beside what this project computes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Check:
    """What, ours, the published figure, how far apart they may lie (relative) and why, the source.

    `seen` says how far the value was seen when it was taken (checked, memory).
    """

    what: str
    ours: Callable[[], float]
    published: float
    tolerance: float
    source: str
    seen: str = "checked"

    @property
    def kind(self) -> str:
        """`computed` by a formula of ours, or `copied`: our file holds the printed figure, and holds it rightly."""
        names = self.ours.__code__.co_names
        return "copied" if names and names[0] in {"facts", "_cell"} else "computed"
