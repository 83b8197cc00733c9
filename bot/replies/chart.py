"""A growth series as a picture: weights in an expected band, with the lean line, to be read on a phone.

The words of the conversation carry only a short description of the picture ("chart:weight:Nugget:2026-03-14"); it is
drawn when it is sent.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from bot.replies.say_units import age, calendar_day
from core.entries import Weight
from core.growth import BandPoint, weight_band
from core.ledger import Ledger
from core.newborn import fastest_ratio
from core.roster import Dog, Kennel
from core.units import KG_PER_LB, KG_PER_OZ
from shared.texts import text

if TYPE_CHECKING:
    from matplotlib.axes import Axes

# Own look: warm paper, dark ink, one accent. Sizes are for a phone held upright, at 160 dots an inch.
_SIZE, _DPI = (6.4, 6.8), 160
_PAPER, _INK, _SOFT, _BAND, _LEAN, _DOT = "#fbf7f0", "#2f3437", "#8a8f91", "#cfe3dc", "#b5651d", "#1f6f5c"
_AHEAD = timedelta(days=14)  # the band goes on so far beyond the last weight
_FIRST_BAND_DAY = 28  # the curve is not drawn over newborns
_LONGEST = timedelta(days=400)


class ChartError(ValueError):
    """A picture that can't be drawn: the text says which."""


@dataclass(frozen=True, slots=True)
class _Scale:
    factor: float
    label: str


def weight_spec(dog: Dog, on: date) -> str:
    """The short description of a dog's weight chart as of a day."""
    return f"chart:weight:{dog.name}:{on.isoformat()}"


def render(spec: str, kennel: Kennel, ledger: Ledger, unit: str = "") -> bytes:
    """The picture as PNG; `unit` is `kg` or `lb`, the kennel's where none is given.

    Raises:
        ChartError: no such picture, or a dog that is not on the roster.
    """
    parts = spec.split(":")
    if len(parts) < 4 or parts[0] != "chart" or parts[1] != "weight":
        raise ChartError(f"no such picture: {spec[:60]!r}")
    dog = kennel.dog(":".join(parts[2:-1]))
    try:
        on = date.fromisoformat(parts[-1])
    except ValueError:
        raise ChartError(f"no such day: {parts[-1][:20]!r}") from None
    if dog is None:
        raise ChartError(f"no such dog: {spec[:60]!r}")
    return _weights(dog, kennel, ledger, on, unit or kennel.weight_unit)


def _weights(dog: Dog, kennel: Kennel, ledger: Ledger, on: date, unit: str) -> bytes:
    from matplotlib.backends.backend_agg import FigureCanvasAgg  # half a second: only when a picture is asked for
    from matplotlib.figure import Figure

    series = [w for w in ledger.entries(dog.name, Weight, until=on) if w.on >= dog.born and on - w.on <= _LONGEST]
    newborn = bool(series) and dog.is_newborn(series[-1].on)
    scale = _scale(unit, newborn)
    figure = Figure(figsize=_SIZE, dpi=_DPI, facecolor=_PAPER, layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot(facecolor=_PAPER)
    if series:
        end = min(on + _AHEAD, series[-1].on + _AHEAD) if not newborn else on
        start = series[0].on
        if newborn:
            _newborn_top(axes, dog, series, scale)
        else:
            first = max(start, dog.born + timedelta(days=_FIRST_BAND_DAY))
            _band(axes, weight_band(dog, ledger, kennel, first, end), scale)
        _dots(axes, series, scale)
    _frame(axes, dog, kennel, on, scale)
    out = io.BytesIO()
    figure.savefig(out, format="png", facecolor=_PAPER)
    return out.getvalue()


def _scale(unit: str, newborn: bool) -> _Scale:
    if newborn:
        return _Scale(1 / KG_PER_OZ, "oz") if unit == "lb" else _Scale(1000, "g")
    return _Scale(1 / KG_PER_LB, "lb") if unit == "lb" else _Scale(1, "kg")


def _x(on: date) -> float:
    """The day as matplotlib counts days: since 1970."""
    return float(on.toordinal() - date(1970, 1, 1).toordinal())


def _band(axes: Axes, band: Sequence[BandPoint], scale: _Scale) -> None:
    if not band:
        return
    days = [_x(p.on) for p in band]
    low, high = ([getattr(p, n) * scale.factor for p in band] for n in ("low_kg", "high_kg"))
    axes.fill_between(days, low, high, color=_BAND, linewidth=0, label=text("chart.band"))
    lean = [(_x(p.on), p.lean_kg * scale.factor) for p in band if p.lean_kg is not None]
    if lean:
        axes.plot(
            [d for d, _ in lean],
            [k for _, k in lean],
            color=_LEAN,
            linewidth=2.2,
            linestyle=(0, (5, 2)),
            label=text("chart.lean"),
        )


def _newborn_top(axes: Axes, dog: Dog, series: Sequence[Weight], scale: _Scale) -> None:
    """Birth weight as a floor: a newborn belongs above it (Mila 2015 watches the first two days)."""
    birth = series[0].kg * scale.factor
    axes.axhline(birth, color=_LEAN, linewidth=2, linestyle=(0, (5, 2)), label=text("chart.birth"))
    last = dog.age_days(series[-1].on)
    doubled = fastest_ratio(float(last))
    if doubled is not None and series[-1].kg >= 1.6 * series[0].kg:
        axes.axhline(2 * birth, color=_SOFT, linewidth=1.4, linestyle=(0, (2, 3)), label=text("chart.doubled"))


def _dots(axes: Axes, series: Sequence[Weight], scale: _Scale) -> None:
    days, kgs = [_x(w.on) for w in series], [w.kg * scale.factor for w in series]
    axes.plot(days, kgs, color=_DOT, linewidth=1.6, alpha=0.6)
    axes.plot(days, kgs, "o", color=_DOT, markersize=8, label=text("chart.weights"))
    shown = f"{kgs[-1]:.0f}" if scale.label == "g" else f"{kgs[-1]:.1f}"
    axes.annotate(
        text("chart.value", n=shown, unit=scale.label),
        (days[-1], kgs[-1]),
        xytext=(0, 14),
        textcoords="offset points",
        ha="center",
        fontsize=15,
        fontweight="bold",
        color=_INK,
    )


def _frame(axes: Axes, dog: Dog, kennel: Kennel, on: date, scale: _Scale) -> None:
    from matplotlib import dates

    title = text("chart.title", dog=dog.name, age=age(dog, on), day=calendar_day(on, kennel))
    axes.set_title(title, fontsize=18, color=_INK, loc="left", pad=14)
    axes.set_ylabel(scale.label, fontsize=14, color=_INK, rotation=0, labelpad=14, loc="top")
    locator: Any = dates.AutoDateLocator(minticks=3, maxticks=6)  # type: ignore[no-untyped-call]
    axes.xaxis.set_major_locator(locator)
    axes.xaxis.set_major_formatter(dates.ConciseDateFormatter(locator, show_offset=False))  # type: ignore[no-untyped-call]
    axes.tick_params(labelsize=13, colors=_INK, length=0)
    axes.grid(axis="y", color="#e4dccf", linewidth=1)
    for side in ("top", "right", "left"):
        axes.spines[side].set_visible(False)
    axes.spines["bottom"].set_color(_SOFT)
    axes.margins(x=0.06, y=0.12)
    if axes.get_legend_handles_labels()[0]:
        axes.legend(loc="upper left", fontsize=12, frameon=False, labelcolor=_INK)
