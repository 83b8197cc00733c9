"""Houses that stand on each database in turn."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.scheduling import house


@pytest.fixture
def places(new_url: Callable[[], str], request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Makes `opened` build on each database; SQLite's is in memory."""
    if request.node.callspec.params["new_url"] != "sqlite":
        monkeypatch.setattr(house, "new_url", new_url)
