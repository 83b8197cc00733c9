"""A new kennel told as people tell it: whole families in a line, litters with their pups, slips put right."""

from __future__ import annotations

from datetime import date, time

from core.entries import Weight
from core.roster import Litter
from tests.enrolment.talk import Talk


def at(step: str) -> Talk:
    """A set-up that has come to that question."""
    talk = Talk()
    said = {"name": "hello", "zone": "Fernhill", "units": "London", "dogs": "kg", "people": "done", "food": "skip"}
    said |= {"rota": "skip", "vet": "skip"}
    for name, words in said.items():
        if name == "people":
            talk.say("Bracken, girl, 2.5.2021; Flint, boy, born 3.6.2020")
        talk.say(words)
        if name == step:
            break
    return talk


def test_each_of_a_family_in_one_line_is_added() -> None:
    """Who somebody is may stand before, after or in brackets, with an age; nobody is dropped."""
    talk = at("people")
    assert "Callum, Isla and Nan: welcome." in (
        talk.say("Callum my husband, Isla (daughter, 9), Nan is my mum") or ""
    )
    assert [(p.name, p.role) for p in talk.kennel.people[1:]] == [
        ("Callum", "partner"), ("Isla", "child"), ("Nan", "gran"),
    ]  # fmt: skip


def test_somebody_forgotten_is_added_at_a_later_question() -> None:
    """ "Our daughter Isla, she's 9" at the question for food is no food and no weight."""
    talk = at("food")
    said = talk.say("our daughter Isla, she's 9") or ""
    assert said.startswith("Isla added.") and "What do they eat?" in said
    assert talk.kennel.person("Isla").role == "child"  # type: ignore[union-attr]


def test_done_is_no_food() -> None:
    """It ends the question, as "skip" does."""
    talk = at("food")
    assert "Who feeds when?" in (talk.say("done") or "")
    assert talk.kennel.foods == ()


def test_a_sentence_is_no_food() -> None:
    """What has a meal, a figure or a person's name in it does not stand on a bag."""
    talk = at("food")
    assert "I need a name and the kcal" in (talk.say("breakfast 7 Ruth") or "")
    assert talk.kennel.foods == ()


def test_a_time_in_words_is_heard_and_a_missing_one_is_asked_for() -> None:
    """ "Half past five" is 17:30 for a dinner; no meal is dropped in silence."""
    talk = at("rota")
    said = talk.say("breakfast 7 me, dinner half past five me, bedtime me") or ""
    assert "breakfast at 07:00: Ruth; dinner at 17:30: Ruth." in said
    assert "I have no time for bedtime snack." in said
    assert "bedtime snack at 21:45" in (talk.say("bedtime quarter to ten me") or "")
    assert [(d.what, d.at) for d in talk.kennel.duties] == [
        ("breakfast", time(7)), ("dinner", time(17, 30)), ("bedtime", time(21, 45)),
    ]  # fmt: skip


def test_a_meal_forgotten_is_put_on_the_rota_at_the_last_question() -> None:
    """The question for the vet stays open."""
    talk = at("vet")
    said = talk.say("dinner at six Ruth") or ""
    assert "dinner at 18:00: Ruth." in said and "vet's phone number" in said


def test_a_litter_with_its_pups_in_the_set_up() -> None:
    """Dam, sire, birth and pups by sex; none of them is called "girls Ivy"."""
    talk = at("dogs")
    talk.say("Bracken, girl, 2.5.2021; Flint, boy, born 3.6.2020")
    said = talk.say("Bracken has a litter of 4 by Flint, born 9 March: boys Oak and Elm, girls Ivy and Fern") or ""
    assert "Bracken's litter of 9 March: Oak, Elm, Ivy and Fern." in said and "Any more?" in said
    assert [(d.name, d.sex, d.litter, d.sire) for d in talk.kennel.dogs[2:]] == [
        ("Oak", "m", "Bracken", "Flint"), ("Elm", "m", "Bracken", "Flint"),
        ("Ivy", "f", "Bracken", "Flint"), ("Fern", "f", "Bracken", "Flint"),
    ]  # fmt: skip
    assert talk.kennel.litters == (Litter(dam="Bracken", sire="Flint", born=date(2026, 3, 9), counted=4),)


