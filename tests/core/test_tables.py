"""Reference files load, are frozen, and name sources that SOURCES.md lists."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

import shared
from shared import tables


@pytest.mark.parametrize("name", tables.names())
def test_every_table_names_listed_sources(name: str) -> None:
    """No number without a source: each file names at least one, and all of them stand in SOURCES.md."""
    named = tables.sources_of(name)
    assert named, f"{name} names no source"
    assert named <= set(tables.sources()), f"{name}: {named - set(tables.sources())} are not in SOURCES.md"


@pytest.mark.parametrize("name", [n for n in tables.names() if n.endswith(".csv")])
def test_every_row_has_a_source(name: str) -> None:
    """A table either names its sources for all rows or has one in each row."""
    rows = tables.table(name.removesuffix(".csv"))
    assert rows
    if "source" in rows[0]:
        assert all(row["source"] for row in rows)


def test_every_source_says_how_far_it_was_seen() -> None:
    """The honest remark is one of five words first."""
    seen = ("checked", "memory", "computed", "common practice", "own choice")
    for source in tables.sources().values():
        assert source.citation
        assert source.used
        assert source.seen.startswith(seen), source.key


def test_tables_are_read_only() -> None:
    """What one part reads, no other part can change."""
    row = tables.table("breeds")[0]
    with pytest.raises(TypeError):
        row["breed"] = "3"  # type: ignore[index]
    with pytest.raises(TypeError):
        tables.facts("growth")["new"] = 1  # type: ignore[index]


def test_a_missing_table_is_one_clear_sentence() -> None:
    """The error names the file."""
    with pytest.raises(tables.TableError, match=r"no_such\.csv is missing"):
        tables.table("no_such")
    with pytest.raises(tables.TableError, match=r"no_such\.toml is missing"):
        tables.facts("no_such")


def test_an_empty_cell_is_no_number() -> None:
    """Empty is None, a word is an error."""
    assert tables.number({"g": ""}, "g") is None
    assert tables.number({"g": "4.5"}, "g") == 4.5
    with pytest.raises(tables.TableError):
        tables.number({"g": "some"}, "g")


# Words of a list that is gone through, or looked up by what was said: no code names each of them.
LOOKED_UP = {
    "energy.toml": ("adult",),
    "feeding.toml": ("eaten",),
    "schedule.toml": ("signs", "groom", "meal_times"),
    "urgent.toml": ("time", "who", "limits"),
}


def _leaves(node: Mapping[str, Any], path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    for key, value in node.items():
        if isinstance(value, dict):
            yield from _leaves(value, (*path, key))
        elif key != "source":
            yield (*path, key)


def test_no_figure_is_kept_that_nothing_reads() -> None:
    """A key of a reference file that no code names is a rule that is written down and not kept."""
    root = Path(shared.__file__).parent.parent
    code = "\n".join(p.read_text(encoding="utf-8") for d in ("core", "bot", "shared") for p in (root / d).rglob("*.py"))
    named = set(re.findall(r'"([^"\n]+)"', code))
    unread = []
    for file in sorted((root / "shared" / "reference").glob("*.toml")):
        for path in _leaves(tomllib.loads(file.read_text(encoding="utf-8"))):
            if path[-1] not in named and path[0] not in LOOKED_UP.get(file.name, ()):
                unread.append(f"{file.name}: {'.'.join(path)}")
    assert not unread


@pytest.mark.parametrize("name", [n for n in tables.names() if n.endswith(".csv") and n != "toxins.csv"])
def test_no_table_is_kept_that_nothing_reads(name: str) -> None:
    """The poisons stand for the red words, which weigh no dose; every other table is read by code."""
    root = Path(shared.__file__).parent.parent
    code = "\n".join(p.read_text(encoding="utf-8") for d in ("core", "bot", "shared") for p in (root / d).rglob("*.py"))
    assert f'"{name.removesuffix(".csv")}"' in code
