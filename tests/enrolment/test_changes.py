"""Changing the kennel later in plain words; notes and talk are no changes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest

from core.roster import Dog, Duty, Food, Kennel, Litter, Person, Ration, Vet
from tests.enrolment.talk import Talk

KENNEL = Kennel(
    name="Fernhill",
    zone="Europe/Oslo",
    people=(Person(name="Ruth", role="breeder"), Person(name="Tom", role="partner"), Person(name="Wren")),
    dogs=(
        Dog(name="Bran", born=date(2021, 5, 2), sex="m", breed="Buhund", ration=(Ration(meal="dinner", cups=1),)),
        Dog(name="Saga", born=date(2020, 6, 11), sex="f", breed="Buhund"),
        Dog(name="Nugget", also=("Nug",), born=date(2025, 11, 15), sex="m", ear_watch=True),
    ),
    foods=(Food(name="Hillfarm Junior", kcal_per_cup=400), Food(name="Hillfarm Adult", kcal_per_cup=360)),
    duties=(
        Duty(what="breakfast", at=time(7), who="Tom"),
        Duty(what="nails", at=time(18), who="Tom", every_days=14, dogs=("Bran", "Saga")),
    ),
)  # fmt: skip


def duties(kennel: Kennel, what: str) -> list[tuple[time, str, tuple[int, ...], tuple[str, ...], int | None]]:
    return [(d.at, d.who, d.days, d.dogs, d.every_days) for d in kennel.duties if d.what == what]


@pytest.mark.parametrize(
    ("said", "what", "left"),
    [
        ("breakfast at 7:15", "breakfast", [(time(7, 15), "Tom", (), (), None)]),
        ("Breakfast is at 7.15 from now on", "breakfast", [(time(7, 15), "Tom", (), (), None)]),
        ("breakfast at 8 on Sundays", "breakfast",
         [(time(7), "Tom", (0, 1, 2, 3, 4, 5), (), None), (time(8), "Tom", (6,), (), None)]),
        ("breakfast at 8:30 at weekends, Wren", "breakfast",
         [(time(7), "Tom", (0, 1, 2, 3, 4), (), None), (time(8, 30), "Wren", (5, 6), (), None)]),
        ("dinner at 5:30 Wren", "dinner", [(time(17, 30), "Wren", (), (), None)]),
        ("Wren does breakfast", "breakfast", [(time(7), "Wren", (), (), None)]),
        ("I do breakfast on Mondays", "breakfast",
         [(time(7), "Tom", (1, 2, 3, 4, 5, 6), (), None), (time(7), "Ruth", (0,), (), None)]),
        ("remind Tom to brush Bran every Saturday", "brush", [(time(10), "Tom", (5,), ("Bran",), None)]),
        ("remind me to weigh Nugget every Sunday at 9", "weigh", [(time(9), "Ruth", (6,), ("Nugget",), None)]),
        ("remind Wren about the nails every 3 weeks", "nails", [(time(18), "Wren", (), ("Bran", "Saga"), 21)]),
        ("no nail reminders", "nails", []),
        ("no nail reminders for Bran", "nails", [(time(18), "Tom", (), ("Saga",), 14)]),
        ("stop the breakfast reminders", "breakfast", []),
    ],
)  # fmt: skip
def test_the_rota_is_changed_in_plain_words(said: str, what: str, left: list[object]) -> None:
    """What was said, and nothing else of that line."""
    talk = Talk(KENNEL)
    assert talk.say(said)
    assert duties(talk.kennel, what) == left


def test_a_dog_that_is_given_to_somebody_else_leaves_the_old_line() -> None:
    """Nobody brushes Bran twice on a Saturday; a line for the same dogs alone is moved, not doubled."""
    ida = Duty(what="brush", at=time(11), who="Wren", days=(5,), dogs=("Bran", "Saga"))
    talk = Talk(replace(KENNEL, duties=(ida,)))
    talk.say("remind Tom to brush Bran every Saturday")
    assert duties(talk.kennel, "brush") == [
        (time(11), "Wren", (5,), ("Saga",), None), (time(10), "Tom", (5,), ("Bran",), None),
    ]  # fmt: skip
    talk.say("remind Tom to brush Saga every Monday")
    assert duties(talk.kennel, "brush") == [
        (time(10), "Tom", (5,), ("Bran",), None), (time(11), "Tom", (0,), ("Saga",), None),
    ]  # fmt: skip


def test_a_moved_breakfast_is_confirmed_with_its_time() -> None:
    """The answer says what stands on the rota now."""
    assert Talk(KENNEL).say("breakfast at 7:15") == "Breakfast at 07:15: Tom."
    assert Talk(replace(KENNEL, clock_24=False)).say("dinner 5:30 pm Wren") is None  # no "at": talk
    assert Talk(replace(KENNEL, clock_24=False)).say("dinner at 5:30 pm, Wren") == "Dinner at 5:30 pm: Wren."


def test_newborn_rounds_run_by_elapsed_hours() -> None:
    """Every three hours, by whoever is named."""
    talk = Talk(KENNEL)
    assert "every 3 hours" in (talk.say("check the newborns every 3 hours, Tom") or "")
    (round_,) = [d for d in talk.kennel.duties if d.every_hours]
    assert (round_.every_hours, round_.who, round_.what) == (3, "Tom", "newborn round")


def test_dogs_litters_and_homes() -> None:
    """Added by name, sex and birth; a litter by its collars; a pup to its buyer."""
    talk = Talk(KENNEL)
    assert talk.say("add dog Moss, girl, born 20 Feb 2014") == "Moss added."
    assert "When was Tove born" in (talk.say("new dog Tove") or "")
    assert talk.say("add dog bran, boy, 3 years") == "Bran is on the list already."
    said = talk.say("new litter of Saga x Bran, born 9 March: Red boy, Blue boy, Green girl")
    assert said == "Saga's litter of 9 March: Red, Blue and Green."
    pups = talk.kennel.pups_of("Saga")
    assert [(p.name, p.sex, p.born, p.sire, p.breed) for p in pups] == [
        ("Red", "m", date(2026, 3, 9), "Bran", "Buhund"), ("Blue", "m", date(2026, 3, 9), "Bran", "Buhund"),
        ("Green", "f", date(2026, 3, 9), "Bran", "Buhund"),
    ]  # fmt: skip
    assert talk.kennel.litters == (Litter(dam="Saga", sire="Bran", born=date(2026, 3, 9), counted=3),)
    talk.say("Nugget goes to Ana")
    ana = talk.kennel.person("Ana")
    assert ana is not None and (ana.role, ana.dogs) == ("buyer", ("Nugget",))
    assert talk.kennel.by_name["Nugget"].home == "Ana"
    assert talk.say("Green is also Pepper") == "Green is also Pepper."
    assert talk.say("Red is also Pepper") == "Pepper is taken: Green has it."
    assert talk.say("stop watching Nug's ears") and not talk.kennel.by_name["Nugget"].ear_watch


def test_people_come_and_go() -> None:
    """With their roles and units; the breeder can't take herself off."""
    talk = Talk(KENNEL)
    assert talk.say("add Percy") == "Percy added."
    talk.say("add Sam the neighbour")
    assert talk.kennel.person("Sam").role == "sitter"  # type: ignore[union-attr]
    talk.say("Tom thinks in pounds")
    assert talk.kennel.person("Tom").unit == "lb"  # type: ignore[union-attr]
    assert talk.say("remove Percy") and talk.kennel.person("Percy") is None
    assert "last word" in (talk.say("remove Ruth") or "")


