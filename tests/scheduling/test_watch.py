"""The watch: a part whose count stands still too long hangs; one that moves again does not."""

from __future__ import annotations

import asyncio
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.commands.watching import EVERY_S, keep_watch, notify
from bot.scheduling.clock import SetClock
from bot.scheduling.watch import Watch
from tests.scheduling.house import at


def test_a_count_that_stands_still() -> None:
    """Only past its own time, counted from its last movement, and each part by itself."""
    counts = {"rounds": 0, "delivery": 0}
    watch = Watch()
    watch.add("rounds", lambda: counts["rounds"], 60, now=0)
    watch.add("delivery", lambda: counts["delivery"], 10, now=0)
    assert watch.hanging(10) == {"rounds": False, "delivery": False}
    counts["delivery"] += 1
    assert watch.hanging(20) == {"rounds": False, "delivery": False}
    assert watch.hanging(31) == {"rounds": False, "delivery": True}
    assert watch.hanging(61) == {"rounds": True, "delivery": True}
    counts["rounds"] += 1
    assert watch.hanging(62) == {"rounds": False, "delivery": True}


@pytest.fixture
def manager(tmp_path: Path) -> Iterator[socket.socket]:
    """A service manager's socket."""
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as listening:
        listening.bind(str(tmp_path / "notify"))
        listening.setblocking(False)
        yield listening


def heard(manager: socket.socket) -> list[str]:
    lines = []
    while True:
        try:
            lines.append(manager.recv(100).decode())
        except BlockingIOError:
            return lines


class Stepping(SetClock):
    """A clock whose waits are let go one by one."""

    def __init__(self) -> None:
        super().__init__(at(14, 8))
        self.go = asyncio.Event()

    async def wait(self, seconds: float) -> None:
        await self.go.wait()
        self.go.clear()
        await super().wait(seconds)


async def test_a_part_that_hangs_silences_the_watchdog(manager: socket.socket, tmp_path: Path) -> None:
    """Ready, then a sign of life at each step while all is well, none while a part hangs, and the end is told."""
    count = 0
    clock, watch, stop = Stepping(), Watch(), asyncio.Event()
    watch.add("rounds", lambda: count, EVERY_S * 1.5, clock.monotonic())
    keeping = asyncio.create_task(keep_watch(watch, clock, str(tmp_path / "notify"), stop))

    async def step() -> list[str]:
        clock.go.set()
        for _ in range(10):
            await asyncio.sleep(0)
        return heard(manager)

    await asyncio.sleep(0)
    assert heard(manager) == ["READY=1", "WATCHDOG=1"]
    assert await step() == ["WATCHDOG=1"]  # ten seconds: still within its time
    assert await step() == []
    assert await step() == []
    count += 1
    assert await step() == ["WATCHDOG=1"]
    stop.set()
    await keeping
    assert heard(manager) == ["STOPPING=1"]


def test_nobody_to_tell(tmp_path: Path) -> None:
    """Without a service manager, or with one that is gone, nothing happens."""
    notify("", "READY=1")
    notify(str(tmp_path / "gone"), "READY=1")
