"""Promise 30: a buyer knows one dog: "not yours" reads as "no such dog", and two buyers at once stay apart.

Every answer of the conversation: `tests/conversation/test_walls.py` and `test_replies.py`; an old button after access
ended: `test_29_leaked_invite.py`.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from core.entries import Weight
from core.messages import Message, Say
from core.roster import BREEDER, FAMILY, Dog, Person
from core.turns import Post
from tests.dialogue_house import House
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.serving import MAYA, Serving, kennel
from tests.stand_ins.world import User

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


async def test_a_picture_and_a_paper_leave_as_their_room_may_see_them(tmp_path: Path) -> None:
    """Through the whole bot: whatever description stands in the outbox, a buyer's line has her own dog and no other.

    Both ways: the same descriptions are drawn and made for the breeder, so that what is held back is held from her.
    """
    people = (*kennel().people, Person(name="Ana", role="buyer", dogs=("Teasel",)))
    dam = Dog(name="Xqabel", sex="f", born=date(2021, 4, 1))
    own = Dog(name="Teasel", sex="f", born=date(2025, 11, 15), litter="Xqabel", home="Ana")
    others = [Dog(name=n, sex="f", born=date(2025, 11, 15), litter="Xqabel") for n in ("Xqbram", "Xqcedar")]
    home = replace(kennel(dam, own, *others), people=people)
    what = [f"chart:weight:{n}:2026-03-14" for n in ("Teasel", "Xqbram")]
    what += ["chart:litter:Xqabel:2026-03-14", "paper:litter:txt:2026-03-14:Xqabel", "paper:vet:txt:2026-03-14:Xqbram"]
    what += ["paper:vet:txt:2026-03-14:Teasel", "paper:book:txt:2026-03-14:Teasel"]
    async with BotApi() as api, Serving(api, tmp_path / "fettle.db", None) as serving:
        number = serving.settle(home)
        serving.database.bind_account("telegram", "13", number, "Ana")
        ana = api.world.private(User(id=13, first="Ana"))
        serving.database.bind_room("telegram", "13", number, "Ana")
        at = datetime(2026, 3, 14, 8, tzinfo=UTC)
        with serving.database.writing(number) as store:
            for n, dog in enumerate(("Teasel", "Xqbram", "Xqcedar")):
                for day in range(10, 14):
                    weight = Weight(dog=dog, on=date(2026, 3, day), kg=5.0 + n + day / 100)
                    message = Message(key=f"{dog} {day}", room=FAMILY, sender="Tom", sent_at=at, text="")
                    store.post([Post(entry=weight)], (), message)
            says = [
                Say(key=f"{room} {n}", room=room, text=f"number {n}", document=w if "paper" in w else "",
                    picture=w if "chart" in w else "")
                for room in ("Ana", BREEDER) for n, w in enumerate(what)
            ]  # fmt: skip
            store.say(says, at)
        await api.until(lambda: len(api.world.sent) == len(says), seconds=60)
        hers, breeders = ([s for s in api.world.sent if s.chat == chat] for chat in (ana.id, MAYA.id))
    assert all(s.photo or s.file for s in breeders) and len(breeders) == len(what)
    assert [bool(s.photo or s.file) for s in sorted(hers, key=lambda s: s.message)] == [
        True, False, False, False, False, True, True,
    ]  # fmt: skip
    for sent in hers:
        assert not re.search(r"Xqbram|Xqcedar|Tom|Gran", sent.file.decode() + sent.text)
    told = {s.file for s in breeders if s.file}
    assert any(b"Xqbram" in file for file in told) and not {s.file for s in hers if s.file} & told
