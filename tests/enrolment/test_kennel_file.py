"""A kennel file gives the whole kennel, and a slip in it one sentence that names the place."""

from __future__ import annotations

from datetime import date, time
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.enrolment.amounts import cups_said
from bot.enrolment.kennel_file import KennelFileError, parse
from core.entries import Ears, Meal, Weight
from core.ledger import Ledger

LARKRISE = (files("shared") / "kennels" / "larkrise.yaml").read_text(encoding="utf-8")

SMALL = """kennel: Fernhill
people:
  - {name: Ruth, role: breeder}
"""


def test_the_demo_kennel_has_its_people_dogs_and_book() -> None:
    """Larkrise reads whole: three litters, five people, a year of season dates, the last weeks' bowls."""
    got = parse(LARKRISE)
    kennel, book = got.kennel, Ledger(got.history)
    assert kennel.zone == "Europe/London" and kennel.breeder is not None and kennel.breeder.name == "Maya"
    assert {len(kennel.pups_of(d)) for d in ("Linnet", "Tansy")} == {4} and len(kennel.pups_of("Heather")) == 5
    assert kennel.person("gran ida") is kennel.person("Ida")
    today = date(2026, 3, 14)
    assert kennel.by_name["Nugget"].age_days(today) == 17 * 7
    newest = book.last("Nugget", Weight)
    assert newest is not None and newest.entry == Weight(dog="Nugget", on=date(2026, 3, 12), kg=9.2, clock=time(8, 5))
    up = [e for e in book.entries("Nugget", Ears) if e.left == e.right == "up"]
    assert [sum(a <= e.on.isoformat() <= b for e in up) for a, b in (("2026-02-28", "2026-03-06"),
            ("2026-03-07", "2026-03-13"))] == [5, 2]  # fmt: skip
    assert len(book.entries("Nugget", Meal, since=date(2026, 3, 1), until=date(2026, 3, 13))) == 13 * 3 - 2
    assert not [p for p in got.history if p.entry.on < kennel.by_name[p.entry.dog].born]
    assert [p.id for p in got.history] == list(range(1, len(got.history) + 1))


def test_a_name_and_a_breeder_are_enough() -> None:
    """Everything else may be told later."""
    kennel = parse(SMALL).kennel
    assert kennel.name == "Fernhill" and kennel.dogs == () and kennel.zone == "UTC"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "empty"),
        ("- a\n- b\n", "line 1"),
        ("kennel: A\n", "role: breeder"),
        (SMALL + "zone: Mars/Base\n", "line 4, `zone`: “Mars/Base” is no time zone"),
        (SMALL + "colour: red\n", "line 4, `colour`: no such field"),
        (SMALL + "dog:\n", "did you mean `dogs`?"),
        (SMALL + "dogs:\n  - {name: Bo}\n", "line 5, `born`: Bo needs a day of birth"),
        (SMALL + "dogs:\n  - {name: Bo, born: 30.2.2026}\n", "“30.2.2026” is no date"),
        (SMALL + "dogs:\n  - {name: Bo, born: 2026-02-30}\n", "is no date"),
        (SMALL + "dogs:\n  - {name: Bo, born: 2026-02-03, sex: male}\n", "line 5, `sex`"),
        (SMALL + "dogs:\n  - {name: Bo, born: 2026-02-03, adult_kg: nan}\n", "is no number from 0.5 to 120 kg"),
        (SMALL + "dogs:\n  - {name: Bo, born: 2026-02-03, ration: {brunch: 1}}\n", "no such field in ration"),
        (SMALL + "dogs:\n  - {name: Bo, born: 2026-02-03, ration: {dinner: lots}}\n", "no number of cups"),
        (SMALL + "dogs:\n  - {name: Bo, born: 2026-02-03}\n  - {name: bo, born: 2026-02-03}\n", "two of them"),
        (SMALL + "dogs:\n  - {name: Bo, born: 2026-02-03, home: Zoe}\n", "no buyer “Zoe”"),
        (SMALL + "rota:\n  - {what: breakfast, who: Ruth}\n", "line 5, `at`"),
        (SMALL + "rota:\n  - {what: breakfast, at: 25:00, who: Ruth}\n", "“25:00” is no time of day"),
        (SMALL + "rota:\n  - {what: brekfast, at: 07:00, who: Ruth}\n", "did you mean `breakfast`?"),
        (SMALL + "rota:\n  - {what: breakfast, at: 07:00, who: Bob}\n", "no “Bob” under `people`"),
        (SMALL + "rota:\n  - {what: brush, at: 07:00, who: Ruth, days: [Someday]}\n", "no day of the week"),
        (SMALL + "kennel: B\n", "stands here twice"),
        (SMALL + "vet: 01632 960201\n", "this needs fields"),
        (SMALL + "people: [\n", "not YAML"),
        (SMALL + "history:\n  - {kind: weight, dog: Bo, on: 2026-01-01}\n", "no dog “Bo”"),
        ("kennel: \x00\x01", "The kennel file"),
        ("kennel: &a [*a]\n", "The kennel file"),
        ("a: " * 2000, "The kennel file"),
        ("[" * 5000, "The kennel file"),
        ("x" * 1_000_001, "too long"),
    ],
)
def test_a_slip_is_one_sentence_that_names_the_place(text: str, said: str) -> None:
    """The line, the field and what belongs there; never a crash."""
    with pytest.raises(KennelFileError) as caught:
        parse(text)
    assert said in str(caught.value) and "\n" not in str(caught.value) and len(str(caught.value)) < 300


