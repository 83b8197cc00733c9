"""The look of the pictures: colours on light and on dark paper, and sizes for a phone at arm's length.

Nothing is told by colour alone: shapes, fills, dashes and words say the same. The colours of each look are held to
contrast and to what colour-blind eyes can part by a test.
"""

from __future__ import annotations

from dataclasses import dataclass

# A phone held upright is about 390 points wide, so a point here is a point on the phone.
WIDTH, DPI = 390.0, 200
LEFT, RIGHT = 68.0, 20.0  # margins beside the panels, in points
TITLE, VALUE, TEXT, SMALL = 18, 17, 13, 12  # font sizes in points


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """The colours of one look.

    Attributes:
        paper, ink, soft, rule: background, words, lesser words, lines of the grid.
        band, edge: the expected band and its edge. lean: the lean line, and treats. dot: what was written down.
        warn: a pup that loses.
    """

    paper: str
    ink: str
    soft: str
    rule: str
    band: str
    edge: str
    lean: str
    dot: str
    warn: str


LIGHT = Look(
    paper="#fbf7ef",
    ink="#20282b",
    soft="#586165",
    rule="#e4dac9",
    band="#cfe0d8",
    edge="#6c8f85",
    lean="#b8500b",
    dot="#0d6a8f",
    warn="#7a0d2e",
)
DARK = Look(
    paper="#151b1e",
    ink="#f4efe6",
    soft="#aab4b7",
    rule="#2b353a",
    band="#26413f",
    edge="#6f9a93",
    lean="#f2a65a",
    dot="#5cb6dd",
    warn="#f0698a",
)


def look_of(name: str) -> Look:
    """The look of that name; the light one for any other."""
    return DARK if name == "dark" else LIGHT
