"""One newborn's weights to the gram over its birth weight: a newborn belongs above it (Mila 2015 watches two days)."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from bot.replies import say_units
from bot.replies.charts.days import name_days, short_day, x_of
from bot.replies.charts.look import Look
from bot.replies.charts.newest import say_newest
from bot.replies.charts.sheet import HEAD, NOTE, Sheet, noted, scale, sheet
from core.gains import PupGains
from core.roster import Dog, Kennel
from core.units import KG_PER_OZ
from shared.texts import text

if TYPE_CHECKING:
    from matplotlib.axes import Axes

KEYS, PANEL, AXIS, FOOT = 32.0, 258.0, 40.0, 12.0
_DOUBLED_FROM = 60.0  # percent gained from which twice the birth weight is in sight


def draw(dog: Dog, kennel: Kennel, pup: PupGains, at: datetime, unit: str, look: Look) -> Sheet:
    """The sheet of one newborn."""
    from matplotlib.lines import Line2D

    notes = noted(missing(pup))
    on = kennel.day_of(at)
    page = sheet(look, HEAD + KEYS + PANEL + AXIS + FOOT + max(NOTE * len(notes), 8))
    page.head(text("chart.title", dog=dog.name, age=say_units.age(dog, on)), short_day(on, kennel))
    axes = page.panel(HEAD + KEYS, PANEL)
    per = 1000 * KG_PER_OZ if unit == "lb" else 1.0
    days = [x_of(dog.born) + g.day for g in pup.gains]
    grams = [g.grams / per for g in pup.gains]
    keys = []
    if pup.gains:
        low = min(grams)
        axes.axhspan(low - 0.5 * low, grams[0], facecolor=look.paper, edgecolor=look.rule, hatch="////", linewidth=0)
        axes.axhline(grams[0], color=look.ink, linewidth=1.8, linestyle=(0, (4, 1.6)))
        keys.append(Line2D([], [], color=look.ink, linewidth=1.8, linestyle=(0, (4, 1.6)), label=text("chart.birth")))
        if pup.gains[-1].pct >= _DOUBLED_FROM:
            axes.axhline(2 * grams[0], color=look.soft, linewidth=1.6, linestyle=(0, (1, 2)))
            keys.append(
                Line2D([], [], color=look.soft, linewidth=1.6, linestyle=(0, (1, 2)), label=text("chart.doubled"))
            )
        dots = axes.plot(days, grams, "-o", color=look.dot, markersize=7.5, linewidth=1.8, zorder=3,
                         label=text("chart.weights"), markeredgecolor=look.paper)  # fmt: skip
        keys = [*dots, *keys]
    page.keys(HEAD, keys)
    _scale(page, axes, grams, unit)
    name_days(axes, dog, kennel, dog.born, max(on, dog.born + timedelta(days=2)))
    if pup.gains:
        _say_newest(page, axes, pup, list(zip(days, grams, strict=True)), unit)
    page.notes(page.height - FOOT - NOTE * len(notes), notes)
    return page


def missing(pup: PupGains) -> list[str]:
    """That no weight was written down, or none at birth."""
    if not pup.gains:
        return [text("chart.note.no_weight")]
    return [] if pup.from_birth else [text("chart.note.first", dog=pup.dog)]


def _scale(page: Sheet, axes: Axes, grams: list[float], unit: str) -> None:
    if not grams:
        axes.set_yticks([])
        return
    room = max(max(grams) - min(grams), 0.06 * grams[0])
    axes.set_ylim(min(grams) - 0.25 * room, max(grams) + 0.25 * room)
    scale(axes, page.look, "oz" if unit == "lb" else "g", most=6)


def _say_newest(page: Sheet, axes: Axes, pup: PupGains, line: list[tuple[float, float]], unit: str) -> None:
    """The newest weight over the percent since birth, beside the last dot; ▼ where the pup loses."""
    weight = say_units.weight(pup.gains[-1].grams / 1000, unit, newborn=True)
    since = say_units.percent(pup.gains[-1].pct / 100, 1, sign=True) if len(pup.gains) > 1 else ""
    shown = text("chart.newborn_lost", weight=weight) if pup.lost else weight
    say_newest(page, axes, shown, line, _levels(axes), lesser=since, colour=page.look.warn if pup.lost else "")


def _levels(axes: Axes) -> list[list[tuple[float, float]]]:
    """The level lines of the panel, end to end: words keep clear of them."""
    low, high = axes.get_xlim()
    heights = [float(line.get_ydata()[0]) for line in axes.lines if len(set(line.get_ydata())) == 1]  # type: ignore
    return [[(low, y), (high, y)] for y in heights]
