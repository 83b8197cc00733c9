"""The lines of the terminal room, as the demo and the golden dialogues write them."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.chat.script import EDITS, MOVES, PRESSES, WRITES, ScriptError, Step, read_line

AT = datetime(2026, 3, 14, 8, 10)


@pytest.mark.parametrize(
    ("line", "step"),
    [
        ("[2026-03-14 08:10] Maya: Nugget 9.4 kg, ears half up",
         Step(does=WRITES, at=AT, who="Maya", text="Nugget 9.4 kg, ears half up")),
        ("[2026-03-14 08:10]  Gran Ida:  hi: there ", Step(does=WRITES, at=AT, who="Gran Ida", text="hi: there")),
        ("[2026-03-14 8:10] Maya in breeder: how's Nugget",
         Step(does=WRITES, at=AT, who="Maya", room="breeder", text="how's Nugget")),
        ("[2026-03-14 08:10] Ana in Ana: hello", Step(does=WRITES, at=AT, who="Ana", room="Ana", text="hello")),
        ("[2026-03-14 08:10] Maya edits: 9.2", Step(does=EDITS, at=AT, who="Maya", text="9.2")),
        ("[2026-03-14 08:10] Maya in breeder edits: 9.2",
         Step(does=EDITS, at=AT, who="Maya", room="breeder", text="9.2")),
        ("[2026-03-14 08:10] Maya presses 9.4 kg", Step(does=PRESSES, at=AT, who="Maya", text="9.4 kg")),
        ("[2026-03-14 08:10] Maya in breeder presses ok",
         Step(does=PRESSES, at=AT, who="Maya", room="breeder", text="ok")),
        ("[2026-03-14 08:10]", Step(does=MOVES, at=AT)),
        ("Maya: no stamp", Step(does=WRITES, who="Maya", text="no stamp")),
        ("Maya:", Step(does=WRITES, who="Maya", text="")),
        ("Wren: he presses on: never mind", Step(does=WRITES, who="Wren", text="he presses on: never mind")),
        ("", None), ("   ", None), ("# a remark", None),
    ],
)  # fmt: skip
def test_a_line_is_one_step(line: str, step: Step | None) -> None:
    """Who, when, where and what, as it was given."""
    assert read_line(line) == step


@pytest.mark.parametrize(
    "line",
    ["[2026-02-30 08:10] Maya: hi", "[yesterday] Maya: hi", "[2026-03-14 25:00]", "no one speaks", ": hi",
     "x" * 200 + ": hi", "\x00\x01\x02", "[2026-03-14"],
)  # fmt: skip
def test_a_line_that_cannot_be_read_says_why(line: str) -> None:
    """One reason, no crash."""
    with pytest.raises(ScriptError):
        read_line(line)


@given(st.text(max_size=200))
def test_any_line_is_a_step_or_an_error(line: str) -> None:
    """Nothing but ScriptError ever comes out."""
    try:
        read_line(line)
    except ScriptError as wrong:
        assert str(wrong)
