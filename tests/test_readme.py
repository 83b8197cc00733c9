"""The README says what is true: its conversation runs word for word, its settings and commands exist."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from bot.__main__ import COMMANDS

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def _conversation() -> list[str]:
    found = re.search(r"```text\n(.*?)```", README, re.DOTALL)
    assert found
    return found[1].splitlines()


def test_the_conversation_runs_word_for_word(tmp_path: Path) -> None:
    """What is written goes in; what Fettle is shown to say or mark comes out, in that order."""
    lines = _conversation()
    written = [line for line in lines if not re.match(r"\[.*?\] Fettle (marks|to) ", line)]
    run = subprocess.run(
        [sys.executable, "-m", "bot", "chat", "--db", f"sqlite:///{tmp_path}/demo.db", "--pictures", str(tmp_path)],
        input="\n".join(written) + "\n",
        capture_output=True,
        text=True,
        cwd=ROOT,
        timeout=120,
        check=True,
    )
    said = iter(run.stdout.splitlines())
    missing = [line for line in lines if line not in said]
    assert not missing, run.stdout


def test_each_setting_is_in_the_readme() -> None:
    """Every variable that is read from the environment has its line."""
    source = (ROOT / "bot" / "settings.py").read_text(encoding="utf-8")
    for name in set(re.findall(r"FETTLE_[A-Z_]+", source)):
        assert f"`{name}`" in README, name


def test_each_command_is_in_the_readme() -> None:
    """Every command of the command line is named."""
    for name in COMMANDS:
        assert f"fettle {name}" in README, name
