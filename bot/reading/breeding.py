"""Breeding: seasons, progesterone, matings, whelpings."""

from __future__ import annotations

from datetime import timedelta

from bot.reading import dates
from bot.reading.clauses import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core.entries import Mating, Progesterone, Season, Whelping
from core.roster import Dog

_BIRTH_SHARED = words_of("cues", "birth_shared")
_COUNT_ENDS_AT = words_of("cues", "count_ends_at")
_LITTER_NOUNS = words_of("cues", "litter_nouns")
_MATING_NAMED = words_of("cues", "mating_named")
_MATING_SPOKEN_OF = words_of("cues", "mating_spoken_of")
_MINUTES = words_of("cues", "minutes")
_PUPS_NAMED = words_of("cues", "pups_named")
_PUPS_OF_ONE_SEX = words_of("cues", "pups_of_one_sex")
_SEASON_BEGINS = words_of("cues", "season_begins")
_SEASON_BLOOD = words_of("cues", "season_blood")
_SEASON_DOUBTFUL = words_of("cues", "season_doubtful")
_SEASON_OF_OTHERS = words_of("cues", "season_of_others")
_SEASON_OVER = words_of("cues", "season_over")
_TIE_OF_THINGS = words_of("cues", "tie_of_things")
_TIE_SHARED = words_of("cues", "tie_shared")
_WEATHER_HEAT = words_of("cues", "weather_heat")
_WHELPING_THINGS = words_of("cues", "whelping_things")
_WHELPING_TOLD = words_of("cues", "whelping_told")

_BREEDING = frozenset({"season", "prog", "mate", "whelp"})
_LAST_PUPS = 20  # the largest litters on record hold 24; a count above 20 is a slip (common practice, no source)


def read(work: Work) -> None:
    """Takes seasons, progesterone tests, matings and whelpings out of the message."""
    if not work.figures and _BREEDING.isdisjoint(work.meanings) and not any(c.whens for c in work.clauses):
        return
    for c in work.clauses:
        _progesterone(work, c)
        if not _mating(work, c):
            _season(work, c)
        _whelping(work, c)


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


def _season(work: Work, c: Clause) -> None:
    words = work.words
    i = -1
    for j in range(c.lo, c.hi):
        if "season" in words.tags[j] and words.tags[j]["season"][0] == "did":
            i = j
            break
    begun = _day_of(work, c)
    if i < 0 and begun is None and c.whens and c.named and _came_in(work, c):
        i = c.lo
    elif i < 0 and begun is None:
        k = work.where(c, "season")
        if k >= 0 and work.says(c, _SEASON_BEGINS) and c.dogs and words.w[k] == "season" and not _sport(work, c):
            i = k
        else:
            return
    last = work.where(c, "season")
    if last >= 0 and last + 1 < len(words) and words.kind[last + 1] == "n" and begun is not None:
        return  # "day 3 of season 2"
    w = words.w[i] if i >= 0 else ""
    if w in _SEASON_DOUBTFUL and _doubtful(work, c, i):
        return
    at = i if i >= 0 else c.lo
    if work.shut(c, at) or c.joke or _sport(work, c):
        return
    if _over(work, c):
        return
    dogs = [d for d in work.dogs(c, "season") if d.sex != "m"]
    on = begun if begun is not None else work.day(c, began=True)
    if not dogs:
        if not c.dogs:
            work.no_dog(c, Season(dog="", on=on), sure=i >= 0 and "heat" not in words.w[c.lo : c.hi] and not c.human)
        return
    for dog in dogs:
        if any(isinstance(e, Season) and e.dog == dog.name for e, _ in work.found):
            continue
        work.put(Season(dog=dog.name, on=on), c)


def _came_in(work: Work, c: Clause) -> bool:
    """'Penny came in March 9th': said of a bitch, with a day and nothing else."""
    words = work.words
    for j in range(c.lo, c.hi - 1):
        if words.w[j] in ("came", "come") and words.w[j + 1] == "in":
            after = j + 2
            if any(w.i in (after, after + 1) for w in c.whens):
                return True
    return False


