"""Bowls: "fed flint", "nug 150g", "licked the bowl clean"; treats are read by the way."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bot.reading import dates
from bot.reading.amounts import CUPS, Amount
from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.meals import (
    eaten_word,
    fed_word,
    food_word,
    harmful,
    is_eating,
    is_fed_alone,
    is_served,
    meal_around,
    meal_name,
)
from bot.reading.treats import food_amount, pieces, read_treat, treat_word
from bot.reading.work import Work
from core.entries import Meal, Sign

_ATE = words_of("cues", "ate")
_LEFT_OF_BOWL = words_of("cues", "left_of_bowl")
_NOT_EATEN = words_of("cues", "not_eaten")
_FEEDING = frozenset({"meal", "eaten", "fed", "food", "give", "treat"})  # meanings without which nothing was fed


@dataclass(slots=True)
class Bowl:
    """One bowl (or several like it) with the clause that told of it."""

    clause: Clause
    dogs: tuple[str, ...]
    entry: Meal


def read(work: Work) -> None:
    """Takes the meals and the treats out of the message."""
    if not work.figures and _FEEDING.isdisjoint(work.meanings):
        return
    bowls: list[Bowl] = []
    meal_said: str | None = None
    header = _header(work)
    unit_said = _header_unit(work) if header else None
    for k, c in enumerate(work.clauses):
        meal = meal_name(work, c)
        if c.sep in ("line",) and not header:
            meal_said = None
        if meal is not None:
            if not c.ask:
                meal_said = meal
        if c.ask:
            continue
        near = bowls and bowls[-1].clause.sentence == c.sentence
        if read_treat(work, c, meal, meal_said if (near or header) else None):
            continue
        prior = work.clauses[k - 1] if k else None
        over = (
            prior is not None
            and meal_name(work, prior) is not None
            and (prior.sentence == c.sentence or (prior.hi - prior.lo <= 2 and c.sentence - prior.sentence == 1))
        )
        following = meal_said if (bowls or header or over) else None
        bowl = _bowl(work, c, k, meal, following, header, unit_said, bowls)
        if bowl is None:
            continue
        if bowl.entry.unit:
            unit_said = bowl.entry.unit
        _merge(work, bowls, bowl)
    for b in bowls:
        for name in b.dogs:
            work.put(replace(b.entry, dog=name, said=work.said(b.clause).strip()), b.clause)


def _header_unit(work: Work) -> str | None:
    """'Dinner, cups' over a table: the unit of its bare figures."""
    for c in work.clauses:
        if c.named:
            return None
        i = work.where(c, "unit")
        if i >= 0 and not c.amounts and work.words.tags[i]["unit"][0] in ("cup", "g", "can"):
            return str(work.words.tags[i]["unit"][0])
    return None


def _header(work: Work) -> bool:
    """'dinner: nug 150g biscuit 150g': a meal's name over a list."""
    first = work.clauses[0]
    return (
        not first.named
        and work.where(first, "meal") >= 0
        and len(work.clauses) > 1
        and work.clauses[1].sep in (":", "line", "-", "–", "—", ",", "=")
    )


