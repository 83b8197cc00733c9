"""Tables: which column a cell stands in, and what its heading says.

"Dog | kg | left ear | right ear" over rows of cells: a cell's position in its row is that of its heading.
"""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.work import Work


def heading_of(work: Work, c: Clause) -> Clause | None:
    """The clause of the first row that stands over this cell, None where there is no such row."""
    words = work.words
    if c.hi > len(words) or "|" not in words.w or c.named:
        return None
    first_end = next((i for i, k in enumerate(words.kind) if k == "l"), len(words))
    if c.lo < first_end:
        return None
    row_start = max((i + 1 for i in range(c.lo) if words.kind[i] == "l"), default=0)
    column = _bars(work, row_start, c.lo) - _leading(work, row_start)
    for o in work.clauses:
        if o.lo >= first_end:
            return None
        if not o.named and _bars(work, 0, o.lo) - _leading(work, 0) == column:
            return o
    return None


def _bars(work: Work, lo: int, hi: int) -> int:
    return work.words.w[lo:hi].count("|")


def _leading(work: Work, start: int) -> int:
    """1 where the row opens with a bar."""
    return 1 if work.words.w[start : start + 1] == ["|"] else 0
