"""Delivery: in order, at the chat's pace, retried, given up or followed as the failure says; never three times."""

from __future__ import annotations

import asyncio
from datetime import timedelta
from itertools import pairwise

import pytest

from bot.chat.errors import BadToken, Moved, Passing, Refused, Shut
from bot.scheduling.clock import SetClock
from bot.scheduling.delivery import Delivery
from bot.scheduling.pace import Limits, Pace
from bot.storage import Database
from core.messages import ANSWER, REMINDER, TIP, URGENT, Mark, Say
from core.roster import BREEDER, FAMILY
from tests.scheduling.house import PLATFORM, Chat, at, opened
from tests.stand_ins.due import next_due
from tests.stand_ins.postgres import Postgres

pytestmark = pytest.mark.usefixtures("places")


class Moving(SetClock):
    """A set clock whose wall side moves with the waits, so that what is put off comes due."""

    async def wait(self, seconds: float) -> None:
        await super().wait(seconds)
        self._at += timedelta(seconds=max(0.0, seconds))


class House:
    """One kennel, its outbox, a delivery and a chat."""

    def __init__(self, pace: Pace | None = None) -> None:
        self.database, self.number = opened()
        self.clock, self.chat = Moving(at(14, 8)), Chat()
        self.delivery = Delivery(self.database, self.chat, self.clock, PLATFORM, pace=pace, chance=lambda: 1.0)

    @property
    def _is_shut(self) -> bool:
        return all(r.shut for r in self.database.rooms_of(self.number) if r.room == "Ana")

    def say(self, *out: Say | Mark) -> None:
        with self.database.writing(self.number) as store:
            store.say(out, at=self.clock.now(), turn="t")

    async def run(self, seconds: float = 600) -> list[tuple[str, str]]:
        """What arrived within so many seconds of the clock."""
        end = self.clock.monotonic() + seconds
        while self.clock.monotonic() < end:
            if not await self.delivery.once():
                due = next_due(self.database)
                if due is None or (self._is_shut and self.chat.got):
                    break
                await self.clock.wait(max(1.0, min(60, (due - self.clock.now()).total_seconds())))
        return self.chat.got


def said(text: str, room: str = FAMILY, priority: int = ANSWER) -> Say:
    return Say(key=text, room=room, text=text, priority=priority)


def state(database: Database) -> dict[str, int]:
    return {k: v for k, v in database.outbox.counts().items() if v}


async def test_what_is_urgent_leaves_first_and_the_rest_in_order() -> None:
    """Urgent, answers, reminders, tips; in the order of adding within each; a mark is an answer."""
    house = House()
    house.say(said("tip", priority=TIP), said("reminder", priority=REMINDER), said("one"), said("two"),
              Mark(room=FAMILY, message="m"), said("vet now", priority=URGENT))  # fmt: skip
    assert [text for _, text in await house.run()] == ["vet now", "one", "two", "✍", "reminder", "tip"]
    assert state(house.database) == {"sent": 6}


async def test_sixty_at_once_keep_the_pace_of_the_group() -> None:
    """Never two within a second nor twenty-one within a minute, all sixty in order, another room not held up."""
    house = House()
    house.say(*(said(f"{n:02}") for n in range(60)), said("hers", room=BREEDER))
    times: list[float] = []
    send = house.chat.send

    async def timed(chat: str, out: Say | Mark, reply_to: str | None) -> str:
        key = await send(chat, out, reply_to)
        if chat == "chat family":
            times.append(house.clock.monotonic())
        elif chat == "chat breeder":
            assert house.clock.monotonic() < 30
        return key

    house.chat.send = timed  # type: ignore[method-assign]
    got = await house.run()
    assert [text for chat, text in got if chat == "chat family"] == [f"{n:02}" for n in range(60)]
    assert all(b - a >= 1.0 for a, b in pairwise(times))
    assert all(b - a >= 60.0 for a, b in zip(times, times[20:], strict=False))
    assert times[-1] - times[0] < 240  # and no slower than it must be, with its looks each minute


async def test_told_to_wait_seven_seconds_that_chat_waits_and_the_others_go_on() -> None:
    """And the order in the chat stays."""
    house = House()
    house.chat.fails = [Passing("flood", retry_after=7)]
    house.say(said("first"), said("second"))
    await house.delivery.once()
    house.say(said("hers", room=BREEDER))
    began = house.clock.monotonic()
    assert await house.run() == [("chat breeder", "hers"), ("chat family", "first"), ("chat family", "second")]
    assert house.clock.monotonic() - began >= 7


async def test_a_dead_network_is_waited_out_longer_and_longer() -> None:
    """Minutes of errors: a few tries, none lost, then all arrive."""
    house = House()
    house.chat.fails = [Passing("no network") for _ in range(7)]
    house.say(said("one"), said("two"))
    assert await house.run(4 * 3600) == [("chat family", "one"), ("chat family", "two")]


