"""Treats: "gave Moss a cube of cheese", "two biscuits each"."""

from __future__ import annotations

from bot.reading import clocks
from bot.reading.amounts import CUPS, MASS, Amount
from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.meals import eaten_word
from bot.reading.work import Work
from core.entries import Treat

_BEFORE_TIME = words_of("cues", "before_time")
_STUCK = words_of("cues", "stuck")
_GOT_SO_MANY = words_of("cues", "got_so_many")
_DOSE_JOINS = words_of("cues", "dose_joins")
_PIECES = words_of("cues", "pieces")
_STOLEN_TREATS = words_of("cues", "stolen_treats")
_TREAT_COUNTED = words_of("cues", "treat_counted")
_TREAT_TO = words_of("cues", "treat_to")
_UNCOUNTED = words_of("cues", "uncounted")


def read_treat(work: Work, c: Clause, meal: str | None, meal_before: str | None = None) -> bool:
    """Posts a treat; true where the clause was about one."""
    words = work.words
    i = treat_word(work, c)
    if i < 0:
        return _as_before(work, c)
    if _in_dose(work, c, i):
        return False
    which, n = words.tags[i]["treat"]
    measure = next((a for a in c.amounts if a.unit in CUPS or a.unit in ("g", "oz")), None)
    named_treat = work.says(c, {"treat", "treats"})
    if meal is not None and not named_treat and (which != "one" or work.where(c, "food") >= 0 or measure):
        return False
    if meal is None and meal_before == "bedtime" and which != "mass" and not named_treat and c.amounts:
        return False  # "bedtime snacks: bear 2 biscuits": what the bowl held
    if meal == "bedtime" and words.tags[i]["treat"][0] and not named_treat:
        return False  # "his bedtime biscuit" is the bowl before the night
    if which == "mass" and not named_treat and meal is None and work.where(c, "fed") >= 0 and measure is None:
        return False
    left = eaten_word(work, c) if work.where(c, "give") < 0 else -1
    if left >= 0 and words.tags[left]["eaten"][0] == "none" and not named_treat and not c.amounts:
        # "didn't touch his snack": nothing was eaten; of a snack it is said of the bowl before the night
        return words.w[i] != "snack"
    if work.shut(c, i) or c.joke or c.quote:
        return True
    if _swallowed(work, c) or work.says(c, _STUCK):
        return False
    given = (
        work.where(c, "give", "fed", "eaten", "swallow") >= 0
        or (bool(c.dogs) and any(a.i == c.lo or words.w[a.i - 1] not in _BEFORE_TIME for a in c.amounts))
        or (bool(c.named) and _plain_list(work, c, i))
        or _meant_for(work, c, i)
        or work.topic == "treat"
        or _earlier_giving(work, c)
    )
    if not given or (c.elsewhere and not named_treat and work.where(c, "give", "fed", "eaten") < 0):
        return False
    amount, unit = pieces(work, c, i, which, n)
    if measure is None and which == "one" and not c.amounts:
        measure = _weighed_out(work, c)
    if measure is not None:
        amount, unit = food_amount(measure)
    if work.where(c, "s total") >= 0 and work.where(c, "s each") < 0 and len(c.dogs) > 1:
        amount = unit = None
    on = work.day(c)
    clock = clocks.clock_in(words, c.lo, c.hi, c.amounts)
    c.topic = "treat"
    dogs = work.whom(c, "treat")
    if not dogs:
        if c.human and c.pronoun is None and not c.unsure:
            return True
        work.no_dog(c, Treat(dog="", on=on, amount=amount, unit=unit), sure=words.w[i] not in ("biscuit", "biscuits"))
        return True
    for name in dogs:
        work.put(Treat(dog=name, on=on, amount=amount, unit=unit, clock=clock), c)
    return True


def _as_before(work: Work, c: Clause) -> bool:
    """'Rosie got 3 training treats and Tank got 5': so many of the same."""
    if c.topic == "treat" and c.how == "own" and _counts_only(work, c):
        a = c.amounts[0]
        for name in c.dogs if a.value > 0 else ():
            work.put(Treat(dog=name, on=work.day(c), amount=a.value, unit="piece"), c)
        return True  # "training treats: 2 for Waffle, 4 for Pickle"
    before = work.clauses[c.number - 1] if c.number else None
    if before is None or before.topic != "treat" or before.sentence != c.sentence or c.how != "own":
        return False
    last = next((e for e, k in reversed(work.found) if k is before and isinstance(e, Treat)), None)
    if last is None or last.unit != "piece" or len(c.amounts) != 1 or work.shut(c, c.amounts[0].i):
        return False
    a = c.amounts[0]
    if not _counts_only(work, c):
        return False
    c.topic = "treat"
    # "gave the pups a chew each, two for Tank": his are two, not three
    work.found = [(e, k) for e, k in work.found if not (k is before and isinstance(e, Treat) and e.dog in c.dogs)]
    for name in c.dogs:
        work.put(Treat(dog=name, on=work.day(c), amount=a.value, unit="piece"), c)
    return True


