"""`fettle export --pictures`: the README's pictures and no others, always the same, and those kept are fresh."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from bot.__main__ import main
from bot.commands.pictures import MORNING, PICTURES
from tests.test_readme import README, ROOT

FOLDER = "deploy/readme"
NAMED = re.findall(rf'{FOLDER}/([\w-]+\.png)"', README)


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that the command has filled."""
    folder = tmp_path_factory.mktemp("pictures") / "new"
    assert main(["export", "--pictures", str(folder)]) == 0
    return folder


def test_the_command_writes_what_the_readme_shows(drawn: Path) -> None:
    assert sorted(p.name for p in drawn.iterdir()) == sorted(NAMED) == sorted(PICTURES)
    assert sorted(p.name for p in (ROOT / FOLDER).iterdir()) == sorted(NAMED)
    assert f"fettle export --pictures {FOLDER}" in README


def test_the_same_again_is_the_same_to_the_byte(drawn: Path, tmp_path: Path) -> None:
    main(["export", "--pictures", str(tmp_path)])
    for name in PICTURES:
        assert (tmp_path / name).read_bytes() == (drawn / name).read_bytes()


@pytest.mark.parametrize("name", NAMED)
def test_those_in_the_house_are_fresh_and_small(drawn: Path, name: str) -> None:
    """Drawn again they look the same (another processor may round a dot's shade); each is under 100 kB."""
    kept = ROOT / FOLDER / name
    assert kept.stat().st_size < 100_000
    old, new = (np.asarray(Image.open(p).convert("RGB"), dtype=int) for p in (kept, drawn / name))
    assert old.shape == new.shape
    assert np.mean(np.abs(old - new) > 40) < 0.001


def test_the_mornings_messages_are_the_readmes_own() -> None:
    """What the pictures rest on beyond the demo's book is said in the README's conversation, but for Green's mates."""
    for said in ("Nugget 9.4 kg, ears half up", "green 341"):
        assert said in {m for _, m in MORNING} and f": {said}" in README


def test_a_folder_must_be_named(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["export"])
    assert ended.value.code == 2 and "--pictures" in capsys.readouterr().err
