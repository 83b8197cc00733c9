"""The colours of both looks: contrast by WCAG 2.2, and what colour-blind eyes can tell apart.

Contrast: relative luminance and (L1 + 0.05) / (L2 + 0.05) as WCAG 2.2 defines them (w3.org/TR/WCAG22, "contrast
ratio"), with its thresholds 4.5 for text (1.4.3) and 3 for the parts of a graphic (1.4.11).
Colour blindness: Machado, Oliveira & Fernandes 2009, severity 1, by the package colorspacious 1.1.2; the matrices of
the paper stand here too and are compared with it. Difference: CAM02-UCS (Luo, Cui & Li 2006), by the same package; a
floor of 20 for few colours as Petroff 2021 (arXiv:2107.02270) took for six (from memory, unverified).
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from colorspacious import cspace_convert, deltaE
from matplotlib.colors import to_rgb

from bot.replies.charts.look import DARK, LIGHT, Look

LOOKS = {"light": LIGHT, "dark": DARK}
LEAST_DIFFERENCE = 20.0
# Of the same paper, linear RGB, severity 1 (as printed there).
MACHADO = {
    "protanomaly": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deuteranomaly": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
}
# What stands beside what: lines and marks in one panel, bars of one panel.
TOGETHER = (
    ("dot", "lean", "paper"),
    ("dot", "warn", "paper"),
    ("dot", "lean", "ink"),
    ("lean", "band"),
    ("dot", "band"),
)


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2)."""
    r, g, b = ((c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4) for c in to_rgb(colour))
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2)."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def seen(colour: str, how: str) -> np.ndarray:
    """The colour as those eyes see it, in sRGB from 0 to 1."""
    if how == "normal":
        return np.array(to_rgb(colour))
    space = {"name": "sRGB1+CVD", "cvd_type": how, "severity": 100}
    return np.clip(cspace_convert(to_rgb(colour), space, "sRGB1"), 0, 1)


def test_the_contrast_of_known_pairs() -> None:
    """Black on white is 21; #767676 on white is the well-known grey that just passes 4.5 (WCAG's own techniques)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert 4.5 <= contrast("#767676", "#ffffff") < 4.6


@pytest.mark.parametrize("how", MACHADO)
def test_the_simulation_is_the_papers(how: str) -> None:
    """The package gives what the paper's matrix gives in linear RGB."""
    for colour in ("#b8500b", "#0d6a8f", "#7a0d2e", "#5cb6dd"):
        linear = cspace_convert(to_rgb(colour), "sRGB1", "sRGB1-linear")
        ours = cspace_convert(np.array(MACHADO[how]) @ linear, "sRGB1-linear", "sRGB1")
        assert np.clip(ours, 0, 1) == pytest.approx(seen(colour, how), abs=1e-3)


@pytest.mark.parametrize("name", LOOKS)
def test_words_and_marks_stand_out_from_the_paper(name: str) -> None:
    look: Look = LOOKS[name]
    for words in (look.ink, look.soft, look.warn):
        assert contrast(words, look.paper) >= 4.5
    for mark in (look.dot, look.lean, look.warn, look.edge):
        assert contrast(mark, look.paper) >= 3
    for mark in (look.dot, look.lean):
        assert contrast(mark, look.band) >= 3


@pytest.mark.parametrize("how", ["normal", *MACHADO])
@pytest.mark.parametrize("name", LOOKS)
def test_colours_that_stand_together_can_be_told_apart(name: str, how: str) -> None:
    look = LOOKS[name]
    for group in TOGETHER:
        for a, b in combinations(group, 2):
            one, other = (seen(getattr(look, part), how) for part in (a, b))
            far = deltaE(one, other, input_space="sRGB1", uniform_space="CAM02-UCS")
            assert far >= LEAST_DIFFERENCE, (a, b, round(float(far), 1))
