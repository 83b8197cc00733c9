"""The ways in which a call to the Bot API can go wrong, one for the next call each."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Status:
    """Answered with an error and not done."""

    code: int
    description: str = "Internal Server Error"
    parameters: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Broken:
    """Done, and the body of the answer is no JSON."""

    body: bytes = b"<html>bad"


@dataclass(frozen=True)
class Drop:
    """The connection is cut: before anything is done, or (`done`) after it is done and before the answer."""

    done: bool = False


@dataclass(frozen=True)
class Late:
    """Done at once, answered so many real seconds later."""

    seconds: float


Fault = Status | Broken | Drop | Late
