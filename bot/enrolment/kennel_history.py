"""The book that a kennel file brings along: rows of entries, each written once and spread over its days and dogs."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import yaml

from bot.enrolment.yaml_fields import Block, complaint, day, items, scalar
from core.entries import BY_KIND, Entry
from core.ledger import BROUGHT, Posted
from core.roster import FAMILY, Kennel

MAX_DAYS = 800  # of one row: two years and a bit; more is a slip in a date
NOON = time(12, 0)  # where no time of day was written

_ROW = ("kind", "by", "at", "room", "dog", "dogs", "on", "days", "from", "to", "skip")
# What else may stand in a row, by kind; those of VALUED have their value under `days` instead.
_FIELDS: dict[str, tuple[str, ...]] = {
    "weight": ("g",),
    "meal": ("meal", "amount", "unit", "eaten"),
    "treat": ("amount", "unit"),
    "groom": ("task",),
    "sign": ("sign",),
    "dose": ("dose",),
    "temperature": ("celsius",),
    "height": ("cm",),
    "progesterone": ("value", "unit"),
    "mating": ("with",),
    "whelping": ("pups",),
    "health test": ("test", "result", "until"),
    "leave item": ("item",),
    "concern": ("about",),
}
_NEEDS = {"groom": "task", "sign": "sign", "dose": "dose", "temperature": "celsius", "height": "cm",
          "progesterone": "value", "health test": "test", "leave item": "item",
          "concern": "about"}  # fmt: skip
_NUMBERS = {"amount": (0.01, 5000.0), "celsius": (30.0, 45.0), "cm": (3.0, 120.0), "value": (0.0, 400.0),
            "pups": (0.0, 30.0)}  # fmt: skip
_WORDS = {
    "meal": ("breakfast", "lunch", "dinner", "bedtime"),
    "eaten": ("all", "some", "none"),
    "unit": ("cup", "g", "can", "piece", "ng/ml", "nmol/l"),
    "task": ("brush", "bath", "nails", "ear trim", "feet trim", "coat trim", "teeth", "ears cleaned", "ear hair back"),
    "sign": ("vomit", "bile", "diarrhoea", "limp", "cough", "itch", "lethargy", "wound", "seizure", "swallowed"),
    "dose": ("wormer", "vaccine", "flea and tick", "medicine"),
    "about": (
        "legs", "stagger", "thirst", "lump", "eyes", "ears", "skin", "pain", "discharge", "blood", "worms", "slime",
        "soft",
    ),
    "item": ("chip", "vet check", "contract", "papers", "food"),
}
_EARS = ("down", "half", "up")
_RIBS = ("sharp", "easy", "hard")
_VALUED = ("weight", "ears", "condition")

Said = tuple[datetime, Entry, str, str]  # moment, entry, by, room


def read_history(top: Block, kennel: Kennel) -> tuple[Posted, ...]:
    """The entries of the file's `history`, numbered from 1 in order of the moment at which they were said.

    Raises:
        KennelFileError: a row that can't be read.
    """
    found: list[Said] = []
    for row in top.blocks("history"):
        found.extend(_row(row, kennel))
    found.sort(key=lambda f: f[0])
    return tuple(
        Posted(id=i, entry=entry, at=at, by=by, room=room, message=f"{BROUGHT}{i}")
        for i, (at, entry, by, room) in enumerate(found, start=1)
    )


def _row(row: Block, kennel: Kennel) -> Iterator[Said]:
    kind = row.one_of("kind", tuple(BY_KIND))
    if not kind:
        raise row.error("kind", f"a row of history needs one of {', '.join(BY_KIND)}")
    row.only(*_ROW, *_FIELDS.get(kind, ()))
    by, room, dogs = row.text("by"), row.text("room", FAMILY), _dogs(row, kennel)
    if by and kennel.person(by) is None:
        raise row.error("by", f"there is no “{by}” under `people`")
    if (need := _NEEDS.get(kind)) and not row.has(need):
        raise row.error(need, f"{kind} needs one")
    if kind in _VALUED and not row.has("days"):
        raise row.error("days", f"{kind} needs its days, each with a value")
    at = row.clock("at")
    fixed = {name: _field(row, name) for name in _FIELDS.get(kind, ()) if row.has(name) and name != "g"}
    if kind == "mating" and "with" in fixed:
        fixed["with_"] = fixed.pop("with")
    grams = row.yes("g", False) is True
    for on, value in _days(row):
        given = fixed if value is None else _valued(kind, value, grams)
        moment = datetime.combine(on, at or NOON, kennel.tz).astimezone(UTC)
        for dog in dogs:
            yield moment, BY_KIND[kind](dog=dog, on=on, clock=at, **given), by, room


def _dogs(row: Block, kennel: Kennel) -> tuple[str, ...]:
    dogs = (*row.words("dogs"), *row.words("dog"))
    if not dogs:
        raise row.error("dog", "a row of history needs a dog")
    for dog in dogs:
        if kennel.dog(dog) is None:
            raise row.error("dogs" if row.has("dogs") else "dog", f"there is no dog “{dog}” under `dogs`")
    return dogs


def _days(row: Block) -> Iterator[tuple[date, yaml.Node | None]]:
    """Each day of the row, with its value where it has one."""
    if (values := row.block("days")) is not None:
        for name in values.names():
            try:
                yield date.fromisoformat(name), values.node_of(name)
            except ValueError:
                raise values.error(name, "this is no date; write year-month-day, as 2026-03-14") from None
        return
    if (on := row.day("on")) is not None:
        yield on, None
        return
    start, end = row.day("from"), row.day("to")
    if start is None or end is None or not 0 <= (end - start).days <= MAX_DAYS:
        raise row.error("from", "a row of history needs `on`, `days`, or `from` and a later `to`")
    skipped = row.node_of("skip")
    skip = set() if skipped is None else {day(n, "skip") for n in items(skipped, "skip")}
    for n in range((end - start).days + 1):
        if (on := start + timedelta(days=n)) not in skip:
            yield on, None


def _field(row: Block, name: str) -> Any:
    if name in _WORDS:
        return row.one_of(name, _WORDS[name])
    if name in _NUMBERS:
        value = row.number(name, *_NUMBERS[name])
        return int(value) if name == "pups" and value is not None else value
    return row.day(name) if name == "until" else row.text(name)


def _valued(kind: str, node: yaml.Node, grams: bool) -> dict[str, Any]:
    """The fields of one day's value."""
    said = scalar(node, kind)
    if kind == "weight":
        value = _number(said)
        kg = None if value is None else value / 1000 if grams else value
        if kg is None or not 0.03 <= kg <= 120:
            raise complaint(node, "days", f"“{said[:20]}” is no weight of a dog in {'grams' if grams else 'kg'}")
        return {"kg": round(kg, 4)}
    if kind == "ears":
        parts = said.split()
        if len(parts) != 2 or any(p not in _EARS for p in parts):
            raise complaint(node, "days", f"“{said[:20]}” is not left and right of down, half or up")
        return {"left": parts[0], "right": parts[1]}
    if kind == "condition":
        return _condition(node, said)
    raise complaint(node, "days", f"{kind} has no value for a day; use `on`, or `from` and `to`")


def _condition(node: yaml.Node, said: str) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for part in said.split():
        score, slash, scale = part.partition("/")
        value = _number(score)
        if slash and scale in ("5", "9") and value is not None and 1 <= value <= int(scale):
            out |= {"score": value, "scale": int(scale)}
        elif part in _RIBS:
            out["ribs"] = part
        else:
            raise complaint(node, "days", f"“{said[:20]}” is no condition; write it as `3/5 easy`")
    if not out:
        raise complaint(node, "days", "a condition is missing; write it as `3/5 easy`")
    return out


def _number(said: str) -> float | None:
    """The number of ASCII digits with at most one point, None where it is something else."""
    plain = len(said) < 10 and said.isascii() and said.replace(".", "", 1).isdigit()
    return float(said) if plain else None
