"""One look at the agenda: what fell due since the last look goes into the outbox, each item once by its key.

The last instant looked at is kept with the kennel, so that nothing that fell due while Fettle was down is passed over
in silence: what is still of use is sent (several late ones in a room as one message), what is stale is dropped, and
the breeder is told.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from types import ModuleType

from bot.faults import where
from bot.storage import Database, KennelStore, Stamp, StorageError
from core.agenda import ALERT, REMIND, Due, due
from core.ledger import Ledger
from core.messages import ANSWER, Say
from core.roster import BREEDER, Kennel
from core.tips import Tip

log = logging.getLogger(__name__)

Words = Callable[[Due, Kennel, Ledger, datetime], Say | None]

LATE = timedelta(minutes=5)  # ten rounds; an item found later than this is late because Fettle was down
LOOK_AHEAD = timedelta(hours=1)  # looked ahead for what falls due, so that rounds until then can pass the kennel over
LONGEST_LOOK = timedelta(days=21)  # after a longer sleep everything older is stale anyway
# Telegram keeps what was written for a day (its Bot API, `getUpdates`): after a longer sleep messages are lost.
MESSAGES_KEPT = timedelta(hours=24)
EARLIEST = datetime(2020, 1, 1, tzinfo=UTC)  # a clock before it was never set: nothing is announced by it


@dataclass(frozen=True, slots=True, kw_only=True)
class Calm:
    """A kennel in which nothing falls due from `since` up to `until`, while its state is `stamp`."""

    since: datetime
    until: datetime
    stamp: Stamp


class Rounds:
    """Looks at every kennel's agenda.

    Args:
        words: an item's text, None where there is nothing to say.
        tips: the care tips; those of the texts where none are given.
        messages_kept: for how long the chat keeps what was written while nobody listens; None where none is lost.
    """

    def __init__(
        self,
        database: Database,
        *,
        words: Words | None = None,
        tips: Sequence[Tip] | None = None,
        messages_kept: timedelta | None = MESSAGES_KEPT,
    ) -> None:
        self._database = database
        self._own_words, self._own_tips, self._messages_kept = words, tips, messages_kept
        self._held = False
        self._calm: dict[int, Calm] = {}
        self._ill: set[int] = set()  # kennels whose last round failed

    @property
    def tips(self) -> Sequence[Tip]:
        """The care tips that fall due."""
        return _said().tips() if self._own_tips is None else self._own_tips

    def look(self, now: datetime) -> int:
        """How many new things went into the outbox, over all kennels.

        Raises:
            StorageError: the database could not do it; the next round finds the same.
        """
        if now < EARLIEST:
            (log.debug if self._held else log.error)("the machine's clock says %s: nothing is announced by it", now)
            self._held = True
            return 0
        self._held = False
        kennels = self._database.kennels()
        calm = {kennel: calm.stamp for kennel, calm in self._calm.items() if calm.since <= now < calm.until}
        passed = self._database.pass_over(calm, now)
        return sum(self._look_past_faults(kennel, now) for kennel in kennels if kennel not in passed)

    def _look_past_faults(self, kennel_id: int, now: datetime) -> int:
        """The same as `look_at`, but a fault in one kennel must not keep the others' reminders back; the log says
        which, once until it is well again."""
        try:
            said = self.look_at(kennel_id, now)
        except StorageError:
            raise
        except Exception as error:
            (log.debug if kennel_id in self._ill else log.error)("kennel %d: no round: %s", kennel_id, where(error))
            self._ill.add(kennel_id)
            return 0
        self._ill.discard(kennel_id)
        return said

    def look_at(self, kennel_id: int, now: datetime) -> int:
        """The same for one kennel: in one transaction with the note of how far was looked."""
        with self._database.writing(kennel_id) as store:
            last = store.looked_at()
            if last == now:
                return 0
            said = 0
            if last is not None and last < now:
                said = store.say(self._since(store, last, now), at=now)
            elif last is not None:
                # What was announced has its key, so going over it again announces nothing twice.
                log.warning("the clock went back by %s", last - now)
            store.set_looked_at(now)
            calm = Calm(since=now, until=self._calm_until(store, now), stamp=store.stamp())
        self._calm[kennel_id] = calm  # only now that it is committed
        return said

    def _calm_until(self, store: KennelStore, now: datetime) -> datetime:
        """Before when nothing can fall due unless something changes in the kennel."""
        kennel = store.load_kennel()
        ledger, ahead = store.load_ledger(kennel.day_of(now), kennel), now + LOOK_AHEAD
        memory = store.memory()
        talk = _talk()
        if talk.moments(memory, now, ahead) or talk.asked_again(memory, kennel, ledger, now, ahead):
            return now  # an alarm or a whelping clock runs, or something is to be asked: each round looks
        return min((item.at for item in due(kennel, ledger, now, ahead, self.tips)), default=ahead)

    def _since(self, store: KennelStore, last: datetime, now: datetime) -> list[Say]:
        kennel = store.load_kennel()
        ledger = store.load_ledger(kennel.day_of(now), kennel)
        found = due(kennel, ledger, max(last, now - LONGEST_LOOK), now, self.tips)
        memory = store.memory()
        items = [
            said
            for item in found
            if not store.is_said(item.key)
            and (said := _talk().announced(item, memory, kennel)) is not None
        ]
        late = [item for item in items if now - item.at > LATE]
        out = list(self._after_down_time(late, kennel, ledger, last, now))
        out.extend(say for item in items if item not in late and (say := self._say(item, kennel, ledger, now)))
        again = [say for say in _talk().asked_again(memory, kennel, ledger, last, now) if not store.is_said(say.key)]
        store.remember(_talk().in_mind(again, memory, kennel, now))
        out.extend(again)
        return out

    def _say(self, item: Due, kennel: Kennel, ledger: Ledger, now: datetime) -> Say | None:
        try:
            say = (self._own_words or _said().words)(item, kennel, ledger, now)
        except Exception as error:
            # One item without words must not keep the others back; the log says which.
            log.error("no words for %s of %s: %s", item.kind, item.on, where(error))
            return None
        if say is None or not say.text:
            return None
        return replace(say, key=item.key, room=item.room, not_after=say.not_after or item.not_after)

    def _after_down_time(
        self, late: Sequence[Due], kennel: Kennel, ledger: Ledger, last: datetime, now: datetime
    ) -> Iterator[Say]:
        """What is said of items that should have gone out while Fettle was down, the breeder first."""
        lost = self._messages_kept is not None and now - last > self._messages_kept
        useful = _newest_steps([item for item in late if item.not_after >= now])
        stale = [item for item in late if item.not_after < now and item.step == REMIND and item.kind != ALERT]
        if (stale or lost) and kennel.breeder is not None:
            told = _said().down(last, now, stale, kennel, lost=lost)
            if told is not None:
                yield replace(told, key=f"down:{last.isoformat()}", room=BREEDER, priority=ANSWER)
        for item in late:
            if item not in useful:
                yield _dropped(item)
        for room in dict.fromkeys(item.room for item in useful):
            here = [item for item in useful if item.room == room]
            says = [say for item in here if (say := self._say(item, kennel, ledger, now))]
            if len(says) > 1:
                yield from (_dropped(item) for item in here)
                yield _said().merged(says, key=f"late:{room}:{last.isoformat()}")
            else:
                yield from says


def _talk() -> ModuleType:
    # Only when a round needs it, in the round's own thread: it loads the whole reader, which no start waits for.
    from bot import conversation

    return conversation


def _said() -> ModuleType:
    from bot.replies import reminders

    return reminders


def _dropped(item: Due) -> Say:
    """The item as a thing that is not said any more: its row in the outbox says so, and its key is taken."""
    return Say(key=item.key, room=item.room, text="", about=item.kind, not_after=item.at)


def _newest_steps(items: Sequence[Due]) -> list[Due]:
    """Of a reminder and its nudge in one room only the newest."""
    newest: dict[tuple[str, str], Due] = {}
    for item in items:
        newest[item.key.removesuffix(f":{item.step}"), item.room] = item
    return sorted(newest.values(), key=lambda item: (item.at, item.key))
