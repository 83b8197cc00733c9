"""One bot at a time on one SQLite file: a lock that the system lets go of when the process ends, however it ends."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bot.settings import Trouble

try:
    import fcntl
except ImportError:  # Windows has none; there the chat server's own refusal of a second listener must do
    fcntl = None  # type: ignore[assignment]


class AlreadyRunning(Trouble):
    """Another Fettle serves the same database."""


@contextmanager
def alone(file: Path | None) -> Iterator[None]:
    """Nothing while no other process holds the lock of this file (None, a server's database: no lock is needed).

    Raises:
        AlreadyRunning: another process holds it.
    """
    if file is None or fcntl is None:
        yield
        return
    beside = file.with_name(f"{file.name}.lock")
    with beside.open("a") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise AlreadyRunning(f"Fettle is already running on {file}; stop that one first.") from None
        yield
