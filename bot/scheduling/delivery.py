"""From the outbox to the chat: claimed, paced, sent, settled; what fails is sorted by what can be done about it.

A claim has a lease of two minutes, so nothing is claimed that would have to wait long: what a chat's pace does
not let go within a moment is put off in the outbox, where its order is kept and something urgent may overtake it.
"""

from __future__ import annotations

import asyncio
import logging
import random
from collections.abc import Callable
from datetime import timedelta

from bot.chat import Sender
from bot.chat.errors import Moved, Passing, Refused, Shut
from bot.scheduling.clock import Clock
from bot.scheduling.pace import Pace
from bot.storage import Database, Parcel, StorageError
from core.messages import DIGEST, Mark, Say
from core.roster import BREEDER, FAMILY
from shared.texts import text

log = logging.getLogger(__name__)

AT_ONCE = 10  # claimed in one go; at thirty a second in all they are gone within the lease many times over
PATIENCE_S = 1.5  # a pause of one chat that is waited out; longer ones are put off
FIRST_RETRY_S, LONGEST_RETRY_S = 2.0, 300.0
LOOK_EVERY_S = 1.0  # when nobody nudges: what was put off may have come due


class Delivery:
    """Sends what the outbox holds for one platform.

    Args:
        platform: the platform's word in the table of rooms. sender: its chat.
        is_group: whether a room is a group with its own limit (the family's, where none is said).
        chance: jitter of the retries, from 0 to 1.
    """

    def __init__(
        self,
        database: Database,
        sender: Sender,
        clock: Clock,
        platform: str,
        *,
        pace: Pace | None = None,
        is_group: Callable[[str], bool] = lambda room: room == FAMILY,
        chance: Callable[[], float] = random.random,
    ) -> None:
        self._database, self._sender, self._clock, self._platform = database, sender, clock, platform
        self._pace = pace or Pace()
        self._is_group, self._chance = is_group, chance
        self._news = asyncio.Event()
        self._failures = 0
        self.rounds = 0  # looks at the outbox that ended; a watchdog sees by it that delivery is alive

    def nudge(self) -> None:
        """Says that something may have been put into the outbox."""
        self._news.set()

    async def run(self, stop: asyncio.Event) -> None:
        """Delivers until `stop` is set; what is being sent then is finished.

        Raises:
            Stopped: the platform will take nothing more (a wrong token).
        """
        self._recover()
        while not stop.is_set():
            self._news.clear()
            try:
                worked = await self.once()
                self._failures = 0
            except StorageError as trouble:
                self._failures += 1
                (log.error if self._failures == 1 else log.debug)("%s", trouble)
                worked = False
            self.rounds += 1
            if not worked:
                await self._idle(stop)

    async def once(self) -> bool:
        """True where anything was claimed; it is sent, put off or given up when this returns.

        Raises:
            StorageError: the database could not do it. Stopped: the platform takes nothing more.
        """
        parcels = await asyncio.to_thread(self._database.outbox.claim, self._clock.now(), self._platform, AT_ONCE)
        lanes: dict[str, list[Parcel]] = {}
        for parcel in parcels:
            lanes.setdefault(parcel.chat, []).append(parcel)
        done = await asyncio.gather(*(self._lane(lane) for lane in lanes.values()), return_exceptions=True)
        for outcome in done:
            if isinstance(outcome, BaseException):
                raise outcome
        return bool(parcels)

    async def flush(self) -> None:
        """Everything that may leave now has left when this returns (for a chat without a network)."""
        while await self.once():
            pass

    def _recover(self) -> None:
        try:
            found = self._database.outbox.recover(self._clock.now())
        except StorageError as trouble:
            log.error("%s", trouble)
            return
        if found:
            log.warning("%d things were being sent when the program last ended", found)

    async def _idle(self, stop: asyncio.Event) -> None:
        waits = [asyncio.ensure_future(w) for w in (self._news.wait(), stop.wait(), self._clock.wait(LOOK_EVERY_S))]
        await asyncio.wait(waits, return_when=asyncio.FIRST_COMPLETED)
        for wait in waits:
            wait.cancel()

    async def _lane(self, parcels: list[Parcel]) -> None:
        """The parcels of one chat, one after the other; once one is put off, the rest wait behind it."""
        chat, held = parcels[0].chat, 0.0
        for n, parcel in enumerate(parcels):
            if not await self._is_ours(parcel, parcels[n:]):
                continue
            pause = self._pace.wait(chat, self._clock.monotonic(), group=self._is_group(parcel.room))
            if held or pause > PATIENCE_S:
                held = max(held, pause)
                await self._put_off(parcel, held, "")
                continue
            await self._clock.wait(pause)
            held = await self._send(parcel)

    async def _is_ours(self, parcel: Parcel, rest: list[Parcel]) -> bool:
        """True where no other process has taken it over; the lease of the rest of its lane begins anew."""
        if not self._database.shared:
            return True
        held = await asyncio.to_thread(self._database.outbox.still_held, rest, self._clock.now())
        return parcel.id in held

    async def _send(self, parcel: Parcel) -> float:
        """0.0 where the parcel is settled; else the seconds for which the chat is to be left alone."""
        out, outbox, now = parcel.out, self._database.outbox, self._clock.now
        self._pace.left(parcel.chat, self._clock.monotonic())
        try:
            key = await self._sender.send(parcel.chat, out, out.reply_to if isinstance(out, Say) else None)
        except Passing as problem:
            return await self._passing(parcel, problem)
        except Moved as problem:
            await asyncio.to_thread(self._database.move_room, self._platform, parcel.chat, problem.new_chat)
            await self._put_off(parcel, 0.0, "the chat has moved")
            return 0.1
        except Shut as problem:
            await self._shut(parcel, str(problem))
            return 0.1  # the rest of the lane goes back; while the room is shut nobody claims it
        except Refused as problem:
            log.warning("one thing for a room of kennel %d was refused: %s", parcel.kennel, problem)
            await asyncio.to_thread(outbox.refuse, parcel.id, now(), str(problem)[:200])
            return 0.0
        await asyncio.to_thread(outbox.sent, parcel.id, now(), key)
        return 0.0

    async def _passing(self, parcel: Parcel, problem: Passing) -> float:
        doubled = min(LONGEST_RETRY_S, FIRST_RETRY_S * 2.0 ** min(parcel.tries - 1, 10))
        wait = problem.retry_after if problem.retry_after is not None else doubled * (0.5 + 0.5 * self._chance())
        self._pace.hold(parcel.chat, self._clock.monotonic() + wait)
        if problem.unclear:
            await asyncio.to_thread(self._database.outbox.unclear, parcel.id, self._clock.now(), str(problem)[:200])
        else:
            await self._put_off(parcel, wait, str(problem))
        return wait

    async def _put_off(self, parcel: Parcel, seconds: float, why: str) -> None:
        until = self._clock.now() + timedelta(seconds=seconds)
        await asyncio.to_thread(self._database.outbox.put_off, parcel.id, until, why[:200])

    async def _shut(self, parcel: Parcel, why: str) -> None:
        """Nothing is sent there any more; the breeder hears of it in her own line, where that is another."""
        log.warning("nothing can be sent to a room of kennel %d any more: %s", parcel.kennel, why)
        await asyncio.to_thread(self._settle_shut, parcel, why[:200])

    def _settle_shut(self, parcel: Parcel, why: str) -> None:
        now = self._clock.now()
        self._database.shut_room(self._platform, parcel.chat, why)
        self._database.outbox.refuse(parcel.id, now, why)
        if parcel.room == BREEDER or isinstance(parcel.out, Mark):
            return
        told = Say(
            key=f"shut {parcel.chat} {now:%Y-%m-%d}",
            room=BREEDER,
            about="fault",
            priority=DIGEST,
            text=text("rooms.shut", room=parcel.room),
        )
        with self._database.writing(parcel.kennel) as store:
            store.say([told], at=now)
