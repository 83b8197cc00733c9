"""What one clause tells of a bowl: fed, served, measured, eaten."""

from __future__ import annotations

from dataclasses import dataclass

from bot.reading.amounts import CUPS, Amount
from bot.reading.clause import Clause, is_last
from bot.reading.lexicon import words_of
from bot.reading.meals import eaten_word, eats_a_thing, fed_word, food_word, harmful, is_eating, is_fed_alone, is_served
from bot.reading.tokens import Words
from bot.reading.treats import food_amount, pieces, treat_word
from bot.reading.work import Work
from core.entries import Meal, Sign

_CAME = words_of("cues", "came")
_ATE = words_of("cues", "ate")
_LEFT_OF_BOWL = words_of("cues", "left_of_bowl")
_ATE_WORDS = words_of("cues", "ate_words")
_HURT_BY = words_of("cues", "hurt_by")
_SCOOPS = words_of("cues", "scoops")
_RATION_TIMES = words_of("cues", "ration_times")
_POLITE = words_of("cues", "polite")
_NOT_EATEN = words_of("cues", "not_eaten")

SNACK = "bedtime"  # a bare "snack" that was left is the bowl before the night


@dataclass(slots=True)
class Bowl:
    """One bowl (or several like it) with the clause that told of it."""

    clause: Clause
    dogs: tuple[str, ...]
    entry: Meal


@dataclass(frozen=True, slots=True)
class Setting:
    """What was said before the clause.

    Attributes:
        meal: the meal that a clause before it named. header: that meal stands over a list. unit: the last unit said.
        last: the bowl told last, where it was in the same sentence. fed: a bowl was told in it or in the one before.
    """

    meal: str | None
    header: bool
    unit: str | None
    last: Bowl | None
    fed: bool = False


@dataclass(slots=True)
class Told:
    """What a clause tells of a bowl.

    Attributes:
        meal: the meal it names. eaten: how it was eaten. eaten_at, fed_at, food_at, give_at: where the words for it
            stand, -1 for nowhere. amounts: what can have been in the bowl. bare: a figure that takes its unit from the
            list. sure: fed, in so many words. served: given as food. amounted: a quantity that was a bowl's.
            done: a meal that is ticked off.
    """

    meal: str | None
    eaten: str | None
    eaten_at: int
    fed_at: int
    food_at: int
    give_at: int
    amounts: list[Amount]
    bare: Amount | None = None
    sure: bool = False
    served: bool = False
    amounted: bool = False
    done: bool = False

    def first_at(self, work: Work, c: Clause) -> int:
        """The first word that tells of the bowl."""
        figures = self.amounts or (c.amounts if self.amounted else [])
        places = (
            self.eaten_at if self.eaten else -1,
            self.fed_at if self.sure else -1,
            max(self.give_at, self.food_at if self.give_at < 0 else -1) if self.served else -1,
            figures[0].i if figures else -1,
            work.where(c, "meal") if self.done else -1,
            c.hi,
        )
        return min(i for i in places if i >= 0)


