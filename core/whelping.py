"""The whelping clock: minutes since the last pup and of hard pushing, pups owed, and the lines for ringing the vet.

The lines (20 minutes, 2 hours, 24 hours after the drop, green before pup one) are the kennel's own, tighter than
the published outer limits, and only counted; what is seen on the bitch stands above every clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from shared.tables import facts


@dataclass(frozen=True, slots=True, kw_only=True)
class WhelpingClock:
    """Where a whelping stands at a moment.

    Attributes:
        born: pups so far. owed: still counted inside; None where nobody counted.
        minutes_since_pup, minutes_pushing, hours_since_drop: elapsed; None where it has not begun.
        lines: keys of the lines reached: `pushing`, `between`, `drop`, `green`. ring_vet: true where any is.
        repeat_at: when to say it again while nobody answers; None where no line is reached.
        next_line_at: the next moment at which a line will be reached, None where none is ahead.
    """

    at: datetime
    born: int
    owed: int | None = None
    minutes_since_pup: float | None = None
    minutes_pushing: float | None = None
    hours_since_drop: float | None = None
    lines: tuple[str, ...] = ()
    repeat_at: datetime | None = None
    next_line_at: datetime | None = None
    source: tuple[str, ...] = ("whelping-lines", "jutkowitz-2005")
    caution: tuple[str, ...] = ("vet_decides", "eyes_before_clock")

    @property
    def ring_vet(self) -> bool:
        """True where a line is reached."""
        return bool(self.lines)


def clock(
    at: datetime,
    births: Sequence[datetime] = (),
    *,
    counted: int | None = None,
    pushing_since: datetime | None = None,
    dropped_at: datetime | None = None,
    green_before_first: bool = False,
    done: bool = False,
) -> WhelpingClock:
    """The clock at a moment (aware; elapsed time, whatever the wall clocks do that night).

    `counted` is the X-ray's number; where nobody counted, two hours since the last pup are a line as long as she is
    not said to be done. A push that a pup has ended is over.
    """
    rule = facts("reproduction")
    pushing_line = timedelta(minutes=float(rule["clock"]["pushing_minutes"]))
    between_line = timedelta(hours=float(rule["clock"]["between_hours"]))
    drop_line = timedelta(hours=float(rule["drop"]["vet_after_hours"]))
    born = sorted(b for b in births if b <= at)
    last = born[-1] if born else None
    owed = max(0, counted - len(born)) if counted is not None else None
    pushing = pushing_since if pushing_since and pushing_since <= at else None
    if pushing and last and pushing <= last:
        pushing = None
    over = done or owed == 0
    ahead: list[datetime] = []
    lines: list[str] = []

    def line(key: str, when: datetime) -> None:
        if at >= when:
            lines.append(key)
        else:
            ahead.append(when)

    if pushing is not None and not done:
        line("pushing", pushing + pushing_line)
    if last is not None and not over:
        line("between", last + between_line)
    if dropped_at is not None and last is None:
        line("drop", dropped_at + drop_line)
    if green_before_first and last is None:
        lines.append("green")
    return WhelpingClock(
        at=at,
        born=len(born),
        owed=owed,
        minutes_since_pup=(at - last).total_seconds() / 60 if last else None,
        minutes_pushing=(at - pushing).total_seconds() / 60 if pushing else None,
        hours_since_drop=(at - dropped_at).total_seconds() / 3600 if dropped_at else None,
        lines=tuple(lines),
        repeat_at=at + timedelta(minutes=float(rule["clock"]["repeat_minutes"])) if lines else None,
        next_line_at=min(ahead, default=None),
    )
