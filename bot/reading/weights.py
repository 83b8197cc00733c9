"""Weights: "Nugget 9.4 kg", "nug 9.3 junie 8.1", "me and him 78.2, me 68.8"."""

from __future__ import annotations

from dataclasses import replace

from bot.reading import dates
from bot.reading.amounts import MASS, Amount
from bot.reading.clauses import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core import plausible
from core.entries import Weight
from core.roster import Dog

_BEFORE_MEAL = words_of("cues", "before_meal")
_BEFORE_NAME = words_of("cues", "before_name")
_BEFORE_OR_AFTER = words_of("cues", "before_or_after")
_BESIDE_MEAL_NAMED = words_of("cues", "beside_meal_named")
_CHEERS = words_of("cues", "cheers")
_CLOCK_LEADS = words_of("cues", "clock_leads")
_FEEDING_TIMES = words_of("cues", "feeding_times")
_GIVING_OR_WEIGHING = words_of("cues", "giving_or_weighing")
_NO_WEIGHT_LEADS = words_of("cues", "no_weight_leads")
_PUT_ON = words_of("cues", "put_on")
_SLIPS_BETWEEN = words_of("cues", "slips_between")
_WEAK_GIVING = words_of("cues", "weak_giving")
_WEAK_WEIGHING = words_of("cues", "weak_weighing")

_FOOD = ("food", "treat", "eaten", "fed", "give", "swallow")
_OTHER_FIGURE = ("temp", "height", "prog", "cond", "mate", "whelp", "dose", "toothw", "season")
_GAIN = words_of("cues", "gains")
_SLIP = words_of("cues", "slips")
_STANDS = words_of("cues", "stands")
_ME = words_of("cues", "me")


def read(work: Work) -> None:
    """Takes the weights out of the message."""
    if not work.figures:
        return
    if _sum(work):
        return
    _each_weight(work)
    if any(isinstance(e, Weight) for e, _ in work.found):
        for entry, clause, choices in work.perhaps:
            work.doubt("value", entry, clause, choices)
    elif not work.topic:
        _lonely(work)


def _each_weight(work: Work) -> None:
    last: tuple[str, int, Clause] | None = None
    for k, c in enumerate(work.clauses):
        if not c.amounts or c.ask or c.wish or c.joke or c.quote or c.near:
            continue
        weighing = _weighing(work, c, k)
        figures = [a for a in c.amounts if _can_be_weight(work, c, a, weighing)]
        if not figures:
            continue
        if not weighing and not any(a.kg is not None for a in figures) and _about_something_else(work, c):
            continue
        dogs = work.dogs(c, "weight")
        if not dogs:
            _nobodys(work, c, figures, weighing)
            continue
        if len(figures) > 1 and len(figures) == len(dogs):
            for dog, a in zip(dogs, figures, strict=True):
                _keep(work, c, dog, a, weighing)
            continue
        if len(dogs) > 1 and c.group == "" and not _each(work, c):
            # one figure for two named dogs belongs to the nearest one before it
            near = [m for m in c.mentions if m.kind == "name" and m.i < figures[0].i]
            if near:
                dogs = [d for d in dogs if d.name in near[-1].names]
            else:
                continue
        a = figures[-1] if _slip_inside(work, figures) else figures[0]
        for dog in dogs:
            slip = last is not None and last[0] == dog.name and c.how == "carried" and _slipped(work, last[2], c)
            kept = _keep(work, c, dog, a, weighing or slip)
            if kept and slip and last is not None:
                first = last[1]
                entry, clause = work.found[first]
                fixed, _ = work.found.pop()
                work.found[first] = (replace(fixed, on=entry.on), clause)
            elif kept:
                last = (dog.name, len(work.found) - 1, c)


def _lonely(work: Work) -> None:
    """A figure alone ("8.8 this morning", "24.6!! growing so fast"): somebody's weight, but whose?"""
    words = work.words
    first = work.clauses[0]
    if work.after_other_talk:
        return
    if any(c.named or c.newborns or c.ask or c.plan_at >= 0 or c.elsewhere or c.human for c in work.clauses):
        return
    figures = [a for c in work.clauses for a in c.amounts]
    if len(figures) != 1 or figures[0].other or figures[0].of or figures[0].sign or work.found or work.doubts:
        return
    a = figures[0]
    if a.unit not in (None, *MASS) or a.ordinal or (a.unit is None and (a.whole or _clocklike(work, a))):
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


