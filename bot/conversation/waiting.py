"""Questions that wait for another one of the same message to be answered first: two are never asked at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from core.turns import Asked, Memory

OPEN_FOR = timedelta(minutes=60)  # how long a typed answer is still taken for one

_WORDS = frozenset({"said", "text", "at"})  # of facts: how it was said, not what


def added(mind: Memory, asked: Asked, said: str, at: datetime) -> list[dict[str, Any]]:
    """The questions that wait in that room, with one more; what waited too long is dropped."""
    told = {
        "about": asked.about, "person": asked.person, "at": asked.at.isoformat(), "message": asked.message,
        "choices": list(asked.choices), "facts": dict(asked.facts), "said": said,
    }
    return [*_young(mind, at), told]


def taken(mind: Memory, answered: Asked, at: datetime) -> tuple[Asked, str, list[dict[str, Any]]] | None:
    """The next question of that message, its words, and those that wait on; None where nothing more is in doubt."""
    young = _young(mind, at)
    first = next((t for t in young if t["message"] == answered.message), None)
    if first is None:
        return None
    asked = Asked(
        about=first["about"], person=first["person"], at=at, message=first["message"],
        choices=tuple(first["choices"]), facts=first["facts"],
    )
    return asked, first["said"], [t for t in young if t is not first]


def is_same(open_: Asked, asked: Asked, at: datetime) -> bool:
    """True where just that is asked already and not yet answered."""
    return (
        at - open_.at <= OPEN_FOR
        and replace(open_, at=at, message="", facts={}) == replace(asked, at=at, message="", facts={})
        and bool(asked.facts)
        and _core(open_.facts) == _core(asked.facts)
    )


def _young(mind: Memory, at: datetime) -> list[dict[str, Any]]:
    return [t for t in mind.facts.get("waiting") or [] if at - datetime.fromisoformat(t["at"]) <= OPEN_FOR]


def _core(facts: Mapping[str, Any]) -> dict[str, Any]:
    return {k: _core(v) if isinstance(v, Mapping) else v for k, v in facts.items() if k not in _WORDS}
