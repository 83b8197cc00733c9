"""A bitch's state on a day: season, mating, pregnancy, whelping, nursing; with her next window and what to mind.

Never a promise about when she can be mated or must not be: "about day 21" is not safe until she refuses.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from statistics import median

from core.entries import Mating, Progesterone, Season, Temperature
from core.gestation import DueDate, due, nursing, season_starts, tests, unitless, whelped_on
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel, months_between
from core.units import NMOL_PER_NG_PROGESTERONE
from shared.tables import facts

NONE, RESTING, IN_SEASON, MATED, CARRYING, NEAR, NURSING = (
    "none", "resting", "in season", "mated", "pregnant", "near term", "nursing",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """When the next season is likely: first and last day, the middle, and the intervals in days that it rests on."""

    on: date
    earliest: date
    latest: date
    intervals: tuple[int, ...]
    interval_days: int
    source: tuple[str, ...] = ("season-custom",)
    caution: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BloodTest:
    """One progesterone result: value as said, unit (None: to be asked), ng/ml where known, and what it fits.

    `fits` is `before the rise`, `hormone peak`, `rising`, `ovulation` or `past ovulation`; "" without a unit.
    """

    on: date
    value: float
    unit: str | None
    ng_per_ml: float | None
    fits: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BreedingStatus:
    """Where a bitch stands.

    Attributes:
        phase: `none` (a dog, or too young), `resting`, `in season`, `mated`, `pregnant`, `near term` or `nursing`.
        season_on: first day of her last season; season_day: its day today (the first is 1) while she is in it.
        apart_from, apart_to: days between which males are kept apart (common practice; no promise).
        blood_test_on: the first day for a progesterone test of this season. next_season: None without an interval.
        tests, matings: of this season. due: None without a mating. day_of_pregnancy: counted from ovulation or mating.
        dropped: the temperature that shows the drop before whelping, with its moment; None where there is none.
        whelped_on, nursing_day: her newest litter, and days since.
        ask: what must be asked (`progesterone unit`). warnings, caution, source: keys.
    """

    dog: str
    on: date
    phase: str = NONE
    season_on: date | None = None
    season_day: int | None = None
    apart_from: date | None = None
    apart_to: date | None = None
    blood_test_on: date | None = None
    next_season: Window | None = None
    tests: tuple[BloodTest, ...] = ()
    matings: tuple[date, ...] = ()
    due: DueDate | None = None
    day_of_pregnancy: int | None = None
    dropped: Posted | None = None
    whelped_on: date | None = None
    nursing_day: int | None = None
    ask: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    source: tuple[str, ...] = ()
    caution: tuple[str, ...] = ()


def status(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> BreedingStatus:
    """Where a bitch stands on a day, from the book up to it; phase `none` for a male.

    Sources: intervals newlib; due date Mir 2011, Kutzler 2003, Concannon 1983; days of the season common practice.
    """
    if dog.sex == "m":
        return BreedingStatus(dog=dog.name, on=on)
    rule = facts("reproduction")["season"]
    starts = season_starts(dog, ledger, on)
    season_on = starts[-1] if starts else None
    day = (on - season_on).days + 1 if season_on else None
    born = whelped_on(dog, ledger, kennel, on)
    when = due(dog, ledger, kennel, on)
    pregnant_day = _pregnant_day(when, on)
    since = season_on if season_on and (born is None or season_on > born) else None
    nurses = nursing(dog, ledger, kennel, on) is not None
    phase = _phase(dog, on, day, nurses, when, pregnant_day)
    in_season = phase in {IN_SEASON, MATED} and season_on is not None
    return BreedingStatus(
        dog=dog.name,
        on=on,
        phase=phase,
        season_on=season_on,
        season_day=day if in_season else None,
        apart_from=season_on + timedelta(days=rule["apart_from"] - 1) if in_season and season_on else None,
        apart_to=season_on + timedelta(days=rule["apart_to"] - 1) if in_season and season_on else None,
        blood_test_on=season_on + timedelta(days=rule["blood_test_from"] - 1) if in_season and season_on else None,
        next_season=next_season(starts, on),
        tests=_blood(dog, ledger, since, on) if since else (),
        matings=tuple(p.entry.on for p in ledger.of(dog.name, Mating, since=since, until=on)) if since or when else (),
        due=when if pregnant_day is not None else None,
        day_of_pregnancy=pregnant_day,
        dropped=drop(dog, ledger, kennel, on) if phase == NEAR else None,
        whelped_on=born,
        nursing_day=(on - born).days if phase == NURSING and born else None,
        ask=("progesterone unit",) if unitless(dog, ledger, kennel, on) else (),
        warnings=_warnings(
            dog, ledger, on, starts, phase, when, since, womb=phase == RESTING and after_season(dog, ledger, kennel, on)
        ),
        source=("newlib-cycle", "season-custom", *(when.source if when else ())),
        caution=_caution(phase, starts),
    )


def next_season(starts: tuple[date, ...], on: date) -> Window | None:
    """When the next season is likely, from her own intervals (their median, and their spread); None without any.

    With one season alone the usual 5 to 8 months stand in, as a wide window.
    """
    if not starts:
        return None
    rule = facts("reproduction")["season"]
    gaps = tuple((b - a).days for a, b in pairwise(starts))
    if gaps:
        days = int(median(gaps))
        # Half the range of her own, at least a week and a half: two equal intervals are no promise.
        spread = max((max(gaps) - min(gaps)) // 2 + 7, 10)
        low, high = days - spread, days + spread
    else:
        low, high = int(rule["usual_interval_low"]), int(rule["usual_interval_high"])
        days = (low + high) // 2
    caution = [] if len(starts) >= int(rule["enough_seasons"]) else ["few_seasons"]
    if starts[-1] + timedelta(days=high) < on:
        caution.append("silent_or_not_logged")
    return Window(
        on=starts[-1] + timedelta(days=days),
        earliest=starts[-1] + timedelta(days=low),
        latest=starts[-1] + timedelta(days=high),
        intervals=gaps,
        interval_days=days,
        caution=tuple(caution),
    )


def drop(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> Posted | None:
    """The first temperature under 37.2 °C in the last three days that is a fall; None where there is none.

    Its absence proves nothing: a drop is easily missed.
    """
    rule = facts("reproduction")["drop"]
    found = ledger.of(dog.name, Temperature, since=on - timedelta(days=10), until=on)
    lately = on - timedelta(days=3)
    for i, p in enumerate(found):
        assert isinstance(p.entry, Temperature)
        before = [q.entry.celsius for q in found[:i] if isinstance(q.entry, Temperature)]
        fallen = not before or max(before) - p.entry.celsius >= float(rule["at_least_fall"])
        if p.entry.on >= lately and p.entry.celsius < float(rule["below"]) and fallen:
            return p
    return None


def plausible_units(value: float) -> tuple[str, ...]:
    """The units that a progesterone value without one may be in, the likelier first: it is asked, never guessed."""
    rule = facts("reproduction")["progesterone"]
    most = float(rule["most_ng_per_ml"])
    return ("ng/ml", "nmol/l") if value <= most / NMOL_PER_NG_PROGESTERONE else ("nmol/l", "ng/ml")


def unit_slip(value_ng: float, earlier_ng: float | None) -> bool:
    """True where a result looks like the other unit: it fell, or leapt, by about the factor 3.18 between two tests."""
    if earlier_ng is None or earlier_ng <= 0 or value_ng <= 0:
        return False
    ratio = earlier_ng / value_ng
    return value_ng < earlier_ng and 0.8 < ratio / NMOL_PER_NG_PROGESTERONE < 1.25


def _pregnant_day(when: DueDate | None, on: date) -> int | None:
    if when is None or on > when.latest + timedelta(days=7):
        return None
    shift = facts("reproduction")["due"]["peak_to_ovulation"] if when.basis == "hormone_peak" else 0
    return max(0, (on - when.counted_from).days - int(shift))


def _phase(
    dog: Dog, on: date, day: int | None, nurses: bool, when: DueDate | None, pregnant_day: int | None
) -> str:
    rule = facts("reproduction")
    if nurses and when is None:
        return NURSING
    if when is not None and pregnant_day is not None:
        if on >= when.temperatures_from:
            return NEAR
        over = day is None or day > int(rule["season"]["apart_to"])
        return CARRYING if over else MATED
    if day is not None and day <= int(rule["season"]["odd_after"]):
        return IN_SEASON
    return RESTING if day is not None or months_between(dog.born, on) >= 6 else NONE


def _blood(dog: Dog, ledger: Ledger, since: date, on: date) -> tuple[BloodTest, ...]:
    known = dict(tests(dog, ledger, since, on))
    out = []
    for p in ledger.entries(dog.name, Progesterone, since=since, until=on):
        ng = known.get(p.on) if p.unit else None
        out.append(BloodTest(on=p.on, value=p.value, unit=p.unit, ng_per_ml=ng, fits=_fits(ng)))
    return tuple(out)


def _fits(ng: float | None) -> str:
    if ng is None:
        return ""
    rule = facts("reproduction")["progesterone"]
    if ng < rule["peak"]:
        return "before the rise"
    if ng < rule["peak"] + 1:
        return "hormone peak"
    if ng < rule["ovulation_from"]:
        return "rising"
    return "ovulation" if ng <= rule["ovulation_to"] else "past ovulation"


def after_season(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> bool:
    """True in the weeks after a season in which thirst or a discharge may be an infected womb, unless she whelped
    since. A season is told by its first day; while she is in season a discharge is right.

    Source: `season-custom`.
    """
    starts = season_starts(dog, ledger, on) if dog.sex != "m" and not dog.neutered else ()
    if not starts:
        return False
    born = whelped_on(dog, ledger, kennel, on)
    rule = facts("reproduction")["season"]
    day = (on - starts[-1]).days + 1
    ended = int(rule["apart_to"])
    return ended < day <= ended + int(rule["womb_to_weeks"]) * 7 and (born is None or born < starts[-1])


def _warnings(
    dog: Dog, ledger: Ledger, on: date, starts: tuple[date, ...], phase: str, when: DueDate | None,
    since: date | None, *, womb: bool,
) -> tuple[str, ...]:  # fmt: skip
    rule = facts("reproduction")["season"]
    out = []
    gaps = [(b - a).days for a, b in pairwise(starts)]
    if gaps and gaps[-1] < int(rule["short_interval"]):
        out.append("short_interval_ask_vet")
    last = ledger.last(dog.name, Season, until=on)
    if starts and last is not None and (last.entry.on - starts[-1]).days > int(rule["odd_after"]):
        out.append("colour_past_28_days")
    if when is not None and phase == NEAR and on > when.vet_after:
        out.append("past_due_ring_vet")
    if womb:
        out.append("watch_for_womb_infection")
    if since is not None:
        values = tests(dog, ledger, since, on)
        longest = float(facts("reproduction")["progesterone"]["longest_gap_hours"]) / 24
        rising = [(a, b) for a, b in pairwise(values) if a[1] >= 1.0 and b[1] > a[1]]
        if any((b[0] - a[0]).days > longest for a, b in rising):
            out.append("silent_gap_in_the_rise")
        if any(unit_slip(b[1], a[1]) for a, b in pairwise(values)):
            out.append("unit_slip")
    return tuple(out)


def _caution(phase: str, starts: tuple[date, ...]) -> tuple[str, ...]:
    out = {
        IN_SEASON: ("not_safe_until_she_refuses",),
        MATED: ("not_safe_until_she_refuses", "vet_confirms"),
        CARRYING: ("vet_confirms", "no_calcium"),
        NEAR: ("drop_easily_missed", "no_calcium"),
        NURSING: ("no_calcium",),
    }.get(phase, ())
    few = 0 < len(starts) < int(facts("reproduction")["season"]["enough_seasons"])
    return (*out, *(("few_seasons",) if few else ()))


