"""Figures, pictures, reminders, tips and the morning alert in words."""

from __future__ import annotations

import re
import struct
from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest

from bot.replies import charts, reminders, say_units
from bot.replies.alert import MOST_LINES, morning_alert
from bot.replies.answers import SUBJECTS, Asker, answer
from bot.replies.cite import cite
from bot.replies.tips import tip, tips
from core.access import view
from core.agenda import due
from core.entries import Question, Weight
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel
from shared.tables import sources
from tests.dialogue_house import House, demo

HOUSE = House.of_demo()
ON = HOUSE.kennel.day_of(HOUSE.now)


@pytest.mark.parametrize(
    ("kg", "unit", "newborn", "said"),
    [
        (9.4, "kg", False, "9.4 kg"),
        (9.45, "kg", False, "9.45 kg"),
        # 20 lb 11 oz by the pound of 1959 (0.45359237 kg): 9.3837 kg
        (9.383692, "lb", False, "20 lb 11 oz"),
        (9.383692, "kg", False, "9.4 kg"),
        (9.0718474, "lb", False, "20 lb"),
        (0.303, "kg", True, "303 g"),
        (0.303, "lb", True, "10.7 oz"),
        (1.84, "kg", False, "1.84 kg"),
    ],
)
def test_a_weight_is_said_in_the_units_of_the_person(kg: float, unit: str, newborn: bool, said: str) -> None:
    assert say_units.weight(kg, unit, newborn) == said


@pytest.mark.parametrize(
    ("cups", "said"), [(0.625, "⅝ cup"), (1.375, "1⅜ cups"), (1.0, "1 cup"), (2.0, "2 cups"), (0.1, "⅛ cup")]
)
def test_cups_are_said_in_eighths(cups: float, said: str) -> None:
    assert say_units.cups(cups) == said


def test_the_clock_is_the_kennels() -> None:
    half_past_five = time(17, 30)
    assert say_units.clock(half_past_five, HOUSE.kennel) == "17:30"
    assert say_units.clock(half_past_five, replace(HOUSE.kennel, clock_24=False)) == "5:30 pm"
    assert say_units.clock(time(0, 5), replace(HOUSE.kennel, clock_24=False)) == "12:05 am"


def test_days_are_said_as_people_say_them() -> None:
    kennel = HOUSE.kennel
    said = [say_units.day(ON + timedelta(days=n), ON, kennel) for n in (-7, -2, -1, 0, 1, 3, 30)]
    assert said == ["7 March", "Thursday", "yesterday", "today", "tomorrow", "Tuesday", "13 April"]
    assert say_units.calendar_day(date(2025, 3, 8), replace(kennel, day_first=False), ON) == "March 8 2025"


def test_minus_is_a_minus_and_zero_has_none() -> None:
    assert say_units.percent(-0.0472, sign=True) == "−4.7%" and say_units.number(-0.001) == "0"


# Pictures

@pytest.mark.parametrize(("dog", "unit"), [("Nugget", ""), ("Green", ""), ("Moss", "lb"), ("Ash", "kg")])
def test_a_chart_is_a_picture_for_a_phone(dog: str, unit: str) -> None:
    """A PNG (its eight signature bytes and IHDR, ISO/IEC 15948) about as wide as a phone's screen."""
    png = charts.render(f"chart:weight:{dog}:{ON}{unit and f':{unit}'}", HOUSE.kennel, HOUSE.ledger)
    assert png[:8] == b"\x89PNG\r\n\x1a\n" and png[12:16] == b"IHDR"
    width, height = struct.unpack(">II", png[16:24])
    assert 900 <= width <= 1200 and height >= width and len(png) < 100_000


def test_a_chart_of_nobody_is_refused_by_name() -> None:
    for spec in ("chart:weight:Nobody:2026-03-14", "chart:height:Nugget:2026-03-14", "chart:weight:Nugget:soon", ""):
        with pytest.raises(charts.ChartError):
            charts.render(spec, HOUSE.kennel, HOUSE.ledger)


def test_a_chart_without_weights_is_still_a_picture() -> None:
    kennel = Kennel(name="K", dogs=(Dog(name="New", born=date(2026, 1, 1)),))
    assert charts.render("chart:weight:New:2026-03-14", kennel, Ledger())[:4] == b"\x89PNG"


# Reminders and tips

def test_every_item_of_three_weeks_has_words() -> None:
    """No item of the agenda is without words, but a morning on which there is nothing to say."""
    kennel, ledger = HOUSE.kennel, HOUSE.ledger
    items = due(kennel, ledger, HOUSE.now, HOUSE.now + timedelta(days=21), tips())
    assert {i.kind for i in items} >= {"meal", "weigh", "groom", "alert", "tip", "digest", "litter digest"}
    for item in items:
        say = reminders.words(item, kennel, ledger, item.at)
        if say is None:
            assert item.kind == "alert"
            continue
        assert say.text and say.room == item.room and "{" not in say.text


def test_the_rota_says_the_cups_of_the_order() -> None:
    items = due(HOUSE.kennel, HOUSE.ledger, HOUSE.now, HOUSE.now + timedelta(days=1))
    item = next(i for i in items if i.what == "dinner")
    say = reminders.words(item, HOUSE.kennel, HOUSE.ledger, item.at)
    assert say is not None and say.text.startswith("Wren, dinner: Nugget, Juniper ¾;") and say.buttons == ("done",)


