"""A YAML text as fields that know their line, so that every complaint can name the place.

Values are taken as they were written (07:00 stays 07:00, `no` stays a word), and turned into what a field
holds here and nowhere else.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from datetime import date, time
from typing import Any

import yaml

from bot.enrolment.amounts import cups_said

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

MAX_CHARS = 1_000_000  # a kennel with ten years of records is under 300 kB; a longer file is no kennel
MAX_NAME = 60  # letters; longer ones don't fit a line of the chat

_YES = frozenset({"yes", "true", "on", "y"})
_NO = frozenset({"no", "false", "off", "n"})
_NUMBER = re.compile(r"\d{1,6}(?:\.\d{1,4})?", re.ASCII)
_CLOCK = re.compile(r"([01]?\d|2[0-3])[:.]([0-5]\d)", re.ASCII)


class KennelFileError(ValueError):
    """The kennel file can't be used: one sentence that names the line, the field and what belongs there."""


class Block:
    """A mapping of the file; complaints about a field name its line."""

    def __init__(self, node: yaml.Node, called: str) -> None:
        """The block of that node; `called` is what complaints name it by ("dogs", "rota").

        Raises:
            KennelFileError: the node holds no fields, or one of them twice.
        """
        if not isinstance(node, yaml.MappingNode):
            raise _error(node, called, "this needs fields, each written as `name: value`")
        self.called = called
        self.node = node
        self._fields: dict[str, yaml.Node] = {}
        for key, value in node.value:
            name = str(getattr(key, "value", ""))
            if name in self._fields:
                raise _error(key, name, "it stands here twice")
            self._fields[name] = value

    def error(self, name: str, wrong: str) -> KennelFileError:
        """A complaint about that field (or about the block, where the field is missing)."""
        return _error(self._fields.get(name, self.node), name, wrong)

    def has(self, name: str) -> bool:
        """True where the field is there, even if it is empty."""
        return name in self._fields

    def names(self) -> tuple[str, ...]:
        """The names of the fields, in order."""
        return tuple(self._fields)

    def node_of(self, name: str) -> yaml.Node | None:
        """The field's node, None where it is missing or empty."""
        node = self._fields.get(name)
        if isinstance(node, yaml.ScalarNode) and node.value.strip() in ("", "~", "null") and node.style is None:
            return None
        return node

    def only(self, *known: str) -> None:
        """Nothing, where every field is one of these.

        Raises:
            KennelFileError: another field, with the nearest known name.
        """
        for name in self._fields:
            if name not in known:
                near = difflib.get_close_matches(name, known, n=1)
                hint = f"did you mean `{near[0]}`?" if near else f"the fields here are {', '.join(known)}"
                raise self.error(name, f"no such field in {self.called}; {hint}")

    def text(self, name: str, default: str = "") -> str:
        """The field as plain text, the default where it is missing."""
        node = self.node_of(name)
        return default if node is None else scalar(node, name)

    def name(self, name: str) -> str:
        """The field as a name of a dog, person or thing.

        Raises:
            KennelFileError: it is missing, too long, or has signs that can't be shown.
        """
        value = self.text(name)
        if not value:
            raise self.error(name, f"each entry of {self.called} needs one")
        return checked_name(self._fields[name], name, value)

    def one_of(self, name: str, choices: tuple[str, ...], default: str = "") -> str:
        """The field as one of these words, whatever the letter case; the default where it is missing."""
        if self.node_of(name) is None:
            return default
        value = self.text(name).casefold()
        if value in choices:
            return value
        near = difflib.get_close_matches(value, choices, n=1)
        hint = f"did you mean `{near[0]}`?" if near else f"write one of {', '.join(choices)}"
        raise self.error(name, f"“{_short(value)}” is not known; {hint}")

    def yes(self, name: str, default: bool | None = None) -> bool | None:
        """The field as yes or no; the default where it is missing."""
        node = self.node_of(name)
        if node is None:
            return default
        value = scalar(node, name).casefold()
        if value in _YES or value in _NO:
            return value in _YES
        raise self.error(name, f"“{_short(value)}” is neither yes nor no")

    def number(self, name: str, low: float, high: float, unit: str = "") -> float | None:
        """The field as a number within these bounds (in that unit), None where it is missing."""
        node = self.node_of(name)
        return None if node is None else number(node, name, low, high, unit)

    def day(self, name: str) -> date | None:
        """The field as a day, None where it is missing."""
        node = self.node_of(name)
        return None if node is None else day(node, name)

    def clock(self, name: str) -> time | None:
        """The field as a wall-clock time, None where it is missing."""
        node = self.node_of(name)
        return None if node is None else clock(node, name)

    def words(self, name: str) -> tuple[str, ...]:
        """The field as a list of names; a single one may stand without brackets."""
        node = self.node_of(name)
        if node is None:
            return ()
        if isinstance(node, yaml.ScalarNode):
            return (checked_name(node, name, scalar(node, name)),)
        return tuple(checked_name(n, name, scalar(n, name)) for n in items(node, name))

    def cups(self, name: str) -> float:
        """The field as level cups ("3/4", "1 1/2", 0.75)."""
        value = self.text(name)
        found = cups_said(value)
        if found is None or not 0 < found <= 20:
            raise self.error(name, f"“{_short(value)}” is no number of cups; write 3/4, 1 1/2 or 0.75")
        return found

    def blocks(self, name: str) -> Iterator[Block]:
        """The field's list, each item a block; nothing where it is missing."""
        node = self.node_of(name)
        if node is not None:
            yield from (Block(n, name) for n in items(node, name))

    def block(self, name: str) -> Block | None:
        """The field's own fields, None where it is missing."""
        node = self.node_of(name)
        return None if node is None else Block(node, name)


