"""Each picture can be read on a phone: no words over others or off the paper, none too small, few of them."""

from __future__ import annotations

from itertools import combinations
from time import process_time

import pytest

from bot.replies import charts
from bot.replies.charts.look import DPI, WIDTH
from tests.charts.cases import CASES
from tests.charts.drawn import LOOKS, sheet_of, words

SLACK = 1.0  # dots of the picture that two boxes may share: the boxes have air in them


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("name", CASES)
def test_no_words_stand_over_others_or_off_the_paper(name: str, look: str) -> None:
    page = sheet_of(name, look)
    boxes = [(t.get_text(), t.get_window_extent()) for t in words(page)]
    width, height = page.figure.bbox.width, page.figure.bbox.height
    for said, box in boxes:
        assert box.x0 >= 0 and box.y0 >= 0 and box.x1 <= width and box.y1 <= height, said
    for (a, one), (b, other) in combinations(boxes, 2):
        wide = min(one.x1, other.x1) - max(one.x0, other.x0)
        tall = min(one.y1, other.y1) - max(one.y0, other.y0)
        assert wide <= SLACK or tall <= SLACK, (a, b)


@pytest.mark.parametrize("name", CASES)
def test_nothing_is_smaller_than_a_phone_shows(name: str) -> None:
    """The sheet is 390 points wide, as a phone held upright, so that a point of type is a point on the phone; 11 points
    is the least that a phone maker's guide allows for text (Apple, Human Interface Guidelines, Typography; from memory,
    unverified). Only a name that would not fit beside its gain is smaller."""
    page = sheet_of(name)
    assert round(page.figure.get_figwidth() * 72) == WIDTH and page.figure.dpi == DPI
    small = [t.get_text() for t in words(page) if t.get_fontsize() < 11]
    assert not small or "litter of 12" in name


@pytest.mark.parametrize("name", CASES)
def test_it_is_one_glance(name: str) -> None:
    """Few words, and a shape that a chat shows large: hardly wider than tall, and at most a half taller."""
    page = sheet_of(name)
    assert len(words(page)) <= (70 if "litter" in name else 40)
    assert 0.8 * WIDTH <= page.height <= 1.55 * WIDTH


@pytest.mark.parametrize("name", CASES)
def test_it_is_small_enough_to_send_and_to_keep(name: str) -> None:
    assert len(sheet_of(name).png()) < 100_000


@pytest.mark.parametrize("name", ["ear window", "litter of 12, oz", "daily for a year", "many treaters"])
def test_it_is_drawn_in_a_moment(name: str) -> None:
    """The fullest of each kind, warm: the best of three under 0.7 s of processor time (`tests.bench.pictures`)."""
    case = CASES[name]
    took = []
    for _ in range(3):
        start = process_time()
        charts.render(case.spec, case.kennel, case.ledger, case.room)
        took.append(process_time() - start)
    assert min(took) < 0.7
