"""Whom each clause is about, and on what.

A heading gives its topic to the list under it. Lists of names without anything said of them are joined to the
clause that says it. A clause without a dog takes the one spoken of before.
"""

from __future__ import annotations

import itertools

from bot.reading.clause import SAYING, Clause, ends_in_dog, is_bare
from bot.reading.lexicon import words_of
from bot.reading.roster import Roster
from bot.reading.tokens import Words
from core.roster import Kennel

_BESIDE_MEAL = words_of("cues", "beside_meal")
_TRAILING_DONE = words_of("cues", "trailing_done")
_TRAILING_WORDS = words_of("cues", "trailing_words")
_GAINS = words_of("cues", "gain_headings")
_DENIALS = words_of("cues", "denials")
_TOPICS = (
    ("cond", "condition"),
    ("temp", "temperature"),
    ("prog", "progesterone"),
    ("height", "height"),
    ("weigh", "weight"),
    ("earw", "ears"),
    ("meal", "meal"),
    ("fed", "meal"),
    ("treat", "treat"),
    ("dose", "dose"),
    ("groom", "groom"),
)


_TAIL_TOPICS = tuple(t for t in _TOPICS if t[0] in ("cond", "temp", "height", "meal"))


def give_topics(words: Words, clauses: list[Clause]) -> None:
    """A heading without a dog gives its topic to the list under it ("Condition scores out of 9: Sorrel 4 …")."""
    topic, sentence = "", -1
    for k, c in enumerate(clauses):
        following = clauses[k + 1] if k + 1 < len(clauses) else None
        over_lines = (
            following is not None and following.sep == "line" and not following.named and bool(following.amounts)
        )
        heading = (
            (not c.named or (over_lines and not c.amounts and c.hi - c.lo <= 3))  # "Nutmeg temps" over lines of days
            and not c.ask
            and not (topic and c.amounts and c.first_saying == c.amounts[0].i)
            and following is not None
            and (
                following.sep in (":", "-", "–", "—", "=")
                or (following.sep == "line" and c.sep in ("start", "line"))
                or (following.sep in ("stop", ",") and c.sep == "start" and c.hi - c.lo <= 6)
            )
        )
        if heading and words.says(c.lo, c.hi, _GAINS) and c.sep in ("start", "stop", "line"):
            topic, sentence = "gain", c.sentence
            continue
        if heading:
            for meaning, name in _TOPICS:
                if meaning in c.meanings and not _before_meal(words, c, meaning):
                    topic, sentence = name, c.sentence
                    break
            else:
                topic = ""
            continue
        if (
            topic
            and (c.sentence == sentence or c.sep == "line" or c.sentence == sentence + 1)
            and (c.named or c.how or not c.saying or c.amounts or _of_topic(c, topic))
        ):
            c.topic = topic
            sentence = c.sentence
        else:
            topic = ""


def _before_meal(words: Words, c: Clause, meaning: str) -> bool:
    """'Before breakfast: Bruno 11,1': when it was, not what it is about."""
    i = c.meanings[meaning]
    return meaning == "meal" and i > c.lo and words.w[i - 1] in _BESIDE_MEAL


def _of_topic(c: Clause, topic: str) -> bool:
    """'… | 4.5, ribs easily felt |': what is said belongs to the heading."""
    return (topic == "condition" and "ribs" in c.meanings) or (topic == "ears" and "earp" in c.meanings)


def give_tail_topics(words: Words, clauses: list[Clause]) -> None:
    """A list of dogs and figures takes its topic from its last ("Pip 4.5, Rosie 5, Mossy 5 condition wise")."""
    for k in range(len(clauses) - 1, 0, -1):
        c = clauses[k]
        if c.ask or not c.named or not c.amounts or c.topic:
            continue
        topic = next((t for m, t in _TAIL_TOPICS if words.says_after(c.amounts[-1].end, c.hi, m)), "")
        if not topic:
            continue
        for o in reversed(clauses[:k]):
            if o.sentence != c.sentence or not o.named or not o.amounts or o.topic or o.ask:
                break
            if any(SAYING.intersection(words.tags[i]) for i in range(o.lo, o.hi)):
                break
            o.topic = topic


