"""The standing jobs: a round each half minute, and housekeeping at night.

APScheduler drives them, and nothing else: what falls due is the agenda's, which knows each kennel's zone and finds
what a stopped clock missed. So a job that is late is still run (`misfire_grace_time=None`), and several late runs of
one are a single one (`coalesce=True`).
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from datetime import UTC

from apscheduler.schedulers.asyncio import AsyncIOScheduler
from apscheduler.triggers.cron import CronTrigger
from apscheduler.triggers.interval import IntervalTrigger

from bot.faults import where
from bot.scheduling.clock import Clock
from bot.scheduling.rounds import Rounds
from bot.storage import StorageError

log = logging.getLogger(__name__)

ROUND_EVERY_S = 30
HOUSEKEEPING_HOUR = 3  # UTC; any quiet hour does

Job = Callable[[], Awaitable[None]]


class Standing:
    """The scheduler with its standing jobs; `start` it in a running loop, `stop` it before the loop ends.

    Args:
        nudge: called when a round has put something into the outbox. housekeeping: what is done once a night.
        hold: true where the clock cannot be trusted.
    """

    def __init__(
        self,
        rounds: Rounds,
        clock: Clock,
        *,
        nudge: Callable[[], None] = lambda: None,
        housekeeping: Job | None = None,
        hold: Callable[[], Awaitable[bool]] | None = None,
    ) -> None:
        self._hold = hold
        self._rounds, self._clock, self._nudge = rounds, clock, nudge
        self._failures = 0
        self.looked = 0  # rounds that ended well
        self.ended = 0  # rounds that ended; a watchdog sees by it that they are alive
        self._scheduler = AsyncIOScheduler(
            timezone=UTC, job_defaults={"misfire_grace_time": None, "coalesce": True, "max_instances": 1}
        )
        self._scheduler.add_job(self.round, IntervalTrigger(seconds=ROUND_EVERY_S, timezone=UTC), id="round")
        if housekeeping is not None:
            at = CronTrigger(hour=HOUSEKEEPING_HOUR, timezone=UTC)
            self._scheduler.add_job(housekeeping, at, id="housekeeping")

    async def start(self) -> None:
        """Looks at the agenda once, then starts the jobs."""
        await self.round()
        self._scheduler.start()

    async def run(self, stop: asyncio.Event) -> None:
        """Started, until `stop` is set."""
        try:
            await self.start()
            await stop.wait()
        finally:
            self.stop()

    def stop(self) -> None:
        """No job starts any more; one under way ends by itself."""
        if self._scheduler.running:
            self._scheduler.shutdown(wait=False)

    async def round(self) -> None:
        """One look at every kennel's agenda; a failure is told once and tried again at the next.

        Where the clock cannot be trusted nothing is looked at: the first look after that finds it all.
        """
        try:
            if self._hold is None or not await self._hold():
                await self._look()
        finally:
            self.ended += 1

    async def _look(self) -> None:
        try:
            said = await asyncio.to_thread(self._rounds.look, self._clock.now())
        except StorageError as trouble:
            self._failures += 1
            (log.error if self._failures == 1 else log.debug)("%s", trouble)
            return
        except Exception as error:
            # A fault in one item must not end the rounds: it is in the log, and the next round comes.
            self._failures += 1
            (log.error if self._failures == 1 else log.debug)("a round failed: %s", where(error))
            return
        self._failures = 0
        self.looked += 1
        if said:
            self._nudge()
