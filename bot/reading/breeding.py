"""Breeding: progesterone tests here; seasons, matings and whelpings from their own files."""

from __future__ import annotations

from bot.reading import matings, seasons, whelpings
from bot.reading.clause import Clause
from bot.reading.work import Work
from core.entries import Progesterone

_BREEDING = frozenset({"season", "prog", "mate", "whelp"})


def read(work: Work) -> None:
    """Takes seasons, progesterone tests, matings and whelpings out of the message."""
    if not work.figures and _BREEDING.isdisjoint(work.meanings) and not any(c.whens for c in work.clauses):
        return
    for c in work.clauses:
        _progesterone(work, c)
        if not matings.read(work, c):
            seasons.read(work, c)
        whelpings.read(work, c)


def _progesterone(work: Work, c: Clause) -> None:
    words = work.words
    i = work.where(c, "prog")
    k = c.number
    headed = (
        i < 0
        and k > 0
        and work.where(work.clauses[k - 1], "prog") >= 0
        and not work.clauses[k - 1].amounts
        and (c.sentence - work.clauses[k - 1].sentence <= 1)
    )
    headed = headed or (i < 0 and _dated_row(work, c))
    if i < 0 and not headed and not any(a.unit in ("ngml", "nmoll") for a in c.amounts):
        return
    for a in c.amounts:
        if a.other is not None or a.ordinal or a.unit not in (None, "ngml", "nmoll") or a.of is not None:
            continue
        if words.w[max(a.i - 1, 0)] == "at" and a.clock:
            continue
        if i >= 0 and a.i < i and a.unit is None and c.amounts[-1] is not a:
            continue
        if work.shut(c, a.i) or c.joke:
            return
        unit = {"ngml": "ng/ml", "nmoll": "nmol/l"}.get(a.unit or "")
        on = work.day(c)
        dogs = [d for d in work.dogs(c, "progesterone") if d.sex != "m"]
        entry = Progesterone(dog="", on=on, value=a.value, unit=unit)
        if not dogs:
            work.no_dog(c, entry, sure=True)
            return
        work.put(Progesterone(dog=dogs[0].name, on=on, value=a.value, unit=unit), c)
        return


def _dated_row(work: Work, c: Clause) -> bool:
    """'Saga P4' over '19.10: 2.9': a row of a day and a figure under a heading."""
    first = work.clauses[0]
    headed = work.where(first, "prog") >= 0 and not first.amounts
    before = work.clauses[c.number - 1] if c.number else first
    return headed and c.sep == ":" and c.hi - c.lo == 1 and bool(c.amounts) and bool(before.whens)
