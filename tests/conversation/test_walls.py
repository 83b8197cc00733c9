"""Across each wall by talk alone: what is asked in a buyer's, a sitter's or the family's room gives nothing away."""

from __future__ import annotations

import re

import pytest

from core.messages import Message, Say
from core.roster import BREEDER, FAMILY
from tests.dialogue_house import House

ASKED = (
    "who's giving treats", "what changed since last week?", "which class for Nugget on 12 May?", "which class 12 may",
    "sitter sheet", "away 20-24 march, neighbour sitting", "box 27", "Heather x-ray 6 pups", "2.14 boy 342",
    "opened new bag of Hillfarm Junior, 365 kcal a cup", "can Nugget have a pig ear", "shall we tape Nugget's ears",
    "Nugget is called Rex now", "her name is Nugget", "Nugget ate the WHOLE sofa lol", "done", "later", "skip", "can't",
    "Nugget left about a quarter", "Nugget's baby fang is still in, new one beside it", "pink stillborn",
    "how is Nugget?", "Nugget 5/8 morning 5/8 night quarter bedtime", "undo", "what did you write?", "quiet",
    "green died in the night", "how many left?", "is Nugget ok? I'm worried",
    "chart the litter", "chart Heather's litter", "chart Nugget's treats", "chart ears Nugget",
    "dark charts for everybody",
)


def told(who: str, room: str, said: str) -> tuple[House, list[Say]]:
    house = House.of_demo()
    message = Message(key="1", room=room, sender=who, sent_at=house.now, text=said)
    return house, [o for o in house.hear(message).out if isinstance(o, Say)]


@pytest.mark.parametrize("said", ASKED)
def test_a_buyers_line_hears_of_no_other_dog_person_or_number(said: str) -> None:
    """Their own dog and the breeder's name, and what they wrote themselves, are all there is."""
    house, out = told("Ana", "Ana", said)
    others = {n for d in house.kennel.dogs if d.name != "Teasel" for n in (d.name, *d.also)} | {"Tom", "Wren", "Ida"}
    for say in out:
        assert say.room in ("Ana", BREEDER)
        if say.room == "Ana":
            for name in (others - set(re.findall(r"\w+", said))) | {"01632"}:
                assert not re.search(rf"\b{name}\b", say.text), (said, say.text)
    before = House.of_demo().kennel
    assert [d for d in house.kennel.dogs if d.name != "Teasel"] == [d for d in before.dogs if d.name != "Teasel"]


@pytest.mark.parametrize("said", ASKED)
def test_only_the_breeder_changes_cups_and_who_treats_stays_with_her(said: str) -> None:
    """A helper's words change no ration, and the family room hears of no buyer and of no one's treats."""
    house, out = told("Wren", FAMILY, said)
    before = {d.name: d.ration for d in House.of_demo().kennel.dogs}
    assert {d.name: d.ration for d in house.kennel.dogs if d.name in before} == before
    for say in out:
        if say.room == FAMILY:
            assert "Ana" not in say.text and "kcal of treats" not in say.text


@pytest.mark.parametrize("said", ASKED)
@pytest.mark.parametrize(("who", "room"), [("Percy", FAMILY), ("Percy", "Percy"), ("Ana", FAMILY), ("Tom", BREEDER)])
def test_who_does_not_belong_changes_nothing(who: str, room: str, said: str) -> None:
    """A stranger, or one of ours in a room of somebody else: nothing kept, no dog named."""
    house, out = told(who, room, said)
    assert len(house.ledger.history()) == len(House.of_demo().ledger.history())
    assert house.kennel.dogs == House.of_demo().kennel.dogs
    for say in out:
        assert not any(re.search(rf"\b{d.name}\b", say.text) for d in house.kennel.dogs)
