"""What each picture must show, counted through the figure's own artists."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

import pytest
from matplotlib.dates import num2date

from bot.replies.charts import told as tales
from core.entries import Ears, Weight
from core.roster import Kennel
from core.units import KG_PER_LB, KG_PER_OZ
from tests.books import day
from tests.charts.cases import CASES
from tests.charts.drawn import LOOKS, bars, boxes, lines, said, sheet_of

# A dog's weights


def test_each_weighing_is_a_dot_in_its_place() -> None:
    """Seventeen weighings of the ear window, of which the last eight weeks' nine stand over the ears."""
    dots = lines(sheet_of("ear window, growth").figure.axes[0], "weighed")[0]
    assert len(dots.get_xdata()) == 17
    assert num2date(dots.get_xdata()[-1]).date() == day("2026-08-09") and dots.get_ydata()[-1] == 11.1
    dots = lines(sheet_of("ear window").figure.axes[0], "weighed")[0]
    wanted = [w for w in CASES["ear window"].ledger.entries("Nugget", Weight) if w.on >= day("2026-06-14")]
    assert [num2date(x).date() for x in dots.get_xdata()] == [w.on for w in wanted]
    assert "Only from 14 Jun on." in said(sheet_of("ear window"))


def test_pounds_are_pounds() -> None:
    """The same dots by the pound of 1959: 0.45359237 kg."""
    panel = sheet_of("daily for a year, lb").figure.axes[0]
    kg = lines(sheet_of("daily for a year").figure.axes[0], "weighed")[0].get_ydata()
    assert lines(panel, "weighed")[0].get_ydata() == pytest.approx([k / KG_PER_LB for k in kg])
    assert "lb" in said(sheet_of("daily for a year, lb")) and "kg" not in said(sheet_of("daily for a year, lb"))


def test_the_band_and_the_lean_line_are_there_and_end_today() -> None:
    """The band ends with the day asked: nothing is drawn ahead. The lean line starts on the day hands said right."""
    panel = sheet_of("ear window").figure.axes[0]
    band = next(c for c in panel.collections if c.get_label() == "expected")
    xs = band.get_paths()[0].vertices[:, 0]
    assert num2date(max(xs)).date() == day("2026-08-09")
    lean = lines(panel, "lean line")[0]
    assert num2date(lean.get_xdata()[0]).date() == day("2026-07-12") and lean.get_ydata()[0] == pytest.approx(9.7)
    early = lines(sheet_of("ear window, first cut").figure.axes[0], "lean line")[0]
    assert num2date(early.get_xdata()[-1]).date() == day("2026-07-16")


def test_a_grown_dogs_lean_line_is_the_weight_called_right_all_along() -> None:
    lean = lines(sheet_of("Linnet").figure.axes[0], "lean line")[0]
    assert set(lean.get_ydata()) == {15.0} and len(lean.get_xdata()) > 100
    assert "Fully grown: the band is Linnet's own steady weight." in " ".join(said(sheet_of("Linnet")).split())


@pytest.mark.parametrize("look", LOOKS)
def test_the_summers_events_each_have_a_row_and_a_shape(look: str) -> None:
    """Four new orders as boxes of cups, three teeth, one trim, two mornings of bile, each kind a marker of its own."""
    page = sheet_of("ear window", look)
    rows = page.figure.axes[-1]
    assert [t.get_text() for t in rows.get_yticklabels()] == ["cups", "teeth", "ear trim", "unwell"]
    assert [t.get_text() for t in rows.texts] == ["1½", "1⅜", "1⅝", "1¾"]
    marks = {line.get_label(): line for line in rows.lines if line.get_marker() not in ("None", "", None)}
    assert {k: len(m.get_xdata()) for k, m in marks.items()} == {"tooth": 3, "ear_trim": 1, "unwell": 2}
    assert len({m.get_marker() for m in marks.values()}) == 3


def test_orders_too_near_for_their_cups_are_plain_marks() -> None:
    rows = sheet_of("ear window, growth").figure.axes[-1]
    assert not rows.texts and len(lines(rows, "order")[0].get_xdata()) == 4


