"""Places among dogs of one size: the LMS arithmetic of growth charts (Cole & Green 1992), and lines crossed."""

from __future__ import annotations

from math import exp, log

from shared.tables import facts


def z_score(value: float, skew: float, middle: float, spread: float) -> float:
    """SDs above the middle: ((value / M)^L − 1) / (L·S), for L = 0 ln(value / M) / S; value and M in one unit."""
    if abs(skew) < 1e-12:
        return log(value / middle) / spread
    return float(((value / middle) ** skew - 1) / (skew * spread))


def at_z(z: float, skew: float, middle: float, spread: float) -> float | None:
    """The value at so many SDs, M·(1 + L·S·z)^(1/L), for L = 0 M·exp(S·z); None where there is none (1 + L·S·z ≤ 0)."""
    if abs(skew) < 1e-12:
        return middle * exp(spread * z)
    base = 1 + skew * spread * z
    return float(middle * base ** (1 / skew)) if base > 0 else None


def lines_crossed(z_then: float, z_now: float) -> float:
    """Centile lines between two places, signed; lines stand two thirds of an SD apart (Salt et al. 2017)."""
    return (z_now - z_then) / float(facts("growth")["lines"]["line_sd"])
