"""Fits a growth curve of the Gompertz family: a prior, Student-t readings, a slow wander, in plain Python.

The curve and its three parameters (ln A, ln s, d) are those of `core.curve`. Readings scatter about the dog's own
weight (Student's t, so that one bad reading moves little), and that weight wanders slowly about the curve (an
Ornstein–Uhlenbeck process), so that daily weighings of one round fortnight are not taken for many witnesses. How
much this dog wanders is weighed up between a few amounts by their evidence (Laplace), not sampled.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import exp, inf, log, log1p, sqrt

from core.fitted import Blend, Fit, Noise, Prior, Reading, Triple


def blend(
    readings: Sequence[Reading], prior: Prior, noises: Sequence[tuple[float, Noise]], start: Blend | None = None
) -> Blend:
    """The fits under each of these noises (each with its share of belief beforehand), shared out by their evidence.

    `start` is a blend of nearly the same readings, from whose modes the search sets out.
    """
    found: list[tuple[float, Fit]] = []
    for i, (share, noise) in enumerate(noises):
        near = found[-1][1] if found else None
        if start is not None and len(start.fits) == len(noises):
            near = start.fits[i][1]
        one = fit(readings, prior, noise, start=near)
        found.append((log(share) + one.ln_evidence, one))
    top = max(e for e, _ in found)
    total = sum(exp(e - top) for e, _ in found)
    return Blend(fits=tuple((exp(e - top) / total, f) for e, f in found))


def fit(
    readings: Sequence[Reading],
    prior: Prior,
    noise: Noise,
    *,
    logarithmic: bool = True,
    shape: str = "gompertz",
    start: Fit | None = None,
) -> Fit:
    """The most likely curve through these readings (in order of day) under the prior, and its covariance.

    Gauss–Newton with Levenberg's damping inside re-weighting for Student's t. With `logarithmic=False`, an infinite
    prior SD and no robustness it is plain least squares, as R's nls does it.

    Raises:
        ArithmeticError: no unique curve (too few readings and no prior).
    """
    precision = tuple(0.0 if sd == inf else 1 / (sd * sd) for sd in prior.sd)
    model = _Model(readings, prior.mean, precision, noise, logarithmic, shape)
    at = prior.mean
    if start is not None:
        at, model.scatter = start.at, start.scatter
        known = min(len(start.trust), len(readings))
        model.trust[:known] = start.trust[:known]
    here = model.settle(at) if noise.robust_df or noise.prior_readings else model.descend(at)
    at = here.at
    covariance = inverse(here.hessian)
    return Fit(
        at=at,
        covariance=covariance,
        scatter=model.scatter,
        trust=tuple(model.trust),
        day=readings[-1].day if readings else 0.0,
        offset=here.offset,
        offset_variance=here.offset_variance,
        offset_slope=here.offset_slope,
        wander=noise.drift**2 * model.scatter,
        wander_days=noise.drift_days,
        drift=noise.drift,
        ln_evidence=model.ln_likelihood(here) + 0.5 * log(_determinant(covariance)),
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


def _determinant(m: Sequence[Sequence[float]]) -> float:
    (a, b, c), (_, d, e), (_, _, f) = m
    return max(a * (d * f - e * e) + b * (c * e - b * f) + c * (b * e - c * d), 1e-300)


def _step(here: _Look, damping: float) -> list[float]:
    h = here.hessian
    m = [[h[i][j] * (1 + damping if i == j else 1) for j in range(3)] for i in range(3)] if damping else h
    g1, g2, g3 = here.gradient
    return [a * g1 + b * g2 + c * g3 for a, b, c in inverse(m)]


@dataclass(slots=True)
class _Look:
    """The fit at one point: the objective, its gradient and Hessian, whitened misses, the last drift."""

    at: Triple
    objective: float
    gradient: list[float]
    hessian: list[list[float]]
    misses: list[float]
    ln_spread: float
    offset: float
    offset_variance: float
    offset_slope: Triple


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
        self.mean, self.precision, self.noise = mean, precision, noise
        self.logarithmic, self.gompertz = logarithmic, shape == "gompertz"
        self.rows = [(r.x, r.y, r.variance) for r in readings]
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
        ln_spread, spread = 0.0, 1.0
        scatter = self.scatter
        for (x, y, variance), trust, keep in zip(self.rows, self.trust, self.keeps, strict=True):
            v = s * x + d
            if self.gompertz:
                slope = exp(-v) if v > -30 else exp(30.0)
                ln_f = -slope
            else:
                ln_f = -log1p(exp(-v)) if v > -30 else v
                slope = 1 / (1 + exp(v)) if v < 30 else 0.0
            if self.logarithmic:
                j1, j3 = 1.0, slope
                miss = y - ln_a - ln_f
            else:
                j1 = a * exp(ln_f)
                j3 = j1 * slope
                miss = y - j1
            j2 = j3 * s * x
            variance *= scatter
            if q:
                p = keep * keep * (p - q) + q
                miss, j1, j2, j3 = miss - keep * m, j1 - keep * m1, j2 - keep * m2, j3 - keep * m3
                full = p + variance / trust
                gain = p / full
                m, m1 = keep * m + gain * miss, keep * m1 + gain * j1
                m2, m3 = keep * m2 + gain * j2, keep * m3 + gain * j3
                plain = p + variance
                p *= 1 - gain
            else:
                full, plain = variance / trust, variance
            misses.append(miss / sqrt(plain))
            spread *= plain
            if not 1e-200 < spread < 1e200:
                ln_spread, spread = ln_spread + log(spread), 1.0
            total += miss * miss / full
            k1, k2, k3 = j1 / full, j2 / full, j3 / full
            g1 += k1 * miss
            g2 += k2 * miss
            g3 += k3 * miss
            h11 += k1 * j1
            h12 += k1 * j2
            h13 += k1 * j3
            h22 += k2 * j2
            h23 += k2 * j3
            h33 += k3 * j3
        l1, l2, l3 = self.precision
        o1, o2, o3 = (x - y for x, y in zip(at, self.mean, strict=True))
        total += l1 * o1 * o1 + l2 * o2 * o2 + l3 * o3 * o3
        return _Look(
            at=at,
            objective=total,
            gradient=[g1 - l1 * o1, g2 - l2 * o2, g3 - l3 * o3],
            hessian=[[h11 + l1, h12, h13], [h12, h22 + l2, h23], [h13, h23, h33 + l3]],
            misses=misses,
            ln_spread=ln_spread + log(spread),
            offset=m,
            offset_variance=p if q else 0.0,
            offset_slope=(m1, m2, m3),
        )

    def settle(self, at: Triple) -> _Look:
        """The mode with readings re-weighed after every step; by damped descent where plain steps do not settle."""
        here = self.look(at)
        for _ in range(30):
            step = _step(here, 0.0)
            changed = self.reweigh(here)
            size = max(abs(x) for x in step)
            shrink = min(1.0, 0.5 / max(size, 1e-300))
            at = (at[0] + shrink * step[0], at[1] + shrink * step[1], at[2] + shrink * step[2])
            here = self.look(at)
            if size < 1e-3 and changed < 0.02:
                return here
        return self.descend(at)

    def descend(self, at: Triple) -> _Look:
        """The mode under the present weights, by Gauss–Newton with Levenberg's damping."""
        here, damping = self.look(at), 0.0
        for _ in range(200):
            try:
                step = _step(here, damping)
            except ArithmeticError:
                if damping > 1e6:
                    raise
                damping = max(damping * 10, 1e-3)
                continue
            size = max(abs(x) for x in step)
            shrink = min(1.0, 2.0 / max(size, 1e-300))
            there = self.look((at[0] + shrink * step[0], at[1] + shrink * step[1], at[2] + shrink * step[2]))
            if there.objective <= here.objective * (1 + 1e-12):
                at, here, damping = there.at, there, damping / 10 if damping > 1e-6 else 0.0
                if size < 1e-7:
                    break
            else:
                damping = max(damping * 10, 1e-3)
                if damping > 1e9:
                    break
        return here

    def ln_likelihood(self, look: _Look) -> float:
        """Logarithm of the likelihood of the readings and the prior of curve and scatter, up to a constant."""
        nu, n0 = self.noise.robust_df, self.noise.prior_readings
        if nu is None:
            misses = -0.5 * sum(z * z for z in look.misses)
        else:
            misses = -0.5 * (nu + 1) * sum(log1p(z * z / nu) for z in look.misses)
        off = sum(p * (x - m) ** 2 for p, x, m in zip(self.precision, look.at, self.mean, strict=True))
        scatter = 0.0 if n0 is None else 0.5 * n0 * (log(self.scatter) + 1 / self.scatter - 1)
        return misses - 0.5 * (look.ln_spread + off) - scatter

    def reweigh(self, look: _Look) -> float:
        """Trusts each reading anew by how far it misses, and the scatter by all of them; returns the largest change."""
        misses = look.misses
        changed = 0.0
        if self.noise.robust_df is not None:
            nu = self.noise.robust_df
            for i, z in enumerate(misses):
                new = (nu + 1) / (nu + z * z)
                changed = max(changed, abs(new - self.trust[i]))
                self.trust[i] = new
        if self.noise.prior_readings is not None and misses:
            n0 = self.noise.prior_readings
            covariance = inverse(look.hessian)
            # The curve bends towards its readings: as many misses as it has parameters to bend with are lost.
            bent = sum(1 - covariance[i][i] * p for i, p in enumerate(self.precision))
            seen = sum(t * z * z for t, z in zip(self.trust, misses, strict=True)) + bent
            new = min(max((n0 + seen * self.scatter) / (n0 + len(misses)), 0.2), 8.0)
            changed = max(changed, abs(new - self.scatter) / self.scatter)
            self.scatter = new
        return changed
