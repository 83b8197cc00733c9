"""Seasons: "Penny came in", "day 3 of her season"."""

from __future__ import annotations

from datetime import date, timedelta

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core.entries import Season

_SEASON_BEGINS = words_of("cues", "season_begins")
_SEASON_BLOOD = words_of("cues", "season_blood")
_SEASON_DOUBTFUL = words_of("cues", "season_doubtful")
_SEASON_OF_OTHERS = words_of("cues", "season_of_others")
_SEASON_OVER = words_of("cues", "season_over")
_WEATHER_HEAT = words_of("cues", "weather_heat")


def read(work: Work, c: Clause) -> None:
    """Keeps that a season began."""
    words = work.words
    i = -1
    for j in range(c.lo, c.hi):
        if "season" in words.tags[j] and words.tags[j]["season"][0] == "did":
            i = j
            break
    begun = _began_on(work, c)
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
    if i >= 0 and "the" in words.w[i : i + words.tags[i].get("season", ("", 1))[1]]:
        return  # "on the heat pad" is not "on heat"
    w = words.w[i] if i >= 0 else ""
    if w in _SEASON_DOUBTFUL and _doubtful(work, c, i):
        return
    at = i if i >= 0 else c.lo
    if work.shut(c, at) or c.joke or _sport(work, c):
        return
    if _over(work, c):
        return
    dogs = [d for d in work.dogs(c, "season") if d.sex != "m"]
    on = begun if begun is not None and not (c.whens and _day_after(work, c)) else work.day(c, began=True)
    if not dogs:
        if not c.dogs:
            work.no_dog(c, Season(dog="", on=on), sure=i >= 0 and "heat" not in words.w[c.lo : c.hi] and not c.human)
        return
    for dog in dogs:
        if any(isinstance(e, Season) and e.dog == dog.name for e, _ in work.found):
            continue
        work.put(Season(dog=dog.name, on=on), c)


def _day_after(work: Work, c: Clause) -> bool:
    """'came in on Tuesday, day 3 today': the day of the week says when it began, the number counts from it."""
    following = work.clauses[c.number + 1] if c.number + 1 < len(work.clauses) else None
    return following is not None and work.words.w[following.lo] == "day" and work.where(c, "season") >= 0


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


def _began_on(work: Work, c: Clause) -> date | None:
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