def _clocklike(work: Work, a: Amount) -> bool:
    return a.clock is not None and len(work.words.w[a.i].replace(":", ".").partition(".")[2]) == 2


def _weighing(work: Work, c: Clause, k: int) -> bool:
    """True where the words say that this is about weighing."""
    if work.where(c, "weigh") >= 0 or work.topic == "weight":
        return True
    for o in work.clauses[max(0, k - 8) : k]:
        if (
            work.where(o, "weigh") >= 0
            and not o.plan_at >= 0
            and (o.sentence == c.sentence or o.sep == "start" or (c.sentence - o.sentence <= 1))
            and not (o.ask and o.named)
        ):
            return True
    return False


def _can_be_weight(work: Work, c: Clause, a: Amount, weighing: bool) -> bool:
    words = work.words
    if a.other is not None or a.of is not None or a.ordinal or a.i in work.used:
        return False
    if a.unit is not None and a.unit not in MASS:
        return False
    if words.says(max(c.lo, a.i - 3), a.i, {"total", "altogether"}):
        return False
    if a.unit is None and c.topic == "temperature":
        return False
    if (
        a.unit is not None
        and c.topic in ("meal", "treat", "temperature")
        and c.topic != "weight"
        and a.unit in ("g", "oz")
    ):
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
    if before == "was" and _history(work, c):
        return False
    if before in ("from", "than") or two_before in ("from", "than"):
        return False
    if a.unit is None:
        if a.clock and (before in _CLOCK_LEADS or (a.end < len(words) and words.w[a.end] in ("am", "pm"))):
            return weighing and before == "at" and not dates_fit(work, a)
        if before in ("at",) and a.whole and not weighing:
            return False
        if before == "at" and a.whole and a.value <= 12 and len(c.amounts) > 1:
            return False
        if a.whole and a.value in (1, 2, 4) and a.form == "digits" and _texted(work, a):
            return False
        if a.form == "words" and a.value == 1 and a.unit is None:
            return False
    if a.form == "words" and not weighing and a.whole and a.value < 13 and not _after_dog(c, a):
        return False
    else:
        if any(m in words.tags[i] for i in range(c.lo, c.hi) for m in _FOOD) and not _weigh_word(work, c):
            if not _only_giving(work, c):
                return False
        if a.end < len(words) and words.w[a.end] == "of":
            return False
        if _meal_named(work, c) and not _weigh_word(work, c):
            return False
    return True


def dates_fit(work: Work, a: Amount) -> bool:
    """True where the figure reads as a time of day and not as a plausible decimal."""
    return a.clock is not None and a.clock[1] % 5 == 0 and len(work.words.w[a.i].partition(".")[2]) == 2


def _denied(work: Work, c: Clause, a: Amount) -> bool:
    if not 0 <= c.neg_at < a.i:
        return False
    between = work.words.w[c.neg_at + 1 : a.i]
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
    """'was 9.2 last week' beside today's figure."""
    return bool(c.whens) and any(e.kind == "weight" for e, _ in work.found) and c.how in ("carried",)


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
                if m == "treat" and any(mm.i <= i < mm.end for mm in c.mentions):
                    continue
                if m == "treat" and words.tags[i][m][0] == "mass":
                    return False
                return False
    return True


def _meal_named(work: Work, c: Clause) -> bool:
    words = work.words
    for i in range(c.lo, c.hi):
        if "meal" in words.tags[i] and not (
            i > c.lo
            and words.w[i - 1] in _BESIDE_MEAL_NAMED
            and (words.w[i - 1] not in ("her", "his") or (i - 1 > c.lo and words.w[i - 2] in ("before", "after", "b4")))
        ):
            return True
    return False


