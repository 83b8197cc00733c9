"""The outbox: each thing once, in its order, and what a crash leaves open is decided by kind."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import timedelta
from threading import Thread

import pytest
from sqlalchemy import select, update

from bot.replies import floods
from bot.storage import Database, Parcel
from bot.storage import tables as t
from core.messages import ANSWER, REMINDER, TIP, URGENT, Mark, Say
from core.roster import FAMILY, Kennel
from tests.stand_ins.due import next_due
from tests.stand_ins.postgres import Postgres
from tests.storage.conftest import AT

SOON = AT + timedelta(minutes=1)
NONE = timedelta(0)


def say(key: str, room: str = "family", priority: int = ANSWER, **more: object) -> Say:
    return Say(key=key, room=room, text=f"text of {key}", priority=priority, **more)  # type: ignore[arg-type]


def add(database: Database, kennel_id: int, *out: Say | Mark, turn: str = "") -> int:
    with database.writing(kennel_id) as store:
        return store.say(out, AT, turn)


def keys(parcels: tuple[Parcel, ...]) -> list[str]:
    return [p.out.key if isinstance(p.out, Say) else "mark" for p in parcels]


def test_what_is_said_comes_back_whole(database: Database, kennel_id: int) -> None:
    """Text, buttons, picture, reply and times survive the row."""
    whole = say(
        "k", buttons=("breakfast", "dinner"), reply_to="7", not_before=AT, not_after=SOON, picture="chart Nugget",
        about="doubt",
    )
    mark = Mark(room="family", message="7")
    add(database, kennel_id, mark, whole, turn="7 0")
    assert [p.out for p in database.outbox.claim(AT)] == [mark, whole]


def test_a_known_key_is_never_added_again(database: Database, kennel_id: int) -> None:
    """Not while it waits, not once it is sent, not in other words; the same mark of the same turn neither."""
    mark = Mark(room="family", message="7")
    assert add(database, kennel_id, say("k"), mark, turn="7 0") == 2
    assert add(database, kennel_id, replace(say("k"), text="other words"), mark, turn="7 0") == 0
    for parcel in database.outbox.claim(AT):
        database.outbox.sent(parcel.id, AT)
    assert add(database, kennel_id, say("k"), mark, turn="7 0") == 0
    assert add(database, kennel_id, mark, turn="7 1") == 1
    with database.reading(kennel_id) as store:
        assert store.is_said("k")
        assert not store.is_said("other")


def test_another_kennels_key_is_another_key(database: Database, kennel_id: int) -> None:
    """Keys are a kennel's own."""
    other = database.create_kennel(Kennel(name="Other"))
    assert add(database, kennel_id, say("k")) == add(database, other, say("k")) == 1
    with database.reading(other) as store:
        assert not store.is_said("unknown")


def test_urgent_leaves_first_then_in_order(database: Database, kennel_id: int) -> None:
    """Priority before order of adding; what is due later stays."""
    add(
        database, kennel_id, say("tip", priority=TIP), say("a"), say("b"), say("urgent", priority=URGENT),
        say("later", not_before=SOON),
    )
    first = database.outbox.claim(AT)
    assert keys(first) == ["urgent", "a", "b", "tip"]
    for parcel in first:
        database.outbox.sent(parcel.id, AT)
    assert next_due(database) == SOON
    assert keys(database.outbox.claim(SOON)) == ["later"]


def test_what_is_claimed_is_nobody_elses(database: Database, kennel_id: int, url: str) -> None:
    """A second claim finds nothing, in this process or another."""
    add(database, kennel_id, *(say(str(n), room=f"room {n}") for n in range(5)))
    with Database(url) as other:
        first = database.outbox.claim(AT, limit=3)
        second = other.outbox.claim(AT)
    assert (len(first), len(second)) == (3, 2)
    assert not {p.id for p in first} & {p.id for p in second}


