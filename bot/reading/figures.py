"""Whether a figure can be a weight, by the words around it."""

from __future__ import annotations

from bot.reading.amounts import MASS, Amount
from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core.entries import Meal, Weight

_BEFORE_MEAL = words_of("cues", "before_meal")
_BEFORE_NAME = words_of("cues", "before_name")
_BEFORE_OR_AFTER = words_of("cues", "before_or_after")
_BESIDE_MEAL_NAMED = words_of("cues", "beside_meal_named")
_CHEERS = words_of("cues", "cheers")
_CLOCK_LEADS = words_of("cues", "clock_leads")
_FEEDING_TIMES = words_of("cues", "feeding_times")
_GIVING_OR_WEIGHING = words_of("cues", "giving_or_weighing")
_AIMS = words_of("cues", "aims")
_MORE_OR_LESS = words_of("cues", "more_or_less")
_NO_WEIGHT_LEADS = words_of("cues", "no_weight_leads")
_PUT_ON = words_of("cues", "put_on")
_WEAK_GIVING = words_of("cues", "weak_giving")
_WEAK_WEIGHING = words_of("cues", "weak_weighing")
_FOOD = frozenset({"food", "treat", "eaten", "fed", "give", "swallow"})
_A_LIST = 3  # so many dogs with a figure each are a list of weights (own choice)
_SAME_LIST = 60  # so many words before, what a sentence was about no longer claims a bare figure (own choice)
_OTHER_FIGURE = ("temp", "height", "prog", "cond", "mate", "whelp", "dose", "toothw", "season")
_GAIN = words_of("cues", "gains")
_SLIPS = words_of("cues", "slips_between")
_STANDS = words_of("cues", "stands")


def can_be_weight(work: Work, c: Clause, a: Amount, weighing: bool) -> bool:
    """True where the words around the figure leave it a weight."""
    words = work.words
    if a.other is not None or a.of is not None or a.ordinal:
        return False
    if a.unit is not None and a.unit not in MASS:
        return False
    if (
        words.says(max(c.lo, a.i - 3), a.i, {"total", "altogether"})
        or any(words.w[i] in _AIMS and words.w[i - 1 : i] != ["i"] for i in range(c.lo, a.i))  # not "i mean"
        or c.topic == "gain"
    ):
        return False
    if a.unit is None and c.topic == "temperature":
        return False
    if a.unit is not None and c.topic in ("meal", "treat", "temperature"):
        if a.unit in ("g", "oz") or any(k is c and isinstance(e, Meal) for e, k in work.found):
            return False
    if a.sign or (a.form == "article" and a.unit is None) or (a.form == "fraction" and a.kg is None):
        return False
    if 0 <= c.plan_at < a.i or _denied(work, c, a):
        return False
    before = words.w[a.i - 1] if a.i > c.lo else ""
    two_before = words.w[a.i - 2] if a.i - 1 > c.lo else ""
    if before in ("nearly", "almost") and any(isinstance(e, Weight) and e.dog in c.dogs for e, _ in work.found):
        return False
    if before in _GAIN or two_before in _GAIN or _moved(work, c, a):
        return False
    if before in _NO_WEIGHT_LEADS and a.unit is None and before != "was":
        return before in ("under", "over") and weighing
    if (before == "was" or (c.sep == "(" and c.whens)) and _history(work, c):
        return False
    if before in ("from", "than") or two_before in ("from", "than"):
        return False
    if a.unit is None:
        if a.clock and (before in _CLOCK_LEADS or (a.end < len(words) and words.w[a.end] in ("am", "pm"))):
            return weighing and before == "at" and not dates_fit(work, a)
        if before == "at" and a.whole and not weighing:
            return False
        if before == "at" and a.whole and a.value <= 12 and len(c.amounts) > 1:
            return False
        if a.whole and a.value in (1, 2, 4) and a.form == "digits" and _texted(work, a):
            return False
        if a.form == "words" and a.value == 1 and a.unit is None:
            return False
    if a.form == "words" and a.kg is None and not weighing and a.whole and a.value < 13 and not is_after_dog(c, a):
        return False
    if not _FOOD.isdisjoint(c.meanings) and not _weigh_word(work, c) and not _only_giving(work, c):
        return False
    if a.end < len(words) and (words.w[a.end] == "of" or (a.kg is not None and words.w[a.end] in _MORE_OR_LESS)):
        return False  # "two pounds of mince", "a kilo too heavy"
    return not _meal_named(work, c) or _weigh_word(work, c)


