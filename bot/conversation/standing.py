"""What is kept in mind and meets the clock: the rounds ask here, beside the agenda."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from bot.conversation import alarms, buyer_news, night, off_food, once, put_off, stand_ins, tip_talk
from bot.conversation.asides import quiet_until
from core.agenda import DOSE, ROUND, Due
from core.ledger import Ledger
from core.messages import Say
from core.roster import Kennel
from core.turns import Memory

MOST = 36 * 60  # minutes ahead; by then everything that is kept in mind is over


def announced(item: Due, memory: Mapping[str, Memory], kennel: Kennel) -> Due | None:
    """The item as it is to be said: to whoever stands in for its person; None where it was put off or passed on.

    None too where the breeder asked for quiet, but for medicine and newborns.
    """
    hushed = quiet_until(memory.get(item.room))
    if hushed is not None and item.at < hushed and item.kind not in (DOSE, ROUND):
        return None
    if put_off.hushes(item, memory) or stand_ins.waits(item, memory, kennel):
        return None
    return stand_ins.stood_in(item, memory, kennel)


def asked_again(
    memory: Mapping[str, Memory], kennel: Kennel, ledger: Ledger, start: datetime, end: datetime
) -> tuple[Say, ...]:
    """What is said after `start` and not after `end`: the whelping clock's lines, alarms that nobody answered,
    a nursing dam who has not eaten, reminders put off and those of one moment, whether the buyers' tips may go."""
    return (
        *night.watch(memory, kennel, start, end),
        *alarms.again(memory, kennel, start, end),
        *off_food.again(memory, kennel, ledger, start, end),
        *put_off.again(memory, kennel, ledger, start, end),
        *once.said_now(memory, kennel, start, end),
        *buyer_news.gathered(memory, kennel, start, end),
        *tip_talk.let_go(kennel, start, end),
    )


def in_mind(said: Sequence[Say], memory: Mapping[str, Memory], kennel: Kennel, at: datetime) -> dict[str, Memory]:
    """The rooms' memory that changes once these were said: a question among them waits for its answer."""
    return tip_talk.in_mind(said, memory, kennel, at)


def moments(memory: Mapping[str, Memory], start: datetime, end: datetime) -> tuple[datetime, ...]:
    """The instants after `start` and before `end` at which something may be asked again, for a clock that leaps."""
    kept = (*off_food.times(memory), *buyer_news.moments(memory))
    once_at = (*once.times(memory, start, end), *(at for at in kept if start < at < end))
    if not any({"alarm", "night", "put off"} & mind.facts.keys() for mind in memory.values()):
        return once_at
    # The alarm's and the clock's tens of minutes begin at any minute.
    minutes = range(1, min(int((end - start).total_seconds() // 60), MOST))
    return tuple(sorted({*once_at, *(start + timedelta(minutes=n) for n in minutes)}))
