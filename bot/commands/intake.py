"""What Telegram brought, on its way to a turn: kept raw, then taken up in order, one after the other.

An update is on the disk before it is looked at. What stands in the inbox is translated, let in at the door, and given
to `bot.turn`; whatever goes wrong with one, the next is taken up.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Coroutine, Mapping
from contextlib import ExitStack
from dataclasses import replace
from typing import Any

from bot.chat.door import PLATFORM, Door, Verdict
from bot.chat.errors import ChatError
from bot.chat.sending import TelegramSender
from bot.chat.updates import Came, Me, Wrote, address, translate
from bot.scheduling.clock import Clock
from bot.storage import Database, StorageError, Update, Waiting
from bot.storage.errors import KeyReused
from bot.turn import Turns
from core.messages import Say
from core.roster import BREEDER
from shared.texts import text

log = logging.getLogger(__name__)

_LOOK_EVERY_S = 1.0  # for what another process took up and did not finish
_AT_ONCE = 20  # rows taken up before it is looked again whether another chat has something: a fraction of a second
_FIRST_WAIT_S, _LONGEST_WAIT_S = 1.0, 30.0  # between tries while the database cannot be used


class Intake:
    """The inbox of one bot: filled by `take_in`, emptied by `work`.

    Args:
        nudge: called when something may have been put into the outbox.
    """

    def __init__(
        self,
        database: Database,
        turns: Turns,
        door: Door,
        sender: TelegramSender,
        clock: Clock,
        me: Me,
        *,
        nudge: Callable[[], None] = lambda: None,
    ) -> None:
        self._database, self._turns, self._door = database, turns, door
        self._sender, self._clock, self._me, self._nudge = sender, clock, me, nudge
        self._news = asyncio.Event()
        self._courtesies: set[asyncio.Task[None]] = set()
        self._gone: list[str] = []  # chats of breeders whose kennel was just erased
        # For a watchdog: looks and turns that ended, and whether one is under way.
        self.ended, self.busy = 0, False

    async def take_in(self, raw: Mapping[str, Any]) -> None:
        """Keeps one raw update; when it returns, the update is on the disk. One that is known changes nothing.

        Raises:
            StorageError: the database could not do it.
        """
        at = address(raw)
        update = Update(
            platform=PLATFORM,
            chat=at.chat,
            received_at=self._clock.now(),
            raw=raw,
            update_key=at.number,
            message=at.message,
            edit=at.edit,
            digest=at.digest,
        )
        await asyncio.to_thread(self._database.inbox.take, [update])
        self._news.set()

    async def work(self, stop: asyncio.Event) -> None:
        """Takes up what stands in the inbox, oldest first, until `stop` is set; the one under way is finished."""
        wait = _FIRST_WAIT_S
        while not stop.is_set():
            self._news.clear()
            try:
                self.busy = True
                try:
                    worked = await self._some(stop)
                finally:
                    self.busy, self.ended = False, self.ended + 1
                if not worked:
                    await self._idle(stop)
                wait = _FIRST_WAIT_S
            except StorageError as trouble:
                (log.error if wait == _FIRST_WAIT_S else log.debug)("%s", trouble)
                await asyncio.wait([stopping := asyncio.ensure_future(stop.wait())], timeout=wait)
                stopping.cancel()
                wait = min(_LONGEST_WAIT_S, wait * 2)
        if self._courtesies:
            await asyncio.wait(self._courtesies, timeout=2)

    async def _idle(self, stop: asyncio.Event) -> None:
        """Until there is news; where several processes serve, at most a moment: another's work may be left over."""
        waits = [asyncio.ensure_future(w) for w in (self._news.wait(), stop.wait())]
        seconds = _LOOK_EVERY_S if self._database.shared else None
        await asyncio.wait(waits, timeout=seconds, return_when=asyncio.FIRST_COMPLETED)
        for wait in waits:
            wait.cancel()

    async def _some(self, stop: asyncio.Event) -> bool:
        """True where anything stood in the inbox."""
        worked = False
        for row in await asyncio.to_thread(self._database.inbox.waiting, PLATFORM, _AT_ONCE):
            if stop.is_set():
                break
            worked |= await self._one_alone(row)
            self.ended += 1
        return worked

    async def _one_alone(self, row: Waiting) -> bool:
        """True where the row was taken up; false where another process is at work in its chat."""
        with ExitStack() as alone:
            mine = await asyncio.to_thread(alone.enter_context, self._database.inbox.alone_with(row))
            if mine:
                await self._one(row)
            await asyncio.to_thread(alone.close)
        return mine

    async def _one(self, row: Waiting) -> None:
        try:
            came = translate(row.raw, self._me)
            verdict = await asyncio.to_thread(self._door.admit, came, row.received_at) if came else Verdict()
            verdict = await self._with_table(came, verdict, row)
            heard = await asyncio.to_thread(self._settle, row, verdict)
        except StorageError:
            raise
        except Exception as error:
            # Its text stays in the inbox for whoever mends it; a log is no place for people's words.
            log.error("update %s cannot be understood: %s", row.id, type(error).__name__)
            await asyncio.to_thread(self._database.inbox.failed, row.id, f"{type(error).__name__}: {error}"[:500])
            return
        self._nudge()
        while self._gone:
            self._courtesy(self._say_goodbye(self._gone.pop()))
        if isinstance(came, Wrote) and came.press and not verdict.stranger:
            self._courtesy(self._answer(came, heard))
        if came is not None and (verdict.line or verdict.leave):
            self._courtesy(self._turn_away(row, verdict))

    async def _with_table(self, came: Came | None, verdict: Verdict, row: Waiting) -> Verdict:
        """The message with the text of the table that the breeder sent along; nobody else's files are fetched."""
        message = verdict.message
        if not isinstance(came, Wrote) or not came.table or message is None or message.room != BREEDER:
            return verdict
        try:
            table = await self._sender.fetch(came.table)
        except ChatError as error:
            log.warning("a table could not be fetched: %s", type(error).__name__)
            told = Say(key=f"table {row.id}", room=BREEDER, text=text("weight_table.error.fetch"))
            return replace(verdict, say=(*verdict.say, told))
        return replace(verdict, message=replace(message, table=table))

    def _settle(self, row: Waiting, verdict: Verdict) -> bool:
        """Keeps all that the update brings about; true where anything came of it."""
        if verdict.kennel is not None and verdict.say:
            with self._database.writing(verdict.kennel) as store:
                store.say(verdict.say, at=self._clock.now())
        if verdict.kennel is not None and verdict.message is not None:
            try:
                turn = self._turns.take(verdict.message, verdict.kennel, inbox_id=row.id, now=self._clock.now())
            except KeyReused as error:  # it is set aside already
                log.error("%s", error)
                return False
            if turn is not None and turn.erase_kennel:
                self._gone.append(row.chat)
            return turn is not None and bool(turn.out or turn.posts or turn.withdrawn or turn.kennel)
        if verdict.stranger:
            self._database.inbox.wipe(row.id)
        else:
            self._database.inbox.done(row.id)
        return bool(verdict.say)

    async def _answer(self, came: Wrote, heard: bool) -> None:
        """Ends the waiting sign of a press, and takes buttons away that have done their work."""
        await self._sender.answer_press(came.press)
        if heard and came.message.reply_to:
            await self._sender.take_buttons_away(came.message.reply_to)

    async def _say_goodbye(self, chat: str) -> None:
        """The last line to a breeder whose kennel is erased: there is no outbox for it any more."""
        try:
            await self._sender.send(chat, Say(key="goodbye", room="", text=text("erase.goodbye")), None)
        except ChatError as error:
            log.info("a goodbye could not be said: %s", type(error).__name__)

    async def _turn_away(self, row: Waiting, verdict: Verdict) -> None:
        """One line into a chat that is no room of ours, and out again; done as far as it can be."""
        if verdict.line:
            try:
                await self._sender.send(row.chat, Say(key=f"line {row.id}", room="", text=verdict.line), None)
            except ChatError as error:
                log.info("a stranger could not be told: %s", type(error).__name__)
        if verdict.leave:
            await self._sender.leave(row.chat)

    def _courtesy(self, what: Coroutine[Any, Any, None]) -> None:
        """Does it beside the work: nobody else waits for it."""
        task = asyncio.create_task(what)
        self._courtesies.add(task)
        task.add_done_callback(self._courtesies.discard)