def test_food_and_the_house() -> None:
    """Foods with their cups, who eats what, the vet, the clock, the quiet."""
    talk = Talk(KENNEL)
    assert talk.say("food Blue Bag 365 kcal 105 g a cup") == "Blue Bag: 365 kcal and 105 g a cup."
    assert (talk.say("Bran now eats Hillfarm Adult") or "").startswith("Bran on Hillfarm Adult")
    bran = talk.kennel.by_name["Bran"]
    assert bran.food == "Hillfarm Adult" and bran.before  # what he ate before is remembered for the sums
    assert "I don't know" in (talk.say("Saga now eats Hillfarm") or "")
    talk.say("vet is 01632 960201, night 01632 960299")
    assert talk.kennel.vet == Vet(day="01632 960201", night="01632 960299")
    talk.say("time zone Europe/London")
    talk.say("use pounds")
    talk.say("12 hour clock")
    talk.say("quiet from 10pm to 6:30")
    talk.say("morning alert at 7")
    k = talk.kennel
    assert (k.zone, k.weight_unit, k.clock_24) == ("Europe/London", "lb", False)
    assert (k.quiet_from, k.quiet_to, k.alert_at) == (time(22), time(6, 30), time(7))
    assert talk.say("the kennel is called Fernhill Buhunds") and talk.kennel.name == "Fernhill Buhunds"


@pytest.mark.parametrize(
    "said",
    [
        "Nugget 9.4 kg, ears half up", "had breakfast at 7:15", "fed everyone at 7", "breakfast at 7:15?",
        "how is Nugget?",
        "Bran ate dinner at 5", "Nugget gets a treat", "Nugget 5/8 morning 5/8 night quarter bedtime from tomorrow",
        "Nugget gets 3/4 cup at dinner", "Saga colour today", "quiet", "undo", "why?", "green 303", "Bran goes to Tom",
        "Tom has the flu", "Wren does not want to get up", "add it to the list", "remove the splinter from his paw",
        "no breakfast for Bran today", "we're in trouble", "watch this", "Nugget is also sick", "Bran limping", "",
        "vet said wait", "we use the blue scale", "remind me why", "Nugget swallowed a sock", "the vet is coming at 3",
    ],
)  # fmt: skip
def test_notes_and_talk_are_no_changes(said: str) -> None:
    """They go on to the conversation, and the kennel stays as it is."""
    talk = Talk(KENNEL)
    assert talk.say(said) is None and talk.kennel == KENNEL