def test_seasons_and_litters_are_marked() -> None:
    rows = sheet_of("daily for a year").figure.axes[-1]
    assert {k: len(lines(rows, k)[0].get_xdata()) for k in ("season", "whelped")} == {"season": 2, "whelped": 1}


def test_a_dense_year_is_told_by_its_weeks() -> None:
    """400 days of dots, and a line through the middle of each seven of them."""
    panel = sheet_of("daily for a year").figure.axes[0]
    assert len(lines(panel, "weighed")[0].get_xdata()) == 401
    assert len(lines(panel, "weekly middle")[0].get_xdata()) == 58 and not lines(panel, "_line")


def test_a_gap_is_dotted_and_named_never_filled() -> None:
    page = sheet_of("sparse")
    gap = [line for line in lines(page.figure.axes[0], "_gap") if len(line.get_xdata()) == 2]
    assert len(gap) == 1 and gap[0].get_linestyle() == "--"  # Matplotlib's word for any dashes
    words = " ".join(said(page).split())
    assert "Nothing between Mar 5 and Apr 30." in words and "Last weighed Apr 30." in words
    assert "No lean line until hands say right." in words


def test_under_five_weeks_there_is_no_band_and_the_picture_says_so() -> None:
    page = sheet_of("Ash")
    band = next(c for c in page.figure.axes[0].collections if c.get_label() == "expected")
    first = min(band.get_paths()[0].vertices[:, 0])
    assert num2date(first).date() == day("2026-01-24") + timedelta(days=35)
    assert "No expected band under 5 weeks." in " ".join(said(page).split())


def test_the_usual_gap_is_no_gap() -> None:
    case = CASES["Nugget"]
    dog = case.kennel.by_name["Nugget"]
    tale = tales.tell(dog, case.kennel, case.ledger, day("2026-03-14"), with_ears=False)
    assert tales.gaps(tale) == [] and tales.missing(tale, Kennel(name="K")) == []


# Ears


@pytest.mark.parametrize("look", LOOKS)
def test_each_scored_day_is_one_bar_in_each_strip(look: str) -> None:
    """Up, half and down differ by height and by fill, whatever the colours."""
    page = sheet_of("ear window", look)
    scored = CASES["ear window"].ledger.entries("Nugget", Ears, since=day("2026-06-14"), until=day("2026-08-09"))
    for strip, side in zip(page.figure.axes[1:3], ("left", "right"), strict=True):
        drawn = {where: boxes(strip, where) for where in ("up", "half", "down")}
        for where, own in drawn.items():
            assert len(own) == sum(getattr(e, side) == where for e in scored), (side, where)
        tall = {where: set(own) for where, own in drawn.items() if own}
        assert all(len(h) == 1 for h in tall.values())
        heights = [tall[w].pop() for w in ("down", "half", "up") if w in tall]
        assert heights == sorted(heights) and all(b - a >= 0.3 for a, b in pairwise(heights))
        fills = {c.get_label(): (c.get_hatch(), tuple(c.get_facecolor()[0])) for c in strip.collections}
        assert fills["half"][0] and not fills["up"][0] and not fills["down"][0] and len(set(fills.values())) == 3


def test_ears_and_weights_stand_under_the_same_dates() -> None:
    panels = sheet_of("ear window").figure.axes
    assert len({tuple(a.get_xlim()) for a in panels}) == 1
    assert len({round(a.get_window_extent().x0, 3) for a in panels}) == 1


def test_an_ear_without_a_side_is_left_out_and_counted() -> None:
    page = sheet_of("sparse")
    left, right = page.figure.axes[1:3]
    assert [len(boxes(left, w)) for w in ("up", "half", "down")] == [1, 0, 1]
    assert [len(boxes(right, w)) for w in ("up", "half", "down")] == [0, 1, 0]
    assert "1 day told without a side left out." in " ".join(said(page).split())


# Newborns


