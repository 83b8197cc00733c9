"""The words of a bowl: which meal, fed, eaten, the food in it, and what is no food."""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.lexicon import LOOSE, words_of
from bot.reading.work import Work

_EATS = frozenset({"ate", "eaten", "eats", "eat", "munched"})
_OF_BOWL = words_of("cues", "of_bowl")
_OF_PERSON = words_of("cues", "of_person")
_WHOLLY = words_of("cues", "wholly")
_EATEN = frozenset({"ate", "eaten", "eat"})
_BOWL_FOOD = words_of("cues", "bowl_food")
_BOWL_WORDS = words_of("cues", "bowl_words")
_EATING_VERBS = words_of("cues", "eating_verbs")
_FED_ALONE = words_of("cues", "fed_alone")
_FED_IN_PHRASE = words_of("cues", "fed_in_phrase")
_TEA_TO_DRINK = words_of("cues", "tea_to_drink")
_WHOSE_MEAL = words_of("cues", "whose_meal")
_BESIDE = words_of("cues", "beside_meal")


def meal_name(work: Work, c: Clause) -> str | None:
    """The meal that the clause names, None for none ("before breakfast" names none)."""
    if "meal" not in c.meanings:
        return None
    words = work.words
    best = None
    for i in range(c.lo, c.hi):
        tag = words.tags[i].get("meal")
        if tag is None:
            continue
        if any(m.i <= i < m.end and m.kind == "name" for m in c.mentions):
            continue
        lead = words.w[i - 1] if i > c.lo else ""
        second = words.w[i - 2] if i - 1 > c.lo else ""
        if lead in _BESIDE or (second in _BESIDE and lead in _WHOSE_MEAL):
            continue
        if "dose" in c.meanings and "with" in (lead, second if lead in _WHOSE_MEAL else ""):
            continue  # "had his tablet with breakfast" tells of the tablet
        if words.w[i] in ("tea", "teas") and lead in _TEA_TO_DRINK:
            continue
        if best is None or tag[0] == "bedtime":
            best = tag[0]
    return best


def meal_around(work: Work, c: Clause, listed: bool = False) -> str | None:
    """The meal named in the same sentence, where this clause only says how it was eaten."""
    if "meal" not in work.meanings:
        return None
    for o in work.clauses:
        if o.sentence == c.sentence and o is not c and not o.ask:
            name = meal_name(work, o)
            if listed and (o.lo < c.lo or (o.saying and not (o.amounts and (o.sep == "and" or c.topic == "meal")))):
                continue
            if name is not None and (listed or not o.named or set(o.named) & set(c.dogs) or o.lo < c.lo):
                return name
    return None


def fed_word(work: Work, c: Clause) -> int:
    """The word of feeding in the clause, one that tells of a bowl by itself before others; -1 for none."""
    if "fed" not in c.meanings:
        return -1
    words = work.words
    best = -1
    for i in range(c.lo, c.hi):
        if "fed" in words.tags[i] and words.tags[i]["fed"][0] == "did" and not any(a.i <= i < a.end for a in c.amounts):
            if words.w[i] == "fed" and i + 1 < c.hi and words.w[i + 1] == "up":
                continue
            if best < 0 or (
                is_fed_alone(words.w[i], words.tags[i]["fed"][1])
                and not is_fed_alone(words.w[best], words.tags[best]["fed"][1])
            ):
                best = i
    return best


def is_fed_alone(word: str, n: int) -> bool:
    """True where the word tells of a bowl without a meal or a food beside it."""
    return word in _FED_ALONE or (n > 1 and word in _FED_IN_PHRASE)


def is_served(w: list[str], food: int) -> bool:
    """True where the food is one that is served in a bowl."""
    return w[food] in _BOWL_FOOD


def food_word(work: Work, c: Clause) -> int:
    """The first word of food in the clause, -1 for none."""
    if "food" not in c.meanings:
        return -1
    words = work.words
    for i in range(c.lo, c.hi):
        if "food" in words.tags[i] and not c.mentioned_at(i):
            return i
    return -1


def eaten_word(work: Work, c: Clause) -> int:
    """Where the longest phrase of eating starts in the clause, -1 for none."""
    if "eaten" not in c.meanings:
        return -1
    words = work.words
    best = -1
    covered = c.lo
    for i in range(c.lo, c.hi):
        if "eaten" in words.tags[i] and i >= covered:
            end = i + words.tags[i]["eaten"][1]
            covered = end  # "polished (off her dinner)" is one phrase
            if any(a.i < end and i < a.end and a.unit is not None for a in c.amounts):
                continue  # "had half a cup": how much it was, not how much of it
            if best < 0 or words.tags[i]["eaten"][1] > words.tags[best]["eaten"][1]:
                best = i
    return best


def is_eating(work: Work, c: Clause, at: int, topic: bool, before: bool, food: int) -> bool:
    """True where the words tell of a bowl and not of a walk, a tablet or a person."""
    words = work.words
    if topic or food >= 0 or before or (c.how == "carried" and c.topic == "" and _bowl_just_said(work, c)):
        return True
    w, n = words.w[at], words.tags[at]["eaten"][1]
    said = words.w[at : at + n]
    if any(x in _BOWL_WORDS for x in said):
        return True
    if n > 1 and not _EATEN.isdisjoint(said):
        return not harmful(work, c)
    if w in _EATING_VERBS and not harmful(work, c):
        return True
    return meal_around(work, c) is not None or work.topic == "meal"


def eats_a_thing(work: Work, c: Clause, at: int, swallowed: bool = False) -> bool:
    """'ate the WHOLE sofa', "ate half my thong": what was eaten is a thing that nobody feeds.

    Args:
        swallowed: only somebody's own thing that is no people's food counts ("my thong", not "dad's pizza").
    """
    words = work.words
    at = next((k for k in range(at, min(at + 4, c.hi)) if words.w[k] in _EATS), -1)
    j = at + 1
    theirs = False
    while at >= 0 and j < c.hi:
        owner = words.w[j] in _OF_PERSON or (words.owner[j] and words.has(j, "kin", "person"))
        if not (owner or words.w[j] in LOOSE or words.w[j] in _WHOLLY or words.has(j, "num") or words.kind[j] == "n"):
            break
        theirs = theirs or owner
        j += 1
    if at < 0 or not at + 1 < j < c.hi or words.kind[j] != "w" or words.w[j] in _OF_BOWL:
        return False
    if words.has(j, "food", "treat", "meal", "unit") or words.w[j - 1] in ("his", "her", "their", "its"):
        return False
    if swallowed:
        return theirs and not words.has(j, "else")
    return theirs or not words.tags[j] or words.has(j, "harm")


def _bowl_just_said(work: Work, c: Clause) -> bool:
    k = c.number
    before = work.clauses[k - 1] if k else None
    return before is not None and before.topic == "meal" and c.sentence - before.sentence <= 1 and not c.human


def harmful(work: Work, c: Clause) -> bool:
    """True where the clause names something dangerous that is neither food nor a treat."""
    words = work.words
    return "harm" in c.meanings and any(
        "harm" in words.tags[i]
        and "food" not in words.tags[i]
        and "treat" not in words.tags[i]
        and not c.mentioned_at(i)
        for i in range(c.lo, c.hi)
    )
