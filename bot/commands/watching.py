"""Tells the system's service manager that all is well, for as long as it is; silence makes it start Fettle anew.

The messages are those of sd_notify(3): READY=1, WATCHDOG=1 and STOPPING=1, a datagram each to a socket whose name is in
the environment; where it is not, nobody wants to know.
"""

from __future__ import annotations

import asyncio
import logging
import socket

from bot.scheduling.clock import Clock
from bot.scheduling.watch import Watch

log = logging.getLogger(__name__)

EVERY_S = 10.0  # several times within the unit's WatchdogSec


def notify(address: str, state: str) -> None:
    """Sends one state, if it can be sent; nothing here may stop the work."""
    if not address:
        return
    # "@" stands for the zero byte of a name in Linux's abstract namespace (unix(7)).
    name = "\0" + address[1:] if address.startswith("@") else address
    try:
        with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as sender:
            sender.sendto(state.encode(), name)
    except OSError as error:
        log.debug("the service manager was not told: %s", error.strerror)


async def keep_watch(watch: Watch, clock: Clock, address: str, stop: asyncio.Event) -> None:
    """Says that all is well every few seconds until `stop` is set, and falls silent while a part hangs."""
    notify(address, "READY=1")
    told: set[str] = set()
    while not stop.is_set():
        hanging = {name for name, hangs in watch.hanging(clock.monotonic()).items() if hangs}
        for name in sorted(hanging - told):
            log.error("%s hangs", name)
        told = hanging
        if not hanging:
            notify(address, "WATCHDOG=1")
        waits = [asyncio.ensure_future(w) for w in (stop.wait(), clock.wait(EVERY_S))]
        await asyncio.wait(waits, return_when=asyncio.FIRST_COMPLETED)
        for wait in waits:
            wait.cancel()
    notify(address, "STOPPING=1")