def _about_something_else(work: Work, c: Clause) -> bool:
    """True where a bare figure more likely belongs to a bowl, a temperature, a score, a shop …"""
    words = work.words
    if c.topic == "temperature":
        return True
    if c.elsewhere or c.other or work.topic not in ("", "weight", "weight?"):
        return True
    if c.how in ("carried", "before", "ahead") and not _slipping(work, c):
        return True
    doubtful = [m for m in c.mentions if m.kind == "name" and not m.surely]
    if doubtful and any(o.elsewhere and o.sentence == c.sentence for o in work.clauses):
        return True
    figure = next((a for a in c.amounts if a.unit is None or a.unit in MASS), None)
    told = _after_dog(c, figure) and not figure.whole if figure is not None else False
    for i in range(c.lo, c.hi):
        tags = words.tags[i]
        if not tags:
            continue
        if told and figure is not None and i > figure.end:
            break  # "Nugget 9.4 ears half up": what comes after has its own words
        if any(m in tags for m in _OTHER_FIGURE):
            return True
        if told and figure is not None and i >= figure.end and ("earw" in tags or "earp" in tags):
            break
        if "earp" in tags and words.w[i] not in ("up", "down") and "unit" not in tags and len(words.w[i]) > 1:
            return True
        if "treat" in tags or "food" in tags or "eaten" in tags:
            if not any(m.i <= i < m.end for m in c.mentions):
                return True
        if "meal" in tags and not (i > c.lo and words.w[i - 1] in _BEFORE_MEAL):
            return True
        if "fed" in tags or ("give" in tags and words.w[i] not in _GIVING_OR_WEIGHING):
            return True
    for o in work.clauses:
        if o is c or abs(o.lo - c.lo) > 60:
            continue
        if o.sentence == c.sentence and o.lo < c.lo and o.topic not in ("", "weight"):
            return True
    return c.topic not in ("", "weight")


def _slipping(work: Work, c: Clause) -> bool:
    """True where a figure may mend the one said just before it."""
    return any(isinstance(e, Weight) and e.dog in c.dogs for e, _ in work.found)


def _after_dog(c: Clause, a: Amount) -> bool:
    return any(m.end == a.i for m in c.mentions)


def _each(work: Work, c: Clause) -> bool:
    return work.where(c, "s each", "s both") >= 0


def _slip_inside(work: Work, figures: list[Amount]) -> bool:
    """'9.4 sorry 9.2' within one clause."""
    if len(figures) < 2:
        return False
    between = work.words.w[figures[-2].end : figures[-1].i]
    return any(w in _SLIP for w in between)


def _slipped(work: Work, first: Clause, c: Clause) -> bool:
    """True where the words between two figures of one dog take the first one back."""
    w = work.words.w
    start = first.amounts[-1].end if first.amounts else first.hi
    stop = c.amounts[0].i
    between = [x for x in w[start:stop] if x not in (",", ".", "-", "…", "...")]
    return bool(between) and any(x in _SLIPS_BETWEEN for x in between) and (len(between) <= 7)


def _bare(work: Work, c: Clause, a: Amount) -> bool:
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
    for i in range(lo, a.i):
        if (
            words.kind[i] == "w"
            and "between" not in words.tags[i]
            and "day" not in words.tags[i]
            and ("weekday" not in words.tags[i] and "weigh" not in words.tags[i] and "pron" not in words.tags[i])
        ):
            if not _inside(c, i):
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


def _inside(c: Clause, i: int) -> bool:
    return (
        any(m.i <= i < m.end for m in c.mentions)
        or any(w.i <= i < w.end for w in c.whens)
        or any(a.i <= i < a.end for a in c.amounts)
    )


def _keep(work: Work, c: Clause, dog: Dog, a: Amount, weighing: bool) -> bool:
    """Posts the weight, asks about it, or leaves it; true where it was posted."""
    on = work.day(c)
    unit = work.kennel.weight_unit
    clock = dates.clock_in(work.words, c.lo, c.hi, [x for x in c.amounts if x is not a])
    if a.kg is not None:
        kg = a.kg
        if not plausible.weight_fits(dog, kg, on):
            if not c.elsewhere and (weighing or _near_dog(work, c, a)):
                work.doubt("value", Weight(dog=dog.name, on=on, kg=kg), c, _choices(dog, a.value, on, unit))
            return False
        if not weighing and not _near_dog(work, c, a):
            return False
        work.put(Weight(dog=dog.name, on=on, kg=round(kg, 4), clock=clock), c)
        return True
    if not weighing and not _bare(work, c, a):
        return False
    if weighing and not _bare(work, c, a) and not _weighs_it(work, c, a):
        return False
    read = plausible.read_weight(dog, a.value, on, unit)
    if read is None:
        slips = plausible.looks_like_slip(dog, a.value, on, unit)
        if slips and not c.elsewhere and not (c.neg_at >= 0) and not c.group and not c.newborns:
            if weighing or (_bare(work, c, a) and _trusted(work, c, a)):
                work.doubt("value", Weight(dog=dog.name, on=on, kg=a.value), c, _choices(dog, a.value, on, unit))
            elif _bare(work, c, a):
                work.perhaps.append((Weight(dog=dog.name, on=on, kg=a.value), c, _choices(dog, a.value, on, unit)))
        elif weighing and not c.elsewhere and _bare(work, c, a) and not a.whole and c.group == "":
            work.doubt("value", Weight(dog=dog.name, on=on, kg=a.value), c)
        return False
    if a.clock and not weighing and dates_fit(work, a) and len(c.amounts) == 1 and _looks_like_time(work, a):
        return False
    work.put(Weight(dog=dog.name, on=on, kg=round(read, 4), clock=clock), c)
    return True


