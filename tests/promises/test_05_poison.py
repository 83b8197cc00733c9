"""Promise 5: one bad message stops no other; it is tried three times, set aside with its text, and the breeder told."""

from __future__ import annotations

import logging
import os
import signal
from pathlib import Path

import pytest

from bot.storage import Database, Update, errors
from bot.turn import MOST_TRIES, Turns
from core.entries import Weight
from core.messages import Message, Say
from core.turns import Scene, Turn
from tests.promises.small_hear import hear
from tests.storage.conftest import AT, DAY, KENNEL, said


def weights(database: Database, kennel_id: int) -> list[float]:
    with database.reading(kennel_id) as store:
        return [w.kg for w in store.load_ledger(DAY).entries("Nugget", Weight)]


def told(database: Database) -> list[tuple[str, str]]:
    return [(p.out.room, p.out.text) for p in database.outbox.claim(AT) if isinstance(p.out, Say)]


def test_a_reader_that_raises(database: Database, kennel_id: int, caplog: pytest.LogCaptureFixture) -> None:
    """Tried three times, set aside with its text, the breeder told; the next message is read."""
    heard: list[str] = []
    turns = Turns(database, hear=lambda m, s: (heard.append(m.text), hear(m, s))[1])
    with caplog.at_level(logging.INFO):
        assert turns.take(said("boom"), kennel_id) is None
    assert heard == ["boom"] * MOST_TRIES
    assert turns.take(said("Nugget 9.4", key="2"), kennel_id)
    assert weights(database, kennel_id) == [9.4]
    (row,) = database.inbox.set_aside()
    assert (row.state, row.tries, row.raw["message"]["text"]) == ("failed", MOST_TRIES, "boom")
    ((room, text),) = told(database)
    assert room == "breeder" and "Maya" in text and "“boom”" in text
    assert turns.take(said("boom"), kennel_id) is None  # again: nobody is told twice
    assert told(database) == []
    assert "RuntimeError" in caplog.text and "a reader that raises" not in caplog.text


def test_half_a_turn_is_no_turn(database: Database, kennel_id: int) -> None:
    """A turn that asks for what cannot be written leaves nothing of itself: no entry, no word, no message."""
    def clumsy(message: Message, scene: Scene) -> Turn:
        turn = hear(message, scene)
        return Turn(posts=turn.posts, withdrawn=(99,), out=(*turn.out, Say(key="k", room="family", text="kept!")))

    assert Turns(database, hear=clumsy).take(said("Nugget 9.4"), kennel_id) is None
    assert weights(database, kennel_id) == []
    assert [room for room, _ in told(database)] == ["breeder"]


def test_a_passing_fault_gets_a_second_chance(database: Database, kennel_id: int) -> None:
    """What fails twice and then works is taken, and nobody is told anything."""
    faults = [RuntimeError, MemoryError]

    def shaky(message: Message, scene: Scene) -> Turn:
        if faults:
            raise faults.pop()
        return hear(message, scene)

    assert Turns(database, hear=shaky).take(said("Nugget 9.4"), kennel_id)
    assert weights(database, kennel_id) == [9.4]
    assert told(database) == []


def test_a_reader_that_kills_the_process(tmp_path: Path) -> None:
    """Counted on the disk before the try: the fourth start does not read it again, and goes on with the rest."""
    url = f"sqlite:///{tmp_path / 'fettle.db'}"
    with Database(url) as database:
        kennel_id = database.create_kennel(KENNEL)
        deadly = Update(platform="telegram", chat="1", received_at=AT, raw={"text": "deadly"}, update_key="1")
        database.inbox.take([deadly, Update(**_values(deadly) | {"raw": {"text": "Nugget 9.4"}, "update_key": "2"})])

    def lethal(message: Message, scene: Scene) -> Turn:
        if message.text == "deadly":
            os.kill(os.getpid(), signal.SIGKILL)
        return hear(message, scene)

    def start() -> int:
        child = os.fork()
        if child == 0:
            with Database(url) as database:
                for row in database.inbox.waiting("telegram"):
                    message = said(row.raw["text"], key=str(row.id))
                    Turns(database, hear=lethal).take(message, kennel_id, inbox_id=row.id)
                os._exit(0)
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])

    assert [start() for _ in range(MOST_TRIES + 1)] == [-signal.SIGKILL] * MOST_TRIES + [0]
    with Database(url) as database:
        assert weights(database, kennel_id) == [9.4]
        assert [row.raw["text"] for row in database.inbox.set_aside()] == ["deadly"]
        assert len(told(database)) == 1


def test_a_database_that_fails_is_not_the_messages_fault(database: Database, kennel_id: int) -> None:
    """A locked database uses up no try: however long it lasts, the message is taken afterwards."""
    def unlucky(message: Message, scene: Scene) -> Turn:
        raise errors.Locked("held by another program.")

    for _ in range(MOST_TRIES + 2):
        with pytest.raises(errors.Locked):
            Turns(database, hear=unlucky).take(said("Nugget 9.4"), kennel_id)
    (turn,) = Turns(database, hear=hear).resume(AT)
    assert len(turn.posts) == 1
    assert weights(database, kennel_id) == [9.4]


@pytest.mark.parametrize(
    "text",
    [
        "", "\x00\x01\x02", "\ud800 half a pair", "x" * 100_000, "\u202eright to left", "'); DROP TABLE entry;--",
        "🐕" * 500,
    ],
    ids=["empty", "binary", "surrogate", "huge", "rtl", "sql", "emoji"],
)
def test_any_text_is_kept_and_done(database: Database, kennel_id: int, text: str) -> None:
    """No text is too odd to be stored."""
    assert Turns(database, hear=hear).take(said(text), kennel_id) is not None
    assert database.inbox.set_aside() == ()
    with database.reading(kennel_id) as store:
        kept = store.find_message("family", "1")
    assert kept is not None and len(kept.text) in (len(text), len(text.replace("\x00", "")))


def _values(update: Update) -> dict[str, object]:
    return {name: getattr(update, name) for name in Update.__slots__}
