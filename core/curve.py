"""The reference shape of a growing dog, and the Gompertz family about it (fitted in `core.fit`).

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
from math import exp, log

from shared.tables import number, table


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
