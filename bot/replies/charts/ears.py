"""The ears as two strips, the dog's own left and right: tall is up, half as tall is half up, a stub is down."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from bot.replies.charts.days import x_of
from bot.replies.charts.look import LEFT, SMALL
from bot.replies.charts.sheet import Sheet
from core.ears import EarDay, position
from shared.texts import text

if TYPE_CHECKING:
    from matplotlib.axes import Axes

STRIP, GAP, KEY = 36.0, 10.0, 20.0  # heights in points: a strip, the space above it, the key above both
SIDES = ("left", "right")
TALL = {"down": 0.16, "half": 0.55, "up": 1.0}
_DRAWN_BIG = 4.0  # points a day from which fills can be told apart, and bars stand apart


def height() -> float:
    """The height of the key and both strips in points."""
    return KEY + 2 * (STRIP + GAP)


def draw(sheet: Sheet, top: float, days: Sequence[EarDay], span: tuple[float, float]) -> None:
    """Both strips from `top` downward, over the same span of days as the panel above."""
    sheet.keys(top, [_bar_key(sheet, where) for where in ("up", "half", "down")], left=LEFT)
    for n, side in enumerate(SIDES):
        axes = sheet.panel(top + KEY + GAP + n * (STRIP + GAP), STRIP)
        axes.set_xlim(*span)
        axes.set_ylim(0, 1.05)
        axes.set_xticks([])
        axes.set_yticks([0.45], [text(f"chart.ear.{side}")], fontsize=SMALL)
        axes.axhline(0, color=sheet.look.edge, linewidth=1)
        _bars(sheet, axes, [(x_of(d.on), position(d.sides[side])) for d in days if side in d.sides])


def _bars(sheet: Sheet, axes: Axes, seen: list[tuple[float, str]]) -> None:
    from matplotlib.collections import PolyCollection

    low, high = axes.get_xlim()
    points_a_day = axes.get_window_extent().width * 72 / sheet.figure.dpi / (high - low)
    wide = 0.72 if points_a_day >= _DRAWN_BIG else 1.0
    most = max(wide, 8.0 / points_a_day) if _sparse(seen, 9.0 / points_a_day) else wide
    for where, tall in TALL.items():
        boxes = [_box(x, most, tall) for x, w in seen if w == where]
        # One artist for all bars of a kind: four times as fast as as many rectangles.
        axes.add_collection(PolyCollection(boxes, label=where, zorder=2, **_fill(sheet, where)), autolim=False)


def _box(x: float, wide: float, tall: float) -> list[tuple[float, float]]:
    left, right = x - wide / 2, x + wide / 2
    return [(left, 0), (left, tall), (right, tall), (right, 0)]


def _sparse(seen: list[tuple[float, str]], apart: float) -> bool:
    """True where no two scored days are closer than so many days: there bars may be wider than their day."""
    xs = [x for x, _ in seen]
    return all(b - a >= apart for a, b in pairwise(xs))


def _fill(sheet: Sheet, where: str) -> dict[str, Any]:
    """Up is full, half is hatched, down is open: three fills beside three heights."""
    look = sheet.look
    filled = {"up": look.dot, "half": look.band, "down": look.paper}[where]
    return {"facecolor": filled, "edgecolor": look.dot, "linewidth": 1.0, "hatch": "////" if where == "half" else None}


def _bar_key(sheet: Sheet, where: str) -> Any:
    from matplotlib.patches import Patch

    return Patch(label=text(f"chart.ear.{where}"), **_fill(sheet, where))