def leave_recipes(words: Words, clauses: list[Clause]) -> None:
    """Where most of a message is about something else, a name that is an ordinary word is that word."""
    heading = len(clauses) > 2 and clauses[0].elsewhere and not clauses[0].named and clauses[1].sep in (":", "line")
    if heading or sum(1 for c in clauses if c.elsewhere) >= 2:
        for c in clauses:
            named = [m for m in c.mentions if m.kind == "name"]
            told = any(
                {"groom", "dose", "sign", "fed", "weigh", "earw", "temp", "whelp", "mate", "season", "prog"}
                & set(words.tags[i])
                for i in range(c.lo, c.hi)
            )
            k = c.number
            measured = c.amounts or (k + 1 < len(clauses) and not clauses[k + 1].named and clauses[k + 1].amounts)
            if named and measured and not told and not any(m.surely for m in named):
                c.elsewhere = True
                if not c.human:
                    c.dogs = c.named = ()
                    c.how = ""
                    c.mentions = [m for m in c.mentions if m.kind != "name"]


def join_lists(words: Words, clauses: list[Clause]) -> None:
    """Joins lists of names to the clause that says something of them, and denials over a list of signs."""
    k = 0
    while k < len(clauses):
        c = clauses[k]
        if _trails(words, clauses, c):
            c.saying = False  # "washed Otis and Bramble with the shampoo"
        elif not c.named or c.saying or c.near or not is_bare(words, c):
            k += 1
            continue
        run = _run(words, clauses, k)
        _join(words, clauses, run)
        k += len(run)
    _spread_denials(words, clauses)


def _trails(words: Words, clauses: list[Clause], c: Clause) -> bool:
    """True where "and Bramble with the shampoo" ends the list before it, and says nothing of its own."""
    if not c.named or c.number == 0 or c.sep not in ("and", ","):
        return False
    before, m = clauses[c.number - 1], c.mentions[0]
    if (
        m.i != c.lo
        or m.owner
        or m.kind != "name"
        or sum(1 for o in c.mentions if o.kind != "pronoun") > 1
        or any(not a.clock and a.other is None for a in c.amounts)
    ):
        return False
    acted = {"groom", "dose", "fed", "weigh"}.intersection(before.meanings) or any(
        x[:3] == "gv " for x in before.meanings
    )
    named = bool(before.named or before.newborns)
    joined = before.sentence == c.sentence and named and ends_in_dog(words, before)
    if not acted or not joined or before.amounts:
        return False
    following = words.w[m.end] if m.end < c.hi else ""
    if following in _TRAILING_WORDS:
        return not {"sign", "eaten", "swallow", "earp", "weigh"}.intersection(c.meanings)
    return following in _TRAILING_DONE and m.end + 1 >= c.hi


def _run(words: Words, clauses: list[Clause], k: int) -> list[Clause]:
    """The clauses from k on that hold nothing but names."""
    run = [clauses[k]]
    for c in clauses[k + 1 :]:
        listed = c.sentence == run[0].sentence and c.sep in ("and", ",", "-", "|", "then")
        listed = listed or (c.sep == "line" and run[0].sep == "line" and not run[0].ask)  # one name a line
        if not (
            listed and c.named and not c.saying and not c.near and not c.ask and c.neg_at < 0 and is_bare(words, c)
        ):
            break
        run.append(c)
    return run


