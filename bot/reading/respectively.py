"""As many weights as dogs, said apart: "weighed leeu and storm, 20.8 and 18.5"."""

from __future__ import annotations

from bot.reading.amounts import MASS, Amount
from bot.reading.clause import Clause
from bot.reading.mention import Mention
from bot.reading.work import Work
from core import plausible
from core.entries import Weight

_FEWEST = 2


def read(work: Work) -> set[int]:
    """Keeps each dog's own figure, in the order in which they were named; the sentences that were read so."""
    done: set[int] = set()
    for sentence in {c.sentence for c in work.clauses}:
        clauses = [c for c in work.clauses if c.sentence == sentence]
        named = [(m, c) for c in clauses for m in c.mentions if m.kind in ("name", "group")]
        figures = [a for c in clauses for a in c.amounts]
        if _apart(work, clauses, named, figures) and _keep(work, clauses[0], named, figures):
            done.add(sentence)
    return done


def _apart(work: Work, clauses: list[Clause], named: list[tuple[Mention, Clause]], figures: list[Amount]) -> bool:
    """True where all dogs stand on one side of all figures, as many as they are, and nothing else is told."""
    if len(named) < _FEWEST or len(named) != len(figures) or any(m.kind != "name" or m.owner for m, _ in named):
        return False
    if any(c.ask or c.joke or c.wish or c.quote or c.near or c.neg_at >= 0 or c.plan_at >= 0 for c in clauses):
        return False
    plain = all(a.other is None and a.of is None and not a.sign and (a.unit is None or a.unit in MASS) for a in figures)
    first, last = named[0][0], named[-1][0]
    ahead, behind = last.end <= figures[0].i, figures[-1].end <= first.i
    words = work.words
    beside = [
        i
        for i in range(min(first.i, figures[0].i), max(last.end, figures[-1].end))
        if words.kind[i] == "w"
        and not any(m.i <= i < m.end for m, _ in named)
        and not any(a.i <= i < a.end for a in figures)
    ]
    small = all(
        words.has(i, "between", "weigh", "day", "s and", "s both") or words.w[i] in ("for", "at") for i in beside
    )
    return plain and (ahead or behind) and small


def _keep(work: Work, c: Clause, named: list[tuple[Mention, Clause]], figures: list[Amount]) -> bool:
    """Keeps the weights where every one of them fits its dog; true where they were kept."""
    on = work.day(c)
    kept: list[tuple[Weight, Clause]] = []
    for (m, clause), a in zip(named, figures, strict=True):
        dog = work.kennel.dog(m.names[0])
        if dog is None:
            return False
        kg = a.kg if a.kg is not None else plausible.read_weight(dog, a.value, on, work.kennel.weight_unit)
        if kg is None or not plausible.weight_fits(dog, kg, on):
            return False
        kept.append((Weight(dog=dog.name, on=on, kg=round(kg, 4)), clause))
    for entry, clause in kept:
        work.put(entry, clause)
    return True
