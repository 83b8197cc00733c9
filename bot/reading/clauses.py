"""The message cut into clauses.

A clause runs from one comma, "and", full stop or line break to the next, and is cut again between dogs that
each have their own figure ("nug 9.3 junie 8.1"). How each is meant is for `mood`, whom it is about for `subjects`.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable

from bot.reading.amounts import Amount
from bot.reading.clause import SAYING, Clause, ends_in_dog, is_last
from bot.reading.lexicon import words_of
from bot.reading.mention import Mention
from bot.reading.mood import asks, look, number_sentences
from bot.reading.roster import Roster
from bot.reading.subjects import carry, give_tail_topics, give_topics, join_lists, leave_recipes
from bot.reading.tokens import Words
from bot.reading.when import When

_ASKED_SUBJECTS = words_of("cues", "asked_subjects")
_MAY_WE = words_of("cues", "may_we")
_NO_OPENING_BEFORE = words_of("cues", "no_opening_before")
_ASKING_FIRST = words_of("cues", "asking_first")
_TICK_WORDS = words_of("cues", "tick_words")
_OPENING_VERBS = words_of("cues", "opening_verbs")
_CUTS = words_of("cues", "clause_joins")
_COMPLETING = words_of("cues", "completing")
_OWN_VERBS = words_of("cues", "own_verbs")
_ACTS = ("give", "fed", "groom", "dose")
_OWN_NEWS = ("sign", "eaten", "swallow", "earp", "season", "whelp", "mate", "cond", "ribs", "tooth")
_BOWLED = ("cup", "can", "tbsp", "tsp", "g")
_LISTED = (",", "and", "then", "+")
_MARKS = frozenset({",", ":", "(", ")", "|", "–", "—", "-", "[", "]", "=", ">", "~"})
_SUBJECTS = words_of("cues", "opening_subjects")
_JOINS = words_of("cues", "no_opening_after")


def cut(
    words: Words, roster: Roster, mentions: list[Mention], amounts: list[Amount], whens: list[When]
) -> list[Clause]:
    """The clauses of a message, in order, with dogs and mood."""
    clauses = _split(words, mentions, amounts, whens)
    _fill(clauses, mentions, amounts, whens)
    clauses = _join_acted(words, _split_pairs(words, clauses))
    for number, c in enumerate(clauses):
        c.number = number
        c.meanings = _meanings(words, c)
    for c in clauses:
        look(words, c)
        c.ask = c.ask and not _exclaims(words, c)
    number_sentences(words, clauses)
    give_topics(words, clauses)
    give_tail_topics(words, clauses)
    leave_recipes(words, clauses)
    join_lists(words, clauses)
    carry(words, roster, clauses)
    return clauses


def _exclaims(words: Words, c: Clause) -> bool:
    """'pickle is limping??': a sign told in the order of a statement, with more than a plain question mark."""
    mark = words.w[c.hi] if c.hi < len(words) else ""
    told = "sign" in c.meanings and bool(c.named) and c.mentions[0].i < c.meanings["sign"]
    return told and mark.count("?") > 0 and len(mark) > 1 and not asks(words, c.lo, c.hi)


def _split(words: Words, mentions: list[Mention], amounts: list[Amount], whens: list[When]) -> list[Clause]:
    shut: set[int] = set()  # words inside something that is not cut
    for a in amounts:
        shut.update(range(a.i, a.end))
    for when in whens:
        shut.update(range(when.i, when.end))
    for m in mentions:
        shut.update(range(m.i, m.end))
    owners = {m.end - 1 for m in mentions if m.owner}
    owned = {m.i for m in mentions if m.owner}
    out: list[Clause] = []
    lo, sep = 0, "start"
    phrase_end = 0
    for i in range(len(words)):
        kind, word = words.kind[i], words.w[i]
        tags = words.tags[i]
        if tags:
            for meaning, (_, n) in tags.items():
                if n > 2 and i + n > phrase_end and meaning not in ("ask", "between"):
                    phrase_end = i + n
        cut_here = ""
        if i in shut or (i - 1 in owners and i + 1 in owned):
            continue  # "Teasel's and Pickle's ears"
        if word in ("and", "n", "&") and any(m.end == i and words.w[m.i - 1 : m.i] == ["between"] for m in mentions):
            continue  # "split between Skipper and Toast"
        if word in ("and", "n", "&") and i and _groomed_part(words, i - 1) and _groomed_part(words, i + 1):
            continue  # "Gin's belly and britches"
        if kind == "s":
            # a stop inside an abbreviation or a number never comes here; "e.g." does no harm
            cut_here = "stop" if word[0] != "?" and "?" not in word else "ask"
        elif kind == "l":
            cut_here = "line"
        elif kind == "p":
            if word in _MARKS:
                if word == "-" and not _spaced(words, i):
                    continue
                if word in ("=", "-", "–", "—", ">") and i + 1 in shut and words.kind[i + 1] in "nf":
                    continue
                cut_here = word
            elif word in ("&", "+") and i >= phrase_end:
                cut_here = "and"
            elif word == "/" and not _tight(words, i):
                cut_here = ","
        elif kind == "w" and i > lo and i + 1 < len(words) and _opens(words, i, lo):
            out.append(Clause(lo, i, sep))
            sep, lo = "and", i
            continue
        elif word in _CUTS and i >= phrase_end:
            cut_here = "and" if word in ("and", "n", "nd", "plus") else word
        if cut_here:
            if i > lo:
                out.append(Clause(lo, i, sep))
                sep = cut_here
            elif cut_here in ("stop", "line", "ask") or sep not in ("stop", "line", "ask", "start"):
                if not (sep in ("stop", "line", "ask", "start") and cut_here in ("and", ",")):
                    sep = cut_here if sep != "start" or cut_here == "ask" else sep
            if cut_here == "ask" and out and out[-1].hi == i:
                out[-1].ask = True
            lo = i + 1
    if lo < len(words):
        out.append(Clause(lo, len(words), sep))
    return out


def _groomed_part(words: Words, i: int) -> bool:
    """True for a part that is groomed and is no act by itself ("belly", "feet", not "nails" or "bath")."""
    return words.has(i, "go 2", "go 3") and not words.has(i, "groom")


def _opens(words: Words, i: int, lo: int) -> bool:
    """True where a new statement or question starts without a mark: "… in season I noticed", "… crying can i give"."""
    w, before, after = words.w[i], words.w[i - 1], words.w[i + 1]
    if w not in _SUBJECTS and w not in _OPENING_VERBS and w not in ("so", "i"):
        return False
    if words.kind[i - 1] != "w" or asks(words, lo, i):
        return False
    if w == "i" and all(
        words.tags[k] and words.has(k, "day", "ounit", "between", "t last", "give", "fed") for k in range(lo, i)
    ):
        return False  # "last night gave I Odin his tablet", as some other languages order it
    if (
        w in _SUBJECTS
        and before not in _JOINS
        and before not in _SUBJECTS
        and words.kind[i + 1] == "w"
        and (i - lo >= 3)
        and after not in _NO_OPENING_BEFORE
    ):
        return True
    if w == "so" and asks(words, i + 1, len(words)) and words.w[i + 1] in _ASKING_FIRST:
        return True  # "… and my feet up so what happened with the dogs"
    if w == "so" and (after in _SUBJECTS or after in ("ive", "weve", "the", "that") or "dog" in words.tags[i + 1]):
        return True
    return (
        w in _OPENING_VERBS
        and after in _ASKED_SUBJECTS
        and before not in _JOINS
        and i - lo >= (1 if w in _MAY_WE else 2)
        and (w in _MAY_WE or before not in _SUBJECTS)
        and not (w in ("is", "has") and after in ("that", "it"))
    )


def _spaced(words: Words, i: int) -> bool:
    before = i == 0 or words.end[i - 1] < words.start[i]
    after = i + 1 >= len(words) or words.end[i] < words.start[i + 1]
    return before or after


def _tight(words: Words, i: int) -> bool:
    return (
        (i > 0 and words.end[i - 1] == words.start[i])
        and (i + 1 < len(words) and words.end[i] == words.start[i + 1])
        and (words.kind[i - 1] == "n" or len(words.w[i - 1]) == 1)
    )


def _fill(clauses: list[Clause], mentions: list[Mention], amounts: list[Amount], whens: list[When]) -> None:
    at = {i: c for c in clauses for i in range(c.lo, c.hi)}
    named: set[int] = set()
    for m in mentions:
        named.update(range(m.i, m.end))
        if m.i in at:
            at[m.i].mentions.append(m)
    for a in amounts:
        if a.i in at and a.i not in named:
            at[a.i].amounts.append(a)
    for w in whens:
        if w.i in at:
            at[w.i].whens.append(w)
    for c in clauses:
        for m in c.mentions:  # a mention may reach over the cut
            c.hi = max(c.hi, m.end)


def _join_acted(words: Words, clauses: list[Clause]) -> list[Clause]:
    """'gave Simba, Nala and Leeu their dinner', "did Fern and Bran's nails": the act, all it was done to, and
    what was done are one clause.
    """
    out: list[Clause] = []
    open_ = False
    for c in clauses:
        m = c.mentions[0] if c.mentions else None
        listed = c.sep in _LISTED and m is not None and m.i == c.lo and m.kind in ("name", "group")
        another = c.sep in _LISTED and m is not None and m.owner and _another_did(words, c, m)
        if out and c.sep == "," and not c.mentions and not out[-1].mentions and _ticked(words, c):
            out[-1].hi = c.hi  # "flea and tick, done today"
            out[-1].whens += c.whens
        elif (listed or another) and m is not None and out and (owned := _owned_too(words, out[-1], c, m)):
            out[-1].hi = c.hi
            out[-1].mentions += owned
        elif open_ and listed and m is not None and (is_last(words, c, m) or _completes(words, c, m)):
            whole = out[-1]
            whole.hi = c.hi
            whole.ask = whole.ask or c.ask
            whole.mentions += c.mentions
            whole.amounts += c.amounts
            whole.whens += c.whens
        else:
            out.append(c)
        open_ = ((open_ and listed) or _acts(words, c)) and ends_in_dog(words, c)
    return out


def _another_did(words: Words, c: Clause, m: Mention) -> bool:
    """'… and mum did Pip's'."""
    return m.i - c.lo == 2 and words.has(c.lo, "kin", "person", "self") and _tagged(words, c.lo + 1, "gv ")