def _bowl(
    work: Work,
    c: Clause,
    k: int,
    meal: str | None,
    meal_before: str | None,
    header: bool,
    unit_said: str | None,
    bowls: list[Bowl],
) -> Bowl | None:
    words = work.words
    eaten_at = eaten_word(work, c)
    eaten = words.tags[eaten_at]["eaten"][0] if eaten_at >= 0 else None
    fed_at = fed_word(work, c)
    food = food_word(work, c)
    give = work.where(c, "give")
    amounts = [
        a
        for a in c.amounts
        if (a.unit in CUPS or a.unit == "can" or (a.kg is not None and a.unit != "stone"))
        and a.other is None
        and not a.sign
    ]
    topic = meal is not None or (header and meal_before is not None) or work.topic == "meal"
    if eaten is not None and not is_eating(work, c, eaten_at, topic, bool(meal_before), food):
        eaten = None
    sure = (
        fed_at >= 0
        and words.tags[fed_at]["fed"][0] == "did"
        and (
            is_fed_alone(words.w[fed_at], words.tags[fed_at]["fed"][1])
            or meal is not None
            or food >= 0
            or bool(amounts)
        )
    )
    served = give >= 0 and (meal is not None or (food >= 0 and (bool(amounts) or is_served(words.w, food))))
    amounted = (
        bool(amounts)
        and (topic or food >= 0 or (meal_before is not None and c.how == "carried" and _short(work, c)))
        and not _is_weighing(work, c, amounts, meal)
    )
    if (
        amounts
        and amounts[0].unit in ("cup", "tbsp", "tsp", "can")
        and (c.how in ("own", "list") or work.topic == "meal")
        and (not c.elsewhere or give >= 0 or fed_at >= 0)
    ):
        amounted = True
    done = meal is not None and work.done(c) and (bool(c.dogs)) and (c.hi - c.lo) <= 8
    bare = None
    if (
        not amounted
        and amounts
        and amounts[0].unit in ("g", "oz")
        and c.how in ("own", "list")
        and _a_bowlful(work, c, amounts[0])
    ):
        amounted = True
    last = bowls[-1] if bowls and bowls[-1].clause.sentence == c.sentence else None
    if amounts and last is not None and c.how == "carried" and last.entry.amount is None and _short(work, c):
        amounted = True
    if meal_before == "bedtime" and not amounts and meal is None and treat_word(work, c) >= 0 and c.amounts:
        amounted = True
    if not amounts and last is not None and last.entry.unit and c.how == "own" and _short(work, c):
        bare = next(
            (a for a in c.amounts if a.unit is None and a.other is None and not a.clock and _part_or_whole(a)), None
        )
        amounted = amounted or bare is not None
    if not amounts and bare is None and header and c.how in ("own", "list") and unit_said:
        bare = next((a for a in c.amounts if a.unit is None and a.other is None and a.of is None), None)
        amounted = amounted or bare is not None
    if not (eaten or sure or served or amounted or done):
        return None
    if (
        eaten is not None
        and meal is None
        and food < 0
        and any(isinstance(e, Sign) and e.sign == "swallowed" and (k is c or c.how != "own") for e, k in work.found)
    ):
        return None  # "MANGO GOT THE EASTER EGGS … its all gone"
    if harmful(work, c) and meal is None and eaten in (None, "none"):
        return None
    at = min(
        i
        for i in (
            eaten_at if eaten else -1,
            fed_at if sure else -1,
            give if served else -1,
            amounts[0].i if amounts else (c.amounts[0].i if amounted and c.amounts else -1),
            work.where(c, "meal") if done else -1,
            c.hi,
        )
        if i >= 0
    )
    if c.joke or c.quote or c.wish or c.near or c.ask:
        return None
    if eaten is None and work.shut(c, at, naming=done):
        if not (eaten is None and _neg_none(work, c, at, meal)):
            return None
        eaten = "none"
    elif eaten is not None and 0 <= c.plan_at < at:
        return None
    elif eaten == "none" and 0 <= c.neg_at < eaten_at:
        return None  # "not off her food"
    if eaten is not None and eaten != "none" and 0 <= c.neg_at < eaten_at:
        eaten = "some"
    if c.elsewhere and not c.named and c.how != "carried" and not meal:
        return None
    amount: float | None = None
    unit: str | None = None
    if amounts:
        amount, unit = food_amount(amounts[0])
        if eaten in ("some",) and _left(words.w, amounts[0].i) and not sure and not served:
            amount = unit = None
    elif bare is not None and unit_said:
        amount, unit = (bare.value if bare.of is None else bare.value / bare.of), unit_said
    elif meal is not None or meal_before == "bedtime":
        amount, unit = _counted(work, c)
    dogs = work.whom(c, "meal")
    if work.where(c, "s total") >= 0 and work.where(c, "s each") < 0 and len(dogs) > 1:
        amount = unit = None
    name = meal or meal_before or work.asked_meal
    if name is None:
        name = meal_around(work, c, listed=eaten is None)
    on = work.day(c)
    entry = Meal(
        dog="",
        on=on,
        meal=name,
        amount=amount,
        unit=unit,
        eaten=eaten,
        clock=dates.clock_in(words, c.lo, c.hi, c.amounts),
    )
    if not dogs:
        if c.human and c.pronoun is None and not c.unsure and work.topic != "meal":
            return None
        kept = sure and words.w[fed_at].startswith("fed") and c.pronoun is not None
        if c.pronoun is None and not c.unsure:
            return None
        work.no_dog(c, entry, sure=kept or (food >= 0 and not c.human))
        return None
    c.topic = "meal"
    dogs = tuple(n for n in dogs if not _left_out(work, c, n))
    return Bowl(c, dogs, entry) if dogs else None


