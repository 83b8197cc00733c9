"""The environment, read once into a frozen `Settings`, and the log that never shows the token.

The only module that looks at `os.environ`; everything else is handed what it needs.

| variable | meaning | without it |
| --- | --- | --- |
| `FETTLE_DB` | a database URL (`sqlite:///…`, `postgresql://…`) or a SQLite file | `fettle.db` in the data folder |
| `FETTLE_DATA` | the data folder | `$XDG_DATA_HOME/fettle`, else `~/.local/share/fettle` |
| `FETTLE_BACKUPS` | the folder of the nightly backups, or `off` | `backups` in the data folder |
| `FETTLE_TOKEN` | the Telegram bot's token | `fettle serve` refuses to start |
| `FETTLE_API_URL` | another Bot API server; `/bot` and `/file/bot` are added to it | Telegram's own |
| `FETTLE_METRICS` | `PORT` or `HOST:PORT` for `/metrics` and `/health`; this machine's own without a host | none |
| `FETTLE_LOG` | log level: debug, info, warning or error | info |
"""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

LEVELS = ("debug", "info", "warning", "error")
# These write every request's URL, and the token is part of Telegram's URLs.
_TALKATIVE = ("aiohttp", "httpx", "httpcore", "telegram", "apscheduler", "alembic", "sqlalchemy")


class Trouble(Exception):
    """Something that a person can mend; its text is one sentence that says what and how."""


class SettingsTrouble(Trouble):
    """A setting that cannot be used as it stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What the environment says.

    Attributes:
        database_url: where the records are. data_dir: the folder of the default database.
        token: the Telegram bot's, "" where none is set; never printed. api_url: another Bot API server, "" for
            Telegram's own. log_level: a word of `LEVELS`.
        backups: the folder of the nightly backups, None for none. metrics: where figures are served, None for nowhere.
        notify: the service manager's socket (sd_notify(3)), "" where it has none.
    """

    database_url: str
    data_dir: Path
    token: str = field(default="", repr=False)
    backups: Path | None = None
    api_url: str = ""
    metrics: tuple[str, int] | None = None
    notify: str = ""
    log_level: str = "info"


def read_settings(environ: Mapping[str, str] | None = None) -> Settings:
    """The settings of this environment (the process's own where none is given).

    Raises:
        SettingsTrouble: a value that cannot be used.
    """
    env = os.environ if environ is None else environ
    level = env.get("FETTLE_LOG", "").strip().lower() or "info"
    if level not in LEVELS:
        raise SettingsTrouble(f"FETTLE_LOG is {level!r}; set it to one of: {', '.join(LEVELS)}.")
    api_url = env.get("FETTLE_API_URL", "").strip().rstrip("/")
    if api_url and not api_url.startswith(("http://", "https://")):
        raise SettingsTrouble(f"FETTLE_API_URL is {api_url!r}; it must begin with http:// or https://.")
    data_dir = _data_dir(env)
    # In the user's data folder, not the current one: a service, a timer and a terminal start in different
    # folders and must find the same records, and a checkout may be thrown away at an update.
    named = env.get("FETTLE_DB", "").strip()
    return Settings(
        database_url=database_url(named) if named else database_url(str(data_dir / "fettle.db")),
        data_dir=data_dir,
        backups=_backups(env, data_dir),
        token=env.get("FETTLE_TOKEN", "").strip(),
        api_url=api_url,
        log_level=level,
        metrics=_metrics(env.get("FETTLE_METRICS", "").strip()),
        notify=env.get("NOTIFY_SOCKET", ""),
    )


def database_url(named: str) -> str:
    """The URL of a database named by URL or by the path of a SQLite file."""
    return named if "://" in named else f"sqlite:///{named}"


def _metrics(named: str) -> tuple[str, int] | None:
    host, _, port = named.rpartition(":")
    if not named:
        return None
    if not (port.isascii() and port.isdigit() and 0 < int(port) < 65536):
        raise SettingsTrouble(f"FETTLE_METRICS is {named!r}; write a port, 9464, or an address, 127.0.0.1:9464.")
    return host.strip("[]") or "127.0.0.1", int(port)


def _backups(env: Mapping[str, str], data_dir: Path) -> Path | None:
    named = env.get("FETTLE_BACKUPS", "").strip()
    if named.lower() == "off":
        return None
    return Path(named).expanduser() if named else data_dir / "backups"


def _data_dir(env: Mapping[str, str]) -> Path:
    if env.get("FETTLE_DATA"):
        return Path(env["FETTLE_DATA"]).expanduser()
    base = env.get("XDG_DATA_HOME", "")
    # The XDG base directory specification 0.8: a relative value is to be ignored.
    root = Path(base) if base and Path(base).is_absolute() else Path.home() / ".local" / "share"
    return root / "fettle"


class _Veiled(logging.Formatter):
    """One line a record (a traceback's lines apart), with the token struck out wherever it stands."""

    def __init__(self, token: str) -> None:
        super().__init__("%(asctime)s %(levelname)s %(name)s: %(message)s")
        self._token = token

    def format(self, record: logging.LogRecord) -> str:
        """The record's text without the token."""
        text = super().format(record)
        return text.replace(self._token, "[token]") if self._token else text

    def formatMessage(self, record: logging.LogRecord) -> str:
        """The message on one line: a line break in somebody's words must not look like a record of its own."""
        return super().formatMessage(record).replace("\r", "\\r").replace("\n", "\\n")


def set_up_log(settings: Settings) -> None:
    """Logging to standard error at the level set; libraries that write URLs only from WARNING up."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(_Veiled(settings.token))
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel(settings.log_level.upper())
    for name in _TALKATIVE:
        logging.getLogger(name).setLevel(logging.WARNING)
