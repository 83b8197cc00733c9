"""Rounds that pass over kennels in which nothing can fall due say the same, at the same time, as rounds that look."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from sqlalchemy import event

from bot.scheduling.rounds import Rounds
from bot.storage import Database
from bot.turn import Turns
from core.messages import Message, Say
from core.roster import BREEDER, FAMILY
from tests.scheduling.house import PLATFORM, at, opened

pytestmark = pytest.mark.usefixtures("places")

# A day with all that makes something be said later: a meal logged late, a reminder put off, an alarm that nobody
# answers for a while, a whelping clock, a dog gone, a rota changed.
DAY = (
    (at(14, 6, 50), "Tom", FAMILY, "Nugget 9.4 kg"),
    (at(14, 7, 12), "Tom", FAMILY, "later"),
    (at(14, 7, 50), "Tom", FAMILY, "everybody ate breakfast"),
    (at(14, 8, 5), "Wren", FAMILY, "Nugget is choking"),
    (at(14, 8, 47), "Maya", BREEDER, "on it"),
    (at(14, 11, 20), "Maya", BREEDER, "dinner at 16:15"),
    (at(14, 13, 0), "Tom", FAMILY, "Moss is in labour, first pup out"),
    (at(14, 13, 40), "Tom", FAMILY, "second pup, a girl 310 g"),
    (at(14, 17, 10), "Wren", FAMILY, "fed everybody"),
)


class Told:
    """A house, its conversation, and what was said when."""

    def __init__(self) -> None:
        self.database, self.number = opened()
        self.turns, self.rounds = Turns(self.database), Rounds(self.database)
        self.said: list[tuple[datetime, str, str]] = []

    def look(self, now: datetime, rounds: Rounds) -> None:
        rounds.look(now)
        for parcel in self.database.outbox.claim(now, PLATFORM, limit=100):
            self.database.outbox.sent(parcel.id, now)
            if isinstance(parcel.out, Say):
                self.said.append((now, parcel.room, parcel.out.text))

    def hear(self, n: int, line: tuple[datetime, str, str, str]) -> None:
        when, who, room, text = line
        self.turns.take(Message(key=str(n), room=room, sender=who, sent_at=when, text=text), self.number, now=when)


@pytest.mark.sqlite_only
def test_the_same_is_said_at_the_same_time() -> None:
    """A day, each five minutes, with and without what was remembered from the round before."""
    calm, anew = Told(), Told()
    now, waiting = at(14, 6), list(enumerate(DAY))
    while now < at(14, 21):
        while waiting and waiting[0][1][0] <= now:
            n, line = waiting.pop(0)
            calm.hear(n, line)
            anew.hear(n, line)
        calm.look(now, calm.rounds)
        anew.look(now, Rounds(anew.database, tips=calm.rounds.tips))
        now += timedelta(minutes=5)
    assert calm.said == anew.said
    assert len(calm.said) > 15, "too little was said to compare"


def test_a_calm_kennel_costs_no_book(monkeypatch: pytest.MonkeyPatch) -> None:
    """From one round to the next nothing of a kennel's book is asked; a message brings it back under the eye."""
    told = Told()
    told.rounds.look(at(14, 14))
    with told.database.reading(told.number) as store:
        assert store.looked_at() == at(14, 14)
    asked: list[str] = []
    event.listen(told.database._engine, "before_cursor_execute", lambda c, u, sql, *more: asked.append(sql))
    told.rounds.look(at(14, 14, 1))
    assert not [sql for sql in asked if "entry" in sql or "FROM dog" in sql], asked
    with told.database.reading(told.number) as store:
        assert store.looked_at() == at(14, 14, 1)  # it counts as looked at all the same
    told.hear(1, (at(14, 14, 2), "Tom", FAMILY, "Nugget 9.4 kg"))
    asked.clear()
    told.rounds.look(at(14, 14, 2))
    assert [sql for sql in asked if "entry" in sql]


def test_another_process_s_change_is_seen() -> None:
    """A roster changed elsewhere makes the next round look; a clock put back does, too."""
    told = Told()
    told.rounds.look(at(14, 14))
    other = Database(told.database._url.render_as_string(hide_password=False)) if told.database.shared else None
    with (other or told.database).writing(told.number) as store:
        kennel = store.load_kennel()
        store.save_kennel(kennel, kennel)
    stamps = {told.number: told.rounds._calm[told.number].stamp}
    assert told.database.pass_over(stamps, at(14, 14, 1)) == set()
    told.rounds.look(at(14, 14, 1))
    stamps = {told.number: told.rounds._calm[told.number].stamp}
    assert told.database.pass_over(stamps, at(14, 14, 2)) == {told.number}
    told.rounds.look(at(14, 13))
    with told.database.reading(told.number) as store:
        assert store.looked_at() == at(14, 13)
