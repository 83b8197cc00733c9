"""The cases drawn as figures, once for each look, and what stands on a figure."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from matplotlib.text import Text

from bot.replies import charts
from bot.replies.charts.sheet import Sheet
from tests.charts.cases import CASES, Case

LOOKS = ("light", "dark")


@cache
def sheet_of(name: str, look: str = "light") -> Sheet:
    """The drawn sheet of that case."""
    return drawn(CASES[name], look)


def drawn(case: Case, look: str = "light") -> Sheet:
    """The drawn sheet of a case."""
    page = charts.drawn(replace(charts.parse(case.spec), look=look), case.kennel, case.ledger, case.room)
    page.figure.canvas.draw()
    return page


def words(page: Sheet) -> list[Text]:
    """Every piece of text that can be seen on the sheet."""
    found = []
    for artist in page.figure.findobj(Text):
        shown = artist.get_text().strip() and artist.get_visible() and _parents_visible(artist, page)
        if shown and artist.get_window_extent().width > 0:
            found.append(artist)
    return found


def said(page: Sheet) -> str:
    """All words on the sheet, one piece to a line."""
    return "\n".join(t.get_text() for t in words(page))


def lines(axes: Any, label: str) -> list[Any]:
    """The lines of a panel with that label."""
    return [line for line in axes.lines if line.get_label() == label]


def bars(axes: Any, label: str) -> list[Any]:
    """The bars of a panel with that label."""
    return [b for group in axes.containers if group.get_label() == label for b in group]


def boxes(axes: Any, label: str) -> list[float]:
    """The heights of the bars of a strip with that label."""
    return [
        float(path.vertices[:, 1].max()) for c in axes.collections if c.get_label() == label for path in c.get_paths()
    ]


def _parents_visible(artist: Text, page: Sheet) -> bool:
    """False for the labels of ticks that the panel does not show."""
    for axes in page.figure.axes:
        for axis in (axes.xaxis, axes.yaxis):
            low, high = sorted(axis.get_view_interval())
            for tick in axis.get_major_ticks():
                if artist in (tick.label1, tick.label2):
                    return artist.get_visible() and low <= tick.get_loc() <= high
    return True
