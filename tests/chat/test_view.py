"""The room as a person sees it: who, time, text; a mark at the end of its message's line, not a line of its own."""

from __future__ import annotations

import io
from datetime import datetime
from zoneinfo import ZoneInfo

from bot.chat.terminal import View
from core.messages import Mark, Message, Say
from core.roster import BREEDER, FAMILY

AT = datetime(2026, 3, 14, 8, 10, tzinfo=ZoneInfo("Europe/London"))


def message(text: str, key: str = "1", room: str = FAMILY, **more: object) -> Message:
    return Message(key=key, room=room, sender="Maya", sent_at=AT, text=text, **more)  # type: ignore[arg-type]


def say(text: str, room: str = FAMILY, **more: object) -> Say:
    return Say(key=text, room=room, text=text, **more)  # type: ignore[arg-type]


def shown(*steps: object, width: int = 60) -> list[str]:
    out = io.StringIO()
    view = View(out, width=width)
    for step in steps:
        if isinstance(step, Message):
            view.came(step, "")
        elif isinstance(step, Mark):
            view.marked(step, AT)
        elif isinstance(step, Say):
            view.said(step, AT, "chart.png" if step.picture else "")
    view.settle()
    return out.getvalue().splitlines()


def test_a_mark_stands_at_the_end_of_its_messages_line() -> None:
    """One line for the message and its mark, under the day's heading."""
    assert shown(message("Nugget 9.4"), Mark(room=FAMILY, message="1")) == [
        "— Saturday 14 March —", "08:10  Maya        Nugget 9.4  ✍",
    ]  # fmt: skip


def test_what_is_said_comes_after_the_message_whatever_came_first() -> None:
    """An answer and a mark of one turn; buttons on a line of their own."""
    lines = shown(message("94"), say("9.4?", buttons=("yes", "no")), Mark(room=FAMILY, message="1"))
    assert lines[1:] == ["08:10  Maya        94  ✍", "08:10  Fettle      9.4?", "                   [yes]  [no]"]


def test_other_rooms_are_named_and_long_lines_wrapped() -> None:
    """The breeder's line in brackets; wrapped under the text."""
    lines = shown(say("one two three four five six seven eight nine ten", room=BREEDER))
    assert lines[1:] == [
        "08:10  Fettle      (breeder) one two three four five six",
        "                   seven eight nine ten",
    ]


def test_a_mark_on_an_older_message_is_a_short_line() -> None:
    """It cannot be put on a line that is long gone."""
    lines = shown(message("two", key="2"), Mark(room=FAMILY, message="1"))
    assert lines[2] == "08:10  Fettle      ✍ on an earlier message"


def test_words_cannot_move_the_cursor() -> None:
    """Escapes, returns and bells are shown as dots; pictures by their path; edits and presses as what they are."""
    lines = shown(message("\x1b[2Jhi\a"), say("look", picture="x"), message("9.3", key="3", edit=1),
                  message("", key="4", pressed="yes"))  # fmt: skip
    assert "\x1b" not in "".join(lines) and "·[2Jhi·" in lines[1]
    assert lines[2:] == ["08:10  Fettle      look", "                   (picture chart.png)",
                         "08:10  Maya        9.3 (edited)", "08:10  Maya        [yes]"]  # fmt: skip
