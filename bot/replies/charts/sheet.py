"""One sheet of paper: a figure with its title, panels placed in points from the top, keys, notes, and its PNG."""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bot.replies.charts.look import DPI, LEFT, RIGHT, SMALL, TEXT, TITLE, WIDTH, Look
from shared.texts import text

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.text import Text

EDGE = 14.0  # points between the words and the paper's edge
HEAD = 42.0  # height of the title's line
NOTE = 16.0  # height of a line of notes
_NOTE_CHARS = 58  # of SMALL letters in a line
_COLOURS = 96  # of the PNG's palette: lines and flat areas need no more


@dataclass(slots=True)
class Sheet:
    """A figure of a given height in points; places are counted from its top left corner."""

    figure: Figure
    look: Look
    height: float

    def panel(self, top: float, height: float, left: float = LEFT, width: float | None = None) -> Axes:
        """An empty panel without a frame; its width reaches to the right margin where none is given."""
        wide = WIDTH - left - RIGHT if width is None else width
        box = (left / WIDTH, 1 - (top + height) / self.height, wide / WIDTH, height / self.height)
        axes = self.figure.add_axes(box, facecolor=self.look.paper)
        axes.tick_params(labelsize=TEXT, colors=self.look.ink, length=0, pad=5)
        for side in axes.spines.values():
            side.set_visible(False)
        return axes

    def write(self, x: float, y: float, said: str, size: float = TEXT, **more: Any) -> Text:
        """Words with their baseline y points under the top."""
        colour = more.pop("color", self.look.ink)
        return self.figure.text(x / WIDTH, 1 - y / self.height, said, fontsize=size, color=colour, **more)

    def head(self, title: str, day: str) -> None:
        """The title in bold, made smaller until it fits beside the day."""
        right = self.write(WIDTH - EDGE, 28, day, TEXT, color=self.look.soft, ha="right")
        size = TITLE
        shown = self.write(EDGE, 28, title, size, fontweight="bold")
        while self.wide(shown) > WIDTH - 3 * EDGE - self.wide(right) and size > SMALL:
            size -= 1
            shown.set_fontsize(size)

    def keys(self, top: float, handles: Sequence[Artist], left: float = EDGE) -> None:
        """What the shapes mean, in one row; in two where one is too wide."""
        for columns in (len(handles), (len(handles) + 1) // 2):
            legend = self.figure.legend(
                handles=list(handles),
                loc="upper left",
                bbox_to_anchor=(left / WIDTH, 1 - top / self.height),
                ncols=max(columns, 1),
                fontsize=SMALL,
                frameon=False,
                labelcolor=self.look.ink,
                handlelength=1.7,
                handletextpad=0.5,
                columnspacing=1.2,
                borderaxespad=0,
                borderpad=0,
            )
            if self._points(legend) <= WIDTH - left - EDGE or columns <= 2:
                return
            legend.remove()

    def notes(self, top: float, lines: Sequence[str]) -> None:
        """What is missing and what the table does not cover, in lesser words at the foot."""
        for n, line in enumerate(lines):
            self.write(EDGE, top + (n + 0.8) * NOTE, line, SMALL, color=self.look.soft)

    def wide(self, shown: Text) -> float:
        """The width of words in points."""
        return self._points(shown)

    def _points(self, artist: Any) -> float:
        return float(artist.get_window_extent(self.figure.canvas.get_renderer()).width) * 72 / DPI  # type: ignore[attr-defined]

    def png(self) -> bytes:
        """The sheet as PNG, with a palette of its own, so that it is small; the same sheet gives the same bytes."""
        from PIL import Image

        canvas = self.figure.canvas
        canvas.draw()
        size = canvas.get_width_height(physical=True)
        drawn = Image.frombuffer("RGBA", size, canvas.buffer_rgba(), "raw", "RGBA", 0, 1).convert("RGB")  # type: ignore[attr-defined]
        out = io.BytesIO()
        drawn.quantize(_COLOURS, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE).save(out, "PNG")
        return out.getvalue()


def scale(axes: Axes, look: Look, unit: str, most: int = 5) -> None:
    """A few round figures up the side with their lines, the unit beside the uppermost."""
    from matplotlib.ticker import MaxNLocator

    low, high = axes.get_ylim()
    ticks = [t for t in MaxNLocator(most, steps=[1, 2, 5, 10]).tick_values(low, high) if low <= t <= high]
    places = 0 if all(abs(t - round(t)) < 1e-9 for t in ticks) else 1
    names = [f"{t:.{places}f}" for t in ticks]
    axes.set_yticks(ticks, [*names[:-1], text(f"chart.unit.{unit}", n=names[-1])] if names else [])
    axes.grid(axis="y", color=look.rule, linewidth=1)
    axes.set_axisbelow(True)


def sheet(look: Look, height: float) -> Sheet:
    """An empty sheet."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg  # half a second: only when a picture is asked for
    from matplotlib.figure import Figure

    figure = Figure(figsize=(WIDTH / 72, height / 72), dpi=DPI, facecolor=look.paper)
    FigureCanvasAgg(figure)
    return Sheet(figure, look, height)


def noted(sentences: Sequence[str]) -> list[str]:
    """The notes broken into lines that fit the paper."""
    return textwrap.wrap(" ".join(sentences), _NOTE_CHARS) if sentences else []
