"""Promises 1 and 9: killed at any step of taking in and sending, nothing acknowledged is lost and nothing kept twice.

A platform repeats what was not confirmed; the day is run again and again, killed at checkpoint 1, 2, 3, … until a run
ends by itself. After each kill one unbroken run must end in the same book as a day that was never broken.
"""

from __future__ import annotations

import os
import signal
from collections import Counter
from pathlib import Path

import pytest

from bot.storage import Database, Update, checkpoints
from bot.storage.checkpoints import checkpoint
from bot.turn import Turns
from core.codec import from_json, to_json
from core.ledger import Posted
from core.messages import Message
from tests.promises.small_hear import hear
from tests.storage.conftest import AT, DAY, KENNEL, said

STORY = (
    said("Nugget 9.1", key="1"),
    said("Juniper 8.7", key="3"),
    said("ask", key="4"),
    said("Nugget 9.2", key="1", edit=10),
    said("Juniper 8.8", key="5", reply_to="3"),
    said("tip", key="6"),
    said("undo", key="7"),
)


class KillAt:
    """Kills this process at the Nth checkpoint."""

    def __init__(self, n: int) -> None:
        self.left = n

    def __call__(self, name: str) -> None:
        self.left -= 1
        if self.left == 0:
            os.kill(os.getpid(), signal.SIGKILL)


class Place:
    """One folder in which the day is run by one process after another, each a fork of this one.

    Forked, not started: what SQLAlchemy has compiled is compiled once and not 120 times. No connection is open when
    a process is forked; each opens its own.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.database = Database(f"sqlite:///{folder / 'fettle.db'}")

    def begin(self) -> int:
        """A new database and nothing sent; gives the kennel's number."""
        for path in self.folder.iterdir():
            path.unlink()
        with self.database:
            return self.database.create_kennel(KENNEL)

    def run(self, kennel_id: int, kill_at: int = 0) -> int:
        """How a process ended that took in the story and delivered all that came of it."""
        child = os.fork()
        if child == 0:
            status = 70
            try:
                checkpoints.arm(KillAt(kill_at) if kill_at else None)
                self.day(kennel_id)
                status = 0
            finally:
                os._exit(status)
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])

    def day(self, kennel_id: int) -> None:
        """The story, from the platform's repeats to the last thing sent."""
        with self.database as database:
            database.outbox.recover(AT)
            for number, message in enumerate(STORY):
                # The platform repeats everything that it was not told is received: here, all of it.
                update = Update(
                    platform="telegram", chat="-100", received_at=AT, raw=to_json(message), update_key=str(number),
                    message=message.key, edit=message.edit,
                )
                database.inbox.take([update])
            turns = Turns(database, hear=hear)
            for row in database.inbox.waiting("telegram"):
                turns.take(from_json(Message, row.raw), kennel_id, inbox_id=row.id)
            while parcels := database.outbox.claim(AT, limit=3):
                for parcel in parcels:
                    checkpoint("before send")
                    kind, key = type(parcel.out).__name__, getattr(parcel.out, "key", "")
                    with (self.folder / "sent").open("a") as sent:  # it left the process, whatever happens to it next
                        sent.write(f"{parcel.id} {kind} {key}\n")
                    checkpoint("after send")
                    database.outbox.sent(parcel.id, AT)

    def outcome(self, kennel_id: int) -> tuple[tuple[Posted, ...], dict[str, int], Counter[str]]:
        """The book, what came of the outbox, and how often each thing was sent."""
        with self.database as database, database.reading(kennel_id) as store:
            assert database.inbox.waiting("telegram") == ()
            sent = Counter((self.folder / "sent").read_text().splitlines())
            return store.load_ledger(DAY).history(), database.outbox.counts(), sent


@pytest.fixture
def place(tmp_path: Path) -> Place:
    """A place in which the day was run once, unbroken, by this process."""
    place = Place(tmp_path)
    place.day(place.begin())
    return place


def test_killed_at_every_step(place: Place) -> None:
    """One kill at each checkpoint of the day in turn, then an unbroken run."""
    expected, _, sent_once = place.outcome(1)
    assert [(p.entry.dog, p.message) for p in expected if p.counts] == [("Juniper", "3"), ("Nugget", "1")]
    assert set(sent_once.values()) == {1}
    kills = twice = 0
    while True:
        kennel_id = place.begin()
        ended = place.run(kennel_id, kills + 1)
        if ended == 0:
            break
        assert ended == -signal.SIGKILL
        kills += 1
        assert place.run(kennel_id) == 0
        book, counts, sent = place.outcome(kennel_id)
        assert book == expected, f"killed at step {kills}"
        # Only a tip may be left unsaid, and only where nobody knows whether it was said.
        assert all(" tip " in line for line in set(sent_once) - set(sent)), f"killed at step {kills}"
        assert counts.get("dropped", 0) <= 1
        assert max(sent.values()) <= 2
        twice += sum(v == 2 for v in sent.values())
    assert kills > 40
    # Only the kill between the sending and its record sends twice: once for each thing said or marked, tips apart.
    assert twice == len([line for line in sent_once if " tip " not in line])
    print(f"{kills} kills, {twice} sent twice, none lost")


def test_killed_again_and_again(place: Place) -> None:
    """Every run of the same day is killed, after some seven steps forward: it still ends, and whole."""
    expected, _, _ = place.outcome(1)
    kennel_id = place.begin()
    runs = 0
    # The repeats of the platform are one step each; then one message whole, so that none is killed three times.
    while place.run(kennel_id, len(STORY) + 5 + runs % 7) != 0:
        runs += 1
        assert runs < 200
    assert runs > 3
    book, _, sent = place.outcome(kennel_id)
    assert book == expected
    assert max(sent.values()) <= 2
