"""Promise 16: late is said, many lates become one, none vanish: a dose stays due until it is given.

What is sent, merged, dropped and told after three hours, a night and weeks is in `tests/scheduling/test_rounds.py`;
here the demo kennel sleeps for as long, with its own words, and the dose is asked for again and again.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from bot.chat.script import read_line
from bot.replies import reminders
from bot.scheduling.rounds import Rounds
from bot.storage import Database
from core.agenda import ALERT, DOSE, REMIND, due
from core.ledger import Ledger
from core.messages import Say
from core.roster import BREEDER, FAMILY
from tests.dialogue_house import House, demo

SLEEPS = [timedelta(hours=3), timedelta(days=3), timedelta(weeks=3)]


@pytest.mark.parametrize("slept", SLEEPS)
def test_each_late_item_has_an_outcome_and_each_room_one_message_of_them(slept: timedelta) -> None:
    """Every item that fell due has its row: sent, merged into one message of its room, or dropped and said so."""
    kennel = demo().kennel
    start = datetime(2026, 3, 14, 6, 0, tzinfo=kennel.tz)
    with Database("sqlite://") as database:
        number = database.create_kennel(kennel)
        for room in (FAMILY, BREEDER, "Ana"):
            database.bind_room("test", room, number, room)
        rounds = Rounds(database)
        rounds.look(start)
        rounds.look(start + slept)
        with database.transaction(writes=False) as connection:
            rows = connection.exec_driver_sql("SELECT key, room FROM outbox").all()
        items = due(kennel, Ledger(), start, start + slept, rounds.tips)
        late = [p for p in database.outbox.claim(start + slept, "test", limit=500) if isinstance(p.out, Say)]
    assert sum(p.out.key.startswith("down:") for p in late) <= 1
    for room in (FAMILY, "Ana"):
        assert sum(p.room == room for p in late) <= 1  # many lates are one
    # And none vanish: where anything of use fell due meanwhile its room hears of it, in its own words.
    kennel_then, now = demo().kennel, start + slept
    useful = {
        (i.room, say.text.split("\n")[0]) for i in items
        if i.not_after >= now and (say := reminders.words(i, kennel_then, Ledger(), now)) is not None and say.text
    }  # fmt: skip
    for room in {room for room, _ in useful}:
        heard = "\n".join(p.out.text for p in late if p.room == room and isinstance(p.out, Say))
        assert heard and any(first in heard for r, first in useful if r == room), (room, useful)
    assert useful or slept > timedelta(hours=3)
    stale = [i for i in items if i.not_after < now and i.step == REMIND and i.kind != ALERT]
    assert any(p.out.key.startswith("down:") for p in late) == bool(stale or slept > timedelta(hours=24))
    keys = {r.key for r in rows}
    doses = [i for i in items if i.step == REMIND and i.kind == DOSE]
    assert (doses or slept < timedelta(weeks=3)) and all(i.key in keys for i in doses)


@pytest.mark.parametrize("slept", SLEEPS)
def test_a_dose_stays_due_until_it_is_given(slept: timedelta) -> None:
    def say(house: House, at: datetime, words: str) -> str:
        step = read_line(f"[{at:%Y-%m-%d %H:%M}] {words}")
        assert step is not None
        return "\n".join(house.take(step))

    house = House.of_demo()
    later = house.now + slept
    before = say(house, later, "Maya: what's due for Nugget?")
    assert "vaccine now" in before or "vaccine due since" in before
    say(house, later + timedelta(minutes=1), "Maya: Nugget had his vaccine today")
    assert "vaccine 16 May" in say(house, later + timedelta(minutes=2), "Maya: what's due for Nugget?")  # the next one