def _looks_like_time(work: Work, a: Amount) -> bool:
    """'Nugget 9.30' could be half past nine; a weight is seldom said with a closing nought."""
    return work.words.w[a.i].endswith("0") and work.words.w[a.i].count(".") == 1


def _trusted(work: Work, c: Clause, a: Amount) -> bool:
    """A bare figure is asked about only where nothing but a weight can be meant."""
    words = work.words
    names = [m for m in c.mentions if m.kind == "name"]
    if any(isinstance(e, Weight) for e, _ in work.found):
        return True
    surely = (bool(names) and all(m.surely for m in names)) or (c.how == "list" and c.sep == "|")
    if not surely and work.topic != "weight":
        # "Sunny 252": nothing but a name and a figure
        return len(words) <= 3 and len(work.clauses) == 1 and (a.value >= 100 or not a.whole)
    rest = [i for i in range(a.end, c.hi) if words.kind[i] == "w" and not words.tags[i]]
    later = [
        o
        for o in work.clauses
        if o.lo > c.hi
        and o.sentence - c.sentence <= 1
        and not o.amounts
        and (any(words.kind[i] == "w" and not words.tags[i] for i in range(o.lo, o.hi)))
    ]
    return (surely or (not rest and not later)) and not rest


def _choices(dog: Dog, value: float, on: object, unit: str) -> tuple[str, ...]:
    from datetime import date

    assert isinstance(on, date)
    kgs = plausible.looks_like_slip(dog, value, on, unit)
    return tuple(f"{kg:.4g}" for kg in kgs[:2])


def _near_dog(work: Work, c: Clause, a: Amount) -> bool:
    """True where a weight with its unit can be this clause's dog's: the dog stands by, nothing else owns it."""
    words = work.words
    if c.human and c.how == "carried" and c.pronoun is None:
        return False
    named = [m for m in c.mentions if m.kind in ("name", "group")]
    if named:
        m = max((x for x in named if x.end <= a.i), key=lambda x: x.end, default=named[0])
        if (
            m.owner
            and m.end < len(words)
            and words.kind[m.end] == "w"
            and not words.has(m.end, "weigh", "between", "s a")
        ):
            return False
        if m.i > a.i:
            between = words.w[a.end : m.i]
            return len(between) <= 3 and "of" not in between
        return a.i - m.end <= 12 and not c.elsewhere
    return not c.elsewhere


def _weighs_it(work: Work, c: Clause, a: Amount) -> bool:
    """True where the word of weighing stands by the figure ("weighed moss, 28.4", "flint 38 on gran's scales")."""
    words = work.words
    i = work.where(c, "weigh")
    if i < 0:
        # the word stood in the clause before, this one holds little but the figure
        others = [
            j
            for j in range(c.lo, c.hi)
            if words.kind[j] == "w" and not words.has(j, "between", "day", "fix cue") and not _inside(c, j)
        ]
        return len(others) <= 2
    return abs(i - a.i) <= 8


def _nobodys(work: Work, c: Clause, figures: list[Amount], weighing: bool) -> None:
    """A weight without a dog."""
    if c.other or (c.elsewhere and not c.unsure):
        return
    a = figures[0]
    human = not (c.unsure or work._unsure_near(c)) and any(
        o.human and abs(o.sentence - c.sentence) <= 1 and not any(o2.named for o2 in work.clauses) for o in work.clauses
    )
    if human:
        return
    unsure = c.unsure or work._unsure_near(c)
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


def _sum(work: Work) -> bool:
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
