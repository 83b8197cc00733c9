"""What is kept in mind and meets the clock, through the rounds and a real database."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from bot.scheduling.rounds import Rounds
from bot.storage import Database
from bot.turn import Turns
from core.messages import Message
from core.roster import BREEDER, FAMILY
from tests.scheduling.house import PLATFORM, at, opened


class Day:
    """A kennel whose messages are heard and whose clock is looked at each minute."""

    def __init__(self, start: datetime) -> None:
        self.database: Database
        self.database, self.number = opened()
        self.turns, self.rounds, self.now = Turns(self.database), Rounds(self.database), start
        self.rounds.look(start)
        self.count = 0

    def says(self, who: str, text: str, room: str = FAMILY) -> None:
        self.count += 1
        message = Message(key=str(self.count), room=room, sender=who, sent_at=self.now, text=text)
        self.turns.take(message, self.number)

    def until(self, end: datetime) -> list[tuple[str, str]]:
        """What went into the outbox, room and words, by the minute."""
        said = []
        while self.now < end:
            self.now += timedelta(minutes=1)
            self.rounds.look(self.now)
            said += self.sent()
        return said

    def sent(self) -> list[tuple[str, str]]:
        out = []
        for parcel in self.database.outbox.claim(self.now, PLATFORM, limit=50):
            self.database.outbox.sent(parcel.id, self.now)
            if getattr(parcel.out, "text", ""):
                out.append((parcel.room, parcel.out.text))  # type: ignore[union-attr]
        return out


def test_an_alarm_asks_again_every_ten_minutes_until_somebody_answers() -> None:
    day = Day(at(14, 20))
    day.says("Wren", "Nugget swallowed my sock")
    day.sent()
    again = day.until(at(14, 20, 25))
    assert [room for room, _ in again] == [FAMILY, BREEDER] * 2
    assert all(said.startswith("Is somebody seeing to it?") for _, said in again)
    day.says("Tom", "ringing them")
    assert day.until(at(14, 21)) == []


@pytest.mark.parametrize("answer", ["cant, school", "later", "skip"])
def test_what_was_answered_gets_no_nudge(answer: str) -> None:
    """The breeder still hears that the bowl is not written down."""
    day = Day(at(14, 17, 29))
    assert [room for room, _ in day.until(at(14, 17, 31))] == [FAMILY]
    day.says("Wren", answer)
    day.sent()
    said = day.until(at(14, 18, 35))
    assert not any(text == "Wren, dinner?" for _, text in said)
    assert (BREEDER, "Dinner not written down.") in said
    assert [text.startswith("Wren, dinner: ") for room, text in said if room == FAMILY] == [True] * (answer == "later")


def test_somebody_else_is_reminded_while_one_is_away() -> None:
    day = Day(at(14, 12))
    day.says("Wren", "I'm away today")
    day.sent()
    assert [t.split(",")[0] for room, t in day.until(at(14, 17, 31)) if room == FAMILY] == ["Tom"]


def test_the_whelping_clock_rings_through_the_rounds_and_survives_a_restart() -> None:
    """Two hours after a pup, with more expected, and nobody writing."""
    day = Day(at(14, 8))
    day.says("Maya", "Moss mated with Nugget", BREEDER)
    day.now = at(15, 22, month=5)
    day.rounds.look(day.now)
    day.says("Maya", "Moss 36.9", BREEDER)
    day.now = at(16, 2, 15, month=5)
    day.says("Maya", "2.14 boy 342 white toe placenta y", BREEDER)
    day.rounds.look(day.now)
    day.sent()
    day.rounds = Rounds(day.database)
    said = [(room, t) for room, t in day.until(at(16, 4, 15, month=5)) if "RING THE VET" in t]
    assert [room for room, _ in said] == [BREEDER] and said[0][1].endswith("Two hours since the last pup.")
    with day.database.reading(day.number) as store:
        kennel = store.load_kennel()
    pup = kennel.dog("Boy 1")
    assert pup is not None and pup.litter == "Moss" and pup.last_weight is not None and pup.last_weight.kg == 0.342
