"""What a dog eats by week: all food beside the order, and beneath it the treats alone beside the jar.

Treats by person are drawn only where the caller says so, which is in the breeder's own line.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from bot.replies import say_units
from bot.replies.charts.days import short_day
from bot.replies.charts.look import SMALL, TEXT, WIDTH, Look
from bot.replies.charts.sheet import EDGE, HEAD, NOTE, Sheet, noted, sheet
from core.roster import Dog, Kennel
from core.weekly import FoodWeek
from shared.texts import listed, text

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WEEKS = 6  # bars that can still carry their figure
LEFT = 62.0
LEAD, KEYS, ALL, TREATS, AXIS, FOOT, BETWEEN = 24.0, 24.0, 150.0, 96.0, 26.0, 12.0, 16.0
MOST_PEOPLE = 3  # then the others together
ORDERED = (0, (3, 1.5))  # the dashes of the order
WIDE = 0.62  # of a week
ROOM = 34  # letters of names that fit in one row of keys
# Fills of the people's parts, so that no colour is needed; the last is the others'.
FILLS = ("", "////", "....", "xxxx")


def draw(
    dog: Dog, kennel: Kennel, weeks: Sequence[FoodWeek], jar_kcal: float | None, look: Look, people: bool = False
) -> Sheet:
    """The sheet of those weeks; `jar_kcal` is what the treats may come to a day, None where that is not known."""
    notes = noted(missing(weeks, kennel))
    names = _names(weeks) if people else []
    more = KEYS * 0.8 if sum(len(n) + 6 for n in names) > ROOM else 0.0  # people's names may need a second row
    used = HEAD + LEAD + KEYS + ALL + BETWEEN + LEAD + KEYS + more + TREATS + AXIS + FOOT + NOTE * len(notes)
    page = sheet(look, used)
    page.head(text("chart.food.title", dog=dog.name), _span(weeks, kennel))
    top = HEAD + LEAD
    page.write(EDGE, HEAD + 12, text("chart.food.all"), TEXT, fontweight="bold")
    page.keys(top - 2, _all_keys(weeks, look))
    _all(page, page.panel(top + KEYS, ALL, LEFT, WIDTH - LEFT - EDGE), weeks)
    top += KEYS + ALL + BETWEEN + LEAD
    page.write(EDGE, top - 12, text("chart.food.treats"), TEXT, fontweight="bold")
    axes = page.panel(top + KEYS + more, TREATS, LEFT, WIDTH - LEFT - EDGE)
    page.keys(top - 2, _treats(page, axes, weeks, jar_kcal, names))
    _name_weeks(page, axes, weeks, kennel)
    page.notes(page.height - FOOT - NOTE * len(notes), notes)
    return page


def missing(weeks: Sequence[FoodWeek], kennel: Kennel) -> list[str]:
    """The weeks whose bowls do not add up, the order where there is none, and how rough the treats are."""
    said = []
    unknown = [w for w in weeks if w.bowl_kcal is None]
    if len(unknown) == len(weeks):
        said.append(text("chart.note.no_bowls"))
    elif unknown:
        said.append(text("chart.note.week", weeks=listed([short_day(w.since, kennel) for w in unknown])))
    if not any(w.order_kcal for w in weeks):
        said.append(text("chart.note.no_order"))
    if any(w.estimated for w in weeks):
        said.append(text("chart.note.rough"))
    return said


def _span(weeks: Sequence[FoodWeek], kennel: Kennel) -> str:
    return f"{short_day(weeks[0].since, kennel)} – {short_day(weeks[-1].until, kennel)}" if weeks else ""


def _names(weeks: Sequence[FoodWeek]) -> list[str]:
    """Who gave most over these weeks, most first; "" stands for the others together."""
    sums: dict[str, float] = {}
    for week in weeks:
        for who, kcal in week.treats_by.items():
            sums[who] = sums.get(who, 0.0) + kcal
    named = sorted(sums, key=lambda who: (-sums[who], who))
    return named[:MOST_PEOPLE] + ([""] if len(named) > MOST_PEOPLE else [])


def _all_keys(weeks: Sequence[FoodWeek], look: Look) -> list[Any]:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    keys: list[Any] = [
        Patch(facecolor=look.dot, edgecolor=look.dot, label=text("chart.food.bowls")),
        Patch(label=text("chart.food.treat"), **_treat_fill(look)),
    ]
    if any(w.order_kcal for w in weeks):
        keys.append(Line2D([], [], color=look.ink, linewidth=2, linestyle=ORDERED, label=text("chart.food.order")))
    return keys


def _all(page: Sheet, axes: Axes, weeks: Sequence[FoodWeek]) -> None:
    look = page.look
    known = [(n, w, w.bowl_kcal) for n, w in enumerate(weeks) if w.bowl_kcal is not None]
    highest = max((b + w.treat_kcal for _, w, b in known), default=0.0)
    highest = max([highest, *(w.order_kcal or 0.0 for w in weeks)]) or 100.0
    _frame(page, axes, len(weeks), highest)
    if known:
        axes.bar([n for n, _, _ in known], [b for _, _, b in known], WIDE, color=look.dot, label="bowls", zorder=2)
        axes.bar([n for n, _, _ in known], [w.treat_kcal for _, w, _ in known], WIDE, bottom=[b for _, _, b in known],
                 label="treats", zorder=2, **_treat_fill(look))  # fmt: skip
    for n, week, bowls in known:
        top = max(bowls + week.treat_kcal, week.order_kcal or 0.0)
        _figure(page, axes, n, top, bowls + week.treat_kcal, bold=n == len(weeks) - 1)
    for n, week in enumerate(weeks):
        if week.bowl_kcal is None:
            axes.annotate(text("chart.food.unknown"), (n, 0), xytext=(0, 6), textcoords="offset points", ha="center",
                          fontsize=TEXT, color=look.soft)  # fmt: skip
        if week.order_kcal:
            axes.plot([n - 0.48, n + 0.48], [week.order_kcal] * 2, color=look.ink, linewidth=2, zorder=3,
                      linestyle=ORDERED, label="_order")  # fmt: skip
    axes.set_xticks([])


def _treats(page: Sheet, axes: Axes, weeks: Sequence[FoodWeek], jar_kcal: float | None, names: list[str]) -> list[Any]:
    """The treats' bars, by person where names are given; what the shapes mean."""
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    look = page.look
    _frame(page, axes, len(weeks), max([w.treat_kcal for w in weeks] + [jar_kcal or 0.0]) or 10.0)
    keys: list[Any] = []
    spots = list(range(len(weeks)))
    if not names:
        axes.bar(spots, [w.treat_kcal for w in weeks], WIDE, label="treats", zorder=2, **_treat_fill(look))
    base = [0.0] * len(weeks)
    for part, who in enumerate(names):
        kcals = [_part(w, who, names) for w in weeks]
        fill = _person_fill(look, part)
        axes.bar(spots, kcals, WIDE, bottom=base, label=who or "others", zorder=2, **fill)
        keys.append(Patch(label=who or text("chart.food.others"), **fill))
        base = [b + k for b, k in zip(base, kcals, strict=True)]
    if jar_kcal:
        axes.axhline(jar_kcal, color=look.ink, linewidth=2, linestyle=(0, (1, 1.5)), zorder=3, label="_jar")
        shown = f"{text('chart.food.jar')} {say_units.number(jar_kcal, 0)}"
        keys.append(Line2D([], [], color=look.ink, linewidth=2, linestyle=(0, (1, 1.5)), label=shown))
    for n, week in enumerate(weeks):
        top = max(week.treat_kcal, jar_kcal or 0.0) if week.treat_kcal > 0.8 * (jar_kcal or 0.0) else week.treat_kcal
        _figure(page, axes, n, top, week.treat_kcal, bold=n == len(weeks) - 1)
    return keys


