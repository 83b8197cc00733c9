"""Care: what is done to dogs and what is seen of them.

Each part reads one clause at a time, so that what one finds ("38.4": a temperature) is known to the next.
"""

from __future__ import annotations

from bot.reading import condition, doses, groom, measures, signs, swallowed, teeth
from bot.reading.work import Work

PARTS = (
    measures.temperature,
    measures.height,
    condition.read,
    signs.read,
    swallowed.read,
    groom.read,
    doses.read,
    teeth.read,
)


def read(work: Work) -> None:
    """Takes grooming, signs, doses, temperatures, condition, heights and teeth out of the message."""
    for c in work.clauses:
        for part in PARTS:
            part(work, c)