def read_block(text: str) -> Block:
    """The whole file as one block.

    Raises:
        KennelFileError: too long, not YAML, or nothing in it.
    """
    if len(text) > MAX_CHARS:
        raise KennelFileError(f"The kennel file has over {MAX_CHARS:,} characters; that is too long for a kennel.")
    try:
        node = yaml.compose(text, Loader=_Loader)
    except yaml.MarkedYAMLError as wrong:
        mark = wrong.problem_mark or wrong.context_mark
        where = f"line {mark.line + 1}: " if mark else ""
        raise KennelFileError(f"The kennel file, {where}this is not YAML ({wrong.problem}).") from wrong
    except (yaml.YAMLError, RecursionError, ValueError) as wrong:
        raise KennelFileError("The kennel file can't be read: it is not plain text in YAML.") from wrong
    if node is None:
        raise KennelFileError("The kennel file is empty; start it with `kennel: ` and the kennel's name.")
    return Block(node, "the file")


def items(node: yaml.Node, name: str) -> list[yaml.Node]:
    """The items of a list."""
    if not isinstance(node, yaml.SequenceNode):
        raise _error(node, name, "this needs a list, each line starting with `- `")
    return list(node.value)


def scalar(node: yaml.Node, name: str) -> str:
    """A single value as it was written."""
    if not isinstance(node, yaml.ScalarNode):
        raise _error(node, name, "this needs a single value")
    return str(node.value).strip()


def number(node: yaml.Node, name: str, low: float, high: float, unit: str = "") -> float:
    """A value as a number within bounds."""
    said = scalar(node, name)
    value = float(said) if _NUMBER.fullmatch(said) else None
    if value is None or not low <= value <= high:
        raise _error(node, name, f"“{_short(said)}” is no number from {low:g} to {high:g}{' ' + unit if unit else ''}")
    return value


def day(node: yaml.Node, name: str) -> date:
    """A value as a day."""
    said = scalar(node, name)
    try:
        return date.fromisoformat(said)
    except ValueError:
        raise _error(node, name, f"“{_short(said)}” is no date; write year-month-day, as 2026-03-14") from None


def clock(node: yaml.Node, name: str) -> time:
    """A value as a wall-clock time."""
    said = scalar(node, name)
    found = _CLOCK.fullmatch(said)
    if not found:
        raise _error(node, name, f"“{_short(said)}” is no time of day; write it as 07:00 or 17:30")
    return time(int(found[1]), int(found[2]))


def checked_name(node: yaml.Node, name: str, value: str) -> str:
    """The value, where it can stand as a name."""
    if not value or len(value) > MAX_NAME or not value.isprintable():
        raise _error(node, name, f"“{_short(value)}” can't be a name; use one to {MAX_NAME} letters on one line")
    return value


def complaint(node: yaml.Node, name: str, wrong: str) -> KennelFileError:
    """A complaint about what stands at that node."""
    return _error(node, name, wrong)


def _error(node: yaml.Node, name: str, wrong: str) -> KennelFileError:
    return KennelFileError(f"The kennel file, line {node.start_mark.line + 1}, `{_short(name)}`: {wrong}.")


def _short(text: str) -> str:
    shown = "".join(c if c.isprintable() else "·" for c in text)
    return shown if len(shown) <= 40 else shown[:39] + "…"
