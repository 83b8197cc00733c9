"""`fettle read`: a line in, a line out, at once; what cannot be read is named by its line and the rest goes on."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from bot.__main__ import main

ROSTER: dict[str, Any] = {
    "kennel": "Vexholm",
    "time_zone": "Europe/London",
    "weight_unit": "kg",
    "day_first": True,
    "people": ["Ottilie", "Ansgar"],
    "dogs": [
        {"name": "Zorvik", "also": ["Zor"], "sex": "m", "born": "2022-05-04", "breed": "mixed", "litter": None,
         "last_weight": {"kg": 27.0, "on": "2026-07-01"}},
        {"name": "Brelka", "also": [], "sex": "f", "born": "2023-02-11", "breed": "mixed", "litter": None,
         "last_weight": None},
    ],
}  # fmt: skip


def line(text: str, key: Any = "a1", **more: Any) -> dict[str, Any]:
    """One message as the reading format has it."""
    return {"id": key, "sender": "Ottilie", "sent_at": "2026-07-08T18:30:00+01:00", "text": text} | more


@pytest.fixture
def roster(tmp_path: Path) -> Path:
    """The invented kennel's roster as a file."""
    path = tmp_path / "roster.json"
    path.write_text(json.dumps(ROSTER), encoding="utf-8")
    return path


class Ran:
    """What one run wrote, and its exit status."""

    def __init__(self, status: int, out: str, err: str) -> None:
        self.status, self.out, self.err = status, out, err

    @property
    def readings(self) -> list[dict[str, Any]]:
        """The lines written, as JSON."""
        return [json.loads(written) for written in self.out.splitlines()]


class Command:
    """`fettle read` in this process."""

    def __init__(self, roster: Path, patch: pytest.MonkeyPatch, capture: pytest.CaptureFixture[str]) -> None:
        self.roster, self.patch, self.capture = roster, patch, capture

    def __call__(self, given: Sequence[Any] | bytes, *options: str) -> Ran:
        """Runs it on these lines: objects as JSON, strings and bytes as they are."""
        raw = given if isinstance(given, bytes) else b"".join(_bytes(one) + b"\n" for one in given)
        self.patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(raw), encoding="utf-8"))
        status = main(["read", "--roster", str(self.roster), *options])
        captured = self.capture.readouterr()
        return Ran(status, captured.out, captured.err)


def _bytes(one: Any) -> bytes:
    if isinstance(one, bytes):
        return one
    return (one if isinstance(one, str) else json.dumps(one)).encode()


