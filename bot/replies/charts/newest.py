"""The newest figure in large letters, beside its dot where it covers least of the line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from bot.replies.charts.look import SMALL, VALUE
from bot.replies.charts.sheet import Sheet

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.text import Annotation
    from matplotlib.transforms import Bbox

Line = Sequence[tuple[float, float]]
# Where it may stand: points right and up of the dot, and to which side of there the words go.
PLACES = (
    (6, 14, "right"),
    (6, -30, "right"),
    (-6, 14, "left"),
    (-6, -30, "left"),
    (-14, 22, "right"),
    (-14, -38, "right"),
)
_SAMPLES = 24  # of each part of the line
_UNDER = 15.0  # points from the figure down to the lesser words under it


def say_newest(
    page: Sheet, axes: Axes, figure: str, line: Line, others: Sequence[Line] = (), lesser: str = "", colour: str = ""
) -> None:
    """Write the figure beside the line's last dot, lesser words under it, clear of the other lines too if it can be."""
    from matplotlib.patheffects import withStroke

    halo = [withStroke(linewidth=4, foreground=page.look.paper)]
    best: tuple[float, list[Annotation]] | None = None
    for right, up, side in PLACES:
        more: dict[str, Any] = {"textcoords": "offset points", "ha": side, "zorder": 6, "path_effects": halo}
        lift = _UNDER * (up > 0) if lesser else 0.0
        shown = [axes.annotate(figure, line[-1], xytext=(right, up + lift), fontsize=VALUE, fontweight="bold",
                               color=colour or page.look.ink, **more)]  # fmt: skip
        if lesser:
            shown.append(axes.annotate(lesser, line[-1], xytext=(right, up + lift - _UNDER), fontsize=SMALL,
                                       color=page.look.ink, **more))  # fmt: skip
        covered = sum(_covered(page, axes, s, part) for s in shown for part in (line, *others))
        if best is None or covered < best[0]:
            for old in best[1] if best else ():
                old.remove()
            best = covered, shown
        else:
            for s in shown:
                s.remove()
        if best[0] == 0:
            return


def _covered(page: Sheet, axes: Axes, shown: Annotation, line: Line) -> float:
    """How much of the line the words cover, and a great deal more where they leave the panel's sides."""
    import numpy as np

    box: Bbox = shown.get_window_extent(page.figure.canvas.get_renderer())  # type: ignore[attr-defined]
    panel = axes.get_window_extent()
    outside = box.x0 < panel.x0 or box.x1 > panel.x1 + 12 or box.y0 < panel.y0 or box.y1 > panel.y1
    if not line:
        return 1000.0 if outside else 0.0
    spots = axes.transData.transform(np.asarray(line, dtype=float))
    steps = np.linspace(0, len(spots) - 1, _SAMPLES * (len(spots) - 1) + 1)
    x, y = (np.interp(steps, np.arange(len(spots)), spots[:, n]) for n in (0, 1))
    hidden = (x > box.x0) & (x < box.x1) & (y > box.y0) & (y < box.y1)
    return float(hidden.sum() + 1000 * outside)
