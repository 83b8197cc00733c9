"""The standing jobs: a round at the start and each half minute; a failing round ends nothing."""

from __future__ import annotations

import asyncio
from datetime import datetime, timedelta

import pytest
from apscheduler.triggers.interval import IntervalTrigger

from bot.scheduling.clock import SetClock
from bot.scheduling.standing import ROUND_EVERY_S, Standing
from bot.storage import StorageError
from tests.scheduling.house import at


class Looking:
    """Rounds that count their looks, and fail when told to."""

    def __init__(self) -> None:
        self.looks: list[datetime] = []
        self.fails: list[Exception] = []

    def look(self, now: datetime) -> int:
        """One new thing at every look."""
        self.looks.append(now)
        if self.fails:
            raise self.fails.pop(0)
        return 1


async def test_the_first_look_is_at_the_start_and_the_clocks() -> None:
    """What fell due while Fettle was down goes out at once; delivery is nudged."""
    rounds, nudges = Looking(), []
    standing = Standing(rounds, SetClock(at(14, 8)), nudge=lambda: nudges.append(1))  # type: ignore[arg-type]
    await standing.start()
    standing.stop()
    assert rounds.looks == [at(14, 8)] and nudges == [1] and standing.looked == 1


async def test_a_round_that_fails_is_followed_by_the_next(caplog: pytest.LogCaptureFixture) -> None:
    """A locked database or a fault: logged once, without what it quotes, tried again."""
    rounds = Looking()
    rounds.fails = [ValueError("Ana's own words"), StorageError("the disk is full")]
    standing = Standing(rounds, SetClock(at(14, 8)))  # type: ignore[arg-type]
    for _ in range(3):
        await standing.round()
    assert len(rounds.looks) == 3 and standing.looked == 1
    assert "ValueError at " in caplog.text and "own words" not in caplog.text


async def test_a_late_job_still_runs_and_many_late_runs_are_one() -> None:
    """The loop was blocked over several due times: one run, not none and not three."""
    rounds = Looking()
    standing = Standing(rounds, SetClock(at(14, 8)))  # type: ignore[arg-type]
    job = standing._scheduler.get_job("round")
    assert isinstance(job.trigger, IntervalTrigger) and job.trigger.interval == timedelta(seconds=ROUND_EVERY_S)
    await standing.start()
    job.modify(next_run_time=datetime.now(job.trigger.timezone) - timedelta(seconds=5 * ROUND_EVERY_S))  # noqa: TID251
    await asyncio.sleep(0.3)
    standing.stop()
    assert len(rounds.looks) == 2


async def test_housekeeping_is_a_job_of_the_night() -> None:
    """Once a day, where there is any."""

    async def keep() -> None: ...

    standing = Standing(Looking(), SetClock(at(14, 8)), housekeeping=keep)  # type: ignore[arg-type]
    assert {j.id for j in standing._scheduler.get_jobs()} == {"round", "housekeeping"}
