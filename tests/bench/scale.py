"""How a large house fares: 200 kennels, 6,000 dogs, 1,000,000 entries, on SQLite and on PostgreSQL.

Run `python -m tests.bench.scale` for the tables (some ten minutes; `--kennels 20` for a quick look). Times are of the
wall clock, on a machine that may be doing other things: read the ratios first.

- message: from the raw update stored to the reply committed, the whole conversation in between.
- "how is Nugget?": the same for a question.
- morning alert: one kennel's look at its agenda in which the alert is worded.
- small house: two of the same kennels (10,000 entries) in a database of their own; large house: all of them. What is
  measured is asked of one and the same kennel in both, turn about, so that a busy machine disturbs both alike.
- any kennel: messages that go round all kennels of the large house, none of which is still in memory.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import platform
import sqlite3
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from time import perf_counter, process_time

from bot.scheduling.rounds import Rounds
from bot.storage import Database, Update
from bot.storage.moving import move
from bot.turn import Turns
from core.roster import BREEDER
from tests.bench.scale_book import A_MESSAGE, DOGS, ENTRIES, PLATFORM, TODAY, build, note
from tests.stand_ins.bot_api import TOKEN, BotApi
from tests.stand_ins.postgres import Postgres, programs

NOTES = (
    "{} 9.4 kg", "{} ate all his breakfast", "{} left ear up, right half", "gave {} a treat", "{} left half of dinner",
    "bathed {} today", "lovely walk this morning, everybody soaked",
)  # fmt: skip
WHOM = ("Nugget", "Moss", "Juniper", "Sorrel")
MORNING = datetime.combine(TODAY + timedelta(days=1), time(7), tzinfo=UTC)


@dataclass
class House:
    """A database full of kennels, and the parts that a serving process has."""

    database: Database
    numbers: Sequence[int]
    count: int = 0
    times: dict[str, list[float]] = field(default_factory=dict)
    work: dict[str, list[float]] = field(default_factory=dict)  # processor seconds, which no other program disturbs

    def __post_init__(self) -> None:
        self.turns, self.rounds = Turns(self.database), Rounds(self.database)

    def take(self, what: str, number: int, text: str, at: datetime, room: str = "family") -> None:
        """One message from its raw update to its reply committed, timed under that name."""
        self.count += 1
        key = f"b{self.count}"
        message = note(number, key, text, at, room)
        raw = {"update_id": self.count, "message": {"text": text, "chat": {"id": -number}}}
        begun, worked = perf_counter(), process_time()
        update = Update(platform=PLATFORM, chat=str(-number), update_key=key, message=key, received_at=at, raw=raw)
        self.database.inbox.take([update])
        (row,) = self.database.inbox.waiting(PLATFORM)
        with self.database.inbox.alone_with(row):
            self.turns.take(message, number, inbox_id=row.id, now=at)
        self._note(what, perf_counter() - begun, process_time() - worked)

    def _note(self, what: str, took: float, worked: float) -> None:
        self.times.setdefault(what, []).append(took)
        self.work.setdefault(what, []).append(worked)

    def alert(self, number: int, morning: datetime) -> None:
        """The look in which that day's alert is worded."""
        self.rounds.look_at(number, morning - timedelta(seconds=30))
        begun, worked = perf_counter(), process_time()
        said = self.rounds.look_at(number, morning + timedelta(hours=3))
        self._note("morning alert", perf_counter() - begun, process_time() - worked)
        assert said, "no alert was due"


