"""The dialogues in `tests/dialogues/`: each file a subject, each `##` a case that starts on the demo kennel afresh.

A line of a person stands as the terminal's script has it; what Fettle must say stands right under it, and nothing
under it means silence. `pytest --accept` writes what was said into the files, to be read as a diff.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pytest

from bot.chat.script import read_line
from tests.dialogue_house import House

FOLDER = Path(__file__).parent / "dialogues"


@dataclass
class Case:
    """One case: its heading, and the lines of the file that belong to it."""

    name: str
    lines: list[str] = field(default_factory=list)


def cases(path: Path) -> list[Case]:
    """The file's cases; what stands before the first heading is a preface."""
    found = [Case("")]
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("## "):
            found.append(Case(line[3:].strip()))
        found[-1].lines.append(line)
    return found


def played(case: Case) -> list[str]:
    """The case's lines with what Fettle says today in the place of what was expected."""
    house = House.of_demo()
    out = []
    for line in case.lines:
        if is_fettles(line):
            continue
        out.append(line)
        step = read_line(line)
        if step is not None:
            out.extend(house.take(step))
    return out


def is_fettles(line: str) -> bool:
    """True for a line that Fettle says or marks."""
    after = line.partition("] ")[2]
    return line.startswith("[") and after.startswith(("Fettle marks ", "Fettle to "))


FILES = sorted(FOLDER.glob("*.txt"))
CASES = [(path, n, case.name) for path in FILES for n, case in enumerate(cases(path)) if case.name]


@pytest.mark.parametrize(("path", "n"), [c[:2] for c in CASES], ids=[f"{p.stem}: {name}" for p, _, name in CASES])
def test_dialogue(path: Path, n: int, request: pytest.FixtureRequest) -> None:
    """What is said is what stands in the file: no more, no less, in that order."""
    every = cases(path)
    said = played(every[n])
    if request.config.getoption("--accept"):
        every[n].lines = said
        path.write_text("\n".join(line for case in every for line in case.lines) + "\n", encoding="utf-8")
        return
    assert said == every[n].lines


def test_every_subject_has_a_dialogue() -> None:
    """A subject without a conversation is not done."""
    wanted = {
        "weights", "ears", "feeding", "care", "breeding", "newborns", "questions", "corrections", "edits", "urgent",
        "buyers", "silence", "why",
    }
    assert wanted <= {p.stem for p in FILES}
