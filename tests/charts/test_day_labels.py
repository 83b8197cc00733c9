"""The days under a panel stand on one line, whatever letters they have."""

from __future__ import annotations

import pytest

from tests.charts.cases import CASES
from tests.charts.drawn import sheet_of

WITH_DAYS = [name for name in CASES if ":weight:" in CASES[name].spec or ":growth:" in CASES[name].spec][:6]


@pytest.mark.parametrize("name", WITH_DAYS)
def test_the_days_stand_on_one_line(name: str) -> None:
    """A "J" that hangs under the line does not lift "24 Jan" over "7 Feb"."""
    page = sheet_of(name)
    axes = page.figure.axes[0]
    labels = [t for t in axes.get_xticklabels() if t.get_text()]
    assert labels and {t.get_verticalalignment() for t in labels} == {"baseline"}
    assert len({round(float(t.get_transform().transform(t.get_position())[1]), 1) for t in labels}) == 1
