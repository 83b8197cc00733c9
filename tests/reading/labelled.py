"""Labelled kennels: a folder with `roster.json`, `messages.jsonl` and `expected.jsonl`, and how two readings compare.

As the reading format has it: numbers within 0.2 % are equal, a condition score without a scale is out of 9, the
order of a list says nothing, a field that is left out and one that is false are the same.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bot.reading import read
from bot.reading.formats import as_line, kennel_of, message_of
from core.messages import Message
from core.roster import Kennel

HERE = Path(__file__).parent
PARTS = ("entries", "questions", "doubts")
NEAR = 0.002  # numbers within 0.2 % are equal (the reading format)

Item = Mapping[str, Any]


@dataclass(frozen=True)
class Labelled:
    """One message, the earlier ones it names, and what must be read."""

    message: Message
    before: tuple[Message, ...]
    expected: Mapping[str, Any]

    @property
    def is_small_talk(self) -> bool:
        """True where nothing at all must be read."""
        return not any(self.expected.get(part) for part in PARTS)


@dataclass(frozen=True)
class Folder:
    """One labelled kennel."""

    name: str
    kennel: Kennel
    lines: tuple[Labelled, ...]


@dataclass(frozen=True)
class Outcome:
    """What was read of one message, beside what must be."""

    line: Labelled
    got: Mapping[str, Any]

    @property
    def exact(self) -> bool:
        """True where entries, questions and doubts are all as expected."""
        return all(agree(self.line.expected.get(part, ()), self.got[part]) for part in PARTS)

    def __str__(self) -> str:
        want = {part: self.line.expected[part] for part in PARTS if self.line.expected.get(part)}
        got = {part: self.got[part] for part in PARTS if self.got[part]}
        earlier = "".join(f"\n  before   {b.sender}: {b.text!r}" for b in self.line.before)
        m = self.line.message
        return f"{m.key} {m.sender}: {m.text!r}{earlier}\n  expected {want or '-'}\n  read     {got or '-'}"


def folders(root: Path = HERE) -> list[Path]:
    """The labelled kennels under a folder, by name."""
    return sorted(p.parent for p in root.glob("*/expected.jsonl"))


def load(path: Path) -> Folder:
    """The labelled kennel in that folder.

    Raises:
        AssertionError: a message without its expected reading, or the other way round.
    """
    kennel = kennel_of(json.loads((path / "roster.json").read_text(encoding="utf-8")))
    expected = {line["id"]: line for line in _lines(path / "expected.jsonl")}
    lines = []
    for raw in _lines(path / "messages.jsonl"):
        message, before = message_of(raw)
        lines.append(Labelled(message, before, expected.pop(raw["id"])))
    assert not expected, f"{path.name}: expected readings without a message: {sorted(expected)}"
    return Folder(path.name, kennel, tuple(lines))


def outcomes(folder: Folder) -> list[Outcome]:
    """Every message of the folder read, in order."""
    found = []
    for line in folder.lines:
        m = line.message
        reading = read(m.text, m.sender, m.sent_at, folder.kennel, line.before)
        found.append(Outcome(line, as_line(m.key, reading)))
    return found


def agree(expected: Sequence[Item], got: Sequence[Item]) -> bool:
    """True where each item of one list pairs off with one of the other."""
    missed, extra = unpaired(expected, got)
    return not missed and not extra


def unpaired(expected: Sequence[Item], got: Sequence[Item], without: str = "") -> tuple[list[Item], list[Item]]:
    """The items of each list that pair off with none of the other, one field (`without`) not looked at."""
    left = list(expected)
    extra = []
    for g in got:
        pair = next((e for e in left if same(e, g, without)), None)
        if pair is None:
            extra.append(g)
        else:
            left.remove(pair)
    return left, extra


def same(a: Item, b: Item, without: str = "") -> bool:
    """True where two items say the same, one field (`without`) not looked at."""
    x, y = _plain(a, without), _plain(b, without)
    return x.keys() == y.keys() and all(_equal(x[k], y[k]) for k in x)


def _plain(item: Item, without: str) -> dict[str, Any]:
    if item.get("kind") == "condition" and "score" in item:
        item = {"scale": 9} | dict(item)
    return {k: v for k, v in item.items() if v is not None and v is not False and k != without}


def _equal(a: Any, b: Any) -> bool:
    if isinstance(a, int | float) and isinstance(b, int | float) and not isinstance(a, bool):
        return abs(a - b) <= NEAR * max(abs(a), abs(b))
    return bool(a == b)


def _lines(path: Path) -> Iterator[Any]:
    with path.open(encoding="utf-8") as f:
        yield from (json.loads(line) for line in f if line.strip())
