"""The axis of days: a few days of the calendar, with the pup's age under each; months for a grown dog."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.replies.charts.look import SMALL
from core.roster import Dog, Kennel
from shared.texts import text

if TYPE_CHECKING:
    from matplotlib.axes import Axes

PAD = 4.0  # points between the panel and the days
MOST = 5  # days named
_WEEKS, _MONTHS = (1, 2, 3, 4, 6, 8, 13), (1, 2, 3, 4, 6)
_EPOCH = date(1970, 1, 1).toordinal()


def x_of(on: date) -> float:
    """A day as Matplotlib counts days: since 1970."""
    return float(on.toordinal() - _EPOCH)


def short_day(on: date, kennel: Kennel) -> str:
    """A day of the calendar in few letters: "8 Mar" or "Mar 8"."""
    order = "units.day_month" if kennel.day_first else "units.month_day"
    return text(order, day=on.day, month=text(f"chart.month.{on.month}"))


def name_days(axes: Axes, dog: Dog, kennel: Kennel, start: date, end: date) -> None:
    """Name a few days under the panel, and let it reach a little beyond both ends."""
    span = max((end - start).days, 1)
    axes.set_xlim(x_of(start) - 0.04 * span - 0.2, x_of(end) + 0.04 * span + 0.2)
    named = list(_of_pup(dog, kennel, start, end) if dog.is_pup(end) else _of_grown(start, end))
    first, second = zip(*(label.split("\n") for _, label in named), strict=True) if named else ((), ())
    places = [x_of(on) for on, _ in named]
    # Both lines stand on their baselines: as one text, a "J" that hangs down would lift its whole line.
    axes.set_xticks(places, first, fontsize=SMALL, verticalalignment="baseline")
    axes.tick_params(axis="x", pad=PAD + SMALL)
    for x, said in zip(places, second, strict=True):
        if said:
            axes.annotate(
                said, (x, 0), (0, -(PAD + SMALL + 1.25 * SMALL)), xycoords=axes.get_xaxis_transform(),
                textcoords="offset points", ha="center", va="baseline", fontsize=SMALL, annotation_clip=False,
                color=next(iter(axes.get_xticklabels())).get_color(),
            )  # fmt: skip


def _of_pup(dog: Dog, kennel: Kennel, start: date, end: date) -> Iterator[tuple[date, str]]:
    """Days on which the pup is whole weeks old; single days of its first fortnight."""
    young = (end - dog.born).days <= 14
    every = _step((end - start).days, (1, 2, 3, 7) if young else tuple(7 * n for n in _WEEKS))
    age = -(-(start - dog.born).days // every) * every
    while dog.born + timedelta(days=age) <= end:
        on = dog.born + timedelta(days=age)
        old = text("chart.day", n=age) if young else text("chart.week", n=age // 7)
        yield on, f"{short_day(on, kennel)}\n{old}"
        age += every


def _of_grown(start: date, end: date) -> Iterator[tuple[date, str]]:
    """First days of months; the year under the first of them and under each January."""
    every = _step((end.year - start.year) * 12 + end.month - start.month, _MONTHS)
    month = start.year * 12 + start.month - 1 + (start.day > 1)
    month = -(-month // every) * every
    first = True
    while (on := date(month // 12, month % 12 + 1, 1)) <= end:
        year = f"\n{on.year}" if first or (on.month <= every and on.month == 1) else "\n"
        yield on, text(f"chart.month.{on.month}") + year
        month, first = month + every, False


def _step(span: int, steps: tuple[int, ...]) -> int:
    return next((s for s in steps if span // s < MOST), steps[-1])
