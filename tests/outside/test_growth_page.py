"""The page of growth checks is what is computed, and each figure lies as near to the published one as it must."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.outside.growth_checks import CHECKS, Check, page


@pytest.mark.parametrize("check", CHECKS, ids=[c.what for c in CHECKS])
def test_ours_beside_the_published(check: Check) -> None:
    """Within the tolerance that the list states for the source's own spread or rounding."""
    assert check.ours() == pytest.approx(check.published, rel=check.tolerance)


def test_the_page_is_this_list() -> None:
    """What the page says is what is computed."""
    assert (Path(__file__).parent / "growth_checks.md").read_text(encoding="utf-8") == page()
