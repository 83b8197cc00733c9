"""The files for running it for real: what they name is there, and what can be tried without a machine to spare works.

No container is built and no service is started here: that needs a docker daemon and a booted system.
"""

from __future__ import annotations

import importlib.util
import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from bot.__main__ import COMMANDS
from bot.commands.metrics import Measures
from bot.commands.watching import EVERY_S
from bot.storage import Database

ROOT = Path(__file__).resolve().parents[1]
DEPLOY = ROOT / "deploy"
DOCKERFILE = (DEPLOY / "Dockerfile").read_text(encoding="utf-8")
UNIT = (DEPLOY / "fettle.service").read_text(encoding="utf-8")
GUIDE = (DEPLOY / "GUIDE.md").read_text(encoding="utf-8")
COMPOSE = yaml.safe_load((DEPLOY / "compose.yaml").read_text(encoding="utf-8"))


def test_every_setting_named_is_a_setting() -> None:
    """No file sets what nothing reads."""
    known = set(re.findall(r"FETTLE_[A-Z_]+", (ROOT / "bot" / "settings.py").read_text(encoding="utf-8")))
    for text in (DOCKERFILE, UNIT, GUIDE, json.dumps(COMPOSE)):
        assert set(re.findall(r"FETTLE_[A-Z_]+", text)) <= known


def test_the_guides_commands_and_files_are_there() -> None:
    """Every `fettle …` is a command, every file of deploy/ exists."""
    asked = set(re.findall(r"(?:bin/|`)fettle ([a-z]+)", GUIDE))
    assert {"doctor", "serve", "restore", "move", "backup"} <= asked <= set(COMMANDS)
    for name in set(re.findall(r"deploy/([\w.]+)", GUIDE)) - {"fettle.env"}:
        assert (DEPLOY / name).is_file(), name


def test_the_image_copies_what_is_there_and_is_not_root() -> None:
    """Sources exist, the last user is not root, no token is in it, and what is left out of it holds no secret."""
    for line in re.findall(r"^COPY (?!--from)(.*)$", DOCKERFILE, re.MULTILINE):
        for source in line.split()[:-1]:
            assert (ROOT / source).exists(), source
    assert re.findall(r"^USER (\w+)$", DOCKERFILE, re.MULTILINE) == ["fettle"]
    assert "FETTLE_TOKEN=" not in DOCKERFILE
    ignored = (ROOT / ".dockerignore").read_text(encoding="utf-8").split()
    assert {".git", ".venv", "deploy/fettle.env"} <= set(ignored)
    assert "deploy/fettle.env" in (ROOT / ".gitignore").read_text(encoding="utf-8").split()


def test_the_images_health_check_tells_well_from_not(tmp_path: Path) -> None:
    """Its very command against a real `/health`: 0 while all is well, else not."""
    (found,) = re.findall(r"CMD (\[.*/health.*\])", DOCKERFILE)
    code = json.loads(found)[2]
    hanging = {"rounds": False}
    with Database(f"sqlite:///{tmp_path}/a.db") as database:
        with Measures(database, lambda: hanging, None).served("127.0.0.1", 0) as port:
            ask = [sys.executable, "-c", code.replace(":9464", f":{port}")]
            assert subprocess.run(ask, capture_output=True).returncode == 0
            hanging["rounds"] = True
            assert subprocess.run(ask, capture_output=True).returncode != 0
        assert subprocess.run(ask, capture_output=True).returncode != 0  # nobody answers


def test_the_packages_of_the_image_hold_all_their_files(tmp_path: Path) -> None:
    """What the image installs is a built package: every table, text and phrase of `shared/` is in it."""
    names = ("pyproject.toml", "README.md", "bot", "core", "shared")
    for name in names:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, tmp_path / name)
    if importlib.util.find_spec("setuptools") is None:
        pytest.skip("setuptools is not installed here; pip brings its own when it builds")
    build = [sys.executable, "-W", "ignore", "-c", "import setuptools; setuptools.setup()", "build_py"]
    subprocess.run([*build, "--build-lib", str(tmp_path / "built")], cwd=tmp_path, capture_output=True, check=True)
    for name in ("bot", "core", "shared"):
        for path in (tmp_path / name).rglob("*.*"):
            if path.is_file() and "__pycache__" not in path.parts:
                assert (tmp_path / "built" / path.relative_to(tmp_path)).is_file(), path


def test_the_compose_file_holds_together() -> None:
    """Volumes are declared, the database is waited for, logs are bounded, and nothing is published to the world."""
    services = COMPOSE["services"]
    for service in services.values():
        for volume in service.get("volumes", ()):
            assert volume.split(":")[0] in COMPOSE["volumes"]
        assert "ports" not in service and service["restart"] == "unless-stopped"
        assert service["logging"]["options"]["max-size"]
    assert services["fettle"]["depends_on"]["db"]["condition"] == "service_healthy"
    assert "healthcheck" in services["db"]
    assert services["fettle"]["cap_drop"] == ["ALL"] and services["fettle"]["read_only"] is True
    assert (DEPLOY / services["fettle"]["build"]["context"] / services["fettle"]["build"]["dockerfile"]).exists()


@pytest.mark.skipif(shutil.which("systemd-analyze") is None, reason="systemd-analyze is not installed")
def test_the_unit_is_one_that_systemd_takes(tmp_path: Path) -> None:
    """Verified by systemd's own checker, with a program and a user that are on every machine."""
    unit = tmp_path / "fettle.service"
    unit.write_text(UNIT.replace("/opt/fettle/.venv/bin/fettle", "/bin/true").replace("User=fettle", "User=root"))
    done = subprocess.run(["systemd-analyze", "verify", str(unit)], capture_output=True, text=True)
    assert done.returncode == 0 and "fettle.service" not in done.stderr, done.stderr


def test_the_units_watchdog_has_patience() -> None:
    """Several signs of life may be missed before it is started anew."""
    (seconds,) = re.findall(r"^WatchdogSec=(\d+)$", UNIT, re.MULTILINE)
    assert int(seconds) >= 5 * EVERY_S
    assert "Type=notify" in UNIT and "NotifyAccess=main" in UNIT
