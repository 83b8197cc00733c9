"""Growth of one dog: its curve, its adult weight, its gain against what is expected, its lean line, and what to mind.

The curve is `core.curve`, what is known beforehand `core.line`, the lean line `core.lean`, the warnings `core.trend`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp, hypot, log, pi
from statistics import median

from core.fit import blend
from core.fitted import Z80, Blend, Noise, Reading, prior_only
from core.lean import lean_line
from core.ledger import Ledger
from core.line import Expected, expect
from core.roster import Dog, Kennel
from core.trend import Gain, gain_between, previous_of, warnings_of
from core.weighings import Weighing, daily
from shared.tables import facts

MERGE_ABOVE = 32  # more daily weighings than this are merged into spans of 5 % of the age: the same answer, sooner
KEEP_DAYS = 7  # but the last week's are looked at one by one


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """How a dog grows. Weights in kg, gains in grams a day, intervals 80 %; None where there is nothing to say it by.

    Attributes:
        age_days: on the day asked; negative before birth.
        last, previous: (kg, day) of the newest weighing and of the one that the gain is taken from.
        gain_g_per_day, gain_se_g_per_day: between these two, and its standard error. gain_since: day of `previous`.
        expected_gain_g_per_day: over the same days, by the curve as it was known at `previous`; with one weight or
            none, over the coming week.
        expected_kg, expected_low_kg, expected_high_kg: body weight expected on the day asked, by the weighings of the
            days before it (so that a weighing of the day itself can be held against it).
        adult_kg, adult_low_kg, adult_high_kg: grown weight. pct_of_adult: the last weight as a percentage of it.
        lean_line_kg: lean weight on the day asked; lean_from: (kg, day) that it starts from.
        over_kg, over_pct: the last weight over the lean line of its own day (negative: under).
        warnings: keys, the most pressing first. n_weights: days with a weight that the curve rests on.
        basis: what the curve rests on: `weights`, `breeder_expects`, `parents`, `own_line`, `breed`, `no_breed`.
        last_trust: how far the curve trusts the last reading (0 to 1); low for a reading that may be wrong.
    """

    dog: str
    on: date
    age_days: int
    last: tuple[float, date] | None = None
    previous: tuple[float, date] | None = None
    gain_g_per_day: float | None = None
    gain_se_g_per_day: float | None = None
    gain_since: date | None = None
    expected_gain_g_per_day: float | None = None
    expected_kg: float | None = None
    expected_low_kg: float | None = None
    expected_high_kg: float | None = None
    adult_kg: float | None = None
    adult_low_kg: float | None = None
    adult_high_kg: float | None = None
    pct_of_adult: float | None = None
    lean_line_kg: float | None = None
    lean_from: tuple[float, date] | None = None
    over_kg: float | None = None
    over_pct: float | None = None
    warnings: tuple[str, ...] = ()
    n_weights: int = 0
    basis: tuple[str, ...] = ()
    last_trust: float | None = None
    own_line_dogs: int = 0
    source: tuple[str, ...] = ()
    caution: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BandPoint:
    """One day of the band on a chart, in kg: expected weight with its 80 % interval, lean line where there is one."""

    on: date
    expected_kg: float
    low_kg: float
    high_kg: float
    lean_kg: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A dog's curve as known on a day: what was expected beforehand, the fits, and the weighings they rest on."""

    dog: Dog
    expected: Expected
    blend: Blend
    used: tuple[Weighing, ...]

    @property
    def adult_kg(self) -> float:
        """Grown weight in kg."""
        return exp(self.blend.ln_adult()[0])

    def adult_range(self, z: float = Z80) -> tuple[float, float]:
        """Low and high in kg of the grown weight (80 % unless another z is given)."""
        return _range(*self.blend.ln_adult(), z)

    def kg_on(self, on: date) -> float:
        """Weight in kg that the curve gives for a day."""
        return exp(self.blend.ln_weight(self.expected.u(self.dog.age_days(on)))[0])

    def range_on(self, on: date, z: float = Z80) -> tuple[float, float]:
        """Low and high in kg about the curve on a day (80 % unless another z): the curve's own doubt and the wander."""
        age = self.dog.age_days(on)
        mean, sd = self.blend.ln_weight(self.expected.u(age))
        return _range(mean, hypot(sd, _early(age)), z)

    def forecast(self, on: date, z: float = Z80) -> tuple[float, float, float]:
        """Weight in kg expected on a day after the weighings that the curve rests on, low, high: from where the dog
        stands now, towards its curve."""
        age = self.dog.age_days(on)
        mean, sd = self.blend.forecast(age, self.expected.u(age))
        return exp(mean), *_range(mean, hypot(sd, _early(age)), z)