@pytest.fixture
def command(roster: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Command:
    """The command on the invented kennel."""
    return Command(roster, monkeypatch, capsys)


class TestReadings:
    """One line of readings for each message, in order, as the format writes it."""

    def test_a_record_a_question_a_doubt_and_small_talk(self, command: Command) -> None:
        ran = command([
            line("Zorvik 27.2 kg", "a"), line("how heavy was Zorvik?", "b"), line("Zorvik weighs 94 kg", "c"),
            line("kettle's on", "d"),
        ])  # fmt: skip
        assert (ran.status, ran.err) == (0, "")
        empty: dict[str, list[Any]] = {"entries": [], "questions": [], "doubts": []}
        weight = {"kind": "weight", "dog": "Zorvik", "on": "2026-07-08", "kg": 27.2}
        assert ran.readings == [
            {"id": "a"} | empty | {"entries": [weight]},
            {"id": "b"} | empty | {"questions": [{"about": "weight", "dog": "Zorvik"}]},
            {"id": "c"} | empty | {"doubts": [{"about": "value"}]},
            {"id": "d"} | empty,
        ]

    def test_the_id_comes_back_as_it_was(self, command: Command) -> None:
        """A number stays a number."""
        ran = command([line("hi", 7), line("hi", "7"), line("hi", "ð 🐕")])
        assert [r["id"] for r in ran.readings] == [7, "7", "ð 🐕"]

    def test_earlier_messages_give_the_dog(self, command: Command) -> None:
        before = [line("Zorvik's on the scales", at) | {"sent_at": "2026-07-08T18:29:00+01:00"} for at in ("b",)]
        ran = command([line("27.2 kg", before=before)])
        assert [e["dog"] for e in ran.readings[0]["entries"]] == ["Zorvik"]

    def test_fields_nobody_knows_are_passed_over(self, command: Command) -> None:
        ran = command([line("Zorvik 27.2 kg", mood="cheerful", group="log")])
        assert (ran.status, len(ran.readings[0]["entries"])) == (0, 1)

    def test_empty_lines_are_passed_over(self, command: Command) -> None:
        ran = command(["", line("hi"), "   ", line("hi", "a2"), ""])
        assert (ran.status, [r["id"] for r in ran.readings], ran.err) == (0, ["a1", "a2"], "")

    def test_no_lines_at_all(self, command: Command) -> None:
        assert (command(b"").status, command(b"").out) == (0, "")

    def test_odd_line_ends_and_a_last_line_without_one(self, command: Command) -> None:
        raw = _bytes(line("hi")) + b"\r\n" + _bytes(line("Zorvik 27.2 kg", "a2"))
        assert [r["id"] for r in command(raw).readings] == ["a1", "a2"]

    def test_text_that_no_keyboard_writes(self, command: Command) -> None:
        """Half a surrogate pair is legal in JSON; the line must still come out as UTF-8."""
        raw = b'{"id":"s","sender":"Ottilie","sent_at":"2026-07-08T18:30:00+01:00","text":"Zorvik \\ud83d 27.2 kg"}'
        ran = command([raw])
        assert (ran.status, [e["kg"] for e in ran.readings[0]["entries"]]) == (0, [27.2])

    def test_an_id_that_no_keyboard_writes(self, command: Command) -> None:
        """The line is answered or named as broken, and the next one is read."""
        ran = command([line("hi", "\ud83d"), line("Zorvik 27.2 kg", "last")])
        assert ran.readings[-1]["id"] == "last"


BROKEN = {
    "not JSON": "{not json",
    "cut short": '{"id": "x", "sender": "Ott',
    "a list": "[1, 2]",
    "a number": "12",
    "null": "null",
    "not UTF-8": b'{"id": "\xff\xfe"}',
    "no text": json.dumps({k: v for k, v in line("hi").items() if k != "text"}),
    "no sender": json.dumps({k: v for k, v in line("hi").items() if k != "sender"}),
    "no id": json.dumps({k: v for k, v in line("hi").items() if k != "id"}),
    "text is a number": json.dumps(line("hi") | {"text": 5}),
    "text is null": json.dumps(line("hi") | {"text": None}),
    "no offset": json.dumps(line("hi") | {"sent_at": "2026-07-08T18:30:00"}),
    "no date": json.dumps(line("hi") | {"sent_at": "yesterday"}),
    "date is a number": json.dumps(line("hi") | {"sent_at": 20260708}),
    "earlier messages are text": json.dumps(line("hi", before="hello")),
    "an earlier message lacks its text": json.dumps(line("hi", before=[{"sender": "Ottilie"}])),
    "brackets without end": "[" * 100_000,
}


class TestBrokenLines:
    """A broken line is named by its number on standard error, the others are still read, the status says so."""

    @pytest.mark.parametrize("broken", BROKEN.values(), ids=list(BROKEN))
    def test_the_others_are_read(self, command: Command, broken: str | bytes) -> None:
        ran = command([line("Zorvik 27.2 kg", "first"), broken, line("Zorvik 27.3 kg", "last")])
        assert [r["id"] for r in ran.readings] == ["first", "last"]
        assert [len(r["entries"]) for r in ran.readings] == [1, 1]
        assert ran.err.startswith("line 2: ")
        assert ran.err.count("\n") == 1, "one line a trouble"
        assert "Traceback" not in ran.err
        assert ran.status == 1

    def test_empty_lines_count(self, command: Command) -> None:
        ran = command(["", line("hi"), "", "{"])
        assert ran.err.startswith("line 4: ")

    def test_each_is_named(self, command: Command) -> None:
        ran = command(["{", line("hi"), "[]", "12"])
        assert [e.split(":")[0] for e in ran.err.splitlines()] == ["line 1", "line 3", "line 4"]


BAD_ROSTERS = {
    "not JSON": "{",
    "a list": "[]",
    "no dogs": json.dumps({k: v for k, v in ROSTER.items() if k != "dogs"}),
    "no zone": json.dumps({k: v for k, v in ROSTER.items() if k != "time_zone"}),
    "a zone nobody has": json.dumps(ROSTER | {"time_zone": "Europe/Vexholm"}),
    "a zone that climbs": json.dumps(ROSTER | {"time_zone": "../../etc/passwd"}),
    "zone is null": json.dumps(ROSTER | {"time_zone": None}),
    "a unit nobody has": json.dumps(ROSTER | {"weight_unit": "pood"}),
    "a dog without a name": json.dumps(ROSTER | {"dogs": [{"born": "2026-01-01"}]}),
    "a dog without a birthday": json.dumps(ROSTER | {"dogs": [{"name": "Zorvik"}]}),
    "a birthday that is none": json.dumps(ROSTER | {"dogs": [{"name": "Zorvik", "born": "spring"}]}),
    "a dog that is a word": json.dumps(ROSTER | {"dogs": ["Zorvik"]}),
    "dogs are null": json.dumps(ROSTER | {"dogs": None}),
    "a weight that is a word": json.dumps(ROSTER | {"dogs": [ROSTER["dogs"][0] | {"last_weight": "27"}]}),
}


class TestRefusals:
    """Arguments or a roster that cannot be used end it with 2 before a message is read, in one plain sentence."""

    @pytest.mark.parametrize("text", BAD_ROSTERS.values(), ids=list(BAD_ROSTERS))
    def test_bad_rosters(self, command: Command, text: str) -> None:
        command.roster.write_text(text, encoding="utf-8")
        ran = command([line("Zorvik 27.2 kg")])
        assert (ran.status, ran.out) == (2, "")
        assert ran.err.startswith(f"fettle read: {command.roster}: ")
        assert ran.err.count("\n") == 1

    def test_no_such_file(self, command: Command, tmp_path: Path) -> None:
        command.roster = tmp_path / "nobody.json"
        ran = command([line("hi")])
        assert (ran.status, ran.out) == (2, "")
        assert "nobody.json" in ran.err

    def test_a_roster_that_is_no_text(self, command: Command) -> None:
        command.roster.write_bytes(b"\xff\xfe\x00")
        assert command([line("hi")]).status == 2

    @pytest.mark.parametrize("given", [["read"], ["read", "--roster"], ["read", "--roster", "r", "--loud"]])
    def test_bad_arguments(self, given: list[str], capsys: pytest.CaptureFixture[str]) -> None:
        with pytest.raises(SystemExit) as left:
            main(given)
        assert left.value.code == 2
        assert "usage: fettle" in capsys.readouterr().err


class TestExplain:
    """`--explain` says of each message which words gave which entry, and why something was left alone."""

    def test_an_entry_with_its_words(self, command: Command) -> None:
        ran = command([line("Zorvik 27.2 kg and Brelka had half a cup for lunch")], "--explain")
        assert ran.status == 0
        assert "kept weight of Zorvik on 2026-07-08" in ran.out
        assert "kept meal of Brelka on 2026-07-08" in ran.out
        assert "27.2 kg" in ran.out.split("kept weight")[1].splitlines()[0]

    def test_the_message_itself_stands_over_its_reasons(self, command: Command) -> None:
        out = command([line("Zorvik 27.2 kg", "k1"), line("kettle's on", "k2")], "--explain").out.splitlines()
        heads = [o for o in out if not o.startswith("    ")]
        assert [h.split()[0] for h in heads] == ["k1", "k2"]
        assert "Zorvik 27.2 kg" in heads[0]

    @pytest.mark.parametrize(
        ("text", "why"),
        [
            ("no vomiting from Zorvik today", "denied"),
            ("bath for Zorvik tomorrow", "planned"),
            ("how heavy was Zorvik", "asked about weight of Zorvik"),
            ("Zorvik weighs 94 kg", "in doubt about the value"),
        ],
    )
    def test_why_nothing_was_kept(self, command: Command, text: str, why: str) -> None:
        ran = command([line(text)], "--explain")
        assert why in ran.out
        assert "kept " not in ran.out

    @pytest.mark.parametrize("text", ["", " ", "🐕", pytest.param("\ud83d")])
    def test_every_message_has_a_reason(self, command: Command, text: str) -> None:
        """Also one without a word."""
        raw = json.dumps(line(text))
        out = command([raw], "--explain").out.splitlines()
        assert len(out) >= 2
        assert all(reason.strip() for reason in out)

    def test_broken_lines_are_still_named(self, command: Command) -> None:
        ran = command(["{", line("Zorvik 27.2 kg")], "--explain")
        assert (ran.status, ran.err.split(":")[0]) == (1, "line 1")
        assert "kept weight" in ran.out


def _start(roster: Path) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "bot", "read", "--roster", str(roster)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip


class TestStream:
    """As its own process: each answer is written before the next line is sent."""

    def test_line_by_line(self, roster: Path) -> None:
        with _start(roster) as running:
            assert running.stdin and running.stdout and running.stderr
            for n in range(5):
                running.stdin.write(_bytes(line(f"Zorvik 27.{n} kg", n)) + b"\n")
                running.stdin.flush()
                answer = json.loads(running.stdout.readline())  # would wait for ever if it were kept back
                assert (answer["id"], answer["entries"][0]["kg"]) == (n, pytest.approx(27 + n / 10))
            running.stdin.close()
            assert running.stdout.read() == b""
            assert running.stderr.read() == b""
        assert running.returncode == 0

    def test_a_trouble_is_told_at_once_and_the_stream_goes_on(self, roster: Path) -> None:
        with _start(roster) as running:
            assert running.stdin and running.stdout and running.stderr
            running.stdin.write(b"{\n")
            running.stdin.flush()
            assert running.stderr.readline().startswith(b"line 1: ")
            running.stdin.write(_bytes(line("Zorvik 27.2 kg", "next")) + b"\n")
            running.stdin.flush()
            assert json.loads(running.stdout.readline())["id"] == "next"
            running.stdin.close()
        assert running.returncode == 1

    def test_whoever_reads_may_leave(self, roster: Path) -> None:
        """A closed pipe ends it without a traceback."""
        with _start(roster) as running:
            assert running.stdin and running.stdout and running.stderr
            running.stdout.close()
            try:
                for n in range(200):
                    running.stdin.write(_bytes(line("Zorvik 27.2 kg", n)) + b"\n")
                running.stdin.close()
            except BrokenPipeError:
                pass
            assert b"Traceback" not in running.stderr.read()
        assert running.returncode == 1