def test_too_late_is_dropped(database: Database, kennel_id: int) -> None:
    """A reminder whose time is over is not sent, and is on record."""
    add(database, kennel_id, say("old", priority=REMINDER, not_after=AT))
    assert database.outbox.claim(AT + timedelta(seconds=1)) == ()
    assert database.outbox.counts() == {"dropped": 1}


def test_nothing_overtakes_what_was_put_off_in_its_room(database: Database, kennel_id: int) -> None:
    """Order is kept in a room while one waits for its next try; other rooms and urgent lines go on."""
    add(database, kennel_id, say("first"))
    (parcel,) = database.outbox.claim(AT)
    database.outbox.put_off(parcel.id, SOON, "flood")
    add(
        database, kennel_id, say("second"), say("elsewhere", room="breeder"), say("now", priority=URGENT),
    )
    assert keys(database.outbox.claim(AT)) == ["now", "elsewhere"]
    again = database.outbox.claim(SOON, limit=1)
    assert (keys(again), again[0].tries, again[0].again) == (["first"], 2, False)
    assert database.outbox.claim(SOON) == ()  # "first" is on its way
    database.outbox.sent(again[0].id, SOON)
    assert keys(database.outbox.claim(SOON)) == ["second"]


@pytest.mark.parametrize(("priority", "comes_again"), [(URGENT, True), (ANSWER, True), (REMINDER, True), (TIP, False)])
def test_found_sending_after_a_crash(database: Database, kennel_id: int, priority: int, comes_again: bool) -> None:
    """What matters is sent once more and not a third time; a tip is not sent again."""
    add(database, kennel_id, say("k", priority=priority))
    assert database.outbox.claim(AT)
    assert database.outbox.recover(AT, lease=NONE) == 1
    parcels = database.outbox.claim(AT)
    assert [p.again for p in parcels] == [True] * comes_again
    assert database.outbox.recover(AT, lease=NONE) == int(comes_again)
    assert database.outbox.claim(AT) == ()
    assert database.outbox.counts() == {"dropped": 1}


def test_a_dead_process_claims_run_out(database: Database, kennel_id: int) -> None:
    """Nobody need restart: past its lease a claim is anybody's."""
    add(database, kennel_id, say("k"))
    database.outbox.claim(AT)
    assert database.outbox.claim(AT + timedelta(seconds=119)) == ()
    assert keys(database.outbox.claim(AT + timedelta(seconds=120))) == ["k"]


def test_a_lost_answer_is_asked_once_more(database: Database, kennel_id: int) -> None:
    """A time-out after the server took it: an answer may come twice, a tip is dropped, and the rest is untouched."""
    add(database, kennel_id, say("answer"), say("tip", priority=TIP, room="Ana"), say("other", room="breeder"))
    answer, other, tip = database.outbox.claim(AT)
    database.outbox.unclear(answer.id, AT, "time-out")
    database.outbox.unclear(tip.id, AT, "time-out")
    assert keys(database.outbox.claim(AT)) == ["answer"]
    database.outbox.refuse(other.id, AT, "message is too long")
    assert database.outbox.counts() == {"sending": 1, "dropped": 1, "failed": 1}


def test_only_open_chats_of_the_platform_are_served(database: Database, kennel_id: int) -> None:
    """A room without a chat waits; a shut one too; a moved one is found under its new name."""
    database.bind_room("telegram", "-100", kennel_id, "family")
    database.bind_room("telegram", "55", kennel_id, "breeder")
    database.shut_room("telegram", "55", "blocked")
    add(database, kennel_id, say("a"), say("b", room="breeder"), say("c", room="Ana"))
    assert database.outbox.homeless() == 2
    database.move_room("telegram", "-100", "-100200")
    assert database.room_of("telegram", "-100") is None
    (parcel,) = database.outbox.claim(AT, platform="telegram")
    assert (parcel.chat, parcel.room, parcel.kennel) == ("-100200", "family", kennel_id)
    database.outbox.sent(parcel.id, AT, sent_key="-100200/9")
    database.shut_room("telegram", "55", "")
    assert [p.chat for p in database.outbox.claim(AT, platform="telegram")] == ["55"]
    with database.reading(kennel_id) as store:
        assert store.said_as("family", "-100200/9") == say("a")
        assert store.said_as("family", "-100200/8") is None


