"""Weights without a dog: asked back, where one of ours can be meant."""

from __future__ import annotations

from bot.reading.amounts import MASS, Amount
from bot.reading.clause import Clause
from bot.reading.work import Work
from core import plausible
from core.entries import Weight


def lonely(work: Work) -> None:
    """A figure alone ("8.8 this morning", "24.6!! growing so fast"): somebody's weight, but whose?"""
    words = work.words
    first = work.clauses[0]
    if work.after_other_talk:
        return
    if any(c.named or c.newborns or c.ask or c.plan_at >= 0 or c.elsewhere or c.human or c.other for c in work.clauses):
        return
    figures = [a for c in work.clauses for a in c.amounts]
    if len(figures) != 1 or figures[0].other or figures[0].of or figures[0].sign or work.found or work.doubts:
        return
    a = figures[0]
    if a.unit not in (None, *MASS) or a.ordinal:
        return
    if a.unit is None and (_without_point(work, a) or _clocklike(work, a)):
        return
    others = [i for i in range(len(words)) if words.kind[i] == "w" and not (a.i <= i < a.end)]
    growing = any(words.has(i, "ask growth", "weigh") for i in others)
    if not growing and any(not words.has(i, "between", "day", "weekday", "fix cue") for i in others):
        return
    on = work.day(first)
    unit = work.kennel.weight_unit
    fits = [
        d.name
        for d in work.kennel.at_home()
        if (plausible.weight_fits(d, a.kg, on) if a.kg is not None else plausible.read_weight(d, a.value, on, unit))
    ]
    if fits:
        work.doubt("dog", Weight(dog="", on=on, kg=a.kg if a.kg is not None else a.value), first, tuple(fits[:4]))


def _without_point(work: Work, a: Amount) -> bool:
    """A count of things has no point; "4.0" is a reading of a scale."""
    return a.whole and "." not in work.words.w[a.i] and "," not in work.words.w[a.i]


def _clocklike(work: Work, a: Amount) -> bool:
    return a.clock is not None and len(work.words.w[a.i].replace(":", ".").partition(".")[2]) == 2


def nobodys(work: Work, c: Clause, figures: list[Amount], weighing: bool) -> None:
    """A weight without a dog."""
    if c.other or (c.elsewhere and not c.unsure):
        return
    a = figures[0]
    human = not (c.unsure or work.is_unsure_near(c)) and any(
        o.human and abs(o.sentence - c.sentence) <= 1 and not any(o2.named for o2 in work.clauses) for o in work.clauses
    )
    if human:
        return
    unsure = c.unsure or work.is_unsure_near(c)
    if c.pronoun is not None and c.pronoun.plural:
        return
    if a.kg is None and c.unsure and not weighing:
        pups = [
            d for d in work.kennel.at_home() if plausible.read_weight(d, a.value, work.day(c), work.kennel.weight_unit)
        ]
        if pups:
            work.doubt("dog", Weight(dog="", on=work.day(c), kg=a.value), c, tuple(d.name for d in pups[:4]))
        return
    if (a.kg is not None and (weighing or unsure or c.pronoun is not None)) or (a.kg is None and weighing and unsure):
        work.doubt("dog", Weight(dog="", on=work.day(c), kg=a.kg or a.value), c)
    elif work.topic == "weight?" and a.kg is None:
        work.doubt("dog", Weight(dog="", on=work.day(c), kg=a.value), c)
