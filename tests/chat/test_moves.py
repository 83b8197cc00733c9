"""Words that move the demo's clock."""

from __future__ import annotations

from datetime import datetime

import pytest

from bot.chat.moves import moved

NOW = datetime(2026, 3, 14, 8, 10)  # a Saturday


@pytest.mark.parametrize(
    ("said", "at"),
    [
        ("later 2h", datetime(2026, 3, 14, 10, 10)), ("later 45 min", datetime(2026, 3, 14, 8, 55)),
        ("+30m", datetime(2026, 3, 14, 8, 40)), ("Later 3 days", datetime(2026, 3, 17, 8, 10)),
        ("wait 1 week", datetime(2026, 3, 21, 8, 10)), ("at 17:30", datetime(2026, 3, 14, 17, 30)),
        ("at 7:00", datetime(2026, 3, 15, 7, 0)), ("until 21:45", datetime(2026, 3, 14, 21, 45)),
        ("next morning", datetime(2026, 3, 15, 7, 30)), ("next  evening", datetime(2026, 3, 14, 18, 30)),
        ("tomorrow", datetime(2026, 3, 15, 7, 30)), ("tomorrow evening", datetime(2026, 3, 15, 18, 30)),
        ("next day", datetime(2026, 3, 15, 7, 30)), ("next sunday", datetime(2026, 3, 15, 7, 30)),
        ("next sat", datetime(2026, 3, 21, 7, 30)),
        ("at 25:00", None), ("next dog", None), ("later he ate", None), ("Nugget 9.4", None), ("", None),
        ("at 7", None), ("tomorrow bath", None),
    ],
)  # fmt: skip
def test_a_move_is_a_moment_ahead_and_talk_is_none(said: str, at: datetime | None) -> None:
    """Every move goes forward."""
    found = moved(said, NOW)
    assert found == at and (found is None or found > NOW)