def _treat_fill(look: Look) -> dict[str, Any]:
    return {"facecolor": look.lean, "edgecolor": look.paper, "hatch": FILLS[1], "linewidth": 0}


def _person_fill(look: Look, part: int) -> dict[str, Any]:
    """Full, striped, dotted on full, crossed: four fills in one colour."""
    full = part % 2 == 0
    return {"facecolor": look.lean if full else look.paper, "hatch": FILLS[part], "linewidth": 1.0,
            "edgecolor": look.paper if part == 2 else look.lean}  # fmt: skip


def _part(week: FoodWeek, who: str, names: list[str]) -> float:
    if who:
        return week.treats_by.get(who, 0.0)
    return sum(kcal for name, kcal in week.treats_by.items() if name not in names)


def _frame(page: Sheet, axes: Axes, weeks: int, highest: float) -> None:
    from matplotlib.ticker import MaxNLocator

    spare = 0.1 + 0.25 * max(4 - weeks, 0)  # few bars stay slim
    axes.set_xlim(-0.5 - spare, weeks - 0.5 + spare)
    axes.set_ylim(0, highest * 1.2)
    axes.yaxis.set_major_locator(MaxNLocator(3, steps=[1, 2, 5, 10]))
    axes.tick_params(labelsize=SMALL)
    axes.grid(axis="y", color=page.look.rule, linewidth=1)
    axes.set_axisbelow(True)


def _figure(page: Sheet, axes: Axes, n: int, top: float, kcal: float, bold: bool) -> None:
    axes.annotate(say_units.number(kcal, 0), (n, top), xytext=(0, 4), textcoords="offset points", ha="center",
                  fontsize=TEXT if bold else SMALL, fontweight="bold" if bold else "normal",
                  color=page.look.ink, zorder=5)  # fmt: skip


def _name_weeks(page: Sheet, axes: Axes, weeks: Sequence[FoodWeek], kennel: Kennel) -> None:
    """Each week by its first day; every other one where there are many."""
    every = 1 if len(weeks) <= WEEKS else 2
    spots = [n for n in range(len(weeks)) if (len(weeks) - 1 - n) % every == 0]
    axes.annotate(text("chart.food.week_of"), (0, 0), xycoords="axes fraction", xytext=(-5, -8), ha="right", va="top",
                  textcoords="offset points", fontsize=SMALL, color=page.look.soft)  # fmt: skip
    axes.set_xticks(spots, [short_day(weeks[n].since, kennel) for n in spots], fontsize=SMALL)
