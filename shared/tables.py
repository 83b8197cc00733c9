"""Loads the files of `reference/` into frozen tables, and their sources; each file is read once, when it is asked for.

A CSV table is rows of text under a header line; a TOML file is a tree of facts. Both carry the keys of their
sources (SOURCES.md): a CSV in a `source` column or in `# source: key, key` lines above the header, a TOML as
`source = ["key"]` on the whole file or on a block. Numbers are written with the unit in the name of the column.
"""

from __future__ import annotations

import csv
import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Any

REFERENCE = files("shared") / "reference"
SOURCES = files("shared") / "SOURCES.md"

_SOURCE_LINE = re.compile(r"#\s*source:\s*(.+)", re.IGNORECASE)
_SOURCE_ROW = re.compile(r"\|\s*`(?P<key>[a-z0-9-]+)`\s*\|(?P<rest>.*)\|\s*")


class TableError(ValueError):
    """A reference file is missing or can't be read: the message names the file and what is wrong with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where numbers come from.

    Attributes:
        key: the short name that tables and results carry.
        citation: who, year, title, page.
        seen: how far it was seen: `checked`, `memory`, `computed`, `common practice` or `own choice`, with a remark.
        used: what was taken, and what was left out.
    """

    key: str
    citation: str
    seen: str
    used: str


@cache
def table(name: str) -> tuple[Mapping[str, str], ...]:
    """The rows of `reference/NAME.csv`, each a read-only mapping of column to text; "" where a cell is empty.

    Raises:
        TableError: no such table, no header, or a row that doesn't fit the header.
    """
    lines = [line for line in _text(name, ".csv").splitlines() if line.strip() and not line.startswith("#")]
    reader = csv.reader(lines)
    header = next(reader, None)
    if not header:
        raise TableError(f"shared/reference/{name}.csv has no header line.")
    rows = []
    for number, cells in enumerate(reader, start=1):
        if len(cells) != len(header):
            raise TableError(f"shared/reference/{name}.csv, row {number}: {len(cells)} cells, {len(header)} columns.")
        rows.append(MappingProxyType({k: c.strip() for k, c in zip(header, cells, strict=True)}))
    return tuple(rows)


@cache
def facts(name: str) -> Mapping[str, Any]:
    """The tree of `reference/NAME.toml`, read-only all the way down (tables are mappings, arrays are tuples).

    Raises:
        TableError: no such file, or not TOML.
    """
    try:
        tree: Mapping[str, Any] = _frozen(tomllib.loads(_text(name, ".toml")))
    except tomllib.TOMLDecodeError as wrong:
        raise TableError(f"shared/reference/{name}.toml: {wrong}.") from wrong
    return tree


def number(row: Mapping[str, str], column: str) -> float | None:
    """The cell as a number in the column's unit, None where it is empty.

    Raises:
        TableError: the cell holds something else.
    """
    cell = row[column]
    if not cell:
        return None
    try:
        return float(cell)
    except ValueError as wrong:
        raise TableError(f"“{cell}” under {column} is not a number.") from wrong


def names() -> tuple[str, ...]:
    """The file names of all reference tables, in alphabetical order."""
    return tuple(sorted(f.name for f in REFERENCE.iterdir() if f.name.endswith((".csv", ".toml"))))


def sources_of(file_name: str) -> frozenset[str]:
    """The keys of every source that a reference file (`teeth.csv`, `growth.toml`) names, anywhere in it."""
    name, _, kind = file_name.rpartition(".")
    if kind == "toml":
        return frozenset(_named(facts(name)))
    keys: set[str] = set()
    for line in _text(name, ".csv").splitlines():
        if found := _SOURCE_LINE.match(line):
            keys.update(_keys(found[1]))
    for row in table(name):
        keys.update(_keys(row.get("source", "")))
    return frozenset(keys)


@cache
def sources() -> Mapping[str, Source]:
    """Every source of SOURCES.md by its key: the rows whose first cell is a key in backticks.

    Raises:
        TableError: a key that stands there twice, or a row without its four cells.
    """
    found: dict[str, Source] = {}
    for line in SOURCES.read_text(encoding="utf-8").splitlines():
        row = _SOURCE_ROW.fullmatch(line)
        if not row:
            continue
        key, cells = row["key"], [c.strip() for c in row["rest"].split("|")]
        if key in found or len(cells) != 3:
            raise TableError(f"shared/SOURCES.md: the row of `{key}` stands there twice or has not four cells.")
        found[key] = Source(key=key, citation=cells[0], seen=cells[1], used=cells[2])
    return MappingProxyType(found)


def _text(name: str, suffix: str) -> str:
    file: Traversable = REFERENCE / f"{name}{suffix}"
    try:
        return file.read_text(encoding="utf-8")
    except (FileNotFoundError, NotADirectoryError) as wrong:
        raise TableError(f"shared/reference/{name}{suffix} is missing: reinstall Fettle.") from wrong


def _frozen(value: Any) -> Any:
    if isinstance(value, dict):
        return MappingProxyType({k: _frozen(v) for k, v in value.items()})
    if isinstance(value, list):
        return tuple(_frozen(v) for v in value)
    return value


def _named(tree: Mapping[str, Any]) -> Iterator[str]:
    for key, value in tree.items():
        if key == "source":
            yield from _keys(value) if isinstance(value, str) else value
        elif isinstance(value, Mapping):
            yield from _named(value)
        elif isinstance(value, tuple):
            for item in value:
                if isinstance(item, Mapping):
                    yield from _named(item)


def _keys(text: str) -> list[str]:
    return [k for k in re.split(r"[,;\s]+", text.strip()) if k]
