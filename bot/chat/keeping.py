"""A raw update on its way to the disk, whoever brought it: polling and the webhook keep it in the same way."""

from __future__ import annotations

import logging
from collections.abc import Awaitable, Callable, Mapping
from typing import Any

from bot.settings import Trouble

log = logging.getLogger(__name__)

TakeIn = Callable[[Mapping[str, Any]], Awaitable[None]]


class Keeper:
    """Keeps raw updates; what could not be kept is not confirmed, so that Telegram brings it again.

    Args:
        take_in: keeps one raw update for good before it returns; keeping one twice changes nothing.

    Attributes:
        unkept: updates in a row that could not be kept.
    """

    def __init__(self, take_in: TakeIn) -> None:
        self._take_in = take_in
        self.unkept = 0

    async def keep(self, raw: Mapping[str, Any]) -> bool:
        """True once the update is on the disk; only the first failure of a row is told as an error."""
        try:
            await self._take_in(raw)
        except Exception as exc:
            self.unkept += 1
            reason = str(exc) if isinstance(exc, Trouble) else type(exc).__name__
            (log.error if self.unkept == 1 else log.debug)("an update could not be kept, it comes again: %s", reason)
            return False
        self.unkept = 0
        return True
