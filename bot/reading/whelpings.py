"""Whelpings: "Maple had seven", "first pup here"."""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core.entries import Whelping
from core.roster import Dog

_BIRTH_SHARED = words_of("cues", "birth_shared")
_COUNT_ENDS_AT = words_of("cues", "count_ends_at")
_LITTER_NOUNS = words_of("cues", "litter_nouns")
_PUPS_NAMED = words_of("cues", "pups_named")
_PUPS_OF_ONE_SEX = words_of("cues", "pups_of_one_sex")
_WHELPING_THINGS = words_of("cues", "whelping_things")
_WHELPING_TOLD = words_of("cues", "whelping_told")
_ARRIVED = words_of("cues", "pups_arrived")
YOUNGEST_DAM_DAYS = 240  # first seasons come from six months on and a litter two later (common practice, no source)
_LAST_PUPS = 20  # the largest litters on record hold 24; a count above 20 is a slip (common practice, no source)


def read(work: Work, c: Clause) -> None:
    """Keeps a whelping, with its pups where they were counted."""
    words = work.words
    i = -1
    for j in range(c.lo, c.hi):
        if "whelp" in words.tags[j]:
            which, n = words.tags[j]["whelp"]
            w = words.w[j]
            if w in _BIRTH_SHARED and which == "did" and not _pups_said(work, c) and w != "gave":
                continue
            if w == "gave" and n == 2 and not _pups_said(work, c) and words.w[j + 1] == "us":
                continue
            if which == "do":
                if (
                    (
                        not (c.amounts and _pups_said(work, c))
                        and not (work.says(c, _WHELPING_TOLD) and c.dogs and c.whens)
                    )
                    or words.has(j + 1, "pupw")
                    or (j + 1 < len(words) and words.w[j + 1] in _WHELPING_THINGS)
                ):
                    if not (_record(work, c) and c.dogs):
                        continue
            i = j
            break
    if i < 0:
        here = _litter_here(work, c) if c.how in ("carried", "list") and len(c.dogs) == 1 else -1
        i = max(_had_so_many(work, c), here)
    if i < 0:
        return
    if work.shut(c, i) or c.joke or (c.other and not c.named):
        return
    k = c.number
    dams = _dams(work, c)
    on = work.day(c)
    pups = _count(work, c)
    if pups is None and any(a.i == i for a in c.amounts):
        pups = int(next(a.value for a in c.amounts if a.i == i))
    if _of_one_sex(work, c) or pups is None:
        told = [c, *work.clauses[k + 1 : k + 4]]
        by_sex = sum(_of_one_sex(work, o) for o in told if o.sentence == c.sentence)
        pups = next((n for o in told if (n := _all_told(work, o))), None) or by_sex or pups  # "4 boys and 3 girls"
    for o in work.clauses[k + 1 : k + 3]:
        alone = o.hi - o.lo == 1 and bool(o.amounts)  # "Ruby whelped overnight. 7. All sucking."
        alone = alone or (o.named == (dams[0].name,) if dams and c.group else False)
        if pups is None and c.sentence - o.sentence in (0, -1) and (alone or _pups_said(work, o)):
            pups = _count(work, o)
    for o in work.clauses[k + 1 : k + 2]:
        if c.group and dams and o.named == (dams[0].name,) and pups is not None:
            for a in o.amounts:
                a.other = a.other or "things"  # "the pups are here! Nala had 5": no kilograms
    if not dams:
        if not c.dogs and not c.human:
            work.no_dog(c, Whelping(dog="", on=on, pups=pups), sure=False)
        return
    if any(isinstance(e, Whelping) and e.dog == dams[0].name for e, _ in work.found):
        return
    for a in c.amounts:
        a.other = a.other or "things"
    work.put(Whelping(dog=dams[0].name, on=on, pups=pups), c)


def _dams(work: Work, c: Clause) -> list[Dog]:
    """The grown bitch that is named, or whose litter it is; a group of pups has whelped nothing."""
    words = work.words
    names = tuple(n for m in c.mentions if m.kind == "name" for n in m.names) or work.whom(c, "whelping")
    if c.group and not any(m.kind == "name" for m in c.mentions):
        owners = [words.tags[m.i].get("dog") or words.tags[m.i].get("dogs") for m in c.mentions if m.kind == "group"]
        names = tuple(str(o[0]) for o in owners if o)
        following = work.clauses[c.number + 1 : c.number + 2]
        if not names and following and following[0].amounts and work.says(following[0], {"had"}):
            names = following[0].named  # "the pups are here! Nala had 5"
    dogs = [d for n in names if (d := work.kennel.dog(n)) is not None]
    return [d for d in dogs if d.sex == "f" and d.age_days(work.today) >= YOUNGEST_DAM_DAYS]


