"""Growth curves of the Gompertz family, fitted with a prior, robustly, in plain Python.

The curve: W(t) = A · exp(−exp(−(s·u(t) + d))), Gompertz in a straightened age u(t). With u(t) = t it is Gompertz's own
curve (W = A·exp(−exp(−(t−c)/b)), s = 1/b, d = −c/b; Helmink et al. 2000). Here u is the straightened age of the
reference shape of the trade, so that a dog with s = 1 and d = 0 follows that shape exactly and another dog a
stretched or shifted one: a plain Gompertz curve would put a newborn at twice its weight and a yearling at too
little. The logistic curve A / (1 + exp(−(s·u + d))) is the same with another shape function.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import exp, inf, log, log1p, sqrt

from shared.tables import number, table

Z80 = 1.2815515655446004  # standard normal quantile at 0.9: an 80 % interval is ± this many SD
Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Shape:
    """A reference shape: straightened age u at whole days, straight beyond the table's ends."""

    values: tuple[float, ...]

    def u(self, day: float) -> float:
        """Straightened age (no unit) on a day of age; 0 where 1/e = 36.8 % of the adult weight is reached."""
        last = len(self.values) - 1
        i = min(max(int(day), 0), last - 1)
        low = self.values[i]
        return low + (self.values[i + 1] - low) * (day - i)

    def fraction(self, day: float) -> float:
        """Share of the adult weight (0 to 1) on a day of age."""
        return exp(-exp(-self.u(day)))