def _counts_only(work: Work, c: Clause) -> bool:
    """'Tank got 5', '2 for Waffle': a dog and how many."""
    if len(c.amounts) != 1 or c.ask or c.plan_at >= 0:
        return False
    a = c.amounts[0]
    fillers = all(
        c.mentioned_at(i) or a.i <= i < a.end or work.words.w[i] in _GOT_SO_MANY
        for i in range(c.lo, c.hi)
        if work.words.kind[i] == "w"
    )
    return a.unit is None and a.other is None and a.whole and fillers


def _weighed_out(work: Work, c: Clause) -> Amount | None:
    """'Hope's treat: 2 tbsp of peanut butter': the measure after the colon."""
    k = c.number
    for o in work.clauses[k + 1 : k + 3]:
        if o.sep == ":" and not o.named:
            return next((a for a in o.amounts if a.unit in CUPS or a.unit in ("g", "oz")), None)
    return None


def _in_dose(work: Work, c: Clause, i: int) -> bool:
    """'flea and tick chew' is no treat."""
    return any(
        j <= i < j + work.words.tags[j]["dose"][1] or (j < i and all(w in _DOSE_JOINS for w in work.words.w[j + 1 : i]))
        for j in range(max(c.lo, i - 5), i + 1)
        if "dose" in work.words.tags[j]
    )


def _meant_for(work: Work, c: Clause, i: int) -> bool:
    """'some training treats for Ash': told as given, unless it is wished, planned or bought."""
    return any(m.kind == "name" and m.i > i and work.words.w[m.i - 1] == "for" for m in c.mentions) and c.plan_at < 0


def _earlier_giving(work: Work, c: Clause) -> bool:
    k = c.number
    return k > 0 and work.clauses[k - 1].sentence == c.sentence and work.clauses[k - 1].topic == "treat"


def _plain_list(work: Work, c: Clause, i: int) -> bool:
    extra = [j for j in range(c.lo, c.hi) if work.words.kind[j] == "w" and not work.words.tags[j]]
    return not extra and i > c.mentions[0].i


def treat_word(work: Work, c: Clause) -> int:
    """Where the longest word for a treat starts in the clause, -1 for none."""
    if "treat" not in c.meanings:
        return -1
    words = work.words
    best = -1
    for i in range(c.lo, c.hi):
        if "treat" in words.tags[i] and not c.mentioned_at(i):
            if words.w[i] == "bits" and words.w[i - 1 : i] == ["in"]:
                continue  # "I had it in bits on the floor"
            if i > c.lo and words.w[i - 1] in ("my", "your", "our", "on") and "give" not in c.meanings:
                continue  # "my toast crusts", "lived to seventeen on toast"
            if (words.w[i] in ("treat", "treats") and i > c.lo and words.w[i - 1] in ("what", "such")) or (
                words.w[i] == "treat"
                and i > c.lo
                and words.w[i - 1] == "a"
                and i > c.lo + 1
                and words.w[i - 2] == "what"
            ):
                continue
            if (
                words.w[i] == "treat"
                and (i + 1 < c.hi and words.w[i + 1] in _TREAT_TO)
                and (i == c.lo or words.w[i - 1] not in _TREAT_COUNTED)
            ):
                continue
            if best < 0 or words.tags[i]["treat"][1] > words.tags[best]["treat"][1]:
                best = i
    return best


def pieces(work: Work, c: Clause, i: int, which: str, n: int) -> tuple[float | None, str | None]:
    """How many pieces: the number before the treat, "a" is one, "some" says nothing."""
    words = work.words
    near = [
        a
        for a in c.amounts
        if a.unit is None and a.other in (None, "things") and a.end <= i and i - a.end <= 3 and not a.ordinal
    ]
    if near:
        return near[-1].value, "piece"
    after = [a for a in c.amounts if a.unit is None and a.other is None and a.i >= i + n and not a.clock and a.whole]
    lead = [words.w[j] for j in range(max(c.lo, i - 4), i)]
    if any(w in _UNCOUNTED for w in lead) and (which != "one"):
        if "couple" in lead:
            return 2.0, "piece"
        return None, None
    if which == "one":
        return (0.5 if words.has(i, "s half") else 1.0), "piece"  # "half a biscuit" is one phrase
    if after and which == "many" and after[0].i - (i + n) <= 2:
        return after[0].value, "piece"
    if which == "mass" and any(w in _PIECES for w in lead):
        return 1.0, "piece"
    return None, None


def _swallowed(work: Work, c: Clause) -> bool:
    """Stolen and dangerous things are signs, not treats."""
    i = work.where(c, "swallow")
    if i < 0:
        return False
    return work.words.w[i] in _STOLEN_TREATS


def food_amount(a: Amount) -> tuple[float | None, str | None]:
    """The amount and unit of a bowl as the reading format keeps them: cups, grams or cans."""
    if a.unit in CUPS:
        return round(a.value * CUPS[a.unit], 5), "cup"
    if a.unit == "can":
        return a.value, "can"
    if a.kg is not None and a.unit in MASS and a.unit != "stone":
        return round(a.kg * 1000, 2), "g"
    return None, None
