"""A paper before it is set: headings, lines, figures and tables, the same for plain text and for PDF."""

from __future__ import annotations

from dataclasses import dataclass

LEFT, RIGHT = "left", "right"


@dataclass(frozen=True, slots=True)
class Heading:
    """The name of a part; it never stands alone at the foot of a page."""

    text: str


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph; `strong` for what must not be missed."""

    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Facts:
    """Names with their values, one beside the other."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Points:
    """Short lines, each with a dot before it."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a head.

    Attributes:
        widths: of the columns, beside each other; equal where none are given. right: places of columns of figures.
        tight: set in smaller letters, where much must stand side by side.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[int, ...] = ()
    right: tuple[int, ...] = ()
    tight: bool = False

    def __post_init__(self) -> None:
        if any(len(row) != len(self.head) for row in self.rows):
            raise ValueError(f"a row of another length under {self.head}")


Part = Heading | Words | Facts | Points | Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One paper.

    Attributes:
        title, under: its name, and the line below. foot: stands at the foot of each page (kennel, day of printing).
        parts: in the order in which they are read. author: whose paper it is.
    """

    title: str
    under: str
    foot: str
    parts: tuple[Part, ...]
    author: str = ""
