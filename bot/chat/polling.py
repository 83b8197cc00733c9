"""Listening to Telegram: each update is kept before the server is told that it was received.

The server repeats an update until a later call names a higher offset, and then forgets it. The library's own updater
confirms what it has only put in memory: killed, it lost 8 messages of 12 when it was measured. So this loop is our own,
with the library's request layer. The offset is never stored: a restart asks without one, gets everything that was not
confirmed, and the inbox knows what it has. Between batches no offset is sent either, because after a quiet week
the server may begin its numbers anew, lower.

The answer is taken raw, not through `Bot.get_updates`, for two reasons: what is stored is what the server said, and one
update that the library cannot read must not hold back the others.
"""

from __future__ import annotations

import asyncio
import json
import logging
import random
from collections.abc import Awaitable, Callable, Mapping
from typing import Any
from urllib.parse import urlencode

import telegram

from bot.chat.connecting import request
from bot.chat.errors import AnotherBot, BadToken
from bot.chat.keeping import Keeper, TakeIn
from bot.chat.patience import Patience
from bot.chat.sending import sorted_error
from bot.chat.updates import ALLOWED_UPDATES

log = logging.getLogger(__name__)


class Listener:
    """The loop; `run` it until `stop` is set."""

    def __init__(
        self,
        bot: telegram.Bot,
        take_in: TakeIn,
        *,
        patience: Patience | None = None,
        pause: Callable[[float], Awaitable[None]] = asyncio.sleep,
    ) -> None:
        """
        Args:
            take_in: keeps one raw update for good before it returns; keeping one twice changes nothing.
            pause: waits so many seconds (tests make it shorter).
        """
        self._bot = bot
        self._keeper = Keeper(take_in)
        self._patience = patience or Patience()
        self._pause = pause
        self._request = request(1)
        self._failures = 0  # calls in a row that failed
        self.polls = 0  # calls that were answered
        self.calls = 0  # calls that were begun; a watchdog sees by it that the loop is alive

    async def run(self, stop: asyncio.Event) -> None:
        """Listens until `stop` is set; returns at once then, whatever call is under way.

        Raises:
            BadToken: the server does not know the token. AnotherBot: somebody else listens with it.
        """
        stopping = asyncio.ensure_future(stop.wait())
        listening = asyncio.ensure_future(self._listen())
        try:
            # The call that is cut off was not confirmed: its updates come again.
            await asyncio.wait({stopping, listening}, return_when=asyncio.FIRST_COMPLETED)
            if listening.done():
                listening.result()
        finally:
            for task in (stopping, listening):
                task.cancel()
            await asyncio.gather(stopping, listening, return_exceptions=True)
            await self._request.shutdown()

    async def _listen(self) -> None:
        await self._request.initialize()
        offset: int | None = None
        while True:
            self.calls += 1
            try:
                raws = await self._updates(offset)
            except telegram.error.Conflict as exc:
                raise AnotherBot(
                    "Another bot is running with this token (or a webhook is set); stop that one, then start again."
                ) from exc
            except telegram.error.TelegramError as exc:
                await self._wait_out(exc)
                continue
            offset = None
            for raw in raws:
                number = raw.get("update_id") if isinstance(raw, dict) else None
                if not isinstance(number, int):
                    log.warning("an update without a number was passed over")
                    continue
                if not await self._kept(raw):
                    break  # the rest comes again: it was not confirmed
                offset = number + 1

    async def _updates(self, offset: int | None) -> list[Any]:
        asked: dict[str, Any] = {"timeout": self._patience.poll_s, "allowed_updates": json.dumps(ALLOWED_UPDATES)}
        if offset is not None:
            asked["offset"] = offset
        answer: Any = await self._request.post(
            f"{self._bot.base_url}/getUpdates?{urlencode(asked)}",
            read_timeout=self._patience.poll_s + self._patience.grace_s,
        )
        if not isinstance(answer, list):
            raise telegram.error.NetworkError("the answer is not a list of updates")
        self._failures = 0
        self.polls += 1
        return answer

    async def _kept(self, raw: Mapping[str, Any]) -> bool:
        """True once the update is kept; after a failure it waits, so that a full disk is not asked in a spin."""
        if await self._keeper.keep(raw):
            return True
        await self._pause(self._patience.after(self._keeper.unkept, random.random()))
        return False

    async def _wait_out(self, exc: telegram.error.TelegramError) -> None:
        problem = sorted_error(exc)
        if isinstance(problem, BadToken):
            raise problem from None  # the library's own text may quote the token
        self._failures += 1
        told = getattr(problem, "retry_after", None)
        wait = told if told is not None else self._patience.after(self._failures, random.random())
        # Only the first of a row is told: an hour without a network is one line, not a hundred.
        (log.warning if self._failures == 1 else log.debug)(
            "Telegram cannot be reached (%s); trying again in %.0f s", type(exc).__name__, wait
        )
        await self._pause(wait)
