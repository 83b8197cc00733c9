"""How long a picture takes and how large it is: the first one of a process with its imports, then each case warm.

Run `python -m tests.bench.pictures`; the budget is 0.7 s warm. The middle and the worst of five, by the clock on the
wall and by processor time, which a busy machine does not lengthen.
"""

from __future__ import annotations

import statistics
import sys
from time import perf_counter, process_time

ROUNDS = 5
BUDGET_S = 0.7


def main() -> int:
    """Print the table; 1 where a case is over the budget."""
    started = perf_counter()
    from bot.replies import charts
    from tests.charts.cases import CASES

    loaded = perf_counter()
    first = CASES["ear window"]
    charts.render(first.spec, first.kennel, first.ledger, first.room)
    drawn = perf_counter()
    print(f"Loading the kennel's code {1000 * (loaded - started):.0f} ms; ", end="")
    print(f"first picture with Matplotlib's import {1000 * (drawn - loaded):.0f} ms.\n")
    print("| picture | processor ms | worst | wall ms | worst | kB |\n| --- | --- | --- | --- | --- | --- |")
    over = False
    for name, case in CASES.items():
        walls, works, size = [], [], 0
        for n in range(ROUNDS):
            spec = f"{case.spec}:{('light', 'dark')[n % 2]}"
            wall, work = perf_counter(), process_time()
            size = len(charts.render(spec, case.kennel, case.ledger, case.room))
            walls.append(perf_counter() - wall)
            works.append(process_time() - work)
        times = (statistics.median(works), max(works), statistics.median(walls), max(walls))
        shown = [f"{1000 * t:.0f}" for t in times]
        over |= statistics.median(works) > BUDGET_S
        print(f"| {name} | {' | '.join(shown)} | {size / 1000:.0f} |")
    return int(over)


if __name__ == "__main__":
    sys.exit(main())