def _doubtful(work: Work, c: Clause, i: int) -> bool:
    """Weather, taps and fruit have seasons too."""
    words = work.words
    w = words.w[i]
    said = words.w[i : i + words.tags[i]["season"][1]]
    if w == "in" and said[-1] == "heat":
        return not c.dogs or words.says(i + 1, min(i + 2, c.hi), _WEATHER_HEAT)
    if w in ("dripping", "flagging", "spotting"):
        sex = {work.kennel.by_name[n].sex for n in c.dogs if n in work.kennel.by_name}
        return sex != {"f"} or not work.says(c, _SEASON_BLOOD)
    return not c.dogs and c.pronoun is None


def _sport(work: Work, c: Clause) -> bool:
    return (c.elsewhere and not c.named) or work.says(c, _SEASON_OF_OTHERS)


def _over(work: Work, c: Clause) -> bool:
    """'out of season', 'season finished', 'last season was …' tell of an end or of old times."""
    said = work.words.w[c.lo : c.hi]
    return (
        any(w in said for w in _SEASON_OVER)
        and not any(work.words.has(j, "whens") for j in range(c.lo, c.hi))
        and not ("last" in said and "night" in said)
        and ("started" not in said and "came" not in said and "first" not in said)
    )


def _day_of(work: Work, c: Clause):  # type: ignore[no-untyped-def]
    """'day 3 of her season': the local day on which it began."""
    words = work.words
    if work.where(c, "season") < 0:
        return None
    for j in range(c.lo, c.hi - 1):
        if words.w[j] == "day":
            a = next((x for x in c.amounts if x.i == j + 1), None)
            if a is not None and a.whole and 1 <= a.value <= 40:
                return work.day(c) - timedelta(days=int(a.value) - 1)
    k = c.number
    for o in work.clauses[k + 1 : k + 2]:
        if o.sentence == c.sentence and words.w[o.lo : o.lo + 1] == ["day"] and o.amounts and o.amounts[0].whole:
            return work.day(c) - timedelta(days=int(o.amounts[0].value) - 1)
    for a in c.amounts:
        if a.ordinal and a.end < len(words) and words.w[a.end] == "day" and work.where(c, "season") > a.i:
            return work.day(c) - timedelta(days=int(a.value) - 1)
    return None


def _mating(work: Work, c: Clause) -> bool:
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
    if work.shut(c, i) or c.joke or c.elsewhere:
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
    clock = dates.clock_in(words, c.lo, c.hi, c.amounts)
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
        return (both and after not in ("in", "with", "all")) or (after in ("by",) and both)
    if w in _TIE_SHARED:
        if after in _TIE_OF_THINGS or words.w[i + n - 1] in ("up",):
            return after == "on" and both
        return both or bool(dogs) or c.pronoun is not None or work.says(c, _MINUTES)
    if w == "bred":
        return both or (after in ("to", "with", "by") and bool(dogs))
    if w == "put" or w == "served" or w == "together":
        return both
    if w == "ai":
        return bool(dogs) and any(d.sex == "f" for d in dogs)
    if w in _MATING_NAMED and before in _MATING_SPOKEN_OF:
        return both and work.done(c)
    return True


def _whelping(work: Work, c: Clause) -> None:
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
    dams = [d for d in work.dogs(c, "whelping") if d.sex == "f" and not d.is_newborn(work.today)]
    on = work.day(c)
    pups = _count(work, c)
    if pups is None and any(a.i == i for a in c.amounts):
        pups = int(next(a.value for a in c.amounts if a.i == i))
    for o in work.clauses[k + 1 : k + 3]:
        if pups is None and c.sentence - o.sentence in (0, -1) and _pups_said(work, o):
            pups = _count(work, o)
    if not dams:
        if not c.dogs and not c.human:
            work.no_dog(c, Whelping(dog="", on=on, pups=pups), sure=False)
        return
    if any(isinstance(e, Whelping) and e.dog == dams[0].name for e, _ in work.found):
        return
    work.put(Whelping(dog=dams[0].name, on=on, pups=pups), c)


_ARRIVED = words_of("cues", "pups_arrived")


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