def dates_fit(work: Work, a: Amount) -> bool:
    """True where the figure reads as a time of day and not as a plausible decimal."""
    return a.clock is not None and a.clock[1] % 5 == 0 and len(work.words.w[a.i].partition(".")[2]) == 2


def _denied(work: Work, c: Clause, a: Amount) -> bool:
    if not 0 <= c.neg_at < a.i:
        return False
    if any(x.end == c.neg_at for x in c.amounts) and work.words.w[c.neg_at] in ("no", "nope", "nah"):
        return False  # "8.3 no wait she moved 8.4" takes back the first
    between = [w for w in work.words.w[c.neg_at + 1 : a.i] if w not in _SLIPS]  # "no wait 20.9"
    # "no, 7.5" is a slip; "not 9.4" and "no 9.4 today" deny
    return not (c.neg_at == c.lo and work.words.w[c.neg_at] in ("no", "nope") and not between)


def _moved(work: Work, c: Clause, a: Amount) -> bool:
    """'up 24 g', 'down 15', 'put on 200 g': a gain alone is no weight; 'up to 9.4' is one."""
    w = work.words.w
    for i in range(max(c.lo, a.i - 3), a.i):
        if w[i] in ("up", "down", "on") and w[i + 1 : i + 2] not in (["to"], ["at"], ["the"]):
            if w[i] == "on":
                return i > c.lo and w[i - 1] in _PUT_ON
            return not any(x in ("to", "at") for x in w[i + 1 : a.i])
    return False


def _history(work: Work, c: Clause) -> bool:
    """'24.1, was 24.8', '24.1 (24.8 three weeks ago)': beside the figure that was told of the dog already."""
    return c.how == "carried" and any(isinstance(e, Weight) and e.dog in c.dogs for e, _ in work.found)


def _texted(work: Work, a: Amount) -> bool:
    """'2' and '4' standing for "to" and "for"."""
    words = work.words
    if words.w[a.i] not in ("2", "4"):
        return False
    after = words.tags[a.end] if a.end < len(words) else {}
    word = words.w[a.end] if a.end < len(words) else ""
    return words.kind[a.end] == "w" if a.end < len(words) and not after and word else "meal" in after


def _weigh_word(work: Work, c: Clause) -> bool:
    i = work.where(c, "weigh")
    return i >= 0 and work.words.w[i] not in _WEAK_WEIGHING


def _only_giving(work: Work, c: Clause) -> bool:
    """True where the only word of giving is a bare "had", "did" or "got" that fits a weighing too."""
    words = work.words
    for i in range(c.lo, c.hi):
        tags = words.tags[i]
        if any(a.i <= i < a.end for a in c.amounts):
            continue
        for m in _FOOD:
            if m in tags and not (m in ("give", "swallow", "fed") and words.w[i] in _WEAK_GIVING):
                if m == "food" and words.w[i] in _FEEDING_TIMES and i > c.lo and words.w[i - 1] in _BEFORE_OR_AFTER:
                    continue
                if m == "treat" and c.mentioned_at(i):
                    continue
                if m == "treat" and words.tags[i][m][0] == "mass":
                    return False
                return False
    return True


def _meal_named(work: Work, c: Clause) -> bool:
    if "meal" not in c.meanings:
        return False
    words = work.words
    for i in range(c.lo, c.hi):
        if "meal" in words.tags[i] and not (
            i > c.lo
            and words.w[i - 1] in _BESIDE_MEAL_NAMED
            and (words.w[i - 1] not in ("her", "his") or (i - 1 > c.lo and words.w[i - 2] in ("before", "after", "b4")))
        ):
            return True
    return False