def told_of(work: Work, c: Clause, meal: str | None, setting: Setting) -> Told | None:
    """What the clause tells of a bowl, None where it tells of none."""
    words = work.words
    if any(words.w[i] in _CAME and words.w[i + 1 : i + 2] in (["back"], ["up"]) for i in range(c.lo, c.hi)):
        return None  # "all his breakfast came back"
    at = eaten_word(work, c)
    eaten = words.tags[at]["eaten"][0] if at >= 0 else None
    if meal is None and eaten == "none" and work.says(c, {"snack"}):
        meal = SNACK  # "didn't touch his snack"
    told = Told(
        meal=meal,
        eaten=eaten,
        eaten_at=at,
        fed_at=fed_word(work, c),
        food_at=food_word(work, c),
        give_at=work.where(c, "give"),
        amounts=[a for a in c.amounts if _fits_a_bowl(a) and not _no_bowl(words, a)],
    )
    topic = meal is not None or (setting.header and setting.meal is not None) or work.topic == "meal"
    if told.eaten is not None and not is_eating(work, c, at, topic, bool(setting.meal or setting.fed), told.food_at):
        told.eaten = None
    if told.eaten is None and (part := _part_eaten(work, c)):
        told.eaten, told.eaten_at = "some", part
        told.amounts = []
    if told.eaten is not None and eats_a_thing(work, c, at):
        told.eaten = None  # "ate half my thong"
    if told.eaten == "none" and meal is None and "yet" in words.w[c.lo : c.hi]:
        return None  # "hasn't eaten yet"
    measured = bool(told.amounts)
    if told.fed_at >= 0 and words.w[told.fed_at] == "topped" and work.says(c, {"water"}):
        return None  # the water bowl
    if told.fed_at >= 0:
        alone = is_fed_alone(words.w[told.fed_at], words.tags[told.fed_at]["fed"][1])
        odd = alone and meal is None and told.food_at < 0 and eats_a_thing(work, c, told.fed_at)
        odd = odd or (words.w[told.fed_at] in _ATE_WORDS and meal is None and "dose" in c.meanings)  # "ate the wormers"
        n = words.tags[told.fed_at]["fed"][1]
        it = words.w[told.fed_at + n - 1] == "it" and setting.meal is not None  # "his bedtime snack, he has had it now"
        told.sure = (alone and not odd) or meal is not None or told.food_at >= 0 or measured or it
    scooped = told.food_at >= 0 and words.w[told.food_at] in _SCOOPS and c.how in ("own", "list", "carried")
    told.served = _food_for(work, c, told) or (scooped and (meal is not None or setting.meal is not None))
    if told.give_at >= 0:
        food = told.food_at >= 0 and (measured or is_served(words.w, told.food_at))
        told.served = told.served or meal is not None or food
    told.done = meal is not None and work.done(c) and bool(c.dogs) and c.hi - c.lo <= 8
    told.bare = None if measured else _bare(work, c, setting)
    told.amounted = told.bare is not None or _amounted(work, c, told, topic, setting)
    if not (told.eaten or told.sure or told.served or told.amounted or told.done):
        return None
    ate = told.fed_at >= 0 and words.w[told.fed_at] in _ATE_WORDS
    if (told.eaten is not None or ate) and meal is None and told.food_at < 0 and _was_swallowed(work, c):
        return None  # "MANGO GOT THE EASTER EGGS … its all gone"
    before = work.clauses[c.number - 1] if c.number else c
    it = told.eaten == "none" and work.says(c, {"it", "them"}) and before.sentence == c.sentence
    if meal is None and told.eaten in (None, "none") and (harmful(work, c) or (it and harmful(work, before))):
        return None  # "found a dead mouse but did not eat it"
    return told


def _part_eaten(work: Work, c: Clause) -> int:
    """The place of the verb in "ate 3/4 of his dinner", "ate two thirds of it"; 0 for none."""
    words = work.words
    for a in c.amounts:
        share = a.unit is None and (a.form == "fraction" or (a.of is not None and a.value < a.of))
        if share and a.i > c.lo and words.w[a.i - 1] in _ATE_WORDS and words.w[a.end : a.end + 1] == ["of"]:
            return a.i - 1
    return 0


def _fits_a_bowl(a: Amount) -> bool:
    kept = a.unit in CUPS or a.unit == "can" or (a.kg is not None and a.unit != "stone")
    return kept and a.other is None and not a.sign


def _food_for(work: Work, c: Clause, told: Told) -> bool:
    """'bowl of porridge for Wisp at 11': nothing but a food and the dog that had it."""
    words = work.words
    named = [m for m in c.mentions if m.kind in ("name", "group")]
    if told.food_at < 0 or not named or named[0].i <= told.food_at or words.w[named[0].i - 1] != "for":
        return False
    opens = all(
        words.has(k, "food", "between", "s a", "s of", "num", "unit", "meal", "s half")
        or any(a.i <= k < a.end for a in c.amounts)
        for k in range(c.lo, named[0].i - 1)
        if words.kind[k] == "w"
    )
    return opens and is_served(words.w, told.food_at) and is_last(words, c, named[-1]) and c.plan_at < 0


def _no_bowl(words: Words, a: Amount) -> bool:
    """'cut herself on a tin', 'down to 3/4 cup a meal': a thing that hurts, a ration for days to come."""
    after = words.w[a.end : a.end + 2]
    ration = len(after) == 2 and after[0] in ("a", "per", "each", "every") and after[1] in _RATION_TIMES
    return ration or (a.i > 0 and words.w[a.i - 1] in _HURT_BY)


def _amounted(work: Work, c: Clause, told: Told, topic: bool, setting: Setting) -> bool:
    """True where a quantity in the clause was a bowl's."""
    if not told.amounts:
        # "bedtime snacks: bear 2 biscuits"
        counted = setting.meal == "bedtime" and told.meal is None and bool(c.amounts)
        return counted and treat_word(work, c) >= 0
    unit = told.amounts[0].unit
    listed = setting.meal is not None and c.how == "carried" and _short(work, c)
    headed = setting.header and setting.meal is not None
    if (topic or headed or told.food_at >= 0 or listed or _food_over_colon(work, c)) and not _is_weighing(
        work, c, told.amounts, told.meal
    ):
        return True
    dogs_own = c.how in ("own", "list")
    food_told = not c.elsewhere or told.give_at >= 0 or told.fed_at >= 0
    if unit in ("cup", "tbsp", "tsp", "can") and (dogs_own or work.topic == "meal") and food_told:
        return True
    if unit in ("g", "oz") and dogs_own and _a_bowlful(work, c, told.amounts[0]):
        return True
    last = setting.last
    return last is not None and last.entry.amount is None and c.how == "carried" and _short(work, c)


