"""The command line: what is understood, what is not, and what `fettle doctor` finds."""

from __future__ import annotations

import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.__main__ import COMMANDS, main
from bot.commands.doctor import examine
from bot.settings import Settings, read_settings
from bot.storage import Database, Update
from core.messages import Say
from tests.storage.conftest import AT

TOKEN = "123456789:AAabcdefghijklmnopqrstuvwxyz0123456"
NOW = datetime(2026, 7, 5, 7, tzinfo=UTC)


@pytest.fixture
def settings(database: Database, url: str, tmp_path: Path) -> Settings:
    """All as it should be."""
    return read_settings({"FETTLE_TOKEN": TOKEN, "FETTLE_DB": url, "FETTLE_DATA": str(tmp_path)})


def mends(settings: Settings, now: datetime = NOW) -> dict[str, str]:
    return {f.what: f.mend for f in examine(None, now, settings) if f.mend}


@pytest.mark.parametrize(
    "argv", [[], ["nonsense"], ["--nonsense"], ["doctor", "--nonsense"], ["backup"], ["export"], ["backup", "a", "b"]]
)
def test_what_is_not_understood_exits_2(argv: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Wrong arguments are told on standard error, with how they are written."""
    with pytest.raises(SystemExit) as left:
        main(argv)
    assert left.value.code == 2
    assert "usage: fettle" in capsys.readouterr().err


def test_help_names_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    """`fettle --help` lists the whole surface."""
    with pytest.raises(SystemExit) as left:
        main(["--help"])
    assert left.value.code == 0
    out = capsys.readouterr().out
    assert all(f"    {name} " in out for name in COMMANDS)


def test_only_what_is_needed_is_loaded(tmp_path: Path) -> None:
    """Help loads no database library; a backup loads no Telegram and no plotting."""
    script = (
        "import sys; from bot.__main__ import main\n"
        "try: main(['--help'])\n"
        "except SystemExit: pass\n"
        "assert 'sqlalchemy' not in sys.modules\n"
        f"main(['backup', '{tmp_path}/copy.db', '--db', '{tmp_path}/none.db'])\n"
        "heavy = {'telegram', 'matplotlib', 'scipy', 'pint', 'dateparser', 'alembic'} & sys.modules.keys()\n"
        "assert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-c", script], check=True, capture_output=True)


def test_a_sound_house_needs_nothing(settings: Settings, kennel_id: int) -> None:
    """All well: nothing to mend."""
    found = list(examine(None, NOW, settings))
    assert mends(settings) == {}
    looked_at = {"settings", "token", "database", "backups", "kennels", "breeders", "outbox", "inbox", "clock"}
    disk = {"disk"} if settings.database_url.startswith("sqlite") else set()  # a server's disk is not this machine's
    assert {f.what for f in found} == looked_at | disk
    (claimed,) = [f.state for f in found if f.what == "breeders"]
    assert "fettle serve" in claimed and "Tindfjell" in claimed


def test_doctor_says_what_to_mend(
    settings: Settings, database: Database, kennel_id: int, url: str, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
) -> None:
    """Each fault is named with its mend, and the exit status is 1; the token itself is never printed."""
    assert "token" in mends(read_settings({"FETTLE_DB": url}))
    assert "again" in mends(read_settings({"FETTLE_DB": url, "FETTLE_TOKEN": "123:short"}))["token"]
    with database.writing(kennel_id) as store:
        store.say([Say(key="k", room="Ana", text="hello")], AT)
    assert "1 have no chat" in mends(settings)["outbox"]
    database.inbox.take([Update(platform="telegram", chat="1", received_at=NOW + timedelta(days=2), raw={})])
    assert "2026-07-07" in mends(settings)["clock"]
    (tmp_path / "backups").mkdir()
    (tmp_path / "backups" / "fettle-2026-07-03.db").touch()
    assert "backups" not in mends(settings)
    assert "why none was made" in mends(settings, NOW + timedelta(days=1))["backups"]
    assert "before this program" in mends(settings, datetime(1970, 1, 1, tzinfo=UTC))["clock"]
    monkeypatch.setenv("FETTLE_DB", url)
    monkeypatch.setenv("FETTLE_TOKEN", TOKEN)
    assert main(["doctor"]) == 1
    out = capsys.readouterr().out
    assert "mend  outbox" in out and "ok    database" in out and TOKEN not in out
    monkeypatch.setenv("FETTLE_LOG", "loud")
    assert main(["doctor"]) == 1
    assert "FETTLE_LOG" in capsys.readouterr().out


def test_doctor_makes_nothing(tmp_path: Path) -> None:
    """A database that is not there is told, not made."""
    settings = read_settings({"FETTLE_TOKEN": TOKEN, "FETTLE_DB": str(tmp_path / "none.db")})
    assert "is not there" in mends(settings)["database"]
    assert list(tmp_path.iterdir()) == []
