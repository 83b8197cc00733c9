"""One day of a kennel, in the terminal and through Telegram: the same words go in, the same words come out."""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import datetime
from importlib.resources import files
from pathlib import Path

import pytest

from bot.enrolment.kennel_file import parse
from tests.stand_ins.replay import Replay

DAY = """\
[2026-03-14 08:10] Maya: Nugget 9.4 kg, ears half up
[2026-03-14 08:11] Tom: who's picking up milk?
[2026-03-14 08:12] Wren: fed Juniper
[2026-03-14 08:13] Wren presses no
[2026-03-14 08:14] Tom: has anyone fed?
[2026-03-14 08:15] Maya in breeder: how is Nugget?
[2026-03-14 08:20] Ida: gave Nugget some cheese
[2026-03-14 08:21] Ida edits: gave Juniper some cheese
[2026-03-14 08:25] Ana: how is Teasel?
[2026-03-14 08:26] Ana: how is Nugget?
[2026-03-14 08:30] Tom: Nugget 94 kg
[2026-03-14 08:40] Maya: undo
[2026-03-14 08:45] Maya in breeder: chart Nugget
[2026-03-15 07:30]
"""


def _by_step(lines: list[str]) -> list[list[str]]:
    """The lines of each step, what was said at once in any order of rooms; where pictures are is left out."""
    steps: list[list[str]] = [[]]
    for line in lines:
        line = re.sub(r" \(picture.*?\)", " (picture)", line)
        if "] Fettle " not in line:
            steps.append([])
        steps[-1].append(line)
    return [sorted(s) for s in steps]


WHOLE = (Path(__file__).parent.parent / "dialogues" / "whole_day.script").read_text(encoding="utf-8")
WHOLE_DAY = "".join(f"{line}\n" for line in WHOLE.splitlines() if not line.startswith("#"))


@pytest.mark.parametrize("script", [DAY, WHOLE_DAY], ids=["short", "whole"])
async def test_a_day_through_telegram_is_the_day_in_the_terminal(tmp_path: Path, script: str) -> None:
    """Every mark, answer, reminder, alert and tip, at the same minute and in the same room."""
    command = [sys.executable, "-m", "bot", "chat", "--pictures", str(tmp_path / "pictures")]
    terminal = subprocess.run(command, input=script, capture_output=True, text=True, timeout=120, check=True)
    source = (files("shared") / "kennels" / "larkrise.yaml").read_text(encoding="utf-8")
    telegram = await Replay(parse(source), tmp_path, datetime.strptime(script[1:17], "%Y-%m-%d %H:%M")).play(script)
    shown = _by_step(terminal.stdout.splitlines())
    assert len(terminal.stdout.splitlines()) > 30
    assert _by_step(telegram) == shown