def _owned_too(words: Words, before: Clause, c: Clause, m: Mention) -> list[Mention]:
    """'trimmed between Fudge's toes and Mango's toes': the mentions of the clause that only says whose part too."""
    owners = [x for x in before.mentions if x.owner]
    acted = bool(owners) and _acted(words, before, owners[0]) and m.owner
    return (
        c.mentions
        if acted and _only_parts(words, range(m.end, c.hi)) and len(c.mentions) == 1 and not c.amounts
        else []
    )


def _acted(words: Words, c: Clause, m: Mention) -> bool:
    return any(_tagged(words, i, "gv ") for i in range(c.lo, m.i))


def _only_parts(words: Words, places: Iterable[int]) -> bool:
    """True where nothing but parts of a dog ("toes") and "and" stand there."""
    said = [i for i in places if words.kind[i] == "w" and not words.has(i, "s and")]
    return all(_tagged(words, i, "go ") or words.has(i, "body", "earw", "toothw") for i in said)


def _ticked(words: Words, c: Clause) -> bool:
    return not c.amounts and all(words.w[i] in _TICK_WORDS or words.kind[i] not in "wn" for i in range(c.lo, c.hi))


def _acts(words: Words, c: Clause) -> bool:
    """'gave Simba', 'brushed Simba': an act before the dog, and nothing else."""
    named = [m for m in c.mentions if m.kind in ("name", "group")]
    if not named or c.amounts:
        return False
    told = [i for i in range(c.lo, c.hi) if _says(words, i) and not c.mentioned_at(i)]
    if not told and words.w[named[0].i - 1] == "for":
        return any(words.has(i, "meal") for i in range(c.lo, named[0].i))  # "dinner for Fern and Bran done"
    if len(told) != 1 or told[0] > named[0].i:
        return False
    return words.has(told[0], *_ACTS) or _tagged(words, told[0], "gv ")


