"""`fettle chat` as a person starts it: a script on standard input, lines on standard output, status 0."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from bot.commands.alone import alone
from bot.storage import Database
from core.messages import Say
from core.roster import FAMILY

STAMP = r"\[2026-03-1\d \d\d:\d\d\]"


def chat(script: str | bytes, *args: str, folder: Path | None = None) -> subprocess.CompletedProcess[str]:
    """The command run on that script."""
    raw = script if isinstance(script, bytes) else script.encode()
    env = {k: v for k, v in os.environ.items() if not k.startswith("FETTLE_")}
    done = subprocess.run(
        [sys.executable, "-m", "bot", "chat", *args],
        input=raw, capture_output=True, timeout=120, env=env | {"TMPDIR": str(folder)} if folder else env, check=False,
    )  # fmt: skip
    return subprocess.CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


@pytest.fixture(scope="module")
def morning(tmp_path_factory: pytest.TempPathFactory) -> tuple[subprocess.CompletedProcess[str], Path]:
    """One run that the tests below look at."""
    script = """# the demo's first morning
[2026-03-14 08:10] Maya: Nugget 9.4 kg, ears half up

[2026-03-14 08:11] Tom: who's picking up milk?
[2026-03-14 08:12] Maya in breeder: chart Nugget
[2026-03-14 08:13] Wren: nugget 94 kg
[2026-03-14 08:14] Wren presses yes
[2026-03-14 08:15] Gran Ida: who is coming on sunday
[2026-03-14 08:16] Maya edits: Nugget 9.3 kg, ears half up
nobody speaks here
[2026-03-14 08:17] Tom presses a button that is not there
[2026-03-14 08:17] Maya in attic: hello
[2026-03-15 07:10]
"""
    folder = tmp_path_factory.mktemp("pictures")
    return chat(script, "--pictures", str(folder)), folder


def test_a_script_ends_well_and_repeats_each_message_as_it_was_given(
    morning: tuple[subprocess.CompletedProcess[str], Path],
) -> None:
    """Status 0; the lines that went in come out in order; stamps alone, remarks and unread lines do not."""
    done, _ = morning
    assert done.returncode == 0
    lines = [line for line in done.stdout.splitlines() if "] Fettle " not in line]
    assert lines == [
        "[2026-03-14 08:10] Maya: Nugget 9.4 kg, ears half up",
        "[2026-03-14 08:11] Tom: who's picking up milk?",
        "[2026-03-14 08:12] Maya in breeder: chart Nugget",
        "[2026-03-14 08:13] Wren: nugget 94 kg",
        "[2026-03-14 08:14] Wren presses yes",
        "[2026-03-14 08:15] Gran Ida: who is coming on sunday",
        "[2026-03-14 08:16] Maya edits: Nugget 9.3 kg, ears half up",
    ]


def test_what_fettle_does_stands_under_the_message_in_the_agreed_form(
    morning: tuple[subprocess.CompletedProcess[str], Path],
) -> None:
    """A mark, nothing for talk, a picture that is really there, buttons at the end."""
    done, folder = morning
    lines = done.stdout.splitlines()
    assert lines[1] == "[2026-03-14 08:10] Fettle marks ✍"
    assert [line[19:] for line in lines[2:4]] == ["Tom: who's picking up milk?", "Maya in breeder: chart Nugget"]
    shown = re.fullmatch(rf"{STAMP} Fettle to breeder: .* \(picture (.+\.png)\)", lines[4])
    assert shown and Path(shown[1]).parent == folder and Path(shown[1]).read_bytes().startswith(b"\x89PNG")
    asked = lines[lines.index("[2026-03-14 08:13] Wren: nugget 94 kg") + 1]
    assert re.fullmatch(rf"{STAMP} Fettle to family: .*9\.4 kg.* \[yes \| no\]", asked)
    assert lines[lines.index("[2026-03-14 08:14] Wren presses yes") + 1] == "[2026-03-14 08:14] Fettle marks ✍"


def test_a_stamp_fires_what_fell_due_before_it_at_its_own_time(
    morning: tuple[subprocess.CompletedProcess[str], Path],
) -> None:
    """Reminders of the day, the bedtime snack, the morning alert, the next breakfast: each stamped as it fell due."""
    done, _ = morning
    after = done.stdout.split("Maya edits")[1]
    for due in ("[2026-03-14 12:30] Fettle to family", "[2026-03-14 17:30] Fettle to family",
                "[2026-03-14 21:45] Fettle to breeder", "[2026-03-15 06:45] Fettle to breeder",
                "[2026-03-15 07:00] Fettle to family"):  # fmt: skip
        assert due in after
    stamps = re.findall(r"^\[(.{16})\]", done.stdout, re.MULTILINE)
    assert stamps == sorted(stamps)
    assert not re.search(r"^\[2026-03-15 0[0-5]|^\[2026-03-14 2[23]", done.stdout, re.MULTILINE)  # quiet hours


def test_lines_that_cannot_be_read_are_named_on_standard_error(
    morning: tuple[subprocess.CompletedProcess[str], Path],
) -> None:
    """With their numbers."""
    done, _ = morning
    assert [line.partition(":")[0] for line in done.stderr.splitlines()] == ["line 10", "line 11", "line 12"]


def test_hostile_input_ends_well() -> None:
    """Empty, huge, binary, right-to-left, emoji, HTML and SQL: nothing breaks, every line is seen."""
    script = b"\n".join(
        [
            "\ufeff[2026-03-14 08:10] Maya: hello".encode(),
            b"[2026-03-14 08:10] Maya: " + b"x" * 100_000,
            b"[2026-03-14 08:10] Maya: " + "ﷺ".encode() * 4_096,
            b"[2026-03-14 08:11] Maya: \x00\x01\xff\xfe\x1b[2J",
            bytes(b for b in range(256) if b != 10) * 3,
            "[2026-03-14 08:12] Wren: \u202eNugget 9.4\u202c שלום مرحبا".encode(),
            "[2026-03-14 08:13] Wren: 🐶🐶🐶".encode(),
            b"[2026-03-14 08:14] <b>Bob</b>: '); DROP TABLE ledger;--",
            b"[2026-03-14 08:15] Maya:",
            b"[2026-02-30 08:15] Maya: a day that is none",
            b"[2026-03-14 08:16] Maya: Nugget 9999999999999999 kg",
            b"[2026-03-14 07:00] Tom: an earlier stamp",
            b"[2026-03-14 08:17] Maya: Nugget 9.4 kg",
        ]
    )
    done = chat(script)
    assert done.returncode == 0 and "Traceback" not in done.stderr
    assert done.stdout.rstrip().endswith("[2026-03-14 08:17] Maya: Nugget 9.4 kg\n[2026-03-14 08:17] Fettle marks ✍")
    assert "[2026-03-14 07:00] Tom: an earlier stamp" in done.stdout
    assert [line.partition(":")[0] for line in done.stderr.splitlines()] == ["line 5", "line 10"]


def test_a_database_keeps_the_kennel_from_one_time_to_the_next(tmp_path: Path) -> None:
    """What was written in one session is answered in the next; the demo is loaded once."""
    url = f"sqlite:///{tmp_path / 'demo.db'}"
    first = chat("[2026-03-14 08:10] Maya: Nugget 9.4 kg\n", "--db", url)
    second = chat("[2026-03-16 08:10] Maya: what does Nugget weigh?\n", "--db", url)
    assert first.returncode == second.returncode == 0
    assert "9.4 kg" in second.stdout.splitlines()[-1]
    assert "Not sent" not in second.stdout  # a demo that was closed was not down


def test_a_kennel_that_is_served_is_not_opened_beside_it(tmp_path: Path) -> None:
    """Neither while another process holds the file, nor where the kennel has its rooms in another chat: what waits for
    the family would be shown here and never there."""
    file = tmp_path / "demo.db"
    url = f"sqlite:///{file}"
    line = "[2026-03-14 08:10] Maya: Nugget 9.4 kg\n"
    assert chat(line, "--db", url).returncode == 0
    with alone(file):
        done = chat(line, "--db", url)
        assert done.returncode == 1 and "already running" in done.stderr and done.stderr.count("\n") == 1
    with Database(url) as database:
        (number,) = database.kennels()
        database.bind_room("telegram", "-100", number, FAMILY)
        with database.writing(number) as store:
            store.say([Say(key="reminder", room=FAMILY, text="breakfast")], at=datetime(2026, 3, 14, 8, tzinfo=UTC))
        done = chat(line, "--db", url)
        assert done.returncode == 1 and "has its rooms in a chat" in done.stderr and done.stderr.count("\n") == 1
        assert database.outbox.counts()["waiting"] == 1


@pytest.mark.parametrize("first", ["2019-06-01 08:00", "2031-01-01 08:00"])
def test_a_script_far_from_the_demos_days_is_answered_too(first: str) -> None:
    """Before the book begins, or long after it ends."""
    done = chat(f"[{first}] Maya: has anyone fed?\n[{first}] Maya in breeder: how is Moss?\n")
    assert done.returncode == 0 and done.stdout.count("Fettle to") == 2 and "Traceback" not in done.stderr


def test_another_kennel_from_a_file(tmp_path: Path) -> None:
    """And a slip in it is one sentence, status 1."""
    file = tmp_path / "fernhill.yaml"
    file.write_text(
        "kennel: Fernhill\nzone: Europe/Oslo\npeople: [{name: Ruth, role: breeder}]\n"
        "dogs: [{name: Bo, born: 2024-05-01, sex: m, weight: {kg: 15.2, on: 2026-03-01}}]\n"
    )
    done = chat("[2026-03-14 08:10] Ruth: Bo 15.4\n", "--kennel", str(file))
    assert done.stdout == "[2026-03-14 08:10] Ruth: Bo 15.4\n[2026-03-14 08:10] Fettle marks ✍\n"
    file.write_text("kennel: Fernhill\npeople: [{name: Ruth, role: queen}]\n")
    done = chat("", "--kennel", str(file))
    assert done.returncode == 1 and done.stderr.count("\n") == 1 and "line 2, `role`" in done.stderr


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--kennel", "nowhere.yaml"), "can't be read"),
        (("--db", "sqlite:////dev/null/demo.db"), "/dev/null"),
        (("--db", "mysql://somewhere/demo"), "sqlite"),
    ],
)
def test_what_cannot_be_opened_is_one_sentence(args: tuple[str, str], said: str) -> None:
    """Status 1, no trace."""
    done = chat("[2026-03-14 08:10] Maya: hi\n", *args)
    assert done.returncode == 1 and said in done.stderr and done.stderr.count("\n") == 1


def test_an_empty_script_is_a_script() -> None:
    """Nothing in, nothing out."""
    done = chat("")
    assert (done.returncode, done.stdout) == (0, "")


def test_a_kennel_is_set_up_by_chat_and_used_at_once(tmp_path: Path) -> None:
    """From a name and a breeder to a rota, an urgent answer with her vet's number, and a reminder with the cups."""
    file = tmp_path / "fernhill.yaml"
    file.write_text("kennel: Fernhill\npeople: [{name: Ruth, role: breeder}]\n")
    script = """[2026-03-14 09:00] Ruth in breeder: set up
[2026-03-14 09:01] Ruth in breeder: near oslo
[2026-03-14 09:02] Ruth in breeder: kilos
[2026-03-14 09:03] Ruth in breeder: Bran, boy, 2.5.2021\\nSaga, girl, 11 June 2020
[2026-03-14 09:06] Ruth in breeder presses done
[2026-03-14 09:07] Ruth in breeder: tom my husband, wren (daughter) and gran ida
[2026-03-14 09:08] Ruth in breeder: Puppy Plus, 380 kcal, 105 g
[2026-03-14 09:09] Ruth in breeder: dinner 5:30 wren
[2026-03-14 09:10] Ruth in breeder: 01632 960201
[2026-03-14 09:11] Tom: Bran 15.4 kg
[2026-03-14 09:12] Gran Ida: bran had a grape
[2026-03-14 17:40]
"""
    done = chat(script, "--kennel", str(file))
    assert done.returncode == 0 and done.stderr == ""
    lines = done.stdout.splitlines()
    assert "[2026-03-14 09:11] Fettle marks ✍" in lines
    assert any("01632 960201" in line for line in lines if line.startswith("[2026-03-14 09:12] Fettle to family"))
    assert re.fullmatch(r"\[2026-03-14 17:30\] Fettle to family: Wren, dinner: Bran, Saga\. \[done\]", lines[-1])
    stamps = re.findall(r"^\[(.{16})\]", done.stdout, re.MULTILINE)
    assert stamps == sorted(stamps)  # the clock shows the same time in the zone that was chosen
