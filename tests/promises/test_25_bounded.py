"""Promise 25: any text is heard in bounded time and space.

The reader's own cost is counted in lines run (`tests/properties/test_reading.py`); here the whole conversation hears
what grows under normalisation: U+FDFA is eighteen letters under NFKC, U+FB03 three under casefold (Unicode 15, the
Unicode Character Database; both are asserted below).
"""

from __future__ import annotations

import sys
import tracemalloc
import unicodedata
from types import FrameType
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.chat.updates import LONGEST, Me, Wrote, translate
from core.messages import Message, Say
from core.roster import BREEDER, FAMILY
from tests.dialogue_house import House
from tests.stand_ins.world import User, World

LONG = ["\ufdfa", "\ufb03", "e\u0301\u0301\u0301", "\u0301", "(", "1", "9.4 ", "Nugget ", "and ", "🐾", "\u200d", "?",
        "'s ", "Nugget ate one and a half cups, ", "invite Bo for Nugget ", "sitter Joan from 10 to 14 March ",
        "join ", "withdraw ", "erase Ana ", "away 10-14 "]  # fmt: skip


def hear(text: str, room: str = FAMILY, who: str = "Maya") -> list[Say]:
    house = House.of_demo()
    message = Message(key="1", room=room, sender=who, sent_at=house.now, text=text)
    return [o for o in house.hear(message).out if isinstance(o, Say)]


def lines_run(text: str, room: str) -> int:
    """Lines of this project that hearing the text runs: the same on a busy machine as on an idle one."""
    count = 0

    def trace(frame: FrameType, event: str, arg: Any) -> Any:
        nonlocal count
        if "/bot/" not in frame.f_code.co_filename and "/core/" not in frame.f_code.co_filename:
            return None
        count += event == "line"
        return trace

    hear("warm " + text[:40], room)
    sys.settrace(trace)
    try:
        hear(text, room)
    finally:
        sys.settrace(None)
    return count


def test_the_measures_of_the_standard() -> None:
    assert len(unicodedata.normalize("NFKC", "\ufdfa")) == 18 and len("\ufb03".casefold()) == 3


@pytest.mark.parametrize("room", [FAMILY, BREEDER])
@pytest.mark.parametrize("part", LONG)
def test_twice_the_text_costs_under_three_times(part: str, room: str) -> None:
    def text(n: int) -> str:
        return (part * (n // len(part) + 1))[:n]

    assert lines_run(text(2000), room) < 3 * lines_run(text(1000), room) + 2000


@pytest.mark.parametrize("part", LONG)
def test_the_longest_message_takes_little_room_and_is_answered_shortly(part: str) -> None:
    text = (part * 4096)[:4096]
    hear(text)  # the tables are loaded
    tracemalloc.start()
    said = hear(text)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 40e6, f"{peak / 1e6:.0f} MB"
    assert sum(len(s.text) for s in said) < 3 * 4096


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.text(max_size=200), st.sampled_from([FAMILY, BREEDER, "Ana"]), st.sampled_from(["Maya", "Tom", "Ana", "Zed"]))
def test_any_text_of_anybody_in_any_room_is_heard(text: str, room: str, who: str) -> None:
    hear(text, room, who)


def test_what_a_server_may_send_is_cut_before_it_is_read() -> None:
    """Longer than Telegram's own bounds: the text, the names and the group's title."""
    world = World()
    chat = world.group("t" * 10_000)
    world.write(chat, User(id=1, first="F" * 10_000, last="L" * 10_000, username="u" * 10_000), "x" * 1_000_000)
    came = translate(world.updates[-1], Me(id=1))
    assert isinstance(came, Wrote)
    assert len(came.message.text) == LONGEST and len(came.by.first) == len(came.by.last) == len(came.by.username) == 128
    assert len(came.place.title) == 256