def _completes(words: Words, c: Clause, m: Mention) -> bool:
    """True where "Leeu a chew each", "Nala with the slicker", "Bran's nails" says only what was done."""
    behind = [i for i in range(m.end, c.hi) if not any(a.i <= i < a.end for a in c.amounts)]
    told = any(words.has(i, *_OWN_NEWS) or words.w[i] in _OWN_VERBS for i in behind)
    if told or any(o.kind in ("name", "group") for o in c.mentions if o is not m):
        return False
    if m.end >= c.hi:
        return False
    if c.hi - m.end == 1 and words.w[m.end] in _TICK_WORDS:
        return True
    if m.owner or c.hi - m.end == 1:
        return any(words.has(i, "groom") or _tagged(words, i, "go ") for i in behind)
    if words.kind[m.end] in "nf" or words.has(m.end, "num", "s half"):
        served = any(words.has(i, "s each", "food", "treat", "dose", "meal") for i in range(m.end, c.hi))
        return served or any(a.unit in _BOWLED for a in c.amounts)  # "fed everyone, Nugget 9.4 kg" weighs
    return words.has(m.end, "meal", "food", "treat", "dose") or words.w[m.end] in _COMPLETING


def _tagged(words: Words, i: int, kind: str) -> bool:
    tags = words.tags[i]
    return bool(tags) and any(m[:3] == kind for m in tags)


