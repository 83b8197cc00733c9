"""A dog's weights in their expected band with the lean line; life events, and for watched ears both ears, beneath."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median
from typing import TYPE_CHECKING, Any

from bot.replies import say_units
from bot.replies.charts import ears as strips
from bot.replies.charts import rows
from bot.replies.charts.days import name_days, short_day, x_of
from bot.replies.charts.look import Look
from bot.replies.charts.newest import say_newest
from bot.replies.charts.sheet import HEAD, NOTE, Sheet, noted, scale, sheet
from bot.replies.charts.told import Story, longest_gap, missing
from core.growth import BandPoint
from core.roster import Dog, Kennel
from core.units import KG_PER_LB
from shared.texts import text

if TYPE_CHECKING:
    from matplotlib.axes import Axes

KEYS, AXIS, FOOT = 32.0, 46.0, 12.0  # heights in points
PANEL, PANEL_WITH_EARS = 250.0, 200.0
LEAST_HEIGHT = 390.0  # a picture less tall than wide is shown small
DENSE = 60  # weighings from which dots are small and the line goes through the middle of each week


def draw(dog: Dog, kennel: Kennel, told: Story, unit: str, look: Look) -> Sheet:
    """The sheet of that story."""
    notes = noted(missing(told, kennel))
    tall = PANEL if told.ears is None else PANEL_WITH_EARS
    under = rows.ROW * len(rows.kinds(told.events)) + (8 if told.events else 0)
    under += strips.height() + 12 if told.ears is not None else 0
    used = HEAD + KEYS + AXIS + under + FOOT + NOTE * len(notes)
    tall = max(tall, LEAST_HEIGHT - used)
    page = sheet(look, used + tall)
    page.head(text("chart.title", dog=dog.name, age=say_units.age(dog, told.end)), short_day(told.end, kennel))
    axes = page.panel(HEAD + KEYS, tall)
    factor = 1 / KG_PER_LB if unit == "lb" else 1.0
    shown = [*_band(axes, told.band, factor, look), *_dots(axes, told, factor, look)]
    page.keys(HEAD, shown)
    _scale(axes, page, told, unit)
    name_days(axes, dog, kennel, told.start, told.end)
    if told.newest is not None:
        line = [(x_of(w.on), w.kg * factor) for w in told.weighings]
        lean = [(x_of(p.on), p.lean_kg * factor) for p in told.band if p.lean_kg is not None]
        say_newest(page, axes, say_units.weight(told.newest.kg, unit), line, [lean])
    top = HEAD + KEYS + tall + AXIS
    if told.ears is not None:
        strips.draw(page, top, told.ears, axes.get_xlim())
        top += strips.height() + 12
    rows.draw(page, top, told.events, axes.get_xlim())
    page.notes(page.height - FOOT - NOTE * len(notes), notes)
    return page


def _band(axes: Axes, band: Sequence[BandPoint], factor: float, look: Look) -> list[Any]:
    if not band:
        return []
    days = [x_of(p.on) for p in band]
    low, high = ([getattr(p, n) * factor for p in band] for n in ("low_kg", "high_kg"))
    shown: list[Any] = [axes.fill_between(days, low, high, facecolor=look.band, edgecolor=look.edge, linewidth=0.8,
                               label=text("chart.band"))]  # fmt: skip
    lean = [(x_of(p.on), p.lean_kg * factor) for p in band if p.lean_kg is not None]
    if lean:
        shown += axes.plot(*zip(*lean, strict=True), color=look.lean, linewidth=2.4, linestyle=(0, (4, 1.6)),
                           label=text("chart.lean"))  # fmt: skip
    return shown


def _dots(axes: Axes, told: Story, factor: float, look: Look) -> list[Any]:
    """The weighings and the line through them, dotted over a long gap; for many the middle of each week."""
    if not told.weighings:
        return []
    days, kgs = [x_of(w.on) for w in told.weighings], [w.kg * factor for w in told.weighings]
    if len(days) >= DENSE:
        dots = axes.plot(days, kgs, "o", color=look.dot, markersize=2.6, alpha=0.55, zorder=3,
                         label=text("chart.weights"))  # fmt: skip
        return [*dots, *axes.plot(*zip(*_weekly(days, kgs), strict=True), color=look.dot, linewidth=2.2, zorder=4,
                                  label=text("chart.middle"))]  # fmt: skip
    first = 0
    for n in range(1, len(days) + 1):
        if n < len(days) and days[n] - days[n - 1] <= longest_gap(told.dog, told.weighings[n].on).days:
            continue
        axes.plot(days[first:n], kgs[first:n], color=look.dot, linewidth=1.6, zorder=3, label="_line")
        axes.plot(days[n - 1 : n + 1], kgs[n - 1 : n + 1], color=look.dot, linewidth=1.6, zorder=3, label="_gap",
                  linestyle=(0, (1, 2.5)))  # fmt: skip
        first = n
    return axes.plot(days, kgs, "o", color=look.dot, markersize=7.5, zorder=4, label=text("chart.weights"),
                     markeredgecolor=look.paper, markeredgewidth=0.8)  # fmt: skip


def _weekly(days: Sequence[float], kgs: Sequence[float]) -> list[tuple[float, float]]:
    """The middle weight of each seven days, counted back from the newest, on the middle of their days."""
    spans: dict[int, list[tuple[float, float]]] = {}
    for day, kg in zip(days, kgs, strict=True):
        spans.setdefault(int(days[-1] - day) // 7, []).append((day, kg))
    return [(median(d for d, _ in span), median(k for _, k in span)) for span in spans.values()]


def _scale(axes: Axes, page: Sheet, told: Story, unit: str) -> None:
    """Figures up the side, with headroom for the newest weight's."""
    if not told.weighings:
        axes.set_yticks([])
        return
    low, high = axes.get_ylim()
    room = high - low
    axes.set_ylim(max(low - 0.04 * room, 0), high + 0.14 * room)
    scale(axes, page.look, unit)