def _all_told(work: Work, c: Clause) -> int:
    """The figure right before "pups", 0 for none."""
    return next((int(a.value) for a in c.amounts if a.whole and a.unit is None and work.words.has(a.end, "pupw")), 0)


def _of_one_sex(work: Work, c: Clause) -> int:
    """How many boys and girls the clause counts, 0 for none."""
    words = work.words
    counted = 0
    for i in range(max(1, c.lo), c.hi):
        if words.w[i] in _PUPS_OF_ONE_SEX:
            said = words.w[i - 1]
            if said.isdigit():
                counted += int(said) if int(said) <= _LAST_PUPS else 0
            elif said in ("a", "an", "one"):
                counted += 1
            elif words.has(i - 1, "num"):
                counted += int(words.tags[i - 1]["num"][0])
    return counted


def _litter_here(work: Work, c: Clause) -> int:
    """'Maple's done. Seven pups, everybody breathing.'"""
    words = work.words
    if (
        not c.dogs
        or c.ask
        or not any(words.has(i, "pupw") or words.w[i] in ("newborns", "litter", "babies") for i in range(c.lo, c.hi))
    ):
        return -1
    said = {w for o in work.clauses if abs(o.sentence - c.sentence) <= 1 for w in words.w[o.lo : o.hi]}
    if not said & _ARRIVED or said & {"weighed", "wormed", "fed"}:
        return -1
    return next((a.i for a in c.amounts if a.whole and a.unit is None and 2 <= a.value <= _LAST_PUPS), -1)


def _had_so_many(work: Work, c: Clause) -> int:
    """'Tilly had her three on the sixteenth of March': a dam, a number, a day, and no bowl."""
    words = work.words
    split = c.hi < len(words) and any(a.end == c.hi for a in c.amounts)  # "Nala had 5 | girls"
    last = words.w[c.hi if split else c.hi - 1]
    if last in _PUPS_OF_ONE_SEX and c.dogs and not c.ask and "had" in words.w[c.lo : c.hi]:
        return words.w.index("had", c.lo)  # "Nala had 5 girls and two boys"
    if work.where(c, "pupw") >= 0 and c.dogs and not c.ask and "had" in words.w[c.lo : c.hi]:
        # "Sorrel had 5 pups", "she had five puppies"
        for a in c.amounts:
            if (
                a.whole
                and a.unit is None
                and 1 <= a.value <= _LAST_PUPS
                and a.i > c.lo
                and words.w[a.i - 1] in ("had", "her")
            ):
                return a.i
    if not c.whens or not c.dogs or work.where(c, "food", "treat", "meal", "unit", "ounit") >= 0:
        return -1
    if not any(d.litter == c.dogs[0] for d in work.kennel.dogs):
        return -1
    for a in c.amounts:
        if a.whole and a.unit is None and a.other is None and 1 <= a.value <= _LAST_PUPS and not a.ordinal:
            before = words.w[max(c.lo, a.i - 2) : a.i]
            if "had" in before and a.end < len(words) and words.w[a.end] in ("on", "in", "last"):
                return a.i
    return -1


def _record(work: Work, c: Clause) -> bool:
    return any(
        work.words.w[j] in ("record", "book")
        for o in work.clauses
        if o.sentence == c.sentence
        for j in range(o.lo, o.hi)
    )


def _pups_said(work: Work, c: Clause) -> bool:
    return work.where(c, "pupw", "group") >= 0 or work.says(c, _PUPS_NAMED)


def _count(work: Work, c: Clause) -> int | None:
    """How many pups: the number by the word for them; boys and girls are added up."""
    words = work.words
    total = 0
    for a in c.amounts:
        if not a.whole or a.unit is not None or a.other not in (None, "things") or not 1 <= a.value <= _LAST_PUPS:
            continue
        j = a.end
        while j < c.hi and words.kind[j] == "w" and j - a.end < 3 and not words.has(j, "pupw", "group"):
            if words.w[j] in _COUNT_ENDS_AT:
                break
            j += 1
        if (j < c.hi and words.has(j, "pupw")) or (j < c.hi and words.w[j] in _LITTER_NOUNS):
            return int(a.value)
        if j < c.hi and words.w[j] in _PUPS_OF_ONE_SEX:
            total += int(a.value)
    if total:
        return total
    w = work.where(c, "whelp")
    if w >= 0:
        direct = [
            a for a in c.amounts if a.i == w + words.tags[w]["whelp"][1] and a.whole and 1 <= a.value <= _LAST_PUPS
        ]
        if direct and direct[0].other is None:
            return int(direct[0].value)
    alone = [
        a
        for a in c.amounts
        if a.whole and a.unit is None and a.other is None and 1 <= a.value <= _LAST_PUPS and not a.clock
    ]
    if len(alone) == 1 and not c.whens:
        return int(alone[0].value)
    # "five pups" as a group mention
    for m in c.mentions:
        if m.kind == "group" and m.count:
            return m.count
    return None
