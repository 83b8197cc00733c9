"""A litter's newborn gains on one sheet: a small panel for each pup, all on one scale, percent since birth.

A pup that loses stands out without colour: a thick frame, a hatched ground, ▼ and what it lost in words.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor
from typing import TYPE_CHECKING, Any

from bot.replies import say_units
from bot.replies.charts.days import short_day
from bot.replies.charts.look import SMALL, TEXT, WIDTH, Look
from bot.replies.charts.sheet import EDGE, HEAD, NOTE, Sheet, noted, sheet
from core.gains import LitterGains, PupGains
from core.newborn import RED
from core.roster import Kennel
from shared.texts import text

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes

KEYS, NAME, BETWEEN, AXIS, FOOT = 26.0, 22.0, 12.0, 24.0, 10.0  # heights in points
LEFT, APART = 58.0, 14.0
PANELS = {1: (1, 190.0), 2: (1, 120.0), 3: (1, 110.0)}  # pups: columns, height of a panel; more below
SMALLEST = 9.0  # font size of a long name
MOST = 15  # panels; the pups in most trouble come first
LEAST = (0.0, 10.0)  # percent that a panel shows at the least
# Steps between the figures of an axis.
PERCENTS, DAYS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000), (1, 2, 3, 7, 14)


def draw(told: LitterGains, kennel: Kennel, unit: str, look: Look) -> Sheet:
    """The sheet of that litter."""
    pups = told.pups[:MOST]
    columns, tall = PANELS.get(len(pups)) or ((2, 88.0) if len(pups) <= 8 else (3, 78.0))
    lines = ceil(len(pups) / columns)
    notes = noted(missing(told))
    row = NAME + tall + BETWEEN
    page = sheet(look, HEAD + KEYS + lines * row + AXIS + NOTE * len(notes) + FOOT)
    day = text("chart.day", n=told.age_days)
    born = text("chart.litter.born", day=short_day(told.born, kennel)) if told.born else ""
    page.head(text("chart.litter.title", dam=told.dam, age=day), born)
    page.keys(HEAD, _keys(look, pups))
    wide = (WIDTH - LEFT - EDGE - (columns - 1) * APART) / columns
    limits, size = _limits(pups), _size_of_names(page, pups, wide)
    for n, pup in enumerate(pups):
        line, column = divmod(n, columns)
        top, left = HEAD + KEYS + line * row + NAME, LEFT + column * (wide + APART)
        axes = page.panel(top, tall, left, wide)
        _panel(page, axes, pup, pups, limits)
        lowest = n + columns >= len(pups)
        _name_axes(axes, limits, column == 0, lowest)
        _name(page, pup, (left, top - 6), wide, size, unit)
    page.notes(page.height - FOOT - NOTE * len(notes), notes)
    return page


def missing(told: LitterGains) -> list[str]:
    """Pups without a weight or without one at birth, and that the newborn weeks are over."""
    said = [text("chart.note.days")] if told.past else []
    said += [text("chart.note.none", dog=p.dog) for p in told.pups if not p.gains]
    said += [text("chart.note.first", dog=p.dog) for p in told.pups if p.gains and not p.from_birth]
    return said


def _keys(look: Look, pups: Sequence[PupGains]) -> list[Artist]:
    from matplotlib.lines import Line2D

    own = look.warn if pups and all(p.watched for p in pups) else look.dot
    mates = [Line2D([], [], color=look.soft, linewidth=1, label=text("chart.litter.mates"))]
    return [
        Line2D([], [], color=own, linewidth=2.4, label=text("chart.litter.lead")),
        *(mates if len(pups) > 1 else []),
        Line2D([], [], color=look.ink, linewidth=1.6, linestyle=(0, (4, 1.6)), label=text("chart.litter.line")),
    ]


def _limits(pups: Sequence[PupGains]) -> tuple[float, float, float, float]:
    """Days and percents that all panels share: left, right, bottom, top."""
    gains = [g for p in pups for g in p.gains]
    last = max((g.day for g in gains), default=1.0)
    low, high = min([LEAST[0], *(g.pct for g in gains)]), max([LEAST[1], *(g.pct for g in gains)])
    room = high - low
    return -0.04 * max(last, 1.0), max(last, 1.0) * 1.06, low - 0.14 * room, high + 0.1 * room


def _panel(
    page: Sheet, axes: Axes, pup: PupGains, pups: Sequence[PupGains], limits: tuple[float, float, float, float]
) -> None:
    from matplotlib.collections import LineCollection

    look = page.look
    axes.set_xlim(*limits[:2])
    axes.set_ylim(*limits[2:])
    axes.axhspan(limits[2], 0, facecolor=look.paper, edgecolor=look.rule, hatch="////", linewidth=0, zorder=0)
    axes.axhline(0, color=look.ink, linewidth=1.4, linestyle=(0, (4, 1.6)), zorder=2)
    mates = [[(g.day, g.pct) for g in mate.gains] for mate in pups if mate is not pup and mate.gains]
    axes.add_collection(
        LineCollection(mates, colors=look.soft, linewidths=0.7, alpha=0.55, zorder=1, label="_mates"), autolim=False
    )
    if pup.gains:
        colour = look.warn if pup.watched else look.dot
        axes.plot([g.day for g in pup.gains], [g.pct for g in pup.gains], color=colour, linewidth=2.2, zorder=3,
                  label=pup.dog)  # fmt: skip
        axes.plot(pup.gains[-1].day, pup.gains[-1].pct, "v" if pup.watched else "o", color=colour,
                  markersize=9 if pup.watched else 6, zorder=4, label="_newest")  # fmt: skip
    if pup.watched:
        for side in axes.spines.values():
            side.set_visible(True)
            side.set(color=look.warn, linewidth=2.6)


def _name_axes(axes: Axes, limits: tuple[float, float, float, float], leftmost: bool, lowest: bool) -> None:
    percents = _round_steps(limits[2], limits[3], 3, PERCENTS) if leftmost else []
    axes.set_yticks(percents, [say_units.percent(p / 100, 0, sign=True) for p in percents], fontsize=SMALL)
    days = [d for d in _round_steps(0, limits[1], 3, DAYS) if d <= limits[1]] if lowest else []
    axes.set_xticks(days, [text("chart.day", n=int(d)) if d == days[-1] else str(int(d)) for d in days], fontsize=SMALL)


def _round_steps(low: float, high: float, most: int, steps: tuple[int, ...]) -> list[float]:
    """Zero and up to so many round figures above it that lie within the limits."""
    step = next((s for s in steps if high / s < most + 1), steps[-1])
    return [float(n * step) for n in range(ceil(min(low, 0) / step) if low < -step else 0, floor(high / step) + 1)]


def _gain(pup: PupGains) -> str:
    return "" if not pup.gains else say_units.percent(pup.gains[-1].pct / 100, 0, sign=True)


def _size_of_names(page: Sheet, pups: Sequence[PupGains], wide: float) -> float:
    """The size at which every name fits beside its gain."""
    longest = max((f"{p.dog}  {_gain(p)}" for p in pups), key=len, default="")
    size = float(TEXT)
    tried = page.write(0, 0, longest, size, fontweight="bold")
    while page.wide(tried) > wide and size > SMALLEST:
        size -= 0.5
        tried.set_fontsize(size)
    tried.remove()
    return size


def _name(page: Sheet, pup: PupGains, at: tuple[float, float], wide: float, size: float, unit: str) -> None:
    """The pup's name and its gain over the panel; for one in trouble what it lost, inside the panel."""
    left, y = at
    bold: dict[str, Any] = {"fontweight": "bold"}
    page.write(left + wide, y, _gain(pup), size, ha="right", **bold)
    page.write(left, y, pup.dog, size, **bold)
    if pup.watched:
        red = pup.stands.level == RED
        page.write(
            left + 7, y + 25, trouble(pup, unit), SMALL, **bold, color=page.look.paper if red else page.look.warn,
            zorder=6, bbox={"facecolor": page.look.warn if red else page.look.paper, "edgecolor": page.look.warn,
                            "linewidth": 1.2, "boxstyle": "round,pad=0.25"},
        )  # fmt: skip


def trouble(pup: PupGains, unit: str) -> str:
    """What a watched pup lost, or how little it gained, since the weighing before; or that it is under birth weight."""
    grams = [g.grams for g in pup.gains[-2:]]
    if len(grams) == 2 and grams[1] > grams[0] and pup.gains[-1].pct < 0:
        return text("chart.litter.less")
    change = (grams[1] - grams[0]) / 1000 if len(grams) == 2 else 0.0
    return text("chart.litter.loss", change=say_units.signed(change, unit, newborn=True))