def _join(words: Words, clauses: list[Clause], run: list[Clause]) -> None:
    """Gives the dogs of a list to the clause before it that waits for dogs, or to the one after it."""
    first = run[0]
    previous = clauses[first.number - 1] if first.number else None
    following = clauses[run[-1].number + 1] if run[-1].number + 1 < len(clauses) else None
    before = previous if previous is not None and previous.sentence == first.sentence else None
    after = following if following is not None and following.sentence == first.sentence else None
    if before is None and after is None:
        if following is not None and following.saying and _tells_of_heading(words, following):
            after = following  # a name on its own line over what is said of it
        if after is None and previous is not None and _waits(previous, first) and first.ask <= previous.ask:
            before = previous  # "did the baths!! sunny then hope then scout"
            before.sep = before.sep or "start"
    names = tuple(n for r in run for n in r.dogs)
    newborns = tuple(n for r in run for n in r.newborns)
    group = next((r.group for r in run if r.group), "")
    if before is not None and before.also and after is not None and after.saying and _takes_list(after):
        before = None  # "so has Saffy, and Bolt and Gecko had half a cup"
    if before is not None and before.saying and _is_open(words, before, first):
        for r in run:
            r.taken = True
        before.dogs = tuple(dict.fromkeys((*before.dogs, *names)))
        before.newborns += newborns
        before.group = before.group or group
        before.how = before.how or "list"
    elif after is not None and after.saying and _takes_list(after):
        for r in run:
            r.joined = True
        after.dogs = tuple(dict.fromkeys((*names, *after.dogs)))
        after.newborns = (*newborns, *after.newborns)
        after.group = after.group or group
        after.how = after.how or "list"


def _tells_of_heading(words: Words, c: Clause) -> bool:
    return c.sep == "line" or (c.sep == "stop" and not c.named and c.saying and _fragment(words, c))


def _waits(before: Clause, c: Clause) -> bool:
    return before.saying and not before.dogs and c.sentence - before.sentence == 1


def _is_open(words: Words, before: Clause, c: Clause) -> bool:
    """True where what was said before the list still wants its dogs."""
    if c.sentence != before.sentence or c.sep in (":", "-", "–", "—"):
        return True
    plural = before.pronoun is not None and before.pronoun.plural
    figures_only = not any(SAYING.intersection(words.tags[i]) for i in range(before.lo, before.hi))
    if not before.dogs and not plural and not before.human and not figures_only:
        return True
    return c.sep in ("and", ",", "+", "then") and ends_in_dog(words, before)


def _takes_list(after: Clause) -> bool:
    """False where what follows the list has dogs of its own ("Heather's three this morning: White 452 …")."""
    if after.named:
        told_of_own = bool(after.mentions) and after.mentions[0].i <= after.first_saying
        if not told_of_own or after.sep == ":" or (after.sep == "line" and after.amounts):
            return False
    return after.how != "own" or after.sep in ("and", ",", "then", "-", "|", "line", ":")


def _spread_denials(words: Words, clauses: list[Clause]) -> None:
    """'no cough, limp or runs': what denies the first of a list denies the rest."""
    for left, right in itertools.pairwise(clauses):
        if left.neg_at < 0 or right.neg_at >= 0 or words.w[left.neg_at] not in _DENIALS:
            continue
        listed = right.sentence == left.sentence and right.sep in ("and", ",", "/") and not right.named
        only_said = right.first_saying >= 0 and right.first_saying - right.lo <= 1
        if listed and only_said and not right.amounts and not right.pronoun:
            right.neg_at = right.lo


def _fragment(words: Words, c: Clause) -> bool:
    """'Brack. 90g. Finished.': a few words without a subject of their own."""
    return sum(1 for i in range(c.lo, c.hi) if words.kind[i] in "wn") <= 5 and not c.human and c.pronoun is None


