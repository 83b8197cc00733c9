"""A dog weighed in somebody's arms: "me and him 78.2, me 68.8"."""

from __future__ import annotations

from bot.reading.amounts import MASS, Amount
from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core import plausible
from core.entries import Weight

_ME = words_of("cues", "me")


def read(work: Work) -> bool:
    """'me and him 78.2, me 68.8': the dog is the difference."""
    words = work.words
    if not any(w in _ME for w in words.w):
        return False
    pairs: list[tuple[Clause, Amount, bool, bool]] = []
    for k, c in enumerate(work.clauses):
        if c.ask or c.plan_at >= 0:
            continue
        me = work.says(c, _ME)
        dog = bool(c.named) or c.pronoun is not None
        prior = work.clauses[k - 1] if k else None
        if prior is not None and not prior.amounts and prior.sentence == c.sentence:
            me = me or work.says(prior, _ME)
            dog = dog or bool(prior.named) or prior.pronoun is not None
        for a in c.amounts:
            if a.other is None and a.of is None and (a.unit is None or a.unit in MASS) and a.form != "article":
                pairs.append((c, a, me, dog))
    both = [p for p in pairs if p[2] and p[3]]
    alone = [p for p in pairs if p[2] and not p[3]]
    if len(both) != 1 or len(alone) != 1:
        return False
    c, together, _, _ = both[0]
    _, single, _, _ = alone[0]
    if together.value <= single.value and together.kg is None:
        return False
    unit = together.unit or single.unit or work.kennel.weight_unit
    for o in work.clauses:
        i = work.where(o, "unit")
        if i >= 0 and together.unit is None and single.unit is None and words.tags[i]["unit"][0] in MASS:
            unit = words.tags[i]["unit"][0]
    factor = MASS[unit]
    kg = (together.kg or together.value * factor) - (single.kg or single.value * factor)
    names = [n for o in work.clauses for n in o.named]
    names = list(dict.fromkeys(names))
    if not names:
        names = list(work.whom(c, "weight"))
    if len(names) != 1:
        work.doubt("dog", Weight(dog="", on=work.day(c), kg=round(kg, 3)), c, tuple(names))
        return True
    found = work.kennel.dog(names[0])
    if found is None:
        return True
    on = work.day(c)
    if plausible.weight_fits(found, kg, on):
        work.put(Weight(dog=found.name, on=on, kg=round(kg, 3)), c)
    else:
        work.doubt("value", Weight(dog=found.name, on=on, kg=round(kg, 3)), c)
    return True
