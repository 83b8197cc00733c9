"""What is said to somebody who writes very much at once: everything is kept, and the answers become one message."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from core.messages import ANSWER, URGENT, Mark, Message, Say
from shared.texts import text

# Messages of one person in one room within a minute that are each answered by themselves. A litter of ten is weighed in
# ten messages; Telegram lets twenty a minute into a group, and half of them are left for everybody else.
MOST = 10
WITHIN = timedelta(minutes=1)
_LINES = 6  # different answers that the one message repeats
_LONGEST = 200  # characters of each


def thinned(out: Iterable[Say | Mark], message: Message, now: datetime) -> tuple[list[Say | Mark], list[Say]]:
    """What still leaves by itself (what is urgent, and an invitation), and what is gathered, by room, until the minute
    of `now` is over.

    Marks go: the one message says that all is kept.
    """
    alone: list[Say | Mark] = []
    rooms: dict[str, list[str]] = {message.room: []}
    for item in out:
        if isinstance(item, Say) and (item.priority == URGENT or item.invite):
            alone.append(item)
        elif isinstance(item, Say):
            rooms.setdefault(item.room, []).append(item.text)
    return alone, [_gathered(room, lines, message, now) for room, lines in rooms.items()]


def joined(before: Say | None, now: Say) -> Say:
    """The gathered message of this minute with what one more message brought."""
    if before is None:
        return now
    lines = before.text.split("\n")
    for line in now.text.split("\n")[1:]:
        if line not in lines and len(lines) <= _LINES:
            lines.append(line)
    return Say(
        key=before.key, room=before.room, text="\n".join(lines), about=before.about, priority=before.priority,
        not_before=before.not_before,
    )


def _gathered(room: str, lines: Iterable[str], message: Message, now: datetime) -> Say:
    # Of `now`, not of when it was sent: what is read late would be gathered under a minute whose message has left.
    minute = int(now.timestamp() // WITHIN.total_seconds())
    own = room == message.room
    head = text("floods.kept" if own else "floods.told", who=message.sender)
    short = dict.fromkeys(" ".join(line.split())[:_LONGEST] for line in lines)
    return Say(
        key=f"flood:{room}:{message.room}:{message.sender}:{minute}",
        room=room,
        text="\n".join([head, *list(short)[:_LINES]]),
        about="answer",
        priority=ANSWER,
        not_before=datetime.fromtimestamp((minute + 1) * WITHIN.total_seconds(), UTC),
    )