def _counted(work: Work, c: Clause) -> tuple[float | None, str | None]:
    """'two biscuits for his bedtime snack': so many pieces in the bowl."""
    i = treat_word(work, c)
    if i < 0 or work.words.w[i] in ("snack", "snacks"):
        return None, None
    which, n = work.words.tags[i]["treat"]
    return pieces(work, c, i, which, n) if which in ("one", "many") else (None, None)


def _a_bowlful(work: Work, c: Clause, a: Amount) -> bool:
    """'Brack. 90g.': too little to be the dog's weight, and right for a bowl."""
    dogs = work.dogs(c, "meal")
    grams = (a.kg or 0) * 1000
    if not dogs or not _short(work, c) or not 10 <= grams <= 1500 or work.where(c, "weigh") >= 0 or c.elsewhere:
        return False
    return all(
        not d.is_newborn(work.today) and d.last_weight is not None and grams / 1000 < d.last_weight.kg * 0.4
        for d in dogs
    )


def _part_or_whole(a: Amount) -> bool:
    """A plain figure, or a part such as 3/4."""
    return a.of is None or (a.of in (2, 3, 4, 8) and a.value < a.of)


def _short(work: Work, c: Clause) -> bool:
    return sum(1 for i in range(c.lo, c.hi) if work.words.kind[i] == "w") <= 5


def _left_out(work: Work, c: Clause, name: str) -> bool:
    dog = work.kennel.dog(name)
    return (
        dog is not None
        and c.group in ("all", "pups", "girls", "boys")
        and dog.is_newborn(work.today)
        and (name not in c.named and not work.takes_newborns(c))
    )


def _neg_none(work: Work, c: Clause, at: int, meal: str | None) -> bool:
    """'never touched her dinner' is a bowl left; 'not fed yet' is no bowl."""
    words = work.words
    if not (0 <= c.neg_at < at) or (c.plan_at >= 0 and c.plan_at < at):
        return False
    fed = work.where(c, "fed")
    if meal is None and harmful(work, c):
        return False  # "did not eat the chocolate"
    return fed >= 0 and words.w[fed] in _ATE and words.w[c.neg_at] in _NOT_EATEN and "yet" not in words.w[c.lo : c.hi]


def _is_weighing(work: Work, c: Clause, amounts: list[Amount], meal: str | None) -> bool:
    """'Pepper 7.4 kg before breakfast' is a weight; 'pepper breakfast 150 g' is a bowl."""
    a = amounts[0]
    if a.unit in CUPS or a.unit == "can":
        return False
    if meal is None and work.where(c, "weigh") >= 0:
        return True
    return work.where(c, "weigh") >= 0 and _weigh_strong(work, c)


def _weigh_strong(work: Work, c: Clause) -> bool:
    i = work.where(c, "weigh")
    return work.words.w[i].startswith("weigh")


def _left(w: list[str], i: int) -> bool:
    return i > 0 and w[i - 1] in _LEFT_OF_BOWL


def _merge(work: Work, bowls: list[Bowl], new: Bowl) -> None:
    """Puts together what two clauses say of the same bowl ("had his tea and licked the bowl clean")."""
    for b in list(bowls):
        if b.dogs != new.dogs and not (new.clause.how == "carried" and set(new.dogs) == set(b.dogs)):
            if not (set(new.dogs) < set(b.dogs) and new.entry.amount is None and new.entry.eaten and not b.entry.eaten):
                continue
            # one of several that had the same bowls: take it out and say of it what is said
            b.dogs = tuple(d for d in b.dogs if d not in new.dogs)
            own = Bowl(b.clause, new.dogs, b.entry)
            bowls.append(own)
            b = own
        if b.entry.on != new.entry.on:
            continue
        a, e = b.entry, new.entry
        if a.meal and e.meal and a.meal != e.meal:
            continue
        if (a.amount is not None and e.amount is not None) or (
            a.eaten and e.eaten and a.eaten != e.eaten and not (new.clause.sentence - b.clause.sentence <= 1)
        ):
            continue
        if new.clause.whens and not b.clause.whens and new.entry.on == work.today and e.meal is None and a.meal is None:
            continue
        b.entry = replace(
            a,
            meal=a.meal or e.meal,
            amount=a.amount if a.amount is not None else e.amount,
            unit=a.unit or e.unit,
            eaten=e.eaten or a.eaten,
            clock=a.clock or e.clock,
        )
        return
    bowls.append(new)
