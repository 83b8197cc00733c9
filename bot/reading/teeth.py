"""Teeth that came out."""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core.entries import Tooth

_ANOTHER_DOGS = words_of("cues", "another_dogs")
_ANOTHER_ONE = words_of("cues", "another_one")
_TEETH_COUNTED = words_of("cues", "teeth_counted")
_TOOTH_LOST_NEAR = words_of("cues", "tooth_lost_near")
_TOOTH_WORDS_ALONE = words_of("cues", "tooth_words_alone")


TEETHING = (84, 217)  # days: 12 weeks to 7 months


def read(work: Work, c: Clause) -> None:
    """Keeps that a tooth came out."""
    words = work.words
    i = -1
    for j in range(c.lo, c.hi):
        if "tooth" in words.tags[j] and not c.named_at(j):
            w = words.w[j]
            if (w in _TOOTH_WORDS_ALONE and words.tags[j]["tooth"][1] == 1) or (
                w in ("shed", "gap") and work.where(c, "toothw") < 0
            ):
                if w != "teething" or not c.dogs:
                    continue
            i = j
            break
    if i < 0:
        noun, lost = work.where(c, "toothw"), work.where(c, "toothl")
        if noun >= 0 and lost >= 0 and noun != lost and not _groomed(work, c):
            if words.w[lost] in _TOOTH_LOST_NEAR and abs(noun - lost) > 7:
                return
            i = min(noun, lost)
        else:
            k = c.number
            prior = work.clauses[k - 1] if k else None
            if (
                lost >= 0
                and prior is not None
                and work.where(prior, "tooth", "toothw") >= 0
                and c.named
                and words.w[lost] in ("lost", "dropped", "shed")
                and work.says(c, _ANOTHER_DOGS)
            ) or (
                lost >= 0
                and c.named
                and noun < 0
                and words.w[lost] in ("lost", "dropped", "shed")
                and any(work.where(o, "tooth", "toothw") >= 0 for o in work.clauses[:k])
                and (c.amounts or work.says(c, _TEETH_COUNTED))
            ):
                i = lost
            elif (
                c.how == "own"
                and prior is not None
                and _tooth_of(work, prior)
                and not c.ask
                and (noun >= 0 or _counts_only(work, c))
            ):
                i = (
                    noun if noun >= 0 else c.lo
                )  # "Moose lost a canine and Nickel two incisors", "Pip lost two, Rosie one"
            elif noun >= 0 and prior is not None and any(e.kind == "tooth" for e, _ in work.found):
                return
            else:
                if not (
                    lost >= 0
                    and c.named
                    and any(e.kind == "tooth" for e, _ in work.found)
                    and work.says(c, _ANOTHER_ONE)
                ):
                    return
                i = lost
    if work.shut(c, i) or c.joke:
        return
    if _still_in(work, c):
        return
    if c.human and not c.named and c.how != "carried" and c.pronoun is None:
        return
    if c.human and (not c.named and work.says(c, {"my", "mine"})):
        return
    if c.other and not c.named:
        return
    # Milk teeth fall from 3 to 7 months (shared/reference/teeth.csv): with such a pup in the house "he lost a tooth"
    # is asked about; without one it is somebody's child.
    teething = any(TEETHING[0] <= d.age_days(work.today) <= TEETHING[1] for d in work.kennel.at_home())
    work.post(c, Tooth(dog="", on=work.day(c)), sure=teething and c.pronoun is not None and not c.human)


def _counts_only(work: Work, c: Clause) -> bool:
    """'Rosie one': a dog and a number."""
    rest = [i for i in range(c.lo, c.hi) if work.words.kind[i] in "wn" and not c.named_at(i)]
    return len(rest) == 1 and (work.words.has(rest[0], "num", "s one") or work.words.kind[rest[0]] == "n")


def _tooth_of(work: Work, c: Clause) -> bool:
    return any(k is c and isinstance(e, Tooth) for e, k in work.found)


def _groomed(work: Work, c: Clause) -> bool:
    return (work.where(c, "gv 4") >= 0 and work.words.w[work.where(c, "gv 4")] not in ("did", "done", "do")) or (
        work.where(c, "groom") >= 0
    )


def _still_in(work: Work, c: Clause) -> bool:
    said = work.words.w[c.lo : c.hi]
    return (
        ("still" in said and "in" in said)
        or ("wobbly" in said and "out" not in said)
        or ("loose" in said and ("lost" not in said and "out" not in said))
    )
