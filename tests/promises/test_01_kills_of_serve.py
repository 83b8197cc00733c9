"""Promises 1 and 9, end to end: what Telegram was told is received is on the disk, and each reply is sent at least
once, twice only where an answer was lost, never three times.

A real process is killed (SIGKILL) at each of its checkpoints in turn, and at each call that it makes, before the call
is done and after; then another is started. The book must be that of a run that nothing disturbed.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from bot.chat.door import PLATFORM
from bot.storage import Database
from core.entries import Weight
from core.roster import BREEDER, FAMILY, Dog
from tests.stand_ins.bot_api import BotApi
from tests.stand_ins.process import Process
from tests.stand_ins.serving import FAMILY_CHAT, MAYA, TOM, kennel

# The whole loop takes a minute: nightly and before a release, with FETTLE_NIGHTLY=1. Else every seventh.
STRIDE = 1 if os.environ.get("FETTLE_NIGHTLY") else 7
SURE = 25  # checkpoints that every run passes: five of each of the five updates
MOST = 50  # and those of sending; an undisturbed run passes fewer before it is settled

BOOK = [("Tom", 9.4, False), ("Tom", 9.5, True), ("Tom", 9.6, True)]
REPLIES = {"Nugget: 9.4 kg.": 1, "Which dog?": 1}
MARKS = {1, 3}


class Day:
    """Five things that happen in the group, the database, and the double that tells of them."""

    def __init__(self, api: BotApi, file: Path) -> None:
        self.api, self.file = api, file
        self.database = Database(f"sqlite:///{file}").open()
        number = self.database.create_kennel(kennel(Dog(name="Nugget", born=date(2026, 3, 8))))
        self.database.bind_account(PLATFORM, str(MAYA.id), number, "Maya")
        self.database.bind_room(PLATFORM, str(MAYA.id), number, BREEDER)
        self.database.bind_room(PLATFORM, str(FAMILY_CHAT), number, FAMILY)
        self.number = number
        family = api.world.group("Family", chat=FAMILY_CHAT)
        api.world.private(MAYA)
        first = api.world.write(family, TOM, "Nugget 9.4 kg")
        api.world.write(family, TOM, "how is Nugget?")
        api.world.write(family, TOM, "Nugget 9.5 kg")
        api.world.edit(family, first, "Nugget 9.6 kg")
        api.world.write(family, TOM, "which?")

    def book(self) -> list[tuple[str, float, bool]]:
        """Who said how much, and whether it counts."""
        with self.database.reading(self.number) as store:
            posted = store.load_book().history()
        return sorted((p.by, p.entry.kg, p.counts) for p in posted if isinstance(p.entry, Weight))

    def settled(self) -> bool:
        """True once everything is confirmed, taken up and sent."""
        counts = self.database.outbox.counts()
        return (
            not self.api.world.updates
            and not self.database.inbox.waiting(PLATFORM)
            and not counts.get("waiting") and not counts.get("sending") and counts.get("sent", 0) >= 5
        )

    async def until_settled(self, process: Process) -> bool:
        """True once it is settled; false where the process ended before."""
        await self.api.until(lambda: not process.running or self.settled(), seconds=20)
        return self.settled()

    def check(self, *, again: int) -> None:
        """The book is right, every reply was given, and at most `again` of them twice."""
        assert self.book() == BOOK
        said = Counter(s.text for s in self.api.world.sent)
        assert said.keys() == REPLIES.keys()
        assert max(said.values()) <= 2 and sum(said.values()) <= len(REPLIES) + again
        assert {m.message for m in self.api.world.marks} == MARKS


async def _killed(day: Day, *, at: int = 0) -> bool:
    """Runs one that is killed, then one that is not; true where the first was killed before all was settled."""
    first = Process(day.api.url, day.file, at=at).start()
    try:
        whole = await day.until_settled(first)
    finally:
        first.kill()
    if whole:
        return False
    second = Process(day.api.url, day.file).start()
    try:
        assert await day.until_settled(second)
    finally:
        second.kill()
    return True


@pytest.mark.parametrize("at", range(1, MOST, STRIDE))
async def test_killed_at_any_checkpoint_nothing_is_lost_and_nothing_is_there_twice(tmp_path: Path, at: int) -> None:
    async with BotApi() as api:
        day = Day(api, tmp_path / "fettle.db")
        assert await _killed(day, at=at) or at > SURE
        # What was on its way, at most the claim of one chat's ten, may arrive twice; nothing else.
        day.check(again=len(REPLIES))
        day.database.close()


@pytest.mark.parametrize("moment", ["before", "after"])
@pytest.mark.parametrize("method", ["sendMessage", "setMessageReaction", "getUpdates"])
async def test_killed_in_the_middle_of_a_call(tmp_path: Path, method: str, moment: str) -> None:
    async with BotApi() as api:
        day = Day(api, tmp_path / "fettle.db")
        first = Process(api.url, day.file)
        api.spy = _once(lambda m, called: (m, called) == (moment, method), first.kill)
        first.start()
        assert not await day.until_settled(first) or method == "getUpdates"
        assert first.status == -9
        second = Process(api.url, day.file).start()
        assert await day.until_settled(second)
        second.kill()
        # Nobody can know what became of the one call under way; those behind it had not left.
        day.check(again=1)
        day.database.close()


def _once(when: Callable[[str, str], bool], do: Callable[[], None]) -> Callable[[str, str], None]:
    done: list[bool] = []

    def spy(moment: str, method: str) -> None:
        if not done and when(moment, method):
            done.append(True)
            do()

    return spy
