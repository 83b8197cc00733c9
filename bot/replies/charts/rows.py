"""Life events under the weights: one row for each kind that there is, a mark of its own shape on each day."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from bot.replies import say_units
from bot.replies.charts.days import x_of
from bot.replies.charts.look import SMALL
from bot.replies.charts.sheet import Sheet
from core.story import EAR_TRIM, FOOD, ORDER, SEASON, TOOTH, UNWELL, WHELPED, LifeEvent
from shared.texts import text

if TYPE_CHECKING:
    from matplotlib.axes import Axes

ROW = 23.0  # height of a row in points
MOST = 5  # rows; the kinds that come first are kept
# In the order of the rows, with Matplotlib's marker of each: shapes, so that no colour is needed.
SHAPES = {ORDER: "s", TOOTH: "v", EAR_TRIM: "X", UNWELL: "P", SEASON: "D", WHELPED: "*", FOOD: "h"}
_BOX = 27.0  # points from one box of cups to the next; nearer together they are plain marks


def kinds(events: Sequence[LifeEvent]) -> list[str]:
    """The kinds that get a row."""
    there = {e.kind for e in events}
    return [k for k in SHAPES if k in there][:MOST]


def draw(sheet: Sheet, top: float, events: Sequence[LifeEvent], span: tuple[float, float]) -> None:
    """The rows from `top` downward, over the same span of days as the panel above."""
    shown = kinds(events)
    if not shown:
        return
    axes = sheet.panel(top, ROW * len(shown))
    axes.set_xlim(*span)
    axes.set_ylim(len(shown) - 0.5, -0.5)
    axes.set_xticks([])
    axes.set_yticks(range(len(shown)), [text(f"chart.event.{k}") for k in shown], fontsize=SMALL)
    wide = axes.get_window_extent().width * 72 / sheet.figure.dpi
    for n, kind in enumerate(shown):
        axes.axhline(n, color=sheet.look.rule, linewidth=1, zorder=1)
        days = [x_of(e.on) for e in events if e.kind == kind]
        cups = [e.cups for e in events if e.kind == kind]
        if kind == ORDER and _apart(days, _BOX * (span[1] - span[0]) / wide):
            for x, amount in zip(days, cups, strict=True):
                _boxed(sheet, axes, (x, n), say_units.eighths(amount or 0.0))
            continue
        size = 11 if SHAPES[kind] == "*" else 8
        axes.plot(days, [n] * len(days), SHAPES[kind], color=sheet.look.ink, markersize=size, clip_on=False, zorder=3,
                  label=kind)  # fmt: skip


def _apart(days: Sequence[float], least: float) -> bool:
    return all(b - a >= least for a, b in pairwise(days))


def _boxed(sheet: Sheet, axes: Axes, at: tuple[float, float], said: str) -> None:
    """The cups of a new order in a little box on its day."""
    box = {"facecolor": sheet.look.paper, "edgecolor": sheet.look.ink, "boxstyle": "round,pad=0.15"}
    axes.text(*at, said, ha="center", va="center", fontsize=SMALL, color=sheet.look.ink, zorder=4, label=ORDER,
              bbox=box)  # fmt: skip
