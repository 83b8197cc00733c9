"""What counts as a short yes or no; the words are made up for these cases (common practice, no source)."""

from __future__ import annotations

import pytest

from bot.conversation.heard import yes_or_no


@pytest.mark.parametrize(
    "said",
    ["ok leave it", "ok no", "right, not now", "sure but not today", "yes, but not today", "yeah no", "ok?", "right?",
     "right, who is feeding", "okay, later", "yes wait", "no, yes do it", "sure, Moss is asleep"],
)  # fmt: skip
def test_a_yes_taken_back_is_neither(said: str) -> None:
    assert yes_or_no(said) is None


@pytest.mark.parametrize(
    "said",
    ["yes", "Yes please", "ok", "okay do it", "ok thanks", "sure, go ahead", "right", "yeah both had it", "👍"],
)
def test_a_plain_yes(said: str) -> None:
    assert yes_or_no(said) is True


@pytest.mark.parametrize("said", ["no", "not yet", "nope, same bowl", "already had it", "no, i didn't"])
def test_a_plain_no(said: str) -> None:
    assert yes_or_no(said) is False
