"""A database with something in every table that a running house fills."""

from __future__ import annotations

from bot.storage import Database, Update
from bot.turn import Turns
from core.messages import Say
from core.roster import Dog, Kennel
from core.turns import Memory, Post
from tests.promises.small_hear import hear
from tests.storage.conftest import AT, DAY, KENNEL, said
from tests.storage.test_ledger import EVERY_KIND


def fill(database: Database) -> int:
    """The number of a kennel with every kind of entry, a correction, an undo and words in odd letters; there is
    another kennel beside it."""
    database.create_kennel(Kennel(name="Other", dogs=(Dog(name="Stranger", born=DAY),)))
    number = database.create_kennel(KENNEL)
    with database.writing(number) as store:
        store.post(tuple(Post(entry=x) for x in EVERY_KIND), (), said())
        store.remember({"family": Memory(why="because")})
        store.say([Say(key="k", room="family", text="hello")], AT)
        store.set_looked_at(AT)
    turns = Turns(database, hear=hear)
    turns.take(said("Juniper 8.7", key="2"), number)
    turns.take(said("Juniper 8.8", key="3", reply_to="2"), number)
    turns.take(said("undo", key="4"), number)
    turns.take(said("½ cup 🐕‍🦺 “ok”\n' \\ \u202e é é", key="5"), number)
    database.bind_room("telegram", "-100", number, "family")
    database.bind_account("telegram", "7", number, "Maya")
    raw = {"a": [1.50, None]}
    database.inbox.take([Update(platform="telegram", chat="1", update_key="1", received_at=AT, raw=raw)])
    return number
