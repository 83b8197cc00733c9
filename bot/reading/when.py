"""One day that a message names."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(slots=True)
class When:
    """One expression of a day in the message.

    Attributes:
        i, n: its words. on: the local day. since: it says when something began. ahead: it lies in the future.
        weekday: true where only a weekday was said.
    """

    i: int
    n: int
    on: date
    since: bool = False
    ahead: bool = False
    weekday: bool = False

    @property
    def end(self) -> int:
        """The first word after it."""
        return self.i + self.n