def gathered(line: str) -> Say:
    return Say(key="flood", room=FAMILY, text=f"all is kept\n{line}")


def rows(database: Database) -> list[tuple[str, str, str]]:
    """Key, state and text of each saying, in the order of adding."""
    o = t.outbox.c
    with database.transaction(writes=False) as connection:
        found = connection.execute(select(o.key, o.state, o.payload).order_by(o.id))
        return [(row.key, row.state, row.payload["text"].replace("\n", "/")) for row in found]


def test_what_is_gathered_when_the_message_has_left_goes_into_a_next_one(database: Database, kennel_id: int) -> None:
    for line in ("one", "two"):
        with database.writing(kennel_id) as store:
            store.gather(gathered(line), floods.joined, at=AT)
        for parcel in database.outbox.claim(AT):
            database.outbox.sent(parcel.id, AT)
    with database.writing(kennel_id) as store:
        for line in ("three", "four"):
            store.gather(gathered(line), floods.joined, at=AT)
    assert rows(database) == [
        ("flood", "sent", "all is kept/one"), ("flood:2", "sent", "all is kept/two"),
        ("flood:3", "waiting", "all is kept/three/four"),
    ]  # fmt: skip


@pytest.fixture
def two(postgres: Postgres) -> Iterator[tuple[Database, Database, int]]:
    """Two processes' view of one server, and a kennel in it."""
    url = postgres.new()
    with Database(url) as one, Database(url) as other:
        yield one, other, one.create_kennel(Kennel(name="Tindfjell"))
    postgres.drop(url)


def begun(work: Callable[[], object]) -> tuple[Thread, list[object]]:
    """The work in a thread of its own, which has come so far that it waits, and its outcome once it has ended."""
    done: list[object] = []
    thread = Thread(target=lambda: done.append(work()))
    thread.start()
    thread.join(0.3)
    return thread, done


def test_what_a_turn_takes_back_or_adds_to_leaves_as_it_is_then(two: tuple[Database, Database, int]) -> None:
    """The delivery of another process comes in between: nothing is sent that was taken back, nor without its end."""
    one, other, kennel_id = two
    with one.writing(kennel_id) as store:
        store.say([say("answer", reply_to="m1")], AT)
        store.gather(gathered("first"), floods.joined, at=AT)
    with one.writing(kennel_id) as store:
        assert [s.key for s in store.take_back(FAMILY, {"m1"})] == ["answer"]
        store.gather(gathered("second"), floods.joined, at=AT)
        thread, claimed = begun(lambda: other.outbox.claim(AT))
    thread.join()
    (parcels,) = claimed
    assert [p.out.text for p in parcels] == ["all is kept\nfirst\nsecond"]  # type: ignore[attr-defined]
    assert [state for _, state, _ in rows(one)] == ["dropped", "sending"]


def test_what_the_delivery_has_taken_is_not_taken_back_nor_added_to(two: tuple[Database, Database, int]) -> None:
    one, other, kennel_id = two
    with one.writing(kennel_id) as store:
        store.say([say("answer", reply_to="m1")], AT)
        store.gather(gathered("first"), floods.joined, at=AT)

    def turn() -> list[Say]:
        with one.writing(kennel_id) as store:
            back = store.take_back(FAMILY, {"m1"})
            store.gather(gathered("second"), floods.joined, at=AT)
            return back

    with other.transaction() as connection:  # a claim that is not committed yet
        connection.execute(update(t.outbox).values(state="sending", tries=1, claimed_at=AT))
        thread, back = begun(turn)
    thread.join()
    assert back == [[]]
    assert rows(one) == [
        ("answer", "sending", "text of answer"), ("flood", "sending", "all is kept/first"),
        ("flood:2", "waiting", "all is kept/second"),
    ]  # fmt: skip
