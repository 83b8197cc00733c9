"""What is asked of Fettle, and about whom."""

from __future__ import annotations

from bot.reading import undo
from bot.reading.about import is_between_people, subject_of
from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.mood import asks
from bot.reading.requests import is_wish
from bot.reading.work import Work
from core.entries import Question

_DUE_OF_KENNEL = words_of("cues", "due_of_kennel")
_FED_OF_KENNEL = words_of("cues", "fed_of_kennel")
_KENNEL_OR_DAY = words_of("cues", "kennel_or_day")
_NEWS_WORDS = words_of("cues", "news_words")
_RATION_OF_ALL = words_of("cues", "ration_of_all")
_THAT = words_of("cues", "that_weight")
_YOURS = words_of("cues", "yours")
_GENERAL = frozenset({"fed", "due", "undo", "chart", "ration", "summary"})


def read(work: Work) -> list[Question]:
    """The questions of the message to Fettle, one for each dog named; talk between people gives none."""
    words = work.words
    taken_back = undo.read(work)
    if taken_back is not None:
        return [taken_back]
    out: list[Question] = []
    done: set[int] = set()  # clauses already asked about
    for c in work.clauses:
        if id(c) in done:
            continue
        if not c.ask and not is_wish(work, c):
            continue
        same = _unit(work, c)
        about = subject_of(work, same)
        if (
            about == ""
            and c.named
            and c.topic in ("dose", "groom")
            and words.says(work.clauses[0].lo, work.clauses[0].hi, {"next", "due", "when"})
        ):
            about = "due"  # rows of names under "Next wormer:"
        if about == "":
            continue
        if is_between_people(work, same, about):
            continue
        done.update(id(o) for o in same)
        names, group = _whom(work, same, about)
        if not names and not group and not _needs_none(work, same, about):
            continue
        if group or not names:
            out.append(Question(about=about))
        else:
            out += [Question(about=about, dog=n) for n in names]
    out += _and_of(work, out)
    unique: list[Question] = []
    for q in out:
        if q not in unique:
            unique.append(q)
    return unique


def _and_of(work: Work, asked: list[Question]) -> list[Question]:
    """'what did copper weigh last time. and ember': the same of another dog."""
    named = [q for q in asked if q.dog]
    if not named:
        return []
    last = work.clauses[-1]
    if last.ask or not last.named or not _bare_names(work, last) or last.saying or len(work.clauses) < 2:
        return []
    if work.words.w[last.lo - 1 : last.lo] != ["and"] and work.words.w[last.lo] not in ("and", "also"):
        return []
    return [Question(about=named[-1].about, dog=n) for n in last.named if n != named[-1].dog]


def _unit(work: Work, c: Clause) -> list[Clause]:
    """The clauses of one question: up to where the next one of its sentence opens."""
    same = [
        o for o in work.clauses if o.sentence == c.sentence and (o.ask or o is c or (o.named and _bare_names(work, o)))
    ]
    opens = [o for o in same if asks(work.words, o.lo, o.hi)]
    start = max((o.lo for o in opens if o.lo <= c.lo), default=same[0].lo)
    stop = min((o.lo for o in opens if o.lo > max(c.lo, start)), default=10**6)
    return [o for o in same if start <= o.lo < stop] or [c]


def _bare_names(work: Work, c: Clause) -> bool:
    covered = sum(m.n for m in c.mentions)
    return sum(1 for i in range(c.lo, c.hi) if work.words.kind[i] == "w") - covered <= 1


def _whom(work: Work, clauses: list[Clause], about: str) -> tuple[tuple[str, ...], bool]:
    names: list[str] = []
    group = False
    for c in clauses:
        for m in c.mentions:
            if m.kind == "name":
                names += [n for n in m.names if n not in names]
            elif m.kind == "group" and m.group not in ("", "except"):
                group = True
    if names or group:
        return tuple(names), group and not names
    for c in clauses:
        if c.pronoun is None and about in ("due", "fed") and any(o.named for o in work.clauses):
            continue  # "…, and what is there to be done tomorrow?" asks of the whole kennel
        if c.dogs and c.how in ("carried", "before", "list"):
            each = len(c.dogs) == 1 or set(c.dogs) <= _named_one_by_one(work)
            return c.dogs if each else (), not each
    told = _named_one_by_one(work)
    if about in ("growth", "weight") and len(told) == 1 and any(work.says(c, _THAT) for c in clauses):
        return tuple(told), False  # "tank is 40.2 lb today. is that too heavy?"
    pronoun = next((c for c in clauses if c.pronoun is not None), None)
    if pronoun is not None:
        found = work.before_dogs(pronoun)
        if found:
            return (found, False) if len(found) == 1 else ((), True)
    return (), False


def _named_one_by_one(work: Work) -> set[str]:
    """The dogs that the message names by their own names, not as a group."""
    return {n for c in work.clauses for m in c.mentions if m.kind == "name" for n in m.names}


def _needs_none(work: Work, clauses: list[Clause], about: str) -> bool:
    """True for what can be asked of the kennel as a whole."""
    s = {w for c in clauses for w in work.words.w[c.lo : c.hi]}
    if about == "ears":
        return "the" in s and not (s & _YOURS)
    if about not in _GENERAL:
        return False
    if any(c.pronoun is not None and not c.pronoun.plural and c.pronoun.sex for c in clauses):
        return False
    if about == "due":
        return bool(s & _DUE_OF_KENNEL) and s & {"what", "time"} != {"what", "time"}
    if about == "fed":
        return bool(s & _FED_OF_KENNEL)
    if about == "summary":
        return bool(s & _KENNEL_OR_DAY) and bool(s & _NEWS_WORDS)
    if about == "ration":
        return bool(s & _RATION_OF_ALL)
    return about in ("chart", "undo")
