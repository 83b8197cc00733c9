"""One thing said of a list of dogs, in every order in which people say it: the same entry for each of them.

The sentences and the lists are in `lists/`: a sentence has {D} for the dogs and {P} for "his", "her" or "their".
"""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from bot.reading import read
from bot.reading.formats import as_line
from core.roster import Dog, Kennel, KnownWeight, Person

HERE = Path(__file__).parent / "lists"
SAID_AT = datetime(2026, 6, 3, 19, 10, tzinfo=ZoneInfo("Africa/Johannesburg"))
WEIGHED = date(2026, 5, 31)


def _dog(name: str, sex: str, born: date, kg: float, litter: str = "") -> Dog:
    weight = KnownWeight(kg=kg, on=WEIGHED)
    return Dog(name=name, sex=sex, born=born, breed="Ridgeback", litter=litter or None, last_weight=weight)


KENNEL = Kennel(
    name="Koppie",
    zone="Africa/Johannesburg",
    people=(Person(name="Anneke"),),
    dogs=(
        _dog("Simba", "m", date(2020, 8, 15), 41.5),
        _dog("Nala", "f", date(2021, 7, 4), 34.2),
        _dog("Leeu", "m", date(2026, 1, 25), 20.4, "Nala"),
        _dog("Storm", "f", date(2026, 1, 25), 18.2, "Nala"),
        _dog("Rooi", "m", date(2025, 12, 20), 17.0),
    ),
)
PUPS = ("Leeu", "Storm", "Rooi")
# The list as it is said, and whom it means.
LISTS: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("Leeu", ("Leeu",), "his"),
    ("Nala", ("Nala",), "her"),
    ("Leeu and Storm", ("Leeu", "Storm"), "their"),
    ("Simba, Nala and Leeu", ("Simba", "Nala", "Leeu"), "their"),
    ("Simba, Nala, Leeu", ("Simba", "Nala", "Leeu"), "their"),
    ("simba nala and leeu", ("Simba", "Nala", "Leeu"), "their"),
    ("Simba & Storm", ("Simba", "Storm"), "their"),
    ("Simba + Nala", ("Simba", "Nala"), "their"),
    ("Simba/Nala", ("Simba", "Nala"), "their"),
    ("Simba then Nala then Leeu", ("Simba", "Nala", "Leeu"), "their"),
    ("the pups", PUPS, "their"),
    ("all the pups", PUPS, "their"),
    ("Simba and the pups", ("Simba", *PUPS), "their"),
)
# What is not read yet: a group that ends a list cannot own ("Simba and the pups' nails").
OPEN = {("did {D}'s nails", "Simba and the pups")}


def _sentences() -> list[tuple[str, str]]:
    lines = (HERE / "sentences.txt").read_text(encoding="utf-8").splitlines()
    found = [line.split(" => ") for line in lines if line and not line.startswith("#")]
    return [(text, wanted) for text, wanted in found]


@pytest.mark.parametrize(("sentence", "wanted"), _sentences())
def test_the_same_entry_for_each(sentence: str, wanted: str) -> None:
    """Each dog of the list has its entry, nobody else has, and nothing is asked."""
    kind, _, fields = wanted.partition(" ")
    facts = json.loads(fields or "{}")
    wrong = []
    for said, dogs, their in LISTS:
        if (sentence, said) in OPEN:
            continue
        owned = sentence.replace("{D}'s", "{D}'") if said.endswith("pups") else sentence
        text = owned.replace("{D}", said).replace("{P}", their)
        line = as_line("1", read(text, "Anneke", SAID_AT, KENNEL))
        got = [{k: v for k, v in e.items() if k != "on"} for e in line["entries"]]
        want = [{"kind": kind, "dog": name, **facts} for name in dogs]
        key = json.dumps
        if sorted(map(key, map(_sorted, got))) != sorted(map(key, map(_sorted, want))) or line["doubts"]:
            wrong.append((text, got, line["doubts"]))
    assert not wrong


def _sorted(entry: dict[str, object]) -> dict[str, object]:
    return dict(sorted(entry.items()))
