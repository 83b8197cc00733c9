"""A paper as plain text, for a screen, a message or any printer: 78 letters wide, tables in columns."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from itertools import zip_longest

from bot.replies.papers.model import Facts, Heading, Paper, Part, Points, Table, Words

WIDTH = 78  # letters of a line; fits a page of typewriter letters
_GAP = 2  # letters between two columns
_LEAST = 6  # letters of the narrowest column
_UNIT = re.compile(r"(?<=[\d⅛¼⅜½⅝¾⅞]) (?=(?:kg|g|lb|oz|kcal|cups?|cm|in|°[CF])\b)")


def render(paper: Paper) -> str:
    """The paper's text, with a line feed at its end."""
    lines = [paper.title, "=" * min(len(paper.title), WIDTH)]
    lines += _wrapped(paper.under)
    for part in paper.parts:
        lines += ["", *_part(part)]
    lines += ["", *_wrapped(paper.foot)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _part(part: Part) -> Iterator[str]:
    match part:
        case Heading(said):
            yield from (said, "-" * min(len(said), WIDTH))
        case Words(said):
            yield from _wrapped(said)
        case Points(lines):
            for line in lines:
                yield from _wrapped(line, initial_indent="- ", subsequent_indent="  ")
        case Facts(rows):
            widest = max((len(name) for name, _ in rows), default=0) + 2
            for name, value in rows:
                named = f"{name}:".ljust(widest + 1)
                yield from _wrapped(value, initial_indent=named, subsequent_indent=" " * len(named))
        case Table():
            yield from _table(part)


def _table(table: Table) -> Iterator[str]:
    widths = _widths(table)
    yield from _row(table.head, widths, table.right)
    yield "  ".join("-" * w for w in widths)
    for row in table.rows:
        yield from _row(row, widths, table.right)


def _row(cells: tuple[str, ...], widths: list[int], right: tuple[int, ...]) -> Iterator[str]:
    """The lines of one row: a cell too long for its column goes on below."""
    columns = [_within(cell, w) for cell, w in zip(cells, widths, strict=True)]
    for line in zip_longest(*columns, fillvalue=""):
        shown = [c.rjust(w) if n in right else c.ljust(w) for n, (c, w) in enumerate(zip(line, widths, strict=True))]
        yield (" " * _GAP).join(shown)


def _widths(table: Table) -> list[int]:
    """As wide as the longest cell; where that is too wide together, the widest columns give way."""
    every = (table.head, *table.rows)
    widths = [max(_LEAST, *(len(part) for row in every for part in row[n].split("\n"))) for n in range(len(table.head))]
    room = WIDTH - _GAP * (len(widths) - 1)
    while sum(widths) > room and max(widths) > _LEAST:
        widths[widths.index(max(widths))] -= 1
    return widths


def _within(cell: str, width: int) -> list[str]:
    return [line for part in cell.split("\n") for line in _wrapped(part, width) or [""]]


def _wrapped(said: str, width: int = WIDTH, **indents: str) -> list[str]:
    """Lines of that width; a figure stays with its unit."""
    held = _UNIT.sub("\u00a0", said)
    lines = textwrap.wrap(held, width, break_on_hyphens=False, **indents)  # type: ignore[arg-type]
    return [line.replace("\u00a0", " ") for line in lines]
