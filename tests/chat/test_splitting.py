"""Nothing is cut in the middle (Bot API: 4,096 UTF-16 units a message)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.chat.splitting import TEXT_UNITS, split, units


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("", 1),
        ("a" * 4095, 1),
        ("a" * 4096, 1),
        ("a" * 4097, 2),
        ("🐾" * 2048, 1),  # two units each
        ("🐾" * 2049, 2),
        ("a" + "🐾" * 2048, 2),
        ("word " * 819 + "w", 1),
        ("word " * 820, 2),
    ],
)
def test_at_both_sides_of_the_limit(text: str, parts: int) -> None:
    got = split(text)
    assert len(got) == parts
    assert all(units(p) <= TEXT_UNITS for p in got)
    if parts == 1:
        assert got == (text,)


def test_units_are_those_of_utf_16() -> None:
    for text in ("abc", "🐾", "👩‍👩‍👧‍👦", "é", "ﷺ"):
        assert units(text) == len(text.encode("utf-16-le")) // 2


def test_lines_stay_whole_where_they_can() -> None:
    lines = [f"{n} " + "x" * 90 for n in range(100)]
    parts = split("\n".join(lines))
    assert [line for p in parts for line in p.split("\n")] == lines


def test_a_family_of_four_is_not_torn() -> None:
    family = "👩‍👩‍👧‍👦"  # eleven units: four people and three joiners
    parts = split("a" * 4090 + family * 3)
    assert "".join(parts) == "a" * 4090 + family * 3
    assert all(p.startswith(("a", "👩")) and not p.endswith("\u200d") for p in parts)


@given(st.text(alphabet=st.sampled_from("ab \n🐾\u0301\u200d"), max_size=300), st.integers(8, 40))
def test_only_white_space_is_ever_dropped(text: str, limit: int) -> None:
    parts = split(text, limit)
    assert all(units(p) <= limit for p in parts)
    assert "".join("".join(parts).split()) == "".join(text.split())
