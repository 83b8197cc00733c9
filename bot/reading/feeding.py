"""Bowls: "fed flint", "nug 150g", "licked the bowl clean"; treats are read by the way."""

from __future__ import annotations

from dataclasses import replace

from bot.reading.bowls import Bowl, Setting, amount_of, is_kept, told_of
from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.meals import (
    food_word,
    meal_around,
    meal_name,
)
from bot.reading.people import subject_is_person
from bot.reading.treats import food_amount, read_treat, treat_word
from bot.reading.work import Work
from core.entries import Meal

_SLIPS = words_of("cues", "slips_between")
_FEEDING = frozenset({"meal", "eaten", "fed", "food", "give", "treat"})  # meanings without which nothing was fed


def read(work: Work) -> None:
    """Takes the meals and the treats out of the message."""
    if not work.figures and _FEEDING.isdisjoint(work.meanings):
        return
    bowls: list[Bowl] = []
    meal_said: str | None = None
    tail = _tail_unit(work)
    listed = next((c for c in work.clauses if c.named and c.amounts), None)
    header = _header(work) or (tail is not None and listed is not None and meal_name(work, listed) is not None)
    unit_said = (_header_unit(work) if header else None) or tail
    for k, c in enumerate(work.clauses):
        meal = meal_name(work, c)
        if c.sep == "line" and not header:
            meal_said = None
        if meal is not None and not c.ask:
            meal_said = meal
        if c.ask:
            continue
        near = bool(bowls) and bowls[-1].clause.sentence == c.sentence
        prior = work.clauses[k - 1] if k else None
        named_before = _bedtime_open(bowls, c) or any(
            o.sentence == c.sentence and meal_name(work, o) is not None for o in work.clauses[:k]
        )
        if read_treat(work, c, meal, meal_said if (near or header or named_before) else None):
            continue
        over = (
            prior is not None
            and meal_name(work, prior) is not None
            and (prior.sentence == c.sentence or (prior.hi - prior.lo <= 2 and c.sentence - prior.sentence == 1))
        )
        headed = c.how == "list" and meal_around(work, c) is not None
        following = meal_said if (bowls or header or over or headed) else None
        if bowls and _mended(work, c, bowls[-1]):
            continue
        bowl = _bowl(
            work, c, meal, Setting(following, header, unit_said, bowls[-1] if near else None, _just_fed(bowls, c))
        )
        if bowl is None:
            continue
        if bowl.entry.amount is None and bowls and bowls[-1].entry.amount is not None and _got_the_same(work, c):
            bowl.entry = replace(bowl.entry, amount=bowls[-1].entry.amount, unit=bowls[-1].entry.unit)
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


def _tail_unit(work: Work) -> str | None:
    """'Fed: Bramble 1.5, Otis 2, Jet 1 cups': the unit that the last of a list has."""
    listed = [c for c in work.clauses if c.named and c.amounts]
    if (
        len(listed) < 2
        or treat_word(work, listed[-1]) >= 0
        or any(a.unit is not None for c in listed[:-1] for a in c.amounts)
    ):
        return None
    told = any(c.topic == "meal" or meal_name(work, c) is not None for c in listed)
    unit = listed[-1].amounts[-1].unit
    return unit if told and unit in ("cup", "g", "can") else None


def _header(work: Work) -> bool:
    """'dinner: nug 150g biscuit 150g': a meal's name over a list."""
    first = work.clauses[0]
    if meal_name(work, first) is None:
        return False  # "Before breakfast: Bruno 11,1"
    if not first.named and work.where(first, "meal") >= 0 and len(work.clauses) > 1 and first.hi - first.lo <= 3:
        following = work.clauses[1]
        if following.sep == "stop" and following.named and following.amounts and work.done(first):
            return True  # "Brekkie's done. Boss half a kilo, Tui 400 g"
    return (
        not first.named
        and work.where(first, "meal") >= 0
        and len(work.clauses) > 1
        and work.clauses[1].sep in (":", "line", "-", "–", "—", ",", "=")
    )


