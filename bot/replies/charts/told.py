"""What a sheet of weights tells: from when, which weighings, band, events and ears, and what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from bot.replies import say_units
from bot.replies.charts.days import short_day
from core import story
from core.ears import EarDay, by_day
from core.entries import Ears
from core.growth import BandPoint, first_band_day, is_past_growth, weight_band
from core.ledger import Ledger
from core.roster import Dog, Kennel
from core.story import LifeEvent
from core.weighings import Weighing, daily
from shared.texts import text

# How far back a sheet looks: the weights alone, ears that were asked for, and both together, where a day still has a
# bar that can be seen.
LONGEST, EAR_WEEKS, BOTH = timedelta(days=400), timedelta(weeks=26), timedelta(weeks=8)
FEWEST = 4  # weighings that are worth a longer look back
# Between two weighings this far apart nothing is known: a fortnight is usual for a pup, a month for a grown dog.
GAP_PUP, GAP_GROWN = timedelta(days=21), timedelta(days=62)


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """What a sheet tells of one dog: its weighings, band, events and scored ears from `start` to `end`; `cut` where
    there are earlier weighings."""

    dog: Dog
    start: date
    end: date
    weighings: tuple[Weighing, ...]
    band: tuple[BandPoint, ...]
    events: tuple[LifeEvent, ...]
    ears: tuple[EarDay, ...] | None = None
    cut: bool = False

    @property
    def newest(self) -> Weighing | None:
        """The newest weighing of the sheet."""
        return self.weighings[-1] if self.weighings else None


def tell(dog: Dog, kennel: Kennel, ledger: Ledger, on: date, with_ears: bool, ears_alone: bool = False) -> Story:
    """What the records say up to a day; `ears_alone` begins where the ears were first written down."""
    scored = tuple(d for d in by_day(ledger.entries(dog.name, Ears, until=on)) if on - d.on <= EAR_WEEKS)
    weighings = tuple(w for w in daily(dog, ledger, on) if on - w.on <= LONGEST)
    start = min([w.on for w in weighings[:1]] + [d.on for d in scored[:1] if with_ears], default=on)
    if with_ears and scored:
        begun = min(scored[0].on, on - timedelta(days=28)) if ears_alone else on - BOTH
        fewest = weighings[-FEWEST:][0].on if weighings else begun
        start = max(start, on - EAR_WEEKS, min(begun, fewest))
    cut = bool(weighings) and weighings[0].on < start
    weighings = tuple(w for w in weighings if w.on >= start)
    scored = tuple(d for d in scored if d.on >= start)
    band = weight_band(dog, ledger, kennel, max(start, first_band_day(dog)), on) if weighings else ()
    return Story(
        dog=dog, start=start, end=on, weighings=weighings, band=band,
        events=story.events(dog, ledger, start, on), ears=scored if with_ears else None, cut=cut,
    )  # fmt: skip


def missing(told: Story, kennel: Kennel) -> list[str]:
    """What is not known, and what the table does not cover, in short sentences."""
    said = [text("chart.note.since", day=_day(told.start, kennel, told.end))] if told.cut else []
    newest = told.newest
    if newest is None:
        said.append(text("chart.note.no_weight"))
    elif told.end - newest.on > longest_gap(told.dog, told.end):
        said.append(text("chart.note.old", day=_day(newest.on, kennel, told.end)))
    for a, b in gaps(told):
        said.append(text("chart.note.gap", start=_day(a, kennel, told.end), end=_day(b, kennel, told.end)))
    if newest is not None:
        weeks = (first_band_day(told.dog) - told.dog.born).days // 7
        if told.start < first_band_day(told.dog):
            said.append(text("chart.note.young", n=weeks))
        elif is_past_growth(told.dog, told.end):
            said.append(text("chart.note.grown", dog=told.dog.name))
        if told.band and told.band[-1].lean_kg is None:
            said.append(text("chart.note.no_lean"))
    if told.ears is not None:
        unsided = sum(1 for d in told.ears if d.unnamed)
        if not any(d.sides for d in told.ears):
            said.append(text("chart.note.no_ears"))
        if unsided:
            said.append(text("chart.note.sides", days=say_units.days(unsided)))
    return said


def gaps(told: Story) -> list[tuple[date, date]]:
    """The longest two spans between weighings that are too long to say what was between, in order."""
    found = [(a.on, b.on) for a, b in pairwise(told.weighings) if b.on - a.on > longest_gap(told.dog, b.on)]
    return sorted(sorted(found, key=lambda g: g[0] - g[1])[:2])


def longest_gap(dog: Dog, on: date) -> timedelta:
    """How long a pause between weighings is still usual at that age."""
    return GAP_PUP if dog.is_pup(on) else GAP_GROWN


def _day(on: date, kennel: Kennel, near: date | None = None) -> str:
    shown = short_day(on, kennel)
    return shown if near is None or near.year == on.year else text("units.with_year", day=shown, year=on.year)
