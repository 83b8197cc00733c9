"""Promise 30: a buyer knows one dog: "not yours" reads as "no such dog", and two buyers at once stay apart.

Every answer of the conversation: `tests/conversation/test_walls.py` and `test_replies.py`; an old button after access
ended: `test_29_leaked_invite.py`.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from core.messages import Message, Say
from core.roster import BREEDER, Person
from tests.dialogue_house import House

QUESTIONS = (
    "how is {}?", "what does {} weigh?", "is {} too heavy?", "how are {}'s ears?", "chart {}", "what's due for {}?",
    "how much does {} get?", "when was {} last brushed?", "has {} been fed?", "ears {}", "is Teasel bigger than {}?",
    "who is {}'s dam?", "{} 9.4 kg", "{} was sick", "{} is ours", "she's called {} now", "remind me to weigh {}",
    "{} ate chocolate", "we lost {}", "what did {} get for breakfast?", "where does {} live?", "why?", "compare {}",
)  # fmt: skip
NAMES = ("Nugget", "Juniper", "Nug", "Linnet", "Bramble", "Moss", "the litter", "all the pups", "Red")
NOBODY = "Zorvikka"


def asked(said: str) -> list[tuple[str, str]]:
    house = House.of_demo()
    message = Message(key="1", room="Ana", sender="Ana", sent_at=house.now, text=said)
    return [(o.room, o.text) for o in house.hear(message).out if isinstance(o, Say)]


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize("name", NAMES)
def test_not_yours_reads_as_no_such_dog(question: str, name: str) -> None:
    """To the buyer the answer is, word for word, that for a dog that was never there, its name apart."""
    about, nobody = (
        [text.replace(n, "NAME") for room, text in asked(question.format(n)) if room == "Ana"] for n in (name, NOBODY)
    )
    for text in about:  # figures only of her own dog
        assert "Teasel" in text or not re.search(r"\d (?:kg|lb)|weeks|cups|wormer|vaccine", text), text
    if name[0].isupper() and about != nobody:
        # Only where her own dog is spoken of, or an alarm of any dog rings, may it read otherwise.
        assert all("Teasel" in text or "vet" in text.casefold() for text in about), (about, nobody)


def test_two_buyers_at_once_stay_apart() -> None:
    """Turn by turn, each with their own dog, notes and questions: neither line hears of the other."""
    house = House.of_demo()
    nugget = house.kennel.by_name["Nugget"]
    people = (*house.kennel.people, Person(name="Bo", role="buyer", dogs=("Nugget",)))
    dogs = tuple(replace(d, home="Bo") if d == nugget else d for d in house.kennel.dogs)
    house.kennel = replace(house.kennel, people=people, dogs=dogs)
    lines = ("how is {}?", "{} 8.1 kg at the vets", "is that right?", "how is she?", "{} was sick this morning", "why?",
             "undo", "chart {}", "what did you write?")  # fmt: skip
    for n, line in enumerate(lines):
        for who, own, other in (("Ana", "Teasel", ("Nugget", "Bo")), ("Bo", "Nugget", ("Teasel", "Ana"))):
            message = Message(key=f"{who}{n}", room=who, sender=who, sent_at=house.now, text=line.format(own))
            for out in house.hear(message).out:
                if isinstance(out, Say):
                    assert out.room in (who, BREEDER)
                    if out.room == who:
                        assert not [x for x in other if re.search(rf"\b{x}\b", out.text + out.picture)], out.text