def test_cups_of_a_dog_are_no_dog() -> None:
    """ "Flint gets 1 1/4 cups morning and night" is an order, which the conversation takes; nobody called Night."""
    talk = at("dogs")
    talk.say("Flint, boy, born 3.6.2020")
    assert talk.say("Flint gets 1 1/4 cups morning and night") is None
    assert [d.name for d in talk.kennel.dogs] == ["Flint"]


def ready() -> Talk:
    """A kennel set up with Bracken and Flint."""
    talk = at("vet")
    talk.say("skip")
    return talk


def test_several_new_dogs_in_a_line() -> None:
    """Each with its sex; a birth said once is of all; where it is missing all are asked for."""
    talk = ready()
    assert talk.say("new dogs Rook m, Jay m, Tern f, Lark f, born 1 January 2026") == "Rook, Jay, Tern and Lark added."
    assert {(d.sex, d.born) for d in talk.kennel.dogs[2:]} == {("m", date(2026, 1, 1)), ("f", date(2026, 1, 1))}
    assert (talk.say("new dogs Oak m, Elm m, Ivy f, Fern f") or "").startswith("When were Oak, Elm, Ivy and Fern born?")


def test_a_role_is_no_part_of_a_name() -> None:
    """ "Add Joan as sitter" adds Joan."""
    talk = ready()
    assert talk.say("add Joan as sitter") == "Joan added."
    assert talk.kennel.person("Joan").role == "sitter"  # type: ignore[union-attr]


def test_a_litter_that_is_there_gets_its_pups() -> None:
    """By name and sex; what is known already is said; without a litter its birth is asked for."""
    talk = ready()
    assert (talk.say("Bracken's pups are Oak m, Ivy f") or "").startswith("When was Bracken's litter born?")
    talk.say("litter of Bracken by Flint, born 9 March: Oak m")
    assert talk.say("Bracken's pups are Oak m, Elm m, Ivy f") == (
        "Oak is on the list already.\nBracken's litter of 9 March: Elm and Ivy."
    )
    assert [(x.dam, x.sire, x.counted) for x in talk.kennel.litters] == [("Bracken", "Flint", 3)]


def test_pups_by_their_weights() -> None:
    """Names nobody knows yet, with sex and grams, are the pups of the only litter without pups on the list."""
    talk = ready()
    talk.kennel = replaced(talk)
    turn = talk.hear("Oak boy 380 g, Elm boy 365, Ivy girl 340, Fern girl 352")
    assert turn is not None
    weights = [(p.entry.dog, p.entry.kg) for p in turn.posts if isinstance(p.entry, Weight)]
    assert weights == [("Oak", 0.38), ("Elm", 0.365), ("Ivy", 0.34), ("Fern", 0.352)]
    assert [(d.name, d.sex, d.litter) for d in talk.kennel.dogs[2:]] == [
        ("Oak", "m", "Bracken"), ("Elm", "m", "Bracken"), ("Ivy", "f", "Bracken"), ("Fern", "f", "Bracken"),
    ]  # fmt: skip
    assert talk.hear("Oak boy 390 g, Elm boy 370") is None  # weights of known pups are notes


def replaced(talk: Talk):  # type: ignore[no-untyped-def]
    """The kennel with a litter of Bracken's of which only the count is known."""
    from dataclasses import replace

    return replace(talk.kennel, litters=(Litter(dam="Bracken", born=date(2026, 3, 12), counted=4),))


def test_a_name_is_put_right_and_a_dog_taken_off() -> None:
    """While nothing is written of the dog its name changes everywhere, its litter's and its buyer's too."""
    talk = ready()
    talk.say("litter of Bracken by Flint, born 9 March: Oak m, Fern f")
    assert talk.say("rename Fern to Willow") == "Fern is Willow now."
    assert talk.say("rename Flint to Ember") == "Flint is Ember now."
    assert [(d.name, d.sire) for d in talk.kennel.dogs] == [
        ("Bracken", None), ("Ember", None), ("Oak", "Ember"), ("Willow", "Ember"),
    ]  # fmt: skip
    assert talk.kennel.litters[0].sire == "Ember"
    assert talk.say("rename Willow to Oak") == "Oak is taken: Oak has it."
    assert (talk.say("Willow goes to Sam Reid") or "").startswith("Willow lives with Sam Reid now.")
    assert talk.say("remove Willow, a slip") == "Willow is off the list."
    assert talk.kennel.person("Sam Reid").dogs == ()  # type: ignore[union-attr]
    assert talk.say("remove me") is None