def _bowl(work: Work, c: Clause, meal: str | None, setting: Setting) -> Bowl | None:
    """The bowl that the clause tells of, None where it tells of none or nobody knows whose."""
    told = told_of(work, c, meal, setting)
    if told is None or not is_kept(work, c, told):
        return None
    amount, unit = amount_of(work, c, told, setting)
    dogs = work.whom(c, "meal")
    if work.where(c, "s total") >= 0 and work.where(c, "s each") < 0 and len(dogs) > 1:
        amount = unit = None
    name = told.meal or setting.meal or work.asked_meal
    if name is None:
        name = meal_around(work, c, listed=told.eaten is None)
    entry = Meal(dog="", on=work.day(c), meal=name, amount=amount, unit=unit, eaten=told.eaten, clock=work.clock(c))
    if not dogs:
        if c.pronoun is not None or c.unsure:
            fed = told.sure and work.words.w[told.fed_at].startswith("fed") and c.pronoun is not None
            person = c.human and subject_is_person(work, c, max(told.eaten_at, told.fed_at))
            prior = work.clauses[c.number - 1] if c.number else None
            named = name is not None or (
                prior is not None and c.sentence - prior.sentence <= 1 and food_word(work, prior) >= 0
            )
            emptied = told.eaten is not None and named and c.pronoun is not None and not person
            work.no_dog(c, entry, sure=fed or emptied or (told.food_at >= 0 and not c.human))
        return None
    c.topic = "meal"
    dogs = tuple(n for n in dogs if not _left_out(work, c, n))
    return Bowl(c, dogs, entry) if dogs else None


def _bedtime_open(bowls: list[Bowl], c: Clause) -> bool:
    """'had his bedtime bite. One biscuit.': the fragment says what the snack was."""
    last = bowls[-1] if bowls else None
    near = last is not None and c.sentence - last.clause.sentence == 1 and c.how == "carried" and c.hi - c.lo <= 3
    return last is not None and near and last.entry.meal == "bedtime" and last.entry.amount is None


def _got_the_same(work: Work, c: Clause) -> bool:
    """'Oyster got the same': as much as the bowl before."""
    return c.how == "own" and work.says(c, {"same"}) and "give" in c.meanings


def _just_fed(bowls: list[Bowl], c: Clause) -> bool:
    """True where this sentence or the one before it told of a bowl."""
    return bool(bowls) and c.sentence - bowls[-1].clause.sentence <= 1


def _mended(work: Work, c: Clause, last: Bowl) -> bool:
    """'half a cup of kibble. No, three quarters.': the figure after a slip is the bowl's."""
    before = work.clauses[c.number - 1] if c.number else None
    if (
        before is None
        or last.entry.amount is None
        or len(c.amounts) != 1
        or c.named
        or not last.clause.number < c.number
    ):
        return False
    slip = before is not last.clause and before.hi - before.lo <= 2 and work.says(before, _SLIPS)
    if not (slip or work.words.w[c.lo] in _SLIPS) or c.number - last.clause.number > 2 or c.hi - c.lo > 5:
        return False
    a = c.amounts[0]
    amount, unit = food_amount(a) if a.unit else (a.value, last.entry.unit)
    if amount is None or a.other is not None:
        return False
    last.entry = replace(last.entry, amount=amount, unit=unit)
    return True


def _left_out(work: Work, c: Clause, name: str) -> bool:
    dog = work.kennel.dog(name)
    return (
        dog is not None
        and c.group in ("all", "pups", "girls", "boys")
        and dog.is_newborn(work.today)
        and (name not in c.named and not work.takes_newborns(c))
    )


def _merge(work: Work, bowls: list[Bowl], new: Bowl) -> None:
    """Puts together what two clauses say of the same bowl ("had his tea and licked the bowl clean")."""
    parts = [b for b in bowls if set(b.dogs) < set(new.dogs) and b.entry.eaten is None]
    if new.entry.amount is None and new.entry.eaten and {n for b in parts for n in b.dogs} == set(new.dogs):
        for b in parts:  # "the other two polished theirs off": bowls that were told one by one
            _merge(work, bowls, Bowl(new.clause, b.dogs, new.entry))
        return
    for b in list(bowls):
        if b.dogs != new.dogs and not (new.clause.how == "carried" and set(new.dogs) == set(b.dogs)):
            part = set(new.dogs) < set(b.dogs)
            shared = part and new.entry.amount is not None and b.entry.amount is None and new.clause.how == "carried"
            if not shared and not (part and new.entry.amount is None and new.entry.eaten and not b.entry.eaten):
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