def carry(words: Words, roster: Roster, clauses: list[Clause]) -> None:
    """Gives a clause without a dog the one spoken of before it in the message, or right after it."""
    kennel = roster.kennel
    spoken: list[tuple[str, ...]] = []
    groups: dict[tuple[str, ...], tuple[tuple[str, ...], str]] = {}
    left_out: tuple[str, ...] = ()
    for k, c in enumerate(clauses):
        if c.taken and spoken:
            continue
        if c.named or c.newborns:
            spoken.append(c.dogs)
            left_out = next((m.but for m in c.mentions if m.but), ())
            groups[c.dogs] = (c.newborns, c.group)
            continue
        if c.dogs:  # joined from a list
            spoken.append(c.dogs)
            groups[c.dogs] = (c.newborns, c.group)
            continue
        if not c.saying and c.pronoun is None:
            continue
        if k and words.w[c.lo - 1] == "|" and "l" in words.kind[clauses[k - 1].hi : c.lo]:
            c.unsure = True  # a row of a table whose first cell names nobody: not the dog of the row above
        if c.lo > 1 and words.w[c.lo - 1] == "?" and words.kind[c.lo - 2] == "l":
            c.unsure = True  # "? 9.8 kg (forgot who)"
        if c.unsure:
            continue
        chosen = _whom(c, spoken, kennel, left_out)
        if chosen is not None:
            quiet = not any(o.saying for o in clauses[:k]) and is_bare(
                words, [o for o in clauses[:k] if o.named or o.dogs][-1]
            )
            c.dogs, c.how = chosen, "list" if quiet and _fragment(words, c) else "carried"
            c.newborns, c.group = groups.get(chosen, ((), ""))
        elif k + 1 < len(clauses) and c.sep != ":" and c.pronoun is None:
            after = clauses[k + 1]
            if (
                after.named
                and (not after.saying or _both_done(c, after))
                and after.sentence == c.sentence
                and after.sep != "but"
                and (not after.joined)
            ):
                c.dogs, c.newborns, c.group, c.how = after.dogs, after.newborns, after.group, "ahead"


def _both_done(c: Clause, after: Clause) -> bool:
    """'kennel cough booster and nails done for Otis': two things done to the dog named last."""
    acts = {"dose", "groom", "go 0"}
    return after.sep == "and" and not c.amounts and bool(acts & set(c.meanings)) and bool(acts & set(after.meanings))


def _sex(kennel: Kennel, name: str) -> str:
    dog = kennel.dog(name)
    return dog.sex if dog is not None else ""


def _whom(
    c: Clause, spoken: list[tuple[str, ...]], kennel: Kennel, left_out: tuple[str, ...] = ()
) -> tuple[str, ...] | None:
    """Those spoken of before whom the clause's pronoun fits, None where it fits none or several."""
    if not spoken:
        return None
    p = c.pronoun
    if p is not None and p.sex and not p.plural and left_out:
        # "all fed bar Moss, she wasn't interested": the one that was taken out
        fits = tuple(n for n in left_out if _sex(kennel, n) in (p.sex, ""))
        if len(fits) == 1:
            return fits
    if p is not None and p.group == "rest":
        # "Story left some; the other three finished": the last group without those named since
        since: set[str] = set()
        for names in reversed(spoken):
            if len(names) > 1:
                rest = tuple(n for n in names if n not in since)
                return rest if rest and (not p.count or p.count == len(rest)) else None
            since.update(names)
        listed = [n for names in spoken[:-1] for n in names if n not in spoken[-1]]
        rest = tuple(dict.fromkeys(listed))
        return rest if p.count > 1 and p.count == len(rest) else None  # "Captain 180 g, Teasel …; the other two …"
    if p is not None and p.plural:
        if len(spoken[-1]) > 1 and (not p.count or p.count == len(spoken[-1])):
            return spoken[-1]
        together: list[str] = []
        for names in spoken:
            together += [n for n in names if n not in together]
        if len(together) > 1 and p.count and len(together) > p.count:
            together = together[-p.count :]
        return tuple(together) if len(together) > 1 else spoken[-1]
    if p is not None and p.sex:
        for names in reversed(spoken):
            fits = tuple(n for n in names if _sex(kennel, n) in (p.sex, ""))
            if len(fits) == 1:
                return fits
            if fits:
                return fits if len(names) == 1 else None
        return None
    return spoken[-1]