def _says(words: Words, i: int) -> bool:
    tags = words.tags[i]
    return bool(tags) and (bool(SAYING.intersection(tags)) or _tagged(words, i, "gv "))


def _split_pairs(words: Words, clauses: list[Clause]) -> list[Clause]:
    """Cuts between dogs that each have something of their own said."""
    out: list[Clause] = []
    for c in clauses:
        named = [m for m in c.mentions if m.kind in ("name", "group")]
        if len(named) < 2:
            out.append(c)
            continue
        if any("mate" in words.tags[i] for i in range(c.lo, c.hi)):
            out.append(c)
            continue
        cuts: list[int] = []
        last_is_dog = is_last(words, c, named[-1])
        first = next((i for i in range(c.lo, named[0].i) if _says(words, i) or any(a.i == i for a in c.amounts)), None)
        dog_after = first is not None and last_is_dog
        for k, (left, right) in enumerate(itertools.pairwise(named)):
            between = range(left.end, right.i)
            rest = range(right.end, named[k + 2].i if k + 2 < len(named) else c.hi)
            if left.owner and right.owner and _acted(words, c, named[0]) and _only_parts(words, (*between, *rest)):
                continue  # "did Fern's nails and Bran's nails"
            says = [i for i in between if _says(words, i) or any(a.i == i for a in c.amounts)]
            if not says:
                waits = words.has(right.end, "plan", "neg") and any(_says(words, i) for i in range(c.lo, left.i))
                if waits and right.i - left.end > 1:
                    cuts.append(right.i)  # "got the wormer down Boone, finally … Delta still to do"
                continue
            cuts.append(left.end if dog_after else right.i)
        lo = c.lo
        for at in [*cuts, c.hi]:
            if at <= lo:
                continue
            piece = Clause(lo, at, c.sep if lo == c.lo else ",")
            piece.ask = c.ask
            piece.mentions = [m for m in c.mentions if lo <= m.i < at]
            piece.amounts = [a for a in c.amounts if lo <= a.i < at]
            piece.whens = [w for w in c.whens if lo <= w.i < at]
            out.append(piece)
            lo = at
    return out


def _meanings(words: Words, c: Clause) -> dict[str, int]:
    first: dict[str, int] = {}
    tags = words.tags
    for i in range(c.lo, min(c.hi, len(tags))):
        for meaning in tags[i]:
            if meaning not in first:
                first[meaning] = i
    return first
