"""Promise 2: a message counts once, however often and under whatever number it comes."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.storage import Database, Update
from bot.storage.errors import KeyReused
from bot.turn import Turns
from core.entries import Weight
from tests.promises.small_hear import hear
from tests.storage.conftest import AT, DAY, KENNEL, said


def weights(database: Database, kennel_id: int) -> list[float]:
    with database.reading(kennel_id) as store:
        return [w.kg for w in store.load_ledger(DAY).entries("Nugget", Weight)]


def update(number: str, message: str = "12", digest: str = "a", edit: int = 0) -> Update:
    return Update(
        platform="telegram", chat="-100", update_key=number, message=message, edit=edit, digest=digest,
        received_at=AT, raw={"update_id": number},
    )


def test_the_same_message_twice_makes_nothing_twice(database: Database, kennel_id: int, url: str) -> None:
    """The second time nothing is heard, posted, said or marked; after a restart neither."""
    turn = Turns(database, hear=hear).take(said("Nugget 9.4"), kennel_id)
    assert turn is not None and len(turn.posts) == 1
    for _ in range(2):
        with Database(url) as restarted:
            assert Turns(restarted, hear=hear).take(said("Nugget 9.4"), kennel_id) is None
    assert weights(database, kennel_id) == [9.4]
    assert len(database.outbox.claim(AT)) == 1


def test_the_same_key_in_another_room_or_kennel_is_another_message(database: Database, kennel_id: int) -> None:
    """A key is unique in its room only."""
    other = database.create_kennel(KENNEL)
    turns = Turns(database, hear=hear)
    for kennel, room in ((kennel_id, "family"), (kennel_id, "breeder"), (other, "family")):
        assert turns.take(said("Nugget 9.4", room=room), kennel)
    assert (weights(database, kennel_id), weights(database, other)) == ([9.4, 9.4], [9.4])


def test_an_update_is_stored_once(database: Database) -> None:
    """Again under its number, again under another number, a batch again: each is known; two edits of one second are
    two."""
    inbox = database.inbox
    assert inbox.take([update("1"), update("2", "13"), update("1")]) == 2
    assert inbox.take([update("1"), update("2", "13"), update("77")]) == 0
    assert inbox.take([update("78", edit=5, digest="b"), update("79", edit=5, digest="c")]) == 2
    assert inbox.take([update("80", edit=5, digest="b")]) == 0
    assert [w.raw["update_id"] for w in inbox.waiting("telegram")] == ["1", "2", "78", "79"]


def test_a_stored_update_is_taken_once(database: Database, kennel_id: int) -> None:
    """The row is done in the same transaction as the entries; taken again it gives nothing."""
    database.inbox.take([update("1")])
    (row,) = database.inbox.waiting("telegram")
    turns = Turns(database, hear=hear)
    assert turns.take(said("Nugget 9.4", key="12"), kennel_id, inbox_id=row.id)
    assert database.inbox.waiting("telegram") == ()
    assert turns.take(said("Nugget 9.4", key="12"), kennel_id, inbox_id=row.id) is None
    assert weights(database, kennel_id) == [9.4]


def test_two_messages_under_one_key_are_a_loud_fault(database: Database, kennel_id: int) -> None:
    """A chat that counts its messages anew must not have them taken for repeats in silence."""
    turns = Turns(database, hear=hear)
    turns.take(said("Nugget 9.4"), kennel_id)
    with pytest.raises(KeyReused):
        turns.take(said("Nugget 9.6"), kennel_id)
    assert [w.state for w in database.inbox.set_aside()] == ["failed"]
    assert weights(database, kennel_id) == [9.4]


def test_earlier_messages_are_shown_to_the_next(database: Database, kennel_id: int) -> None:
    """The scene holds the room's last eight of half an hour, oldest first, and none of another room."""
    scenes = []
    turns = Turns(database, hear=lambda m, s: (scenes.append(s), hear(m, s))[1])
    turns.take(said("old", key="old", sent_at=AT - timedelta(minutes=31)), kennel_id)
    turns.take(said("elsewhere", key="x", room="breeder"), kennel_id)
    for n in range(10):
        turns.take(said(f"word {n}", key=str(n), sent_at=AT + timedelta(seconds=n)), kennel_id)
    turns.take(said("last", key="last", sent_at=AT + timedelta(minutes=1)), kennel_id)
    assert [m.text for m in scenes[-1].recent] == [f"word {n}" for n in range(2, 10)]