def _food_over_colon(work: Work, c: Clause) -> bool:
    """'Formula top-up for Pink only: 5 ml': the food before the colon, how much of it after."""
    before = work.clauses[c.number - 1] if c.number and c.sep == ":" else None
    return before is not None and not before.amounts and food_word(work, before) >= 0 and not before.ask


def _bare(work: Work, c: Clause, setting: Setting) -> Amount | None:
    """The figure of a clause without a unit that takes the unit said before ("nug 1 cup, junie 3/4")."""
    plain = [a for a in c.amounts if a.unit is None and a.other is None]
    if treat_word(work, c) >= 0:
        return None  # "honey 1 biscuit" after "penny 1/2 cup"
    last = setting.last
    found = None
    if last is not None and last.entry.unit and (c.how == "own" or _to_another(work, c, last)) and _short(work, c):
        found = next((a for a in plain if not a.clock and _part_or_whole(a)), None)
    if found is None and setting.unit and c.how == "carried" and work.where(c, "meal") >= 0 and _short(work, c):
        found = next((a for a in plain if not a.clock and _part_or_whole(a)), None)  # "1 cup lunch, 1.5 dinner"
    if found is None and (setting.header or _in_list(work, c)) and setting.unit and c.how in ("own", "list"):
        found = next((a for a in plain if a.of is None), None)
    return found


def _in_list(work: Work, c: Clause) -> bool:
    """True for a row of dogs and figures under a word of feeding ("Fed: Bramble 1.5, Otis 2, Jet 1 cups")."""
    return c.topic == "meal"


def _to_another(work: Work, c: Clause, last: Bowl) -> bool:
    """'three cups to him and two and a half to her': the other one's share."""
    return c.how == "carried" and c.pronoun is not None and c.dogs != last.dogs and work.says(c, {"to", "for"})


def _was_swallowed(work: Work, c: Clause) -> bool:
    """True where what is gone is what was swallowed just now."""
    return any(isinstance(e, Sign) and e.sign == "swallowed" and (k is c or c.how != "own") for e, k in work.found)


def is_kept(work: Work, c: Clause, told: Told) -> bool:
    """True where the bowl was told as having happened; a denial may make `eaten` "none" or "some"."""
    if c.joke or c.quote or c.wish or c.near or c.ask:
        return False
    if work.says(c, _POLITE) and not told.sure and told.eaten is None:
        return False  # "haggis supper and a can of juice pls"
    at = told.first_at(work, c)
    slip = any(a.end == c.neg_at for a in c.amounts)  # "two no three tablespoons"
    if told.eaten is None and told.meal is not None and at <= c.neg_at < work.where(c, "meal") and not slip:
        return False  # "had no dinner"
    if told.eaten is None:
        if work.shut(c, at, naming=told.done):
            if not _neg_none(work, c, at, told.meal):
                return False
            told.eaten = "none"
    elif 0 <= c.plan_at < at:
        return False
    elif told.eaten == "none" and 0 <= c.neg_at < told.eaten_at:
        return False  # "not off her food"
    if told.eaten not in (None, "none") and 0 <= c.neg_at < told.eaten_at:
        told.eaten = "some"
    return not c.elsewhere or bool(c.named) or c.how == "carried" or bool(told.meal)


def amount_of(work: Work, c: Clause, told: Told, setting: Setting) -> tuple[float | None, str | None]:
    """How much was in the bowl, with its unit; None where that was not said."""
    if told.amounts:
        left = told.eaten == "some" and _left(work.words.w, told.amounts[0].i)
        if left and not told.sure and not told.served:
            return None, None  # "left about half a cup"
        return food_amount(told.amounts[0])
    if told.bare is not None and setting.unit:
        return (told.bare.value if told.bare.of is None else told.bare.value / told.bare.of), setting.unit
    if (told.meal is not None or setting.meal == "bedtime") and told.eaten not in ("some", "none"):
        return _counted(work, c)
    return None, None


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
    """True where the clause has at most five words, the further words of a group or a figure not counted."""
    extra = sum(m.n - 1 for m in c.mentions if m.kind == "group") + sum(a.n - 1 for a in c.amounts)
    return sum(1 for i in range(c.lo, c.hi) if work.words.kind[i] == "w") - extra <= 5


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


def _counted(work: Work, c: Clause) -> tuple[float | None, str | None]:
    """'two biscuits for his bedtime snack': so many pieces in the bowl."""
    i = treat_word(work, c)
    if i < 0 or work.words.w[i] in ("snack", "snacks"):
        return None, None
    which, n = work.words.tags[i]["treat"]
    return pieces(work, c, i, which, n) if which in ("one", "many") else (None, None)
