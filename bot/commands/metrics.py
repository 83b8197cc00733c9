"""Figures of a serving process in the open Prometheus text format, and a line that says whether it is well.

`/metrics` and `/health` on one address, the machine's own where no other is named; off where none is. Nothing of
anybody's records is in them: counts and times only.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from socketserver import ThreadingMixIn
from threading import Thread
from typing import Any
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer, make_server

from prometheus_client import CollectorRegistry, Counter, Histogram, ProcessCollector, make_wsgi_app
from prometheus_client.core import GaugeMetricFamily, Metric

from bot.chat import Sender
from bot.chat.errors import SendError
from bot.settings import Trouble
from bot.storage import Database, StorageError
from bot.storage.nightly import kept
from bot.turn import Turns
from core.messages import Mark, Say
from core.turns import Turn

# Seconds of a turn; it is some ten milliseconds of work, and a second is when somebody begins to wonder.
_BUCKETS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 10.0)

Hanging = Callable[[], dict[str, bool]]


class Measures:
    """What is measured of one process.

    Args:
        hanging: each part of the process by name, true where it hangs. backups: the folder of the nightly backups.
    """

    def __init__(self, database: Database, hanging: Hanging, backups: Path | None) -> None:
        self._database, self._hanging, self._backups = database, hanging, backups
        self.registry = CollectorRegistry()
        # Memory, processor time, open files: as every process shows them.
        ProcessCollector(registry=self.registry)
        self.registry.register(self)
        self.turn_seconds = Histogram(
            "fettle_turn_seconds", "From a message taken up to its answer committed.", buckets=_BUCKETS,
            registry=self.registry,
        )
        self.sent = Counter("fettle_sends", "Sends by what came of them.", ["outcome"], registry=self.registry)

    def time(self, turns: Turns) -> None:
        """Times every turn from now on."""
        take, seconds = turns.take, self.turn_seconds

        def timed(*given: Any, **more: Any) -> Turn | None:
            with seconds.time():
                return take(*given, **more)

        turns.take = timed  # type: ignore[method-assign]

    def count(self, sender: Sender) -> Sender:
        """The sender, its sends counted by what comes of them."""
        return CountedSender(sender, self.sent)

    def collect(self) -> Iterable[Metric]:
        """What is read off when it is asked for."""
        yield _by("fettle_hanging", "1 where a part of the process hangs.", "part", self._hanging())
        if self._backups is not None:
            newest = max((p.stat().st_mtime for p in kept(self._backups).values()), default=0.0)
            yield GaugeMetricFamily("fettle_backup_timestamp_seconds", "When the newest backup was made.", newest)
        try:
            inbox, outbox = self._database.inbox.open_counts(), self._database.outbox.open_counts()
            kennels = len(self._database.kennels())
        except StorageError:
            yield GaugeMetricFamily("fettle_database_up", "1 while the database answers.", 0)
            return
        yield GaugeMetricFamily("fettle_database_up", "1 while the database answers.", 1)
        yield GaugeMetricFamily("fettle_kennels", "Kennels in the database.", kennels)
        yield _by("fettle_inbox", "Updates that wait, or were set aside, by state.", "state", inbox)
        yield _by("fettle_outbox", "Things to say that wait, or can never go, by state.", "state", outbox)

    def health(self) -> tuple[bool, str]:
        """Whether all is well, and the line that says so or what is not."""
        wrong = [f"{name} hangs" for name, hangs in self._hanging().items() if hangs]
        try:
            self._database.kennels()
        except StorageError as trouble:
            wrong.append(str(trouble))
        return not wrong, "; ".join(wrong) or "well"

    @contextmanager
    def served(self, host: str, port: int) -> Iterator[int]:
        """Serves them from a thread of its own; gives the port.

        Raises:
            Trouble: the address cannot be used.
        """
        try:
            server = make_server(host, port, self._answer, _Server, _Quiet)
        except OSError as error:
            raise Trouble(f"FETTLE_METRICS: {host}:{port} cannot be used ({error.strerror}); name another.") from None
        thread = Thread(target=server.serve_forever, name="metrics", daemon=True)
        thread.start()
        try:
            yield server.server_port
        finally:
            server.shutdown()
            server.server_close()
            thread.join()

    def _answer(self, environ: dict[str, Any], start: Callable[..., Any]) -> Any:
        path = environ.get("PATH_INFO")
        if path == "/metrics":
            return make_wsgi_app(self.registry)(environ, start)
        well, line = self.health() if path == "/health" else (False, "only /metrics and /health are here")
        status = "404 Not Found" if path != "/health" else "200 OK" if well else "503 Service Unavailable"
        start(status, [("Content-Type", "text/plain; charset=utf-8")])
        return [f"{line}\n".encode()]


class CountedSender:
    """A sender whose sends are counted by what came of them."""

    def __init__(self, sender: Sender, sent: Counter) -> None:
        self._sender, self._sent = sender, sent

    async def send(self, chat: str, out: Say | Mark, reply_to: str | None) -> str:
        """As the sender's own."""
        try:
            key = await self._sender.send(chat, out, reply_to)
        except SendError as problem:
            self._sent.labels(type(problem).__name__.lower()).inc()
            raise
        self._sent.labels("sent").inc()
        return key


class _Server(ThreadingMixIn, WSGIServer):
    daemon_threads = True


class _Quiet(WSGIRequestHandler):
    timeout = 10  # seconds; a caller that says nothing does not hold a thread for ever

    def log_message(self, format: str, *args: Any) -> None:
        """Nothing: a scrape each few seconds is no news."""


def _by(name: str, line: str, label: str, values: dict[str, Any]) -> Metric:
    family = GaugeMetricFamily(name, line, labels=[label])
    for key, value in values.items():
        family.add_metric([key], float(value))
    return family
