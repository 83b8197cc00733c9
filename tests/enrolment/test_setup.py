"""Setting up a kennel by chat: one question at a time, skippable, in the words that people use."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.messages import Say
from core.roster import FAMILY, Kennel, Vet
from shared.texts import texts
from tests.enrolment.talk import NEW, Talk


def test_a_whole_setup_in_plain_words() -> None:
    """Eight questions; at the end a kennel that can be fed, weighed and reminded."""
    talk = Talk()
    first = talk.say("hello?")
    assert first is not None and first.endswith("What is your kennel called?")
    assert "Where do you live" in (talk.say("Fernhill") or "")
    said = talk.say("near Oslo") or ""
    assert "Oslo: it is 10:03 there now" in said and talk.buttons == ("kg", "lb", "skip")
    assert "kilograms, then." in (talk.say("", pressed="kg") or "")
    assert "Bran and Saga written down." in (talk.say("Bran, boy, born 2.5.2021\nSaga girl 11 June 2020") or "")
    assert "When was Fern born" in (talk.say("Fern") or "")
    assert "Fern written down." in (talk.say("17 weeks") or "")
    assert "I need a name" in (talk.say("Tom my husband") or "")  # people come next
    assert "Who else writes" in (talk.say("done") or "")
    assert "Tom, Wren and Ida: welcome." in (talk.say("tom my husband, Wren (daughter) and Gran Ida") or "")
    assert "Puppy Plus: 380 kcal and 105 g a cup." in (talk.say("Puppy Plus, 380 kcal, 105 g a cup") or "")
    said = talk.say("breakfast 7 Tom, dinner 5:30 wren and bedtime 21:45 me") or ""
    assert "breakfast at 07:00: Tom; dinner at 17:30: Wren; bedtime snack at 21:45: Ruth." in said
    assert "That's all. Fernhill: 3 dogs, 4 people." in (talk.say("01632 960201, nights 01632 960299") or "")
    k = talk.kennel
    assert (k.name, k.zone, k.weight_unit, k.day_first) == ("Fernhill", "Europe/Oslo", "kg", True)
    assert [(d.name, d.sex, d.born) for d in k.dogs] == [
        ("Bran", "m", date(2021, 5, 2)), ("Saga", "f", date(2020, 6, 11)), ("Fern", "", date(2025, 11, 15)),
    ]  # fmt: skip
    assert [(p.name, p.role) for p in k.people] == [
        ("Ruth", "breeder"), ("Tom", "partner"), ("Wren", "family"), ("Ida", "gran"),
    ]  # fmt: skip
    assert k.person("gran ida") is k.person("Ida") is k.person("gran")
    assert k.foods[0].kcal_per_cup == 380 and k.foods[0].g_per_cup == 105
    assert [(d.what, d.at, d.who) for d in k.duties] == [
        ("breakfast", time(7), "Tom"), ("dinner", time(17, 30), "Wren"), ("bedtime", time(21, 45), "Ruth"),
    ]  # fmt: skip
    assert k.vet == Vet(day="01632 960201", night="01632 960299")
    assert talk.say("what next") is None  # the set-up is over: the conversation hears again


def test_every_question_can_be_skipped() -> None:
    """Skipping all of them leaves a kennel with a name, and nothing is asked again."""
    talk = Talk()
    talk.say("/start")
    said = ""
    for _ in range(8):
        said = talk.say("skip") or ""
    assert said.startswith("That's all.") and talk.kennel.name == texts()["setup.default_name"]
    assert talk.say("hello") is None


def test_stop_and_go_on_another_day() -> None:
    """What was told is not asked again."""
    talk = Talk()
    talk.say("hi")
    talk.say("Fernhill")
    assert "Say “set up”" in (talk.say("not now") or "")
    assert talk.say("Nugget 9.4") is None
    said = talk.say("set up") or ""
    assert "Where do you live" in said
    talk.say("Chicago")
    assert (talk.kennel.day_first, talk.kennel.clock_24) == (False, False)
    talk.say("stop")
    assert "kilograms or pounds" in (talk.say("Set up.") or "")


def test_what_is_not_understood_is_asked_once_more_then_left_alone() -> None:
    """A second odd answer goes to the conversation, and the question stays open."""
    talk = Talk(replace(NEW, name="Fernhill"))
    assert "Where do you live" in (talk.say("set up") or "")
    assert "I don't know that place" in (talk.say("the moon") or "")
    assert talk.say("over the hills") is None
    assert "Oslo" in (talk.say("Oslo") or "")


def test_several_zones_are_offered_as_buttons() -> None:
    """A country with many clocks: which one?"""
    talk = Talk(replace(NEW, name="Fernhill"))
    talk.say("set up")
    assert "Which one?" in (talk.say("USA") or "") and "America/Denver" in talk.buttons
    talk.say("", pressed="America/Denver")
    assert talk.kennel.zone == "America/Denver"


def test_notes_questions_and_red_words_are_heard_in_the_middle_of_it() -> None:
    """A set-up never swallows a record, a question or an emergency."""
    talk = Talk()
    for step in ("hi", "Fernhill", "Oslo"):
        talk.say(step)
    for other in ("Bran 9.4 kg", "has anyone fed?", "Bran swallowed a sock", "Tom fed everyone at 7"):
        turn = talk.hear(other)
        asked_again = turn is not None and all("pounds" in o.text for o in turn.out if isinstance(o, Say))
        assert turn is None or (other == "Bran 9.4 kg" and asked_again)
    talk.say("kg")
    talk.say("Bran, boy, 2 May 2021")
    for other in ("Bran ate his breakfast at 7", "why?", "Bran is fitting"):
        assert talk.say(other) is None
    talk.say("done")
    assert talk.say("the pups had a lovely time in the snow today") is None


def test_a_food_without_its_kcal_is_asked_about() -> None:
    """Missing input: say which one."""
    talk = Talk(replace(NEW, name="F", zone="Europe/Oslo"))
    talk.say("set up")
    for step in ("kg", "skip", "skip"):
        talk.say(step)
    assert "How many kcal has a level cup of Puppy Plus?" in (talk.say("Puppy Plus") or "")
    assert "Puppy Plus: 380 kcal a cup" in (talk.say("380") or "")
    assert [(f.name, f.kcal_per_cup, f.g_per_cup) for f in talk.kennel.foods] == [("Puppy Plus", 380, None)]


def test_nobody_but_the_breeder_in_her_own_line() -> None:
    """Not the family room, not a helper, not an edit or a forwarded message."""
    assert Talk(room=FAMILY).say("set up") is None
    assert Talk(sender="Tom").say("set up") is None
    assert Talk().hear("set up", edit=1) is None
    assert Talk().hear("set up", quoted=True) is None


def test_names_that_look_like_code_are_kept_as_they_are() -> None:
    """HTML, SQL and odd letters are only a name."""
    talk = Talk(replace(NEW, name="F", zone="Europe/Oslo"))
    talk.say("set up")
    talk.say("kg")
    talk.say("<b>Bo</b>, boy, born 2.5.2021\n'); DROP, girl, born 2.5.2021\nNjål, boy, born 2.5.2021")
    assert [d.name for d in talk.kennel.dogs] == ["<b>Bo</b>", "Njål"] or "Njål" in [d.name for d in talk.kennel.dogs]
    talk.say("x" * 5000)
    assert all(len(d.name) <= 60 for d in talk.kennel.dogs)


@given(st.lists(st.text(max_size=80), min_size=1, max_size=12))
def test_any_answers_leave_a_kennel_that_works(answers: list[str]) -> None:
    """Whatever is typed: an answer or None, never a crash; no two dogs or people of one name."""
    talk = Talk()
    for answer in answers:
        talk.hear(answer)
        _sound(talk.kennel)


def _sound(kennel: Kennel) -> None:
    assert kennel.tz is not None and kennel.breeder is not None
    names = [n.casefold() for n in (*(d.name for d in kennel.dogs), *(p.name for p in kennel.people))]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("key", [k for k in texts() if k.startswith("setup.ask.")])
def test_questions_are_short(key: str) -> None:
    """One question, under thirty words with its example."""
    assert len(texts()[key].split()) < 30


def test_a_button_of_another_question_is_left_to_the_conversation() -> None:
    """"yes" under an older question is nobody's name."""
    talk = Talk(replace(NEW, name="F", zone="Europe/Oslo"))
    talk.say("set up")
    for step in ("kg", "skip"):
        talk.say(step)
    assert talk.hear("", pressed="yes") is None and len(talk.kennel.people) == 1
    assert talk.say("", pressed="skip")
