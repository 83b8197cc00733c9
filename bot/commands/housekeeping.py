"""What is done once a night, and soon after a start for a machine that is off at night: backup, and tidying."""

from __future__ import annotations

import asyncio
import logging
from datetime import timedelta
from pathlib import Path

from bot.faults import where
from bot.scheduling.clock import Clock
from bot.storage import Database, StorageError
from bot.storage.nightly import make

log = logging.getLogger(__name__)

# Telegram repeats an update for a day at most, and begins its numbers anew after a week without any (Bot API,
# `Update`); what people wrote stays in the table of messages.
_RAW_KEPT = timedelta(days=3)
_AFTER_START_S = 60.0  # a start has other things to do first


class Housekeeping:
    """The night's work.

    Args:
        backups: the folder of the backups, None where none are made.
    """

    def __init__(self, database: Database, clock: Clock, backups: Path | None) -> None:
        self._database, self._clock, self._backups = database, clock, backups

    async def begin(self, stop: asyncio.Event) -> None:
        """Makes today's backup soon after the start, where it is not there yet; ends when `stop` is set."""
        waits = [asyncio.ensure_future(w) for w in (stop.wait(), self._clock.wait(_AFTER_START_S))]
        await asyncio.wait(waits, return_when=asyncio.FIRST_COMPLETED)
        waits[1].cancel()
        if not stop.is_set():
            await asyncio.to_thread(self._back_up)
        await waits[0]

    async def work(self) -> None:
        """All of it; what fails is logged and done the next night."""
        await asyncio.to_thread(self._back_up)
        await asyncio.to_thread(self._tidy)

    def _back_up(self) -> None:
        if self._backups is None:
            return
        try:
            made = make(self._database, self._backups, self._clock.now().date())
        except StorageError as trouble:
            log.error("no backup was made: %s", trouble)
            return
        except Exception as error:  # a folder that may not be read, a disk that fails: nothing that ends the bot
            log.error("no backup was made: %s", where(error))
            return
        if made is not None:
            log.info("backup %s: %d entries, checked; %d older ones gone", made.path, made.entries, len(made.gone))

    def _tidy(self) -> None:
        """Forgets raw updates that are long settled: after a quiet week Telegram may give their numbers again."""
        try:
            self._database.inbox.forget_before(self._clock.now() - _RAW_KEPT)
        except StorageError as trouble:
            log.error("%s", trouble)