def test_late_ones_become_one_message() -> None:
    items = due(HOUSE.kennel, HOUSE.ledger, HOUSE.now, HOUSE.now + timedelta(days=1))
    says = [s for i in items if i.room == "family" and (s := reminders.words(i, HOUSE.kennel, HOUSE.ledger, i.at))]
    one = reminders.merged(says, key="late")
    assert one.key == "late" and one.text.count("\n") >= 2
    assert one.not_after == min(s.not_after for s in says if s.not_after)


def test_down_time_is_said_with_its_hours() -> None:
    said = reminders.down(HOUSE.now - timedelta(hours=3, minutes=30), HOUSE.now, [], HOUSE.kennel)
    assert said is not None and said.text == "I was off from 04:30 to 08:00." and said.room == "breeder"


def test_tips_are_short_for_both_sexes_and_in_order_of_age() -> None:
    """At most sixty words, no tip by the wrong word for the dog."""
    assert len(tips()) >= 26
    for sex in ("m", "f", ""):
        dog = Dog(name="Teasel", sex=sex, born=date(2025, 11, 15), home="Ana")
        for one in tips():
            said = tip(one.key, dog)
            assert len(said.split()) <= 60, one.key
            if sex == "f" and one.sex != "m":
                assert not re.search(r"\b(?:he|him|his)\b", said), one.key


def test_a_tip_never_names_a_dose_calcium_as_advice_or_tape() -> None:
    dog = Dog(name="Teasel", sex="f", born=date(2025, 11, 15))
    for one in tips():
        said = tip(one.key, dog).casefold()
        assert not re.search(r"\b\d+\s*(?:mg|ml|g)\b", said)
        for word in ("calcium", "tape", "glue"):
            assert word not in said or f"no {word}" in said


# The morning

def test_the_morning_has_at_most_six_lines_the_worst_first() -> None:
    loss = Posted(id=99999, entry=Weight(dog="Green", on=ON, kg=0.303), at=HOUSE.now, by="Tom", message="x")
    shown = morning_alert(HOUSE.kennel, HOUSE.ledger.with_posted([loss]), HOUSE.now + timedelta(minutes=5))
    lines = shown.split("\n")
    assert len(lines) <= MOST_LINES and lines[0].startswith("GREEN 303 g")


def test_nothing_to_say_is_no_message() -> None:
    kennel = replace(HOUSE.kennel, litters=(), dogs=tuple(d for d in HOUSE.kennel.dogs if d.name == "Fjord"))
    assert morning_alert(kennel, HOUSE.ledger.for_dogs({"Fjord"}), HOUSE.now) == ""


def test_nobody_is_told_each_morning_what_they_know() -> None:
    """A weighing of Thursday is no news on the next Wednesday."""
    later = HOUSE.now + timedelta(days=4)
    assert "lean line" not in morning_alert(HOUSE.kennel, HOUSE.ledger, later)


def test_who_treats_is_in_no_morning_line() -> None:
    shown = morning_alert(HOUSE.kennel, HOUSE.ledger, HOUSE.now)
    assert "Ida" not in shown and "Gran" not in shown


# Answers

def _asker(who: str, room: str, at: datetime = HOUSE.now) -> Asker:
    person = HOUSE.kennel.person(who)
    assert person is not None
    kennel, ledger = view(HOUSE.kennel, HOUSE.ledger, person, ON)
    return Asker(person=person, room=room, kennel=kennel, ledger=ledger, at=at)


@pytest.mark.parametrize("about", sorted(SUBJECTS))
def test_a_buyer_hears_nothing_of_another_dog(about: str) -> None:
    """Every question × every dog: the reply names no other dog, no other person but the breeder, no vet."""
    others = {n for d in HOUSE.kennel.dogs if d.name != "Teasel" for n in (d.name, *d.also)} | {"Tom", "Wren", "Ida"}
    for dog in (None, *(d.name for d in HOUSE.kennel.dogs)):
        found = answer(Question(about=about, dog=dog), _asker("Ana", "Ana"))
        if found is None:
            continue
        told = f"{found.text} {found.why} {found.picture} {found.which}"
        for name in others | {"01632"}:
            assert not re.search(rf"\b{re.escape(name)}\b", told), (about, dog, told)


@pytest.mark.parametrize("about", sorted(SUBJECTS))
@pytest.mark.parametrize("dog", [None, "Nugget", "Green", "Moss", "Heather", "Ash"])
def test_every_answer_is_short_and_can_say_why(about: str, dog: str | None) -> None:
    found = answer(Question(about=about, dog=dog), _asker("Maya", "breeder"))
    assert found is not None and found.text and len(found.text) <= 400 and found.text.count("\n") < 8
    if dog == "Nugget":
        assert found.why


def test_who_treats_is_never_named_in_the_family_room() -> None:
    for about in SUBJECTS:
        found = answer(Question(about=about, dog="Nugget"), _asker("Tom", "family"))
        assert found is not None and "Ida" not in found.text + found.why


def test_sources_say_what_is_custom_or_memory() -> None:
    assert "common practice" in cite(["breeders-curve"]) and "from memory" in cite(["breed-standards"])
    assert cite(["no-such-key"]) == "" and cite(sources())


def test_the_demo_is_the_demo() -> None:
    assert demo().kennel.name == "Larkrise"
