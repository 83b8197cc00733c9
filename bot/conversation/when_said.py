"""The moment that the words of a reminder name: "in 2 hours", "at 6", "tomorrow evening", "on Sunday at half nine"."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from bot.conversation.days import day_ahead
from bot.conversation.heard import patterns
from bot.conversation.hearing import Hearing
from bot.enrolment import as_figures, clock_said
from core.roster import Kennel
from core.times import instant, within

AT = time(10, 0)  # where no time is said; own choice
# Where a part of the day is said and no hour; own choice.
PARTS = {
    "morning": AT, "lunchtime": time(12), "afternoon": time(14), "evening": time(18), "tonight": time(20),
    "night": time(20),
}  # fmt: skip
_AFTER = {
    "min": timedelta(minutes=1), "minute": timedelta(minutes=1), "hr": timedelta(hours=1), "hour": timedelta(hours=1),
    "day": timedelta(days=1), "week": timedelta(weeks=1), "fortnight": timedelta(weeks=2),
}  # fmt: skip
_NUMBERS = {
    "half an": 0.5, "a": 1, "an": 1, "one": 1, "a couple of": 2, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class WhenSaid:
    """What was said of the moment: so long from now, the day, the time of day (with its doubtful half), the part of
    the day; None and "" where it was not."""

    after: timedelta | None = None
    on: date | None = None
    clock: time | None = None
    sure: bool = False
    part: str = ""

    @property
    def says_nothing(self) -> bool:
        """True where no moment was named."""
        return self.after is None and self.on is None and self.clock is None and not self.part


def taken(said: str, hearing: Hearing) -> tuple[WhenSaid, str]:
    """What the words say of the moment, and the words without it."""
    after, on, clock, sure, part = None, None, None, False, ""
    what = as_figures(said)
    for pattern in patterns("remind_when"):
        for m in pattern.finditer(what):
            told = {name: " ".join(value.casefold().split()) for name, value in m.groupdict().items() if value}
            part = told.get("part", part)
            if "unit" in told:
                count = _NUMBERS.get(told["n"]) or int(told["n"])
                after = count * _AFTER[told["unit"].rstrip("s")]
            elif "clock" in told:
                clock = clock_said(m["clock"])
                sure = bool(told.get("half")) or told["clock"][0] == "0" or clock is None or not 1 <= clock.hour < 12
            elif "part" not in told or "day" in told:
                on = day_ahead(m[0], hearing.on, hearing.kennel) or on
        what = pattern.sub(" ", what)
    what = " ".join(what.split())
    return WhenSaid(after, on, clock, sure, part), what


def moment(said: WhenSaid, hearing: Hearing) -> datetime | None:
    """The first such moment ahead; a bare "at 6" is the next six o'clock outside the quiet hours."""
    now, kennel = hearing.at, hearing.kennel
    if said.after is not None:
        return now + said.after
    if said.says_nothing:
        return None
    days = [said.on] if said.on else [hearing.on, hearing.on + timedelta(days=1)]
    ahead = [at for day in days for clock in clocks(said) if (at := instant(day, clock, kennel.tz)) > now]
    if said.on == hearing.on and not ahead and said.clock is None and not said.part:
        ahead = [at for c in PARTS.values() if (at := instant(hearing.on, c, kennel.tz)) > now]  # "today", after ten
    awake = [at for at in ahead if said.sure or not is_quiet(at, kennel)]
    return min(awake or ahead, default=None)


def clocks(said: WhenSaid) -> tuple[time, ...]:
    """The times of day that the words can mean: 06:00 and 18:00 for a bare six."""
    if said.clock is None:
        return (PARTS.get(said.part, AT),)
    late = said.clock.replace(hour=(said.clock.hour + 12) % 24)
    if said.sure or said.part in ("morning", "lunchtime"):
        return (said.clock,)
    return (late,) if said.part else (said.clock, late)


def usual(said: WhenSaid, kennel: Kennel) -> time:
    """The time of day of what comes again: of a bare hour the half outside the quiet hours."""
    told = clocks(said)
    awake = [c for c in told if said.sure or not within(c, kennel.quiet_from, kennel.quiet_to)]
    return (awake or told)[0]


def is_quiet(at: datetime, kennel: Kennel) -> bool:
    """True in the kennel's quiet hours."""
    return within(kennel.local(at).time(), kennel.quiet_from, kennel.quiet_to)