def assess(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> Growth:
    """How the dog grows as of a day, from its weighings up to that day (curve: Gompertz family, see `core.fit`)."""
    age = dog.age_days(on)
    if age < 0:
        return Growth(dog=dog.name, on=on, age_days=age, caution=("not_born",))
    weighings = daily(dog, ledger, on)
    story = _Story(dog, expect(dog, ledger, kennel, on), weighings)
    curve = story.curve
    last = weighings[-1] if weighings else None
    expected_kg, low, high = story.known(sum(w.on < on for w in weighings)).forecast(on)
    adult_low, adult_high = curve.adult_range()
    gain = story.gain(len(weighings))
    if gain is not None:
        expected_gain = gain.expected_g_per_day
    else:
        expected_gain = (curve.kg_on(on + timedelta(days=7)) - curve.kg_on(on)) / 7 * 1000
    line = lean_line(dog, ledger, curve.expected, on)
    over = over_pct = None
    if last is not None and line is not None:
        over = last.kg - line.kg_on(last.on)
        over_pct = 100 * over / line.kg_on(last.on)
    trust = story.last_trust()
    return Growth(
        dog=dog.name,
        on=on,
        age_days=age,
        last=(last.kg, last.on) if last else None,
        previous=(gain.from_kg, gain.since) if gain else None,
        gain_g_per_day=gain.g_per_day if gain else None,
        gain_se_g_per_day=gain.se_g_per_day if gain else None,
        gain_since=gain.since if gain else None,
        expected_gain_g_per_day=expected_gain,
        expected_kg=expected_kg,
        expected_low_kg=low,
        expected_high_kg=high,
        adult_kg=curve.adult_kg,
        adult_low_kg=adult_low,
        adult_high_kg=adult_high,
        pct_of_adult=100 * last.kg / curve.adult_kg if last else None,
        lean_line_kg=line.kg_on(on) if line else None,
        lean_from=(line.kg, line.on) if line else None,
        over_kg=over,
        over_pct=over_pct,
        warnings=warnings_of(
            dog,
            ledger,
            weighings,
            over_kg=over,
            over_pct=over_pct,
            gain=gain,
            earlier_gain=lambda: story.gain(len(weighings) - 1),
            fraction=curve.expected.fraction,
            trust=trust,
        ),
        n_weights=len(curve.used),
        basis=(("weights",) if curve.used else ()) + curve.expected.basis,
        last_trust=trust,
        own_line_dogs=curve.expected.own_line_dogs,
        source=curve.expected.source,
        caution=_caution(dog, curve, weighings, on, over_pct),
    )


def weight_band(dog: Dog, ledger: Ledger, kennel: Kennel, start: date, end: date) -> tuple[BandPoint, ...]:
    """The expected weight in kg with its 80 % interval and the lean line for every day from start to end, both
    included, by the weighings up to the end; empty where the end is before the start or before birth."""
    start = max(start, dog.born)
    if end < start:
        return ()
    curve = curve_of(dog, ledger, kennel, end)
    line = lean_line(dog, ledger, curve.expected, end)
    points = []
    for day in range((end - start).days + 1):
        on = start + timedelta(days=day)
        low, high = curve.range_on(on)
        lean = line.kg_on(on) if line is not None and (line.grown or on >= line.on) else None
        points.append(BandPoint(on=on, expected_kg=curve.kg_on(on), low_kg=low, high_kg=high, lean_kg=lean))
    return tuple(points)


def first_band_day(dog: Dog) -> date:
    """The first day on which a band says something: before it weights follow birth size and milk, not the curve."""
    return dog.born + timedelta(days=facts("growth")["curve"]["fit_from_day"])


def is_past_growth(dog: Dog, on: date) -> bool:
    """True once the growth table has ended: a band is then the dog's own steady weight."""
    return dog.age_days(on) >= int(facts("growth")["curve"]["grown_day"])


def curve_of(
    dog: Dog, ledger: Ledger, kennel: Kennel, on: date, weighings: Sequence[Weighing] | None = None
) -> Curve:
    """The dog's curve as known on a day, its parameters a posterior mode with a normal about it (Laplace)."""
    found = daily(dog, ledger, on) if weighings is None else weighings
    return _curve(dog, expect(dog, ledger, kennel, on), found)


class _Story:
    """The dog's curve as it was known after each weighing; works only inside `assess`."""

    def __init__(self, dog: Dog, expected: Expected, weighings: Sequence[Weighing]) -> None:
        self.dog, self.expected, self.weighings = dog, expected, weighings
        self._made: dict[tuple[date, int], Reading] = {}  # the same spans of days come back in each fit
        self.curve = _curve(dog, expected, weighings, None, self._made)
        self._known = {len(weighings): self.curve}

    def known(self, count: int) -> Curve:
        """The curve by the first so many weighings."""
        if count not in self._known:
            start = self.curve.blend if self.curve.used else None
            self._known[count] = _curve(self.dog, self.expected, self.weighings[:count], start, self._made)
        return self._known[count]

    def _near(self, count: int) -> Curve:
        """The curve by the first so many weighings under the best noise alone: enough for its slope, and sooner."""
        if count in self._known or not self.curve.used:
            return self.known(count)
        best = Blend(fits=((1.0, self.curve.blend.best),))
        return _curve(self.dog, self.expected, self.weighings[:count], best, self._made)

    def gain(self, count: int) -> Gain | None:
        """The gain to the last of the first so many weighings, beside what the curve, as known before, expected."""
        told = self.weighings[: max(count, 0)]
        previous = previous_of(self.dog, told)
        if previous is None:
            return None
        before = self._near(told.index(previous) + 1)
        return gain_between(previous, told[-1], before.kg_on(told[-1].on) - before.kg_on(previous.on))

    def last_trust(self) -> float | None:
        """How far the fit trusts the last weighing, None where it is not in the fit."""
        trust = self.curve.blend.best.trust
        if not trust or not self.curve.used or self.curve.used[-1] != self.weighings[-1]:
            return None
        return min(trust[-1], 1.0)


def _curve(
    dog: Dog,
    expected: Expected,
    weighings: Sequence[Weighing],
    start: Blend | None = None,
    made: dict[tuple[date, int], Reading] | None = None,
) -> Curve:
    rules = facts("growth")
    noise = rules["noise"]
    since = dog.born + timedelta(days=rules["curve"]["fit_from_day"])
    used = tuple(w for w in weighings if w.on >= since and not w.carrying)
    if not used:
        usual = sum(share * drift**2 for share, drift in zip(noise["drift_share"], noise["drift"], strict=True))
        return Curve(dog=dog, expected=expected, blend=prior_only(expected.prior, usual), used=())
    made = {} if made is None else made
    readings = []
    for group in _groups(dog, used):
        key = group[0].on, len(group)
        if key not in made:
            made[key] = _reading(dog, expected, group)
        readings.append(made[key])
    noises = [
        (
            share,
            Noise(
                drift=drift,
                drift_days=noise["drift_days"],
                robust_df=noise["robust_df"],
                prior_readings=noise["scatter_prior_readings"],
            ),
        )
        for share, drift in zip(noise["drift_share"], noise["drift"], strict=True)
    ]
    if start is not None and len(start.fits) == 1:
        noises = [n for n in noises if n[1].drift == start.best.drift] or noises
    return Curve(dog=dog, expected=expected, blend=blend(readings, expected.prior, noises, start), used=used)


def _range(mean: float, sd: float, z: float) -> tuple[float, float]:
    return exp(mean - z * sd), exp(mean + z * sd)


def _groups(dog: Dog, used: Sequence[Weighing]) -> list[list[Weighing]]:
    if len(used) <= MERGE_ABOVE:
        return [[w] for w in used]
    groups: list[list[Weighing]] = []
    single, born = (used[-1].on - timedelta(days=KEEP_DAYS)).toordinal(), dog.born.toordinal()
    first = 0
    for w in used:
        day = w.on.toordinal()
        if groups and day <= single and day - first < max(1.0, 0.05 * (day - born)):
            groups[-1].append(w)
        else:
            groups.append([w])
            first = day
    return groups


def _reading(dog: Dog, expected: Expected, group: Sequence[Weighing]) -> Reading:
    noise = facts("growth")["noise"]
    day = sum(dog.age_days(w.on) for w in group) / len(group)
    kg = group[0].middle_kg if len(group) == 1 else median(w.middle_kg for w in group)
    variance = noise["reading"] ** 2 + (noise["scale_step_kg"] / kg) ** 2
    variance *= (pi / 2 if len(group) > 2 else 1.0) / len(group)  # pi/2: a median's variance over a mean's
    return Reading(day=day, x=expected.u(day), y=log(kg), variance=variance + _early(day) ** 2)


def _early(day: float) -> float:
    """Extra SD (ln units) of a weight at a young age, where size is that of womb and milk."""
    rules = facts("growth")
    noise = rules["noise"]
    return float(noise["early"]) * exp(-(day - rules["curve"]["fit_from_day"]) / noise["early_days"])


def _caution(
    dog: Dog, curve: Curve, weighings: Sequence[Weighing], on: date, over_pct: float | None
) -> tuple[str, ...]:
    rules = facts("growth")
    age = dog.age_days(on)
    keys = []
    if not weighings:
        keys.append("no_weights")
    elif not curve.used:
        keys.append("too_young_for_curve")
    if age < rules["lines"]["from_day"]:
        keys.append("forecast_loose_under_12_weeks")
    if "no_breed" in curve.expected.basis and "parents" not in curve.expected.basis:
        keys.append("breed_unknown")
    if over_pct is not None and over_pct >= rules["lean"]["over_pct"]:
        keys.append("heavy_pup_predicts_heavy")
    if weighings and (on - weighings[-1].on).days > (14 if dog.is_pup(on) else 62):
        keys.append("weight_old")
    if age < rules["curve"]["grown_day"]:
        keys.append("not_for_food")
    return tuple(keys)
