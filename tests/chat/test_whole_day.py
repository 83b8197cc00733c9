"""A whole day of the demo kennel through `fettle chat`: what must be said, what must be marked, and the silences."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parent.parent / "dialogues" / "whole_day.script"


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[str, list[str]]]:
    """Each message of the day with what Fettle did right under it (until the next message)."""
    folder = str(tmp_path_factory.mktemp("pictures"))
    done = subprocess.run(
        [sys.executable, "-m", "bot", "chat", "--pictures", folder],
        input=SCRIPT.read_text(encoding="utf-8"), capture_output=True, text=True, timeout=300, check=True,
    )  # fmt: skip
    assert done.stderr == ""
    steps: list[tuple[str, list[str]]] = []
    for line in done.stdout.splitlines():
        if "] Fettle " in line:
            steps[-1][1].append(line) if steps else steps.append(("", [line]))
        else:
            steps.append((line, []))
    return steps


def under(day: list[tuple[str, list[str]]], words: str) -> list[str]:
    """What Fettle did in the same minute under the message with these words, without its stamp."""
    line, lines = next(s for s in day if words in s[0])
    return [said[19:] for said in lines if said[:18] == line[:18]]


def test_the_script_is_a_whole_day_of_several_people() -> None:
    """At least forty lines, four people and a buyer, dogs of three litters."""
    lines = [line for line in SCRIPT.read_text(encoding="utf-8").splitlines() if line.startswith("[")]
    people = {re.sub(r" in .*| edits| presses.*", "", line[19:].split(":")[0]) for line in lines}
    assert len(lines) >= 40 and people == {"Tom", "Wren", "Maya", "Gran Ida", "Ana"}


def test_every_message_went_in(day: list[tuple[str, list[str]]]) -> None:
    """In order, as it was given."""
    lines = [line for line in SCRIPT.read_text(encoding="utf-8").splitlines() if line.startswith("[")]
    assert [line for line, _ in day if line] == lines


@pytest.mark.parametrize(
    "talk", ["kettles on", "who's getting milk", "nail clippers are blunt", "vet says bring him in", "night all"]
)
def test_talk_between_people_is_left_alone(day: list[tuple[str, list[str]]], talk: str) -> None:
    """No mark, no word."""
    assert under(day, talk) == []


@pytest.mark.parametrize(
    "note",
    ["brought up yellow foam", "red 470 blue 492", "oops bramble was 8.5", "juni both up", "wormed nugget",
     "little bit of cheese", "brushed the big ones", "nug lost a tooth", "heather temp 38.9", "Wren: fed everyone",
     "Fjord 17.9, ribs easy", "Fjord 17.7, ribs easy", "green 350"],
)  # fmt: skip
def test_a_note_is_one_mark(day: list[tuple[str, list[str]]], note: str) -> None:
    """And nothing else in the family room, but for a newborn that lost weight."""
    did = under(day, note)
    assert did[0] == "Fettle marks ✍"
    said = [line for line in did[1:] if line.startswith("Fettle to family")]
    assert not said or (note.startswith("red 470") and "Green 341" in said[0])


def test_a_grape_rings_the_vet_at_once_and_tells_the_breeder(day: list[tuple[str, list[str]]]) -> None:
    """The night number on a Saturday evening; no dose, no waiting."""
    family, breeder = under(day, "had a grape")
    assert family.startswith("Fettle to family: ") and "VET NOW" in family and "01632 960299" in family
    assert breeder.startswith("Fettle to breeder: ") and "Ida" in breeder


def test_no_dose_is_given_and_only_the_breeder_moves_the_rota(day: list[tuple[str, list[str]]]) -> None:
    """Gran is sent to the vet; Sunday's breakfast comes at 7:15 as Maya said."""
    assert "I don't give doses" in under(day, "how much wormer")[0]
    assert under(day, "breakfast at 7:15 on Sundays") == ["Fettle to breeder: Breakfast on Sundays at 07:15: Tom."]
    said = [line for _, lines in day for line in lines]
    assert any(line.startswith("[2026-03-15 07:15] Fettle to family: Tom, breakfast: Nugget ⅝") for line in said)


def test_the_family_room_stays_quiet(day: list[tuple[str, list[str]]]) -> None:
    """Besides answers and bowls at most two posts a day, none of them in the quiet hours."""
    stamps: dict[str, int] = {}
    for line, lines in day:
        for said in lines:
            answers = said[:18] == line[:18]
            if "Fettle to family" in said and not answers and not re.search("breakfast|lunch|dinner", said):
                stamps[said[1:11]] = stamps.get(said[1:11], 0) + 1
                assert "06:45" <= said[12:17] <= "21:45"
    assert all(n <= 2 for n in stamps.values())
