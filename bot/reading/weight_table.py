"""A table of weights that somebody brings along (CSV): which dog weighed what on which day, and what is in doubt.

Either a row for each weighing (date, dog, weight) or a row for each day with a column for each dog. The unit stands in
the head of the column or in the cell; a figure without one is never guessed. Days are day-first or month-first as the
kennel has it, and a day that the calendar does not have is told, not turned round.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import yaml

import shared
from bot.reading import amounts, tokens
from core.entries import Weight
from core.ledger import Ledger
from core.plausible import weight_fits
from core.roster import Dog, Kennel, KnownWeight
from shared.spreadsheet import plain

LONGEST = 1_000_000  # characters; ten years of a kennel's weighings are a tenth of it
MOST_ROWS = 20_000
NEAR = 180  # days; a weight further away says nothing of this one; own choice
SAME_KG = 0.005  # two readings nearer than this are one; a kitchen scale shows five grams
# Why a row is left out.
NO_DOG, NO_DAY, NO_WEIGHT, NO_UNIT, AHEAD, UNBORN, UNLIKELY, THERE, OTHER, TWICE = (
    "no dog", "no day", "no weight", "no unit", "ahead", "unborn", "unlikely", "there", "other", "twice",
)  # fmt: skip

_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?", re.ASCII)
_FIGURES = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})", re.ASCII)
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class TableError(ValueError):
    """No table of weights: `why` is `empty`, `long`, `heads` or `broken`."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One weighing of the table.

    Attributes:
        line: of the file, from 1. said: the row's own words. dog: the roster's name, "" where none fits.
        on: None where the day can't be read. kg: None where the weight can't. wrong: why it is left out, "" where not.
        beside: what the book has of that day, in kg, where `wrong` is `other`.
    """

    line: int
    said: str
    dog: str = ""
    on: date | None = None
    kg: float | None = None
    wrong: str = ""
    beside: float | None = None

    def facts(self) -> dict[str, Any]:
        """Its fields by name, for the words of the preview."""
        return {f.name: getattr(self, f.name) for f in fields(self)}

    def entry(self) -> Weight:
        """The row as an entry.

        Raises:
            ValueError: a row that is left out.
        """
        if self.wrong or self.on is None or self.kg is None:
            raise ValueError(f"line {self.line} is left out")
        return Weight(dog=self.dog, on=self.on, kg=self.kg, said=self.said)


def read(text: str, kennel: Kennel, ledger: Ledger, today: date) -> tuple[Row, ...]:
    """The weighings of a table, each good or with why it is left out.

    Raises:
        TableError: it has no heads of columns that say which is the day and which the weight, or is no table.
    """
    if len(text) > LONGEST:
        raise TableError("long")
    lines = _lines(text)
    heads, columns = _heads(lines, kennel)
    rows = [row for n, cells in lines[heads:] for row in _of_line(n, cells, columns, kennel, today)]
    if len(rows) > MOST_ROWS:
        raise TableError("long")
    return tuple(_beside_the_book(_likely(rows, kennel, ledger), ledger))


@dataclass(frozen=True, slots=True)
class _Columns:
    """Where what stands: `weights` are the place, the dog's name ("" where the row names it), and the head's unit."""

    day: int
    dog: int | None
    weights: tuple[tuple[int, str, str], ...]


@cache
def _words() -> Mapping[str, Any]:
    path = Path(shared.__file__).parent / "phrases" / "columns.yaml"
    found: Mapping[str, Any] = yaml.load(path.read_text(encoding="utf-8"), Loader=_LOADER)
    return found


def _lines(text: str) -> list[tuple[int, list[str]]]:
    """The lines that hold anything, as cells, with their numbers."""
    text = text.removeprefix("\ufeff")
    first = next((line for line in text.splitlines() if line.strip()), "")
    if not first:
        raise TableError("empty")
    mark = max(";\t,", key=lambda m: (first.count(m), m == ";"))
    reader = csv.reader(text.splitlines(keepends=True), delimiter=mark, strict=False)
    try:
        found = [(reader.line_num, [plain(c.strip()) for c in cells]) for cells in reader]
    except csv.Error:
        raise TableError("broken") from None
    return [(n, cells) for n, cells in found if any(cells)]


def _heads(lines: Sequence[tuple[int, list[str]]], kennel: Kennel) -> tuple[int, _Columns]:
    """After how many lines the rows begin, and the columns; the heads stand within the first five lines."""
    for n, (_, cells) in enumerate(lines[:5], start=1):
        day = next((i for i, c in enumerate(cells) if _head(c)[0] in _words()["date"]), None)
        if day is None:
            continue
        dog = next((i for i, c in enumerate(cells) if i != day and _head(c)[0] in _words()["dog"]), None)
        weights = []
        for i, cell in enumerate(cells):
            name, unit = _head(cell)
            named = _dog(name, kennel)
            if i in (day, dog) or name in _words()["skipped"]:
                continue
            if dog is not None and (name in _words()["weight"] or (not name and unit)):
                weights.append((i, "", unit))
            elif dog is None and named is not None:
                weights.append((i, named.name, unit))
        if weights:
            return n, _Columns(day, dog, tuple(weights))
    raise TableError("heads")


def _head(cell: str) -> tuple[str, str]:
    """The words of a head in small letters, and the unit that it names: "Weight (kg)" is "weight" and "kg"."""
    words = [w for w in re.split(r"[\s_()\[\]/:,-]+", cell.casefold()) if w not in ("", "in")]
    unit = _words()["units"].get(words[-1], "") if words else ""
    return " ".join(words[:-1] if unit else words), unit


def _of_line(n: int, cells: Sequence[str], columns: _Columns, kennel: Kennel, today: date) -> Iterator[Row]:
    said = ", ".join(c for c in cells if c)[:120]
    cell = dict(enumerate(cells)).get
    on = day_of(cell(columns.day, "") or "", kennel.day_first)
    for place, name, unit in columns.weights:
        figure = cell(place, "") or ""
        if not figure or figure in ("-", "–", "—"):
            continue
        called = name or (cell(columns.dog, "") if columns.dog is not None else "") or ""
        dog = kennel.dog(name) or _dog(called, kennel)
        kg = kilograms(figure, unit)
        row = Row(line=n, said=said, dog=dog.name if dog else "", on=on, kg=kg)
        yield replace(row, wrong=_wrong(row, dog, figure, today))


def _wrong(row: Row, dog: Dog | None, figure: str, today: date) -> str:
    if dog is None:
        return NO_DOG
    if row.on is None:
        return NO_DAY
    if row.kg is None:
        return NO_UNIT if re.fullmatch(r"\d{1,6}(?:[.,]\d{1,3})?", figure, re.ASCII) else NO_WEIGHT
    if row.on > today:
        return AHEAD
    return UNBORN if row.on < dog.born else ""


def _dog(said: str, kennel: Kennel) -> Dog | None:
    low = said.strip().casefold()
    return next((d for d in kennel.dogs if low in {d.name.casefold(), *(a.casefold() for a in d.also)}), None)


def day_of(said: str, day_first: bool) -> date | None:
    """The day of a cell: 2026-03-08, 8/3/2026 (or 3/8/2026 where the month comes first), 8 March 2026; or None."""
    said = said.strip()
    if found := _ISO.fullmatch(said):
        return _day(*(int(g) for g in found.groups()))
    if found := _FIGURES.fullmatch(said):
        a, b, year = (int(g) for g in found.groups())
        return _day(year + 2000 if year < 100 else year, *((b, a) if day_first else (a, b)))
    if len(said) > 40 or not re.search(r"[^\W\d]{3}", said) or not re.search(r"\b\d{4}\b", said):
        return None
    import dateparser  # half a second: only for a month in letters

    found_at = dateparser.parse(said, settings={"STRICT_PARSING": True, "DATE_ORDER": "DMY" if day_first else "MDY"})
    return found_at.date() if found_at else None


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def kilograms(said: str, unit: str) -> float | None:
    """The weight of a cell in kilograms; None where it says anything else, or no unit stands in it nor in the head."""
    for cell in (said, f"{said} {unit}" if unit else ""):
        words = tokens.cut(cell)
        found = amounts.find(words)
        if len(found) == 1 and found[0].kg and not found[0].sign and (found[0].i, found[0].n) == (0, len(words.w)):
            return round(found[0].kg, 4)
    return None


def _likely(rows: Sequence[Row], kennel: Kennel, ledger: Ledger) -> Iterator[Row]:
    """The rows, those left out that fit neither the book nor the readings around them in the table."""
    known: dict[str, list[tuple[date, float]]] = {}
    for row in rows:
        if not row.wrong and row.on is not None and row.kg is not None:
            known.setdefault(row.dog, []).append((row.on, row.kg))
    for row in rows:
        if row.wrong or row.on is None or row.kg is None:
            yield row
            continue
        dog = kennel.by_name[row.dog]
        on, own = row.on, (row.on, row.kg)
        around = [(w.on, w.kg) for w in ledger.entries(row.dog, Weight)] + [k for k in known[row.dog] if k != own]
        near = sorted((k for k in around if abs((k[0] - on).days) <= NEAR), key=lambda k: abs((k[0] - on).days))[:2]
        fits = [weight_fits(replace(dog, last_weight=KnownWeight(kg=kg, on=day)), row.kg, on) for day, kg in near]
        alone = weight_fits(replace(dog, last_weight=None), row.kg, on)
        yield row if (any(fits) if fits else alone) else replace(row, wrong=UNLIKELY)


def _beside_the_book(rows: Iterator[Row], ledger: Ledger) -> Iterator[Row]:
    """The rows, those left out that are in the book, or stand twice in the table, or say other than the book."""
    seen: set[tuple[str, date, float]] = set()
    for row in rows:
        if row.wrong or row.on is None or row.kg is None:
            yield row
            continue
        have = [w.kg for w in ledger.entries(row.dog, Weight, since=row.on, until=row.on)]
        key = (row.dog, row.on, row.kg)
        if any(abs(kg - row.kg) < SAME_KG for kg in have):
            yield replace(row, wrong=THERE)
        elif have:
            yield replace(row, wrong=OTHER, beside=have[-1])
        elif key in seen:
            yield replace(row, wrong=TWICE)
        else:
            seen.add(key)
            yield row