def is_about_something_else(work: Work, c: Clause) -> bool:
    """True where a bare figure more likely belongs to a bowl, a temperature, a score, a shop …"""
    words = work.words
    if c.topic == "temperature":
        return True
    if c.elsewhere or c.other or work.topic not in ("", "weight", "weight?"):
        return True
    he_is = (
        c.how == "carried" and c.pronoun is not None and any(c.pronoun.end == a.i and not a.whole for a in c.amounts)
    )
    if c.how in ("carried", "before", "ahead") and not _slipping(work, c) and not he_is:
        return True
    doubtful = [m for m in c.mentions if m.kind == "name" and not m.surely]
    alike = [o for o in work.clauses if o.sentence == c.sentence and any(is_after_dog(o, a) for a in o.amounts)]
    if doubtful and len(alike) < _A_LIST and any(o.elsewhere and o.sentence == c.sentence for o in work.clauses):
        return True
    figure = next((a for a in c.amounts if a.unit is None or a.unit in MASS), None)
    told = is_after_dog(c, figure) and not figure.whole if figure is not None else False
    for i in range(c.lo, c.hi):
        tags = words.tags[i]
        if not tags or any(a.i < i < a.end for a in c.amounts):
            continue  # "26 and a half" speaks of no ears
        if told and figure is not None and i > figure.end:
            break  # "Nugget 9.4 ears half up": what comes after has its own words
        if any(m in tags for m in _OTHER_FIGURE):
            return True
        if told and figure is not None and i >= figure.end and ("earw" in tags or "earp" in tags):
            break
        if "earp" in tags and words.w[i] not in ("up", "down") and "unit" not in tags and len(words.w[i]) > 1:
            return True
        if "treat" in tags or "food" in tags or "eaten" in tags:
            if not c.mentioned_at(i):
                return True
        if "meal" in tags and not (i > c.lo and words.w[i - 1] in _BEFORE_MEAL):
            return True
        if "fed" in tags or ("give" in tags and words.w[i] not in _GIVING_OR_WEIGHING):
            return True
    for o in reversed(work.clauses[: c.number]):
        if c.lo - o.lo > _SAME_LIST or o.sentence != c.sentence:
            break
        if o.topic not in ("", "weight"):
            return True
    return c.topic not in ("", "weight")


def _slipping(work: Work, c: Clause) -> bool:
    """True where a figure may mend the one said just before it."""
    return any(isinstance(e, Weight) and e.dog in c.dogs for e, _ in work.found)


def is_after_dog(c: Clause, a: Amount) -> bool:
    """True where the figure stands right behind a dog."""
    return any(m.end == a.i for m in c.mentions)


def stands_alone(work: Work, c: Clause, a: Amount) -> bool:
    """True where dog and figure stand side by side with nothing else that could own the figure."""
    words = work.words
    named = [m for m in c.mentions if m.kind in ("name", "group", "pronoun")]
    lo = c.lo
    before = [m for m in named if m.end <= a.i]
    if before:
        after = words.w[before[-1].end] if before[-1].end < len(words) else ""
        if (
            before[-1].owner
            and after not in _STANDS
            and not any("weigh" in words.tags[i] for i in range(before[-1].end, a.i))
        ):
            return False
        lo = before[-1].end
    elif named and c.how == "own":
        # "9.4 nugget", "8.1 for junie"
        m = named[0]
        return (
            all(words.kind[i] not in "w" or words.w[i] in _BEFORE_NAME for i in range(a.end, m.i))
            and a.i - c.lo <= 1
            and c.hi - m.end <= 2
        )
    slip_end = lo
    for i in range(lo, a.i):
        if "fix cue" in words.tags[i] and any(x.end == i for x in c.amounts):
            slip_end = i + words.tags[i]["fix cue"][1]  # "8.9 sorry 8.8", "8.9 i mean 8.8"
        if (
            words.kind[i] == "w"
            and i >= slip_end
            and "between" not in words.tags[i]
            and "day" not in words.tags[i]
            and ("weekday" not in words.tags[i] and "weigh" not in words.tags[i] and "pron" not in words.tags[i])
        ):
            if not is_inside(c, i):
                return False
    j = a.end
    if j < c.hi and words.kind[j] == "w":
        tags = words.tags[j]
        # what is counted would follow: "nug 3 treats", "red 2 collars"
        if (
            not ({"between", "day", "weekday", "dog", "fix cue", "weigh", "month"} & set(tags))
            and a.whole
            and not (c.how == "own" and a.value >= 100)
        ):
            return words.w[j] in _CHEERS
    return True


def is_inside(c: Clause, i: int) -> bool:
    """True where word i is part of a mention, a day or a quantity."""
    return c.mentioned_at(i) or any(w.i <= i < w.end for w in c.whens) or any(a.i <= i < a.end for a in c.amounts)
