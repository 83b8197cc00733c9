"""'… and so has Saffy': what was just told of one dog, told of another one too."""

from __future__ import annotations

from dataclasses import replace

from bot.reading.work import Work
from core.entries import Weight


def read(work: Work) -> None:
    """Keeps of the dogs named after "so has", "so did" what the clause before kept; a weight is nobody else's."""
    for c in work.clauses:
        if not c.also:
            continue
        told = [
            (e, o)
            for e, o in work.found
            if o.number < c.number and c.sentence - o.sentence <= 1 and not isinstance(e, Weight)
        ]
        last = told[-1][1] if told else None
        for name in c.named:
            for entry in dict.fromkeys(replace(e, dog=name) for e, o in told if o is last and e.dog != name):
                work.put(entry, c)