@cache
def reference() -> Shape:
    """The shape of shared/reference/growth_percent.csv, joined by a monotone cubic (Fritsch & Carlson 1980)."""
    days, us = [], []
    for row in table("growth_percent"):
        day, pct = number(row, "day"), number(row, "pct_of_adult")
        assert day is not None and pct is not None
        days.append(day)
        us.append(-log(-log(pct / 100)))
    slopes = _monotone_slopes(days, us)
    return Shape(tuple(_hermite(days, us, slopes, float(d)) for d in range(int(days[-1]) + 1)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior:
    """What is known of (ln A, ln s, d) before any weight: means, SDs, and the factor that stretches the age axis."""

    mean: Triple
    sd: Triple
    stretch: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Noise:
    """How far weights scatter about a dog's curve.

    Attributes:
        drift: SD of the slow wander about the curve (an Ornstein–Uhlenbeck process), 0 for none.
        drift_days: days in which it forgets. robust_df: degrees of freedom of Student's t, None for the normal.
        prior_readings: how many readings the stated scatter is worth against the dog's own; None: it is known.
    """

    drift: float = 0.0
    drift_days: float = 1.0
    robust_df: float | None = None
    prior_readings: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One weight to be fitted: x is straightened age, y the weight (or its logarithm), variance that of y."""

    day: float
    x: float
    y: float
    variance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """The most likely curve and how sure it is (Laplace: a normal about the mode).

    Attributes:
        at: mode of (ln A, ln s, d). covariance: of the three, row by row.
        scatter: factor on the stated variance. trust: one weight (0 to about 1) for each reading.
        offset: how far the dog stands from its curve on `day`, the last reading's (ln units).
    """

    at: Triple
    covariance: tuple[Triple, Triple, Triple]
    scatter: float = 1.0
    trust: tuple[float, ...] = ()
    offset: float = 0.0
    day: float = 0.0

    @property
    def adult_kg(self) -> float:
        """Adult weight in kg at the mode."""
        return exp(self.at[0])

    def adult_range(self, z: float = Z80) -> tuple[float, float]:
        """Adult weight in kg, low and high (80 % unless another z is given)."""
        spread = z * sqrt(max(self.covariance[0][0], 0.0))
        return exp(self.at[0] - spread), exp(self.at[0] + spread)

    def ln_weight(self, u: float) -> float:
        """Logarithm of the weight in kg at a straightened age."""
        return self.at[0] - exp(-(exp(self.at[1]) * u + self.at[2]))

    def ln_variance(self, u: float) -> float:
        """Variance of `ln_weight` from what is not known of the curve."""
        s = exp(self.at[1])
        e = exp(-(s * u + self.at[2]))
        j = (1.0, e * s * u, e)
        return max(sum(j[a] * self.covariance[a][b] * j[b] for a in range(3) for b in range(3)), 0.0)


def prior_only(prior: Prior) -> Fit:
    """The curve of a dog without weights."""
    a, b, c = (sd * sd for sd in prior.sd)
    return Fit(at=prior.mean, covariance=((a, 0.0, 0.0), (0.0, b, 0.0), (0.0, 0.0, c)))


def fit(
    readings: Sequence[Reading],
    prior: Prior,
    noise: Noise,
    *,
    logarithmic: bool = True,
    shape: str = "gompertz",
) -> Fit:
    """The most likely curve through these readings (in order of day) under the prior, and its covariance.

    Gauss–Newton with step halving inside re-weighting for Student's t. With `logarithmic=False`, an infinite prior SD
    and no robustness it is plain least squares, as R's nls does it.

    Raises:
        ArithmeticError: no unique curve (too few readings and no prior).
    """
    precision = tuple(0.0 if sd == inf else 1 / (sd * sd) for sd in prior.sd)
    model = _Model(readings, prior.mean, precision, noise, logarithmic, shape)
    at = prior.mean
    rounds = 1 if noise.robust_df is None and noise.prior_readings is None else 6
    for _ in range(rounds):
        before = at
        at = model.descend(at)
        if rounds == 1:
            break
        changed = model.reweigh(at)
        if changed < 0.02 and max(abs(a - b) for a, b in zip(at, before, strict=True)) < 1e-4:
            break
    found = model.look(at)
    return Fit(
        at=at,
        covariance=inverse(found.hessian),
        scatter=model.scatter,
        trust=tuple(model.trust),
        offset=found.offset,
        day=readings[-1].day if readings else 0.0,
    )


def inverse(m: Sequence[Sequence[float]]) -> tuple[Triple, Triple, Triple]:
    """The inverse of a symmetric 3 × 3 matrix.

    Raises:
        ArithmeticError: it has none.
    """
    (a, b, c), (_, d, e), (_, _, f) = m
    x, y, z = d * f - e * e, c * e - b * f, b * e - c * d
    det = a * x + b * y + c * z
    if not det > 0:
        raise ArithmeticError("these weights fit no single curve")
    p, q, r = (a * f - c * c) / det, (b * c - a * e) / det, (a * d - b * b) / det
    return (x / det, y / det, z / det), (y / det, p, q), (z / det, q, r)


@dataclass(slots=True)
class _Look:
    """The fit at one point: the objective, its gradient and Hessian, whitened misses, the last drift."""

    objective: float
    gradient: list[float]
    hessian: list[list[float]]
    misses: list[float]
    offset: float


class _Model:
    """The readings with their weights in the fit; works only inside `fit`."""

    def __init__(
        self,
        readings: Sequence[Reading],
        mean: Triple,
        precision: Sequence[float],
        noise: Noise,
        logarithmic: bool,
        shape: str,
    ) -> None:
        self.readings, self.mean, self.precision, self.noise = readings, mean, precision, noise
        self.logarithmic, self.gompertz = logarithmic, shape == "gompertz"
        self.trust = [1.0] * len(readings)
        self.scatter = 1.0
        self.keeps = [0.0] + [
            exp(-(b.day - a.day) / noise.drift_days) if noise.drift else 0.0
            for a, b in pairwise(readings)
        ]

    def look(self, at: Triple) -> _Look:
        """Objective, gradient and Hessian at a point, the slow wander filtered out (a scalar Kalman filter)."""
        ln_a, ln_s, d = at
        a, s = exp(ln_a), exp(ln_s)
        q = self.noise.drift**2 * self.scatter
        m = m1 = m2 = m3 = 0.0
        p = q
        total = g1 = g2 = g3 = h11 = h12 = h13 = h22 = h23 = h33 = 0.0
        misses = []
        for r, trust, keep in zip(self.readings, self.trust, self.keeps, strict=True):
            v = s * r.x + d
            if self.gompertz:
                e = exp(-v) if v > -30 else exp(30.0)
                ln_f, slope = -e, e
            else:
                ln_f = -log1p(exp(-v)) if v > -30 else v
                slope = 1 / (1 + exp(v)) if v < 30 else 0.0
            if self.logarithmic:
                j1, j3 = 1.0, slope
                miss = r.y - ln_a - ln_f
            else:
                w = a * exp(ln_f)
                j1, j3 = w, w * slope
                miss = r.y - w
            j2 = j3 * s * r.x
            if q:
                p = keep * keep * p + q * (1 - keep * keep)
                m, m1, m2, m3 = keep * m, keep * m1, keep * m2, keep * m3
            full = p + r.variance * self.scatter / trust
            miss, j1, j2, j3 = miss - m, j1 - m1, j2 - m2, j3 - m3
            misses.append(miss / sqrt(p + r.variance * self.scatter))
            if q:
                gain = p / full
                m, m1, m2, m3 = m + gain * miss, m1 + gain * j1, m2 + gain * j2, m3 + gain * j3
                p *= 1 - gain
            total += miss * miss / full
            k1, k2, k3 = j1 / full, j2 / full, j3 / full
            g1, g2, g3 = g1 + k1 * miss, g2 + k2 * miss, g3 + k3 * miss
            h11, h12, h13 = h11 + k1 * j1, h12 + k1 * j2, h13 + k1 * j3
            h22, h23, h33 = h22 + k2 * j2, h23 + k2 * j3, h33 + k3 * j3
        l1, l2, l3 = self.precision
        o1, o2, o3 = (x - y for x, y in zip(at, self.mean, strict=True))
        total += l1 * o1 * o1 + l2 * o2 * o2 + l3 * o3 * o3
        return _Look(
            objective=total,
            gradient=[g1 - l1 * o1, g2 - l2 * o2, g3 - l3 * o3],
            hessian=[[h11 + l1, h12, h13], [h12, h22 + l2, h23], [h13, h23, h33 + l3]],
            misses=misses,
            offset=m,
        )

    def descend(self, at: Triple) -> Triple:
        """The mode under the present weights, by Gauss–Newton with Levenberg's damping."""
        here, damping = self.look(at), 0.0
        for _ in range(200):
            h = here.hessian
            damped = [[h[i][j] * (1 + damping if i == j else 1) for j in range(3)] for i in range(3)]
            try:
                inv = inverse(damped)
            except ArithmeticError:
                if damping > 1e6:
                    raise
                damping = max(damping * 10, 1e-3)
                continue
            step = [sum(inv[i][j] * here.gradient[j] for j in range(3)) for i in range(3)]
            shrink = min(1.0, 2.0 / max(max(abs(x) for x in step), 1e-300))
            new = (at[0] + shrink * step[0], at[1] + shrink * step[1], at[2] + shrink * step[2])
            there = self.look(new)
            if there.objective <= here.objective * (1 + 1e-12):
                size = max(abs(x) for x in step)
                at, here, damping = new, there, damping / 10 if damping > 1e-6 else 0.0
                if size < 1e-7 or (self.noise.robust_df and size < 1e-4):
                    break
            else:
                damping = max(damping * 10, 1e-3)
                if damping > 1e9:
                    break
        return at

    def reweigh(self, at: Triple) -> float:
        """Trusts each reading anew by how far it misses, and the scatter by all of them; returns the largest change."""
        misses = self.look(at).misses
        changed = 0.0
        if self.noise.robust_df is not None:
            nu = self.noise.robust_df
            for i, z in enumerate(misses):
                new = (nu + 1) / (nu + z * z)
                changed = max(changed, abs(new - self.trust[i]))
                self.trust[i] = new
        if self.noise.prior_readings is not None and misses:
            n0 = self.noise.prior_readings
            seen = sum(min(t, 1.25) * z * z for t, z in zip(self.trust, misses, strict=True)) * self.scatter
            new = min(max((n0 + seen) / (n0 + len(misses)), 0.2), 8.0)
            changed = max(changed, abs(new - self.scatter) / self.scatter)
            self.scatter = new
        return changed


def _monotone_slopes(xs: Sequence[float], ys: Sequence[float]) -> list[float]:
    """Slopes at the knots that keep a rising cubic rising: the weighted harmonic mean of the neighbours'."""
    steps = [b - a for a, b in pairwise(xs)]
    rises = [(b - a) / h for a, b, h in zip(ys, ys[1:], steps, strict=False)]
    inner = []
    for h0, h1, r0, r1 in zip(steps, steps[1:], rises, rises[1:], strict=False):
        w0, w1 = 2 * h1 + h0, h1 + 2 * h0
        inner.append((w0 + w1) / (w0 / r0 + w1 / r1) if r0 * r1 > 0 else 0.0)
    return [rises[0], *inner, rises[-1]]


def _hermite(xs: Sequence[float], ys: Sequence[float], slopes: Sequence[float], x: float) -> float:
    i = min(max(bisect_right(xs, x) - 1, 0), len(xs) - 2)
    h = xs[i + 1] - xs[i]
    t = (x - xs[i]) / h
    return (
        ys[i] * (1 + 2 * t) * (1 - t) ** 2
        + slopes[i] * h * t * (1 - t) ** 2
        + ys[i + 1] * t * t * (3 - 2 * t)
        + slopes[i + 1] * h * t * t * (t - 1)
    )
