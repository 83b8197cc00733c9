"""What goes into a fit of a growing dog's curve and what comes out: prior, noise, readings; the curve, and how sure.

The curve and its three parameters (ln A, ln s, d) are those of `core.curve`; `core.fit` finds them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt

Z80 = 1.2815515655446004  # standard normal quantile at 0.9: an 80 % interval is ± this many SD
Triple = tuple[float, float, float]


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
        scatter: factor on the stated variances. trust: one weight (0 to about 1) for each reading.
        day: of the last reading. offset, offset_variance: how far the dog stands from its curve on that day (ln
            units); offset_slope: how that changes with the three. wander: the process's variance, and days; drift: the
            SD that was supposed for it.
        ln_evidence: logarithm of the marginal likelihood, up to a constant of the readings.
    """

    at: Triple
    covariance: tuple[Triple, Triple, Triple]
    scatter: float = 1.0
    trust: tuple[float, ...] = ()
    day: float = 0.0
    offset: float = 0.0
    offset_variance: float = 0.0
    offset_slope: Triple = (0.0, 0.0, 0.0)
    wander: float = 0.0
    wander_days: float = 1.0
    drift: float = 0.0
    ln_evidence: float = 0.0

    @property
    def adult_kg(self) -> float:
        """Adult weight in kg at the mode."""
        return exp(self.at[0])

    def ln_weight(self, u: float) -> float:
        """Logarithm of the weight in kg that the curve gives at a straightened age."""
        return self.at[0] - exp(-(exp(self.at[1]) * u + self.at[2]))

    def ln_variance(self, u: float) -> float:
        """Variance of the logarithm of a dog's weight about the curve: the curve's own doubt and the wander."""
        return self._variance(self._slope(u)) + self.wander

    def forecast(self, day: float, u: float) -> tuple[float, float]:
        """Mean and variance of the logarithm of the weight on a day not before the last reading: the dog's present
        distance from its curve is forgotten bit by bit."""
        keep = exp(-max(day - self.day, 0.0) / self.wander_days) if self.wander else 0.0
        j = self._slope(u)
        j = (j[0] - keep * self.offset_slope[0], j[1] - keep * self.offset_slope[1], j[2] - keep * self.offset_slope[2])
        spread = keep * keep * self.offset_variance + (1 - keep * keep) * self.wander
        return self.ln_weight(u) + keep * self.offset, self._variance(j) + spread

    def _slope(self, u: float) -> Triple:
        s = exp(self.at[1])
        e = exp(-(s * u + self.at[2]))
        return 1.0, e * s * u, e

    def _variance(self, j: Triple) -> float:
        (a, b, c), (_, d, e), (_, _, f) = self.covariance
        x, y, z = j
        return max(a * x * x + d * y * y + f * z * z + 2 * (b * x * y + c * x * z + e * y * z), 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Blend:
    """Several fits that differ in how much the dog wanders, each with its share of belief (together 1)."""

    fits: tuple[tuple[float, Fit], ...]

    @property
    def best(self) -> Fit:
        """The fit with the largest share."""
        return max(self.fits, key=lambda f: f[0])[1]

    def ln_adult(self) -> tuple[float, float]:
        """Mean and SD of ln(adult weight in kg)."""
        return _mixed([(share, f.at[0], f.covariance[0][0]) for share, f in self.fits])

    def ln_weight(self, u: float) -> tuple[float, float]:
        """Mean and SD of ln(weight in kg) about the curve at a straightened age."""
        return _mixed([(share, f.ln_weight(u), f.ln_variance(u)) for share, f in self.fits])

    def forecast(self, day: float, u: float) -> tuple[float, float]:
        """Mean and SD of ln(weight in kg) on a day not before the last reading."""
        return _mixed([(share, *f.forecast(day, u)) for share, f in self.fits])


def _mixed(parts: Sequence[tuple[float, float, float]]) -> tuple[float, float]:
    mean = sum(share * m for share, m, _ in parts)
    return mean, sqrt(max(sum(share * (v + (m - mean) ** 2) for share, m, v in parts), 0.0))


def prior_only(prior: Prior, wander: float = 0.0) -> Blend:
    """The curve of a dog without weights; `wander` is the variance about it."""
    a, b, c = (sd * sd for sd in prior.sd)
    covariance = ((a, 0.0, 0.0), (0.0, b, 0.0), (0.0, 0.0, c))
    return Blend(fits=((1.0, Fit(at=prior.mean, covariance=covariance, wander=wander)),))
