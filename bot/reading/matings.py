"""Matings: "Sorrel and Flint: good tie"."""

from __future__ import annotations

from bot.reading import clocks
from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core.entries import Mating
from core.roster import Dog

_MATING_NAMED = words_of("cues", "mating_named")
_MATING_SPOKEN_OF = words_of("cues", "mating_spoken_of")
_MINUTES = words_of("cues", "minutes")
_TIE_OF_THINGS = words_of("cues", "tie_of_things")
_TIE_SHARED = words_of("cues", "tie_shared")


def read(work: Work, c: Clause) -> bool:
    """Keeps a mating; true where the clause was about one."""
    words = work.words
    i = work.where(c, "mate")
    if i < 0 and c.whens and c.how == "carried" and work.says(c, {"again"}):
        last = next(
            (e for e, k in reversed(work.found) if isinstance(e, Mating) and c.sentence - k.sentence <= 1), None
        )
        if last is not None and not work.shut(c, c.lo) and last.on != work.day(c):
            work.put(Mating(dog=last.dog, on=work.day(c), with_=last.with_), c)  # "and again 3/22"
            return True
    while i >= 0 and not _is_mating(work, c, i):
        i = next((j for j in range(i + 1, c.hi) if "mate" in words.tags[j]), -1)
    if i < 0:
        return False
    if work.shut(c, i) or c.joke or (c.elsewhere and not c.named):
        return True
    dogs = work.dogs(c, "mating")
    k = c.number
    if not any(d.sex == "f" for d in dogs):
        # "Sorrel and Flint: good tie", or the bitch was named in the clause before
        for o in reversed(work.clauses[:k]):
            more = [d for d in (work.kennel.dog(n) for n in o.named) if d is not None and d.sex == "f"]
            if more and c.sentence - o.sentence <= 1:
                dogs = [*more[:1], *dogs]
                break
    bitches = [d for d in dogs if d.sex == "f"]
    males = [d for d in dogs if d.sex == "m"]
    if not males and c.how in ("own", "carried", "list"):
        males = _male_near(work, c)
    on = work.day(c)
    clock = clocks.clock_in(words, c.lo, c.hi, c.amounts)
    if not bitches:
        if males or c.pronoun is not None:
            work.no_dog(c, Mating(dog="", on=on, with_=males[0].name if males else None), sure=bool(males))
        return True
    if any(isinstance(e, Mating) and e.dog == bitches[0].name and e.on == on for e, _ in work.found):
        return True
    work.put(Mating(dog=bitches[0].name, on=on, with_=males[0].name if males else None, clock=clock), c)
    return True


def _male_near(work: Work, c: Clause) -> list[Dog]:
    for o in work.clauses:
        if o.sentence == c.sentence and o is not c:
            found = [d for d in (work.kennel.dog(n) for n in o.named) if d is not None and d.sex == "m"]
            if found and (o.saying is False or abs(o.number - c.number) == 1):
                if not any(work.where(o, m) >= 0 for m in ("weigh", "groom", "dose", "sign", "earp")):
                    return found
    return []


def _is_mating(work: Work, c: Clause, i: int) -> bool:
    """'tied up', 'covered in mud', 'bred in Norway', 'a tie to wear' are no matings."""
    words = work.words
    w = words.w[i]
    n = words.tags[i]["mate"][1]
    after = words.w[i + n] if i + n < len(words) else ""
    before = words.w[i - 1] if i > c.lo else ""
    dogs = [d for d in (work.kennel.dog(x) for x in c.dogs) if d is not None]
    both = any(d.sex == "m" for d in dogs) and any(d.sex == "f" for d in dogs)
    if w == "covered":
        return (both and after not in ("in", "with", "all")) or (after == "by" and both)
    if w in _TIE_SHARED:
        if after in _TIE_OF_THINGS or words.w[i + n - 1] == "up":
            return after == "on" and both
        return both or bool(dogs) or c.pronoun is not None or work.says(c, _MINUTES)
    if w == "bred":
        return both or (bool(dogs) and words.says(i + 1, min(i + n + 5, c.hi), {"to", "with", "by"}))
    if w == "put" or w == "served" or w == "together":
        return both
    if w == "ai":
        return bool(dogs) and any(d.sex == "f" for d in dogs)
    if w in _MATING_NAMED and before in _MATING_SPOKEN_OF:
        return both and work.done(c)
    return True
