"""Named steps at which nothing happens, unless a test has armed them to kill the process or to raise.

The names in use, in the order of the road: `inbox taken`, `try counted`, `turn heard`, `turn written`,
`turn committed`, `set aside`, `outbox claimed`, `before send`, `after send`, `outbox settled`,
`migration written`, `backup copied`, `old set aside`, `move copied`.
"""

from __future__ import annotations

from collections.abc import Callable

_armed: Callable[[str], None] | None = None


def checkpoint(name: str) -> None:
    """Nothing, where no test has armed it."""
    if _armed is not None:
        _armed(name)


def arm(at: Callable[[str], None] | None) -> None:
    """From now on each checkpoint calls this with its name (None disarms)."""
    global _armed
    _armed = at