def measure(small: House, large: House, messages: int) -> None:
    """The same questions to the first kennel of both, turn about; then the large house's kennels in turn."""
    houses = (small, large)
    for n in range(messages):
        at = MORNING + timedelta(seconds=40 * n)
        for house in houses:
            house.take("message", house.numbers[0], NOTES[n % len(NOTES)].format(WHOM[n % len(WHOM)]), at)
        if n % 5 == 0:
            for house in houses:
                house.take("how is Nugget?", house.numbers[0], "how is Nugget?", at + timedelta(seconds=20), BREEDER)
    for n in range(max(20, messages // 20)):
        for house in houses:
            house.alert(house.numbers[0], MORNING + timedelta(days=2 + n))
    for n in range(min(messages, 2 * len(large.numbers))):
        number = large.numbers[n % len(large.numbers)]
        large.take("any kennel", number, NOTES[n % len(NOTES)].format("Moss"), MORNING + timedelta(seconds=n))


def look_over_all(house: House) -> tuple[float, float]:
    """Seconds of a round over all kennels: the first after a start, and the next."""
    with Database(str(house.database._url.render_as_string(hide_password=False))) as fresh:
        rounds, took = Rounds(fresh), []
        for n in range(2):
            begun = perf_counter()
            rounds.look(MORNING + timedelta(days=400, seconds=30 * n))
            took.append(perf_counter() - begun)
    return took[0], took[1]


@dataclass(frozen=True)
class Served:
    """A serving process: seconds from its start to its first call for news, by the clock and of the processor, and its
    memory in MB, then and a minute later."""

    ready_s: float
    worked_s: float
    at_first_mb: float
    after_mb: float
    most_mb: float


async def serve(url: str, numbers: Sequence[int], folder: Path) -> Served:
    """`fettle serve` as a process of its own, on the double of the Bot API."""
    async with BotApi() as api:
        env = os.environ | {
            "FETTLE_TOKEN": TOKEN, "FETTLE_API_URL": api.url, "FETTLE_DB": url, "FETTLE_DATA": str(folder),
            "FETTLE_BACKUPS": "off",
        }
        begun = perf_counter()
        process = subprocess.Popen([sys.executable, "-m", "bot", "serve"], env=env, stderr=subprocess.DEVNULL)
        try:
            await api.until(lambda: api.polls > 0, 60)
            ready = perf_counter() - begun
            worked = _processor(process.pid)
            at_first = _memory(process.pid, "VmRSS")
            await asyncio.sleep(60)  # several rounds over all kennels
            return Served(ready, worked, at_first, _memory(process.pid, "VmRSS"), _memory(process.pid, "VmHWM"))
        finally:
            process.kill()
            process.wait()


def _processor(process: int) -> float:
    """The processor seconds of a process so far (proc(5), fields 14 and 15)."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _memory(process: int, what: str) -> float:
    """A figure of proc(5) in MB."""
    for line in Path(f"/proc/{process}/status").read_text().splitlines():
        if line.startswith(f"{what}:"):
            return int(line.split()[1]) / 1000
    raise LookupError(what)


def tables(name: str, small: House, large: House) -> Iterator[str]:
    """The lines of one database."""
    yield f"\n## {name}\n"
    head = "what | house | n | p50 ms | p95 ms | p99 ms | a second | processor p50 | large to small: p95 | processor"
    yield f"| {head} p95 |"
    yield "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |"
    for what, times in large.times.items():
        ratio = " | "
        if what in small.times:
            pairs = ((times, small.times[what]), (large.work[what], small.work[what]))
            ratio = " | ".join(f"{_percent(a, 95) / _percent(b, 95):.2f}" for a, b in pairs)
            yield _line(what, "small", small, " | ")
        yield _line(what, "large", large, ratio)


def _line(what: str, size: str, house: House, ratio: str) -> str:
    times, work = house.times[what], _percent(house.work[what], 50) * 1000
    figures = " | ".join(f"{_percent(times, p) * 1000:.1f}" for p in (50, 95, 99))
    return f"| {what} | {size} | {len(times)} | {figures} | {len(times) / sum(times):.0f} | {work:.1f} | {ratio} |"


def _percent(times: Sequence[float], percent: int) -> float:
    return statistics.quantiles(times, n=100, method="inclusive")[percent - 1]


@contextmanager
def houses(kind: str, folder: Path, kennels: int, server: Postgres | None) -> Iterator[tuple[House, House, str]]:
    """A small and a large house, and the URL of the large one."""
    urls = [server.new() if server else f"sqlite:///{folder}/{size}.db" for size in ("small", "large")]
    with ExitStack() as opened:
        found = []
        for url, size in zip(urls, (2, kennels), strict=True):
            database = opened.enter_context(Database(url, busy_seconds=60))
            begun = perf_counter()
            found.append(House(database, build(database, size)))
            print(f"{kind}: {size} kennels made in {perf_counter() - begun:.0f} s", file=sys.stderr)
        yield found[0], found[1], urls[1]


def run(kennels: int, messages: int, say: Callable[[str], None]) -> None:
    """Measures both databases and says the page line by line."""
    say("# A large house\n")
    entries = kennels * ENTRIES
    say(f"{kennels} kennels, {kennels * DOGS} dogs, {entries} entries, {entries // A_MESSAGE} messages.")
    python, lite = platform.python_version(), sqlite3.sqlite_version
    say(f"{platform.machine()}, {os.cpu_count()} cores, Python {python}, SQLite {lite}.")
    home = programs()
    with tempfile.TemporaryDirectory(prefix="fettle-scale-") as name, ExitStack() as stack:
        server = Postgres(home, durable=True) if home else None
        if server:
            stack.callback(server.remove)
            server.start()
        for kind, where in (("SQLite", None), ("PostgreSQL", server)):
            if kind == "PostgreSQL" and where is None:
                say("\nPostgreSQL was not measured: the embedded server is not installed.")
                continue
            folder = Path(name) / kind
            folder.mkdir()
            with houses(kind, folder, kennels, where) as (small, large, url):
                measure(small, large, messages)
                for line in tables(kind, small, large):
                    say(line)
                first, then = look_over_all(large)
                say(f"\nA round over all kennels: {first:.2f} s the first time, {then:.2f} s the next.")
                served = asyncio.run(serve(url, large.numbers, folder))
                say(
                    f"`fettle serve`: ready {served.ready_s:.2f} s after its start ({served.worked_s:.2f} s of the "
                    f"processor); {served.at_first_mb:.0f} MB then, {served.after_mb:.0f} MB after a minute, "
                    f"{served.most_mb:.0f} MB at most."
                )
                if kind == "SQLite" and server:
                    with Database(server.new()) as target:
                        begun = perf_counter()
                        rows = sum(m.rows for m in move(small.database, target))
                        say(f"Moving the small house to PostgreSQL: {rows} rows in {perf_counter() - begun:.0f} s.")


def main() -> None:
    """Prints the page."""
    parser = argparse.ArgumentParser(description="How a large house fares.")
    parser.add_argument("--kennels", type=int, default=200)
    parser.add_argument("--messages", type=int, default=1_000)
    given = parser.parse_args()
    run(given.kennels, given.messages, lambda line: print(line, flush=True))


if __name__ == "__main__":
    main()
