"""`fettle serve` as a process of its own that can be killed: at its Nth checkpoint, or from outside at any moment.

The processes come from a fork server that has the libraries loaded, so that a start takes a tenth of a second.
"""

from __future__ import annotations

import asyncio
import itertools
import multiprocessing
import os
import signal
import sys
from pathlib import Path

from bot.chat.connecting import make_bot
from bot.commands.alone import alone
from bot.commands.serve import serve
from bot.scheduling.pace import Pace
from bot.settings import Settings, Trouble, set_up_log
from bot.storage import Database
from bot.storage.checkpoints import arm
from tests.stand_ins.bot_api import TOKEN
from tests.stand_ins.hearing import hear
from tests.stand_ins.serving import QUICK, UNPACED

_CONTEXT = multiprocessing.get_context("forkserver")
_CONTEXT.set_forkserver_preload(["__main__", __name__])
make_bot(TOKEN)  # reads the certificates, once for all the processes that are forked from here


class Process:
    """One process that serves; `at` is the checkpoint at which it kills itself, counted from 1, 0 for none."""

    def __init__(self, url: str, file: Path, *, at: int = 0) -> None:
        self._process = _CONTEXT.Process(target=_run, args=(url, file, at), daemon=True)

    def start(self) -> Process:
        """The same, started."""
        self._process.start()
        return self

    @property
    def running(self) -> bool:
        """True until it has ended."""
        return self._process.is_alive()

    @property
    def status(self) -> int | None:
        """The exit status, negative for a signal; None while it runs."""
        return self._process.exitcode

    def kill(self) -> None:
        """Ends it as a power cut would; nothing of it runs any more when this returns."""
        self._process.kill()
        self._process.join()

    def tell(self) -> None:
        """SIGTERM: asks it to stop."""
        self._process.terminate()

    async def ended(self, seconds: float) -> int | None:
        """The exit status once it has ended; None where it has not within so many seconds."""
        for _ in range(int(seconds / 0.02)):
            if not self.running:
                break
            await asyncio.sleep(0.02)
        return self.status


def _run(url: str, file: Path, at: int) -> None:
    settings = Settings(database_url="", data_dir=file.parent, token=TOKEN, api_url=url)
    set_up_log(settings)
    counted = itertools.count(1)

    def checkpoint(name: str) -> None:
        if next(counted) == at:
            os.kill(os.getpid(), signal.SIGKILL)

    arm(checkpoint)
    try:
        with Database(f"sqlite:///{file}") as database, alone(database.file):
            asyncio.run(_until_told(settings, database))
    except Trouble as trouble:
        print(f"fettle: {trouble}", file=sys.stderr)
        sys.exit(1)


async def _until_told(settings: Settings, database: Database) -> None:
    stop = asyncio.Event()
    asyncio.get_running_loop().add_signal_handler(signal.SIGTERM, stop.set)
    await serve(settings, database, stop, hear=hear, patience=QUICK, pace=Pace(UNPACED))