@pytest.mark.parametrize("look", LOOKS)
def test_pups_that_lose_stand_out_without_colour(look: str) -> None:
    """Blue (under birth weight) and Green (lost since yesterday) come first, framed, with ▼; the others have none."""
    page = sheet_of("litter of 6", look)
    assert len(page.figure.axes) == 6
    framed = [a for a in page.figure.axes if a.spines["top"].get_visible()]
    assert framed == page.figure.axes[:2] and all(a.spines["left"].get_linewidth() >= 2 for a in framed)
    assert [lines(a, "_newest")[0].get_marker() for a in page.figure.axes] == ["v", "v", "o", "o", "o", "o"]
    words = said(page)
    assert words.count("▼") == 2 and "▼ under birth weight" in words and "▼ −15 g" in words


def test_every_weighing_of_every_pup_is_drawn_as_percent_since_birth() -> None:
    """Blue: 330 g, then 95, 95.5, 96 and 96.5 % of it, to the gram."""
    page = sheet_of("litter of 6")
    blue = lines(page.figure.axes[0], "Blue")[0]
    assert blue.get_ydata() == pytest.approx([0, -4.85, -4.55, -3.94, -3.64], abs=0.01)
    for axes in page.figure.axes:
        assert [len(c.get_segments()) for c in axes.collections if c.get_label() == "_mates"] == [5]
        assert tuple(axes.get_ylim()) == tuple(page.figure.axes[0].get_ylim())


def test_a_pup_without_a_birth_weight_says_so() -> None:
    words = " ".join(said(sheet_of("litter of 3, gaps")).split())
    assert "White: no weight at birth, so since the first weighing." in words and "Red: not weighed." in words


def test_older_litters_show_their_first_four_weeks() -> None:
    page = sheet_of("Tansy's litter")
    assert max(max(lines(a, "_newest")[0].get_xdata()) for a in page.figure.axes) < 28
    assert "These are the first four weeks." in said(page)


def test_one_newborn_over_its_birth_weight() -> None:
    panel = sheet_of("newborn").figure.axes[0]
    assert panel.lines[0].get_ydata()[0] == pytest.approx(330) and "▼ 389 g" in said(sheet_of("newborn"))
    ounces = sheet_of("newborn, oz").figure.axes[0]
    assert lines(ounces, "weighed")[0].get_ydata()[0] == pytest.approx(0.344 / KG_PER_OZ)
    assert "doubled" in said(sheet_of("newborn, doubled")) and "doubled" not in said(sheet_of("newborn"))


# Food


def test_bowls_and_treats_stack_to_what_was_eaten() -> None:
    """The demo: 700 kcal of bowls (1¾ cups of 400), and treats of 75 and 91 a day."""
    upper, lower = sheet_of("Nugget's food").figure.axes
    assert [b.get_height() for b in bars(upper, "bowls")] == pytest.approx([700, 700])
    treats = [b.get_height() for b in bars(upper, "treats")]
    assert [round(t) for t in treats] == [75, 91]
    people = [bars(lower, who) for who in ("Ida", "Wren", "Tom")]
    by_person = [sum(own[n].get_height() for own in people) for n in (0, 1)]
    assert by_person == pytest.approx(treats)
    assert len(lines(upper, "_order")) == 2 and "the jar 70" in said(sheet_of("Nugget's food"))


def test_a_week_that_nobody_wrote_down_is_a_question_mark_not_a_nought() -> None:
    page = sheet_of("many treaters")
    assert len(bars(page.figure.axes[0], "bowls")) == 5
    words = said(page)
    assert "?" in words.split("\n") and "Too few bowls in the week of 30 Jun." in " ".join(words.split())


def test_people_differ_by_fill_and_the_least_are_others() -> None:
    lower = sheet_of("many treaters").figure.axes[1]
    fills = {g.get_label(): (g[0].get_hatch(), g[0].get_facecolor()) for g in lower.containers}
    assert len(fills) == 4 and "others" in fills and len(set(fills.values())) == 4
    assert len({hatch for hatch, _ in fills.values()}) == 4
