"""Weights: "Nugget 9.4 kg", "nug 9.3 junie 8.1"."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bot.reading import clocks, respectively, sums
from bot.reading.amounts import Amount
from bot.reading.clause import Clause
from bot.reading.figures import can_be_weight, dates_fit, is_about_something_else, is_inside, stands_alone
from bot.reading.lexicon import words_of
from bot.reading.ownerless import lonely, nobodys
from bot.reading.work import Work
from core import plausible
from core.entries import Weight
from core.roster import Dog

_RANGES = words_of("cues", "ranges")
_NOW = words_of("cues", "grown_to")
_SLIPS_BETWEEN = words_of("cues", "slips_between")
_EVERY_ONE = words_of("cues", "every_one")
_SLIP = words_of("cues", "slips")


def read(work: Work) -> None:
    """Takes the weights out of the message."""
    if not work.figures:
        return
    if sums.read(work):
        return
    _each_weight(work, respectively.read(work))
    if any(isinstance(e, Weight) for e, _ in work.found):
        for entry, clause, choices in work.perhaps:
            work.doubt("value", entry, clause, choices)
    elif not work.topic:
        lonely(work)


def _each_weight(work: Work, read: set[int]) -> None:
    """Goes through the clauses, those of the sentences left out that were `read` already."""
    last: tuple[str, int, Clause] | None = None
    for k, c in enumerate(work.clauses):
        if (
            not c.amounts
            or c.sentence in read
            or c.ask
            or c.wish
            or c.joke
            or c.quote
            or c.near
            or (c.other and not c.named)
        ):
            continue
        weighing = _weighing(work, c, k)
        figures = [a for a in c.amounts if can_be_weight(work, c, a, weighing)]
        if not figures or any(a.value == 0 for a in figures):
            continue  # "hose 1 willa 0"
        if not weighing and not any(a.kg is not None for a in figures) and is_about_something_else(work, c):
            continue
        dogs = work.dogs(c, "weight")
        if not dogs:
            nobodys(work, c, figures, weighing)
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
        if len(dogs) > 1 and not _each(work, c) and not _all_weigh(work, c):
            # "the babies weighed in at 650, 590 and 610": whose is which?
            plain = ":" not in work.words.w[figures[0].i]
            if plain and (weighing or any(x.kg is not None for x in figures)):
                work.doubt("dog", Weight(dog="", on=work.day(c), kg=figures[0].kg or figures[0].value), c)
            continue
        a = figures[0]
        grown = _grown_to(work, c, figures)
        if grown is not None:
            a, weighing = grown, True
        elif _slip_inside(work, figures):
            weighing = weighing or stands_alone(work, c, a)
            a = figures[-1]
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


def _weighing(work: Work, c: Clause, k: int) -> bool:
    """True where the words say that this is about weighing."""
    if work.where(c, "weigh") >= 0 or work.topic == "weight" or _after_a_gain(work, c):
        return True
    if c.topic not in ("", "weight"):
        return False
    for o in work.clauses[max(0, k - 8) : k]:
        if (
            work.where(o, "weigh") >= 0
            and not o.plan_at >= 0
            and (o.sentence == c.sentence or o.sep == "start" or (c.sentence - o.sentence <= 1))
            and not (o.ask and o.named)
        ):
            return True
    return False


def _after_a_gain(work: Work, c: Clause) -> bool:
    """'lost 0.7, he's 24.1 now': the gain or loss came first, the figure now after it."""
    if c.how != "carried" or not c.number:
        return False
    before = work.clauses[c.number - 1]
    return before.sentence == c.sentence and bool(before.amounts) and work.where(before, "s up_or_down") >= 0


def _each(work: Work, c: Clause) -> bool:
    return work.where(c, "s each", "s both") >= 0


def _all_weigh(work: Work, c: Clause) -> bool:
    """'both pups weigh 9.4', 'Pip and Rosie are all 9.4': said of every one of them."""
    return work.says(c, _EVERY_ONE)


