"""Gain from weigh-in to weigh-in beside what was expected, and the warnings that follow."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from math import sqrt
from statistics import median

from core.care import is_unwell
from core.centiles import lines_crossed, z_score
from core.ledger import Ledger
from core.roster import Dog
from core.weighings import Weighing
from shared.tables import facts


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """What was gained between two weighings, in grams a day, its standard error, and what was expected."""

    from_kg: float
    since: date
    to: date
    g_per_day: float
    se_g_per_day: float
    expected_g_per_day: float

    @property
    def ratio(self) -> float | None:
        """Gain over expected gain; None where no more is expected than two readings may differ by chance."""
        least = float(facts("growth")["trend"]["least_expected_se"]) * self.se_g_per_day
        return self.g_per_day / self.expected_g_per_day if self.expected_g_per_day > least else None


def previous_of(dog: Dog, weighings: Sequence[Weighing]) -> Weighing | None:
    """The weighing that the last one is compared with: the newest at least six days before it (13 from six months of
    age, 27 from nine), else the oldest within these days; for a newborn the one before. None where there is one."""
    if len(weighings) < 2:
        return None
    last = weighings[-1]
    if dog.is_newborn(last.on):
        return weighings[-2]
    age = dog.age_days(last.on)
    window = [days for since, days in facts("growth")["trend"]["windows"] if age >= since][-1]
    far = [w for w in weighings[:-1] if (last.on - w.on).days >= window]
    return far[-1] if far else weighings[0]


def gain_between(a: Weighing, b: Weighing, expected_kg: float) -> Gain:
    """The gain from a to b in grams a day beside the expected rise in kg; its error is that of two readings at a."""
    days = (b.on - a.on).days
    return Gain(
        from_kg=a.kg,
        since=a.on,
        to=b.on,
        g_per_day=(b.kg - a.kg) / days * 1000,
        se_g_per_day=sqrt(2) * _reading_sd(a.kg) / days * 1000,
        expected_g_per_day=expected_kg / days * 1000,
    )


def warnings_of(
    dog: Dog,
    ledger: Ledger,
    weighings: Sequence[Weighing],
    *,
    over_kg: float | None,
    over_pct: float | None,
    gain: Gain | None,
    earlier_gain: Callable[[], Gain | None],
    fraction: Callable[[float], float],
    trust: float | None,
) -> tuple[str, ...]:
    """The keys of what is to be minded, the most pressing first; `earlier_gain` is asked only where it decides."""
    if not weighings:
        return ()
    last = weighings[-1]
    if last.carrying:
        return ()
    age = dog.age_days(last.on)
    if age >= facts("growth")["curve"]["grown_day"]:
        return _grown(weighings, over_pct)
    if dog.is_newborn(last.on):
        return ()  # core.newborn watches these, to the gram
    keys = [
        *_loss(dog, ledger, weighings, gain),
        *_pace(gain, earlier_gain),
        *_lines(dog, weighings, fraction),
        *_lean(over_kg, over_pct),
    ]
    if _odd(weighings, gain, trust):
        keys.append("odd_reading")
    return tuple(keys)


def _loss(dog: Dog, ledger: Ledger, weighings: Sequence[Weighing], gain: Gain | None) -> list[str]:
    """Losing, or flat from one weigh-in to the next, once or twice."""
    rule = facts("growth")["trend"]
    last, keys = weighings[-1], []
    steps = _steps(weighings, rule["flat_days"])
    if len(steps) < 2:
        return []
    expected = gain.expected_g_per_day if gain else 0.0
    if last.kg <= steps[-2].kg * (1 - rule["losing_pct"] / 100):
        keys.append("losing")


    def flat(a: Weighing, b: Weighing) -> bool:
        step = gain_between(a, b, expected * (b.on - a.on).days / 1000)
        telling = step.expected_g_per_day > rule["least_expected_se_flat"] * step.se_g_per_day
        return bool(telling and step.g_per_day <= rule["flat_below"] * expected)

    if flat(steps[-2], steps[-1]):
        twice = len(steps) > 2 and flat(steps[-3], steps[-2])
        if dog.age_days(last.on) < rule["flat_vet_before_day"] or is_unwell(dog, ledger, last.on):
            keys.append("flat_vet")
        keys.append("flat_twice" if twice else "flat")
    return keys


def _pace(gain: Gain | None, earlier_gain: Callable[[], Gain | None]) -> list[str]:
    """Gain under half or far above what was expected, once or twice running."""
    rule = facts("growth")["trend"]
    if gain is None or gain.ratio is None:
        return []
    slow, fast = gain.ratio < rule["slow_below"], gain.ratio >= rule["fast_from"]
    if not slow and not fast:
        return []
    earlier = earlier_gain()
    before = earlier.ratio if earlier else None
    if slow:
        return ["slow_twice" if before is not None and before < rule["slow_below"] else "slow"]
    return ["fast_twice" if before is not None and before >= rule["fast_from"] else "fast"]


def _lines(dog: Dog, weighings: Sequence[Weighing], fraction: Callable[[float], float]) -> list[str]:
    """More than two centile lines crossed since 12 weeks (Salt et al. 2020: under 5 % of healthy dogs do).

    A place on the chart is ln(weight / reference) over the SD of dogs of one size; the median of three readings
    stands at each end, so that one bad reading crosses nothing.
    """
    rule = facts("growth")["lines"]
    places = [
        z_score(w.middle_kg, 0.0, fraction(dog.age_days(w.on)), rule["population_sd"])
        for w in weighings
        if dog.age_days(w.on) >= rule["from_day"]
    ]
    if len(places) < 4:
        return []
    smooth = [median(places[i : i + 3]) for i in range(len(places) - 2)]
    crossed = lines_crossed(smooth[0], smooth[-1])
    if crossed > rule["lines"]:
        return ["two_lines_up"]
    return ["two_lines_down"] if crossed < -rule["lines"] else []


def _lean(over_kg: float | None, over_pct: float | None) -> list[str]:
    rule = facts("growth")["lean"]
    if over_kg is None or over_pct is None:
        return []
    if over_pct >= rule["far_over_pct"] or (over_pct >= rule["over_pct"] and over_kg >= rule["far_over_kg"]):
        return ["far_over_line"]
    if over_pct >= rule["over_pct"]:
        return ["over_line"]
    return ["under_line"] if over_pct <= -rule["under_pct"] else []


def _odd(weighings: Sequence[Weighing], gain: Gain | None, trust: float | None) -> bool:
    """True for a reading to be asked about: over 8 % in a day, or far off the curve and the expected gain."""
    rule = facts("growth")["trend"]
    if len(weighings) < 2:
        return False
    a, b = weighings[-2], weighings[-1]
    if (b.on - a.on).days <= 1 and abs(b.kg / a.kg - 1) * 100 > rule["odd_day_pct"]:
        return True
    if gain is None or 0 <= gain.g_per_day <= rule["odd_gain_ratio"] * gain.expected_g_per_day:
        return False
    sure = abs(gain.g_per_day - gain.expected_g_per_day) > 3 * gain.se_g_per_day
    return sure and trust is not None and trust < 0.5


def _grown(weighings: Sequence[Weighing], over_pct: float | None) -> tuple[str, ...]:
    """A grown dog: unplanned loss in a month or half a year, and three weigh-ins off its own lean weight."""
    rule = facts("growth")["grown"]
    last, keys = weighings[-1], []
    counted = [w for w in weighings if not w.carrying]
    for days, pct, key in ((31, rule["loss_month_pct"], "lost_in_month"),
                           (183, rule["loss_half_year_pct"], "lost_in_half_year")):
        then = [w.kg for w in counted if 0 < (last.on - w.on).days <= days]
        if then and last.kg <= max(then) * (1 - pct / 100):
            keys.append(key)
    recent = counted[-rule["drift_weighings"] :]
    if over_pct is not None and len(recent) == rule["drift_weighings"]:
        lean = last.kg / (1 + over_pct / 100)
        off = [100 * (w.kg / lean - 1) for w in recent]
        if min(off) >= rule["drift_pct"]:
            keys.append("creeping_up")
        elif max(off) <= -rule["drift_pct"]:
            keys.append("creeping_down")
    return tuple(keys)


def _steps(weighings: Sequence[Weighing], days: int) -> list[Weighing]:
    """The weigh-ins at least so many days apart, counted back from the last."""
    steps = [weighings[-1]]
    for w in reversed(weighings[:-1]):
        if (steps[-1].on - w.on).days >= days:
            steps.append(w)
    return steps[::-1]


def _reading_sd(kg: float) -> float:
    """SD in kg of one reading: belly and scale step."""
    noise = facts("growth")["noise"]
    return sqrt((float(noise["reading"]) * kg) ** 2 + float(noise["scale_step_kg"]) ** 2)