BO = SMALL + "dogs: [{name: Bo, born: 2026-01-01}]\nhistory:\n"


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("{dog: Bo}", "needs one of weight"),
        ("{kind: weight, dog: Bo, on: 2026-01-01}", "needs its days"),
        ("{kind: weight, dog: Bo, days: {2026-01-01: 940}}", "no weight of a dog in kg"),
        ("{kind: weight, dog: Bo, days: {soon: 9}}", "this is no date"),
        ("{kind: ears, dog: Bo, days: {2026-01-01: up}}", "left and right"),
        ("{kind: condition, dog: Bo, days: {2026-01-01: fat}}", "no condition"),
        ("{kind: groom, dog: Bo, on: 2026-01-01}", "groom needs one"),
        ("{kind: dose, dose: aspirin, dog: Bo, on: 2026-01-01}", "“aspirin” is not known"),
        ("{kind: meal, dog: Bo, from: 2026-01-01, to: 2099-01-01}", "a later `to`"),
        ("{kind: meal, dog: Bo, by: Bob, on: 2026-01-01}", "no “Bob” under `people`"),
        ("{kind: meal, on: 2026-01-01}", "needs a dog"),
        ("{kind: meal, ears: up, dog: Bo, on: 2026-01-01}", "no such field"),
    ],
)
def test_a_slip_in_the_book_names_its_place(row: str, said: str) -> None:
    """History is checked as the rest is."""
    with pytest.raises(KennelFileError) as caught:
        parse(BO + f"  - {row}\n")
    assert said in str(caught.value) and "line 6" in str(caught.value)


@given(st.text(max_size=300))
def test_any_text_is_a_kennel_or_a_sentence(text: str) -> None:
    """Nothing but KennelFileError ever comes out."""
    try:
        parse(text)
    except KennelFileError as wrong:
        assert str(wrong)


@pytest.mark.parametrize(
    ("said", "cups"),
    [("3/4", 0.75), ("1 1/2", 1.5), ("1½", 1.5), ("⅝", 0.625), ("0.75", 0.75), ("0,5", 0.5), ("2", 2.0), ("1/0", None),
     ("lots", None), ("", None), ("-1", None), ("٣", None)],
)  # fmt: skip
def test_cups_are_read_as_they_are_written(said: str, cups: float | None) -> None:
    """Fractions, mixed numbers, glyphs and decimals; nothing else."""
    assert cups_said(said) == cups
