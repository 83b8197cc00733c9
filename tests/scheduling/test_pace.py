"""The pace of sending, against Telegram's published limits.

Source of the limits: Telegram, "Bots FAQ", "My bot is hitting limits, how do I avoid this?" (one message a second
in a chat, 20 a minute in a group, about 30 a second in all), quoted from memory.
"""

from __future__ import annotations

import pytest

from bot.scheduling.pace import Pace


def _run(chats: list[str], *, group: bool) -> list[tuple[float, str]]:
    """Sends one message for each name as early as the pace allows; gives back when each left."""
    pace, now, left = Pace(), 0.0, []
    for chat in chats:
        now += pace.wait(chat, now, group=group)
        assert pace.wait(chat, now, group=group) == pytest.approx(0.0, abs=1e-9)
        pace.left(chat, now)
        left.append((now, chat))
    return left


def _most_in(left: list[float], window: float) -> int:
    return max(sum(1 for t in left if start <= t < start + window) for start in left)


def test_sixty_replies_to_a_group_stay_within_one_a_second_and_twenty_a_minute() -> None:
    times = [t for t, _ in _run(["-100"] * 60, group=True)]
    assert _most_in(times, 1.0) == 1
    assert _most_in(times, 60.0) == 20
    assert times[-1] < 185  # the third twenty begin after two minutes: no slower than it must be


def test_a_hundred_private_chats_stay_within_thirty_a_second() -> None:
    times = [t for t, _ in _run([str(n) for n in range(100)], group=False)]
    assert _most_in(times, 1.0) == 30
    assert times[-1] < 3.5


def test_a_held_chat_waits_and_others_go_on() -> None:
    pace = Pace()
    pace.hold("-100", 7.0)
    assert pace.wait("-100", 0.0, group=True) == pytest.approx(7.0)
    assert pace.wait("-200", 0.0, group=True) == 0.0
    assert pace.wait("-100", 7.0, group=True) == 0.0
    pace.hold("-100", 3.0)  # an older, shorter order does not shorten the newer
    assert pace.wait("-100", 0.0, group=True) == pytest.approx(7.0)


def test_quiet_chats_are_forgotten() -> None:
    pace = Pace()
    for n in range(5000):
        pace.left(str(n), n * 1.0)
    assert len(pace._chats) < 1100