def _grown_to(work: Work, c: Clause, figures: list[Amount]) -> Amount | None:
    """'was 20.4 now 20.8', 'gone from 20.4 to 20.8': the later of the two."""
    plain = [a for a in c.amounts if a.other is None and a.of is None and not a.sign]
    if c.group or len(plain) != len(c.amounts) or len(plain) != 2 or plain[1] not in figures:
        return None
    between = work.words.w[plain[0].end : plain[1].i]
    if plain[0].i and work.words.w[plain[0].i - 1] == "from" and work.words.says(c.lo, plain[0].i, _RANGES):
        return None  # "they run from 290 to 365 g"
    return plain[1] if 1 <= len(between) <= 3 and not _NOW.isdisjoint(between) else None


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


def _keep(work: Work, c: Clause, dog: Dog, a: Amount, weighing: bool) -> bool:
    """Posts the weight, asks about it, or leaves it; true where it was posted."""
    on = work.day(c)
    unit = work.kennel.weight_unit
    clock = clocks.clock_in(work.words, c.lo, c.hi, [x for x in c.amounts if x is not a])
    if a.kg is not None:
        kg = a.kg
        if not plausible.weight_fits(dog, kg, on):
            if not c.elsewhere and c.group == "" and (weighing or _near_dog(work, c, a)):
                work.doubt("value", Weight(dog=dog.name, on=on, kg=kg), c, _choices(dog, a.value, on, unit))
            return False
        if not weighing and not _near_dog(work, c, a):
            return False
        work.put(Weight(dog=dog.name, on=on, kg=round(kg, 4), clock=clock), c)
        return True
    if not weighing and not stands_alone(work, c, a):
        return False
    from_to = len(c.amounts) > 1 and work.words.w[a.i - 1] in _NOW
    if weighing and not from_to and not stands_alone(work, c, a) and not _weighs_it(work, c, a):
        return False
    read = plausible.read_weight(dog, a.value, on, unit)
    if read is None:
        slips = plausible.looks_like_slip(dog, a.value, on, unit)
        if slips and not c.elsewhere and not (c.neg_at >= 0) and not c.group and not c.newborns:
            if weighing or (stands_alone(work, c, a) and _trusted(work, c, a)):
                work.doubt("value", Weight(dog=dog.name, on=on, kg=a.value), c, _choices(dog, a.value, on, unit))
            elif stands_alone(work, c, a):
                work.perhaps.append((Weight(dog=dog.name, on=on, kg=a.value), c, _choices(dog, a.value, on, unit)))
        elif _nothing_else(work, c) or (
            weighing and not c.elsewhere and stands_alone(work, c, a) and not a.whole and c.group == ""
        ):
            work.doubt("value", Weight(dog=dog.name, on=on, kg=a.value), c)
        elif c.how == "own" and c.group == "" and not c.elsewhere and c.neg_at < 0 and stands_alone(work, c, a):
            # "red 900 blue 920" where only one can be right: a mark would say that all is kept
            work.perhaps.append((Weight(dog=dog.name, on=on, kg=a.value), c, ()))
        return False
    if a.clock and not weighing and dates_fit(work, a) and len(c.amounts) == 1 and _looks_like_time(work, a):
        return False
    work.put(Weight(dog=dog.name, on=on, kg=round(read, 4), clock=clock), c)
    return True


def _nothing_else(work: Work, c: Clause) -> bool:
    """'Dusty 94': nothing but one dog's name and a figure of at least two digits."""
    named = [m for m in c.mentions if m.kind == "name"]
    digits = sum(ch.isdigit() for ch in work.words.w[c.amounts[0].i])
    beside = sum(1 for i in range(c.lo, c.hi) if work.words.has(i, "between", "day") and not c.mentioned_at(i))
    return len(work.clauses) == 1 and len(named) == 1 and c.hi - c.lo - beside == named[0].n + 1 and digits >= 2


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
        said = [i for i in range(len(words)) if words.kind[i] in "wnf" and not words.has(i, "between", "day")]
        return len(said) <= 2 and len(work.clauses) == 1
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


def _choices(dog: Dog, value: float, on: date, unit: str) -> tuple[str, ...]:
    """At most two weights that a slip of the point or of the unit would make of the figure, in kilograms."""
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
            and m.end != a.i
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
            if words.kind[j] == "w" and not words.has(j, "between", "day", "fix cue") and not is_inside(c, j)
        ]
        return len(others) <= 2
    return abs(i - a.i) <= 8