async def test_an_answer_that_was_lost_is_sent_once_more_and_a_tip_is_not() -> None:
    """Unclear once: again. Unclear twice: never a third time."""
    house = House()
    house.chat.fails = [Passing("cut off", unclear=True), Passing("cut off", unclear=True)]
    house.say(said("answer"))
    assert await house.run() == [] and state(house.database) == {"dropped": 1}
    house = House()
    house.chat.fails = [Passing("cut off", unclear=True)]
    house.say(said("answer"))
    assert await house.run() == [("chat family", "answer")]
    house = House()
    house.chat.fails = [Passing("cut off", unclear=True)]
    house.say(said("tip", priority=TIP))
    assert await house.run() == [] and state(house.database) == {"dropped": 1}


async def test_a_moved_group_is_followed() -> None:
    """Once, in the new chat."""
    house = House()
    house.chat.fails = [Moved("chat super")]
    house.say(said("one"), said("two"))
    assert await house.run() == [("chat super", "one"), ("chat super", "two")]
    room = house.database.room_of(PLATFORM, "chat super")
    assert room is not None and room.room == FAMILY


async def test_at_a_shut_door_nobody_knocks_again_and_the_breeder_hears_of_it(
    caplog: pytest.LogCaptureFixture,
) -> None:
    """One try, then nothing; told once, and in the log without the buyer's name."""
    house = House()
    house.chat.fails = [Shut("blocked")]
    house.say(said("tip", room="Ana"), said("another", room="Ana"))
    got = await house.run()
    assert [chat for chat, _ in got] == ["chat breeder"] and "Ana" in got[0][1]
    assert "can be sent" in caplog.text and "Ana" not in caplog.text


async def test_one_refused_message_stops_no_other(caplog: pytest.LogCaptureFixture) -> None:
    """It is set aside with its reason; the log names no room."""
    house = House()
    house.chat.fails = [Refused("too odd")]
    house.say(said("odd", room="Ana"), said("plain", room="Ana"))
    assert await house.run() == [("chat Ana", "plain")] and state(house.database) == {"failed": 1, "sent": 1}
    assert "too odd" in caplog.text and "Ana" not in caplog.text


async def test_what_is_past_its_time_is_dropped() -> None:
    """And what is not yet due waits."""
    house = House()
    now = house.clock.now()
    house.say(Say(key="old", room=FAMILY, text="old", not_after=now - timedelta(minutes=1)),
              Say(key="later", room=FAMILY, text="later", not_before=now + timedelta(minutes=5)))  # fmt: skip
    assert await house.run(60) == []
    house.clock.set(now + timedelta(minutes=6))
    assert await house.run() == [("chat family", "later")]


async def test_a_wrong_token_ends_delivery() -> None:
    """It is not retried."""
    house = House()

    async def send(chat: str, out: Say | Mark, reply_to: str | None) -> str:
        raise BadToken()

    house.chat.send = send  # type: ignore[method-assign]
    house.say(said("one"))
    with pytest.raises(BadToken):
        await house.delivery.run(asyncio.Event())


async def test_run_ends_when_asked() -> None:
    """After what was being sent."""
    house = House(Pace(Limits(chat_s=0, margin_s=0)))
    house.say(said("one"))
    stop = asyncio.Event()
    task = asyncio.create_task(house.delivery.run(stop))
    while not house.chat.got:
        await asyncio.sleep(0.01)
    stop.set()
    house.delivery.nudge()
    await asyncio.wait_for(task, 5)
    assert state(house.database) == {"sent": 1}


async def test_a_lane_that_takes_longer_than_the_lease_is_sent_once(postgres: Postgres) -> None:
    """Ten pictures over a thin line take three minutes; another process looks at the outbox all the while."""
    url = postgres.new()
    one, number = opened(url=url)
    other, clock, got = Database(url).open(), Moving(at(14, 8)), []

    class Slow:
        async def send(self, chat: str, out: Say | Mark, reply_to: str | None) -> str:
            await clock.wait(18)
            got.append(out.text if isinstance(out, Say) else out.mark)
            for parcel in other.outbox.claim(clock.now(), PLATFORM):
                assert isinstance(parcel.out, Say)
                got.append(parcel.out.text)
                other.outbox.sent(parcel.id, clock.now())
            return str(len(got))

    with one.writing(number) as store:
        store.say([said(f"picture {n}") for n in range(10)], clock.now())
    await Delivery(one, Slow(), clock, PLATFORM, pace=Pace(Limits(chat=100, chat_s=1, group=100, group_s=1))).once()
    assert got == [f"picture {n}" for n in range(10)] and state(one) == {"sent": 10}
    one.close()
    other.close()
    postgres.drop(url)


async def test_what_another_process_has_taken_over_is_its_to_send(postgres: Postgres) -> None:
    """This one was asleep for longer than the lease: what it had claimed is sent by the other alone."""
    url = postgres.new()
    one, number = opened(url=url)
    other, clock = Database(url).open(), Moving(at(14, 8))
    with one.writing(number) as store:
        store.say([said("first"), said("second")], clock.now())
    mine = one.outbox.claim(clock.now(), PLATFORM)
    later = clock.now() + timedelta(minutes=3)
    assert [p.id for p in other.outbox.claim(later, PLATFORM)] == [mine[0].id]  # the second waits behind it
    assert one.outbox.still_held(mine, later) == frozenset()
    one.close()
    other.close()
    postgres.drop(url)
