"""What is asked of Fettle: weight, growth, ration, fed, due, ears, chart, summary, undo."""

from __future__ import annotations

from bot.reading.clauses import Clause, asks
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core.entries import Question

_ASKED_OF_YOU = words_of("cues", "asked_of_you")
_DRAWN = words_of("cues", "drawn")
_DUE_OF_KENNEL = words_of("cues", "due_of_kennel")
_DUE_WORDS = words_of("cues", "due_words")
_EARS_CARED_FOR = words_of("cues", "ears_cared_for")
_FED_OF_KENNEL = words_of("cues", "fed_of_kennel")
_FED_OF_WHOM = words_of("cues", "fed_of_whom")
_FED_OPENERS = words_of("cues", "fed_openers")
_FEEDING_WORDS = words_of("cues", "feeding_words")
_FIRST_QUESTION_WORDS = words_of("cues", "first_question_words")
_FOOD_ASKED = words_of("cues", "food_asked")
_GROWTH_OF_WEIGHT = words_of("cues", "growth_of_weight")
_GROWTH_WORDS = words_of("cues", "growth_words")
_HOW_IS = words_of("cues", "how_is")
_HOW_IS_ALL = words_of("cues", "how_is_all")
_HOW_OR_WHAT = words_of("cues", "how_or_what")
_KENNEL_MATTERS = words_of("cues", "kennel_matters")
_KENNEL_OR_DAY = words_of("cues", "kennel_or_day")
_KENNEL_WORDS = words_of("cues", "kennel_words")
_MEDICINE_ASKED = words_of("cues", "medicine_asked")
_NEVER_DOSED = words_of("cues", "never_dosed")
_NEWS_WORDS = words_of("cues", "news_words")
_NO_RATION = words_of("cues", "no_ration")
_PEOPLE_DO = words_of("cues", "people_do")
_PEOPLE_MATTERS = words_of("cues", "people_matters")
_PEOPLE_WORDS = words_of("cues", "people_words")
_RATION_OF_ALL = words_of("cues", "ration_of_all")
_TELL_HOW = words_of("cues", "tell_how")
_TELL_ME = words_of("cues", "tell_me")
_TELLING = words_of("cues", "telling")
_UNDO_ASKED = words_of("cues", "undo_asked")
_UNDO_BACK = words_of("cues", "undo_back")
_UNDO_ENTRY = words_of("cues", "undo_entry")
_UNDO_IF_SHORT = words_of("cues", "undo_if_short")
_UNDO_OF_DOG = words_of("cues", "undo_of_dog")
_UNDO_OF_THINGS = words_of("cues", "undo_of_things")
_UNDO_TAKEN = words_of("cues", "undo_taken")
_UNDO_WITH_BACK = words_of("cues", "undo_with_back")
_UNDO_WITH_ENTRY = words_of("cues", "undo_with_entry")
_WEIGHING = words_of("cues", "weighing")
_WHEN_DUE = words_of("cues", "when_due")
_WOULD_YOU = words_of("cues", "would_you")
_YOURS = words_of("cues", "yours")

_GENERAL = frozenset({"fed", "due", "undo", "chart", "ration", "summary"})
# Which of several is meant where words for more than one stand in the question, strongest first.
_ORDER = ("chart", "ration", "fed", "growth", "due", "ears", "weight", "summary")


def read(work: Work) -> list[Question]:
    """The questions of the message to Fettle, one for each dog named; talk between people gives none."""
    words = work.words
    undo = _undo(work)
    if undo is not None:
        return [undo]
    out: list[Question] = []
    done: set[int] = set()  # clauses already asked about
    for c in work.clauses:
        if id(c) in done:
            continue
        if not c.ask and not _requests(work, c):
            continue
        same = _unit(work, c)
        about = _about(work, same)
        if (
            about == ""
            and c.named
            and c.topic in ("dose", "groom")
            and words.says(work.clauses[0].lo, work.clauses[0].hi, {"next", "due", "when"})
        ):
            about = "due"  # rows of names under "Next wormer:"
        if about == "":
            continue
        if _between_people(work, same, about):
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


def _undo(work: Work) -> Question | None:
    words = work.words
    for c in work.clauses:
        i = work.where(c, "ask undo")
        if i < 0:
            continue
        w, n = words.w[i], words.tags[i]["ask undo"][1]
        rest = [words.w[j] for j in range(c.lo, c.hi) if words.kind[j] == "w"]
        # "scrap that, 9.2" corrects; "scrap that" alone takes back; "forget that film" is talk
        if any(a for o in work.clauses for a in o.amounts if a.other is None and a.form == "digits"):
            return None
        if any(o.whens and o is not c and (o.saying or o.pronoun is not None) for o in work.clauses):
            return None  # "Scratch that, her nails were Friday" gives the day anew
        if c.named and w not in _UNDO_OF_DOG:
            return None
        said = set(words.w[i : i + n])
        if w in _UNDO_IF_SHORT and len(rest) - n > 4:
            continue
        if w in _UNDO_WITH_BACK and not (said & _UNDO_BACK):
            continue
        if w in _UNDO_WITH_ENTRY and not (_UNDO_ENTRY & set(rest)):
            continue
        if w == "take" and not (_UNDO_TAKEN & set(rest)):
            continue
        if c.ask and w not in _UNDO_ASKED:
            continue
        if any(x in rest for x in _UNDO_OF_THINGS):
            continue
        return Question(about="undo")
    return None


_REQUEST = words_of("cues", "wish_to_see")


def _requests(work: Work, c: Clause) -> bool:
    """A wish to be shown something is a question too: "graph 4 biscuit pls"."""
    words = work.words
    said = words.w[c.lo : c.hi]
    if work.where(c, "ask chart") >= 0:
        i = work.where(c, "ask chart")
        if words.w[i] in _DRAWN and not (set(said) & _REQUEST):
            return False
        return bool(set(said) & _REQUEST) or len(said) <= 5
    if work.where(c, "ask summary") >= 0 and set(said) & {"catch", "fill", "bring"} and set(said) & {"me", "us"}:
        return True
    if set(said) & _TELL_ME:
        return (
            work.where(c, "ask summary", "ask due", "ask ration", "ask weight", "ask growth", "ask ears", "ask fed")
            >= 0
            and (set(said) & _TELL_HOW) != set()
            and not (set(said) & {"tell", "remind"} and not {"me", "us"} & set(said))
            and _not_telling(words.w, c)
        )
    if said[:1] in (["any"], ["anything"]) or said[:2] == ["time", "for"]:
        return c.ask
    return False


def _not_telling(w: list[str], c: Clause) -> bool:
    said = w[c.lo : c.hi]
    return not any(x in said for x in _TELLING) and not ("dont" in said and "know" in said and ("why" in said))


def _about(work: Work, clauses: list[Clause]) -> str:
    words = work.words
    hits: set[str] = set()
    said: list[str] = []
    for c in clauses:
        said += words.w[c.lo : c.hi]
        for i in range(c.lo, c.hi):
            for m in words.tags[i]:
                if m.startswith("ask "):
                    if any(x.i <= i < x.end and x.kind == "name" and not x.owner for x in c.mentions):
                        continue
                    hits.add(m[4:])
    s = set(said)
    if "undo" in hits:
        hits.discard("undo")
    first = _first_open(said)
    if not hits:
        if (
            first in ("what", "whats")
            and s & {"was", "is", "whats"}
            and any(c.named for c in clauses)
            and len(said) <= 8
            and (
                all(
                    work.words.kind[i] != "w"
                    or work.words.has(i, "qword", "between", "day", "weekday", "dog", "t last")
                    or any(m.i <= i < m.end for m in c.mentions)
                    for c in clauses
                    for i in range(c.lo, c.hi)
                )
            )
        ):
            return "weight"  # "What was White on Monday?"
        coming = first in ("when", "whens", "wen") and s & {"next", "due", "last"}
        record = any(work.where(c, "dose", "groom", "weigh", "season") >= 0 for c in clauses)
        return "due" if coming and record else ""
    if "chart" in hits:
        return "chart"
    if s & _MEDICINE_ASKED and s & {"much", "many", "give"}:
        return ""
    weighing = bool(s & _WEIGHING)
    if weighing and first in _HOW_OR_WHAT:
        if s & _GROWTH_OF_WEIGHT:
            return "growth"
        return "weight"
    if "ration" in hits and s & {"weigh", "weighs"}:
        return "weight"
    if "ration" in hits and (s & _NO_RATION) and not (s & _FOOD_ASKED):
        return "growth" if s & {"gained", "grown", "gain"} else ""
    if "ration" in hits:
        if any(work.where(c, "dose") >= 0 or (s & _NEVER_DOSED) for c in clauses):
            return ""  # no doses are ever told
        return "ration"
    if "ears" in hits and not (s & _EARS_CARED_FOR):
        if not ("fed" in hits and s & {"fed", "eaten"}):
            return "ears"
    if first in ("when", "whens", "wen") and ("due" in hits or s & _WHEN_DUE):
        return "due"
    if "due" in hits and (s & _DUE_WORDS or first in ("when", "whens", "wen")):
        return "due"
    if "growth" in hits and _growing(s, first, hits):
        return "growth"
    if "fed" in hits and _feeding(work, clauses, s, first):
        return "fed"
    if "due" in hits:
        return "due"
    if "weight" in hits:
        return "weight"
    if "summary" in hits and _after_the_dog(work, clauses):
        return "summary"
    return ""


def _after_the_dog(work: Work, clauses: list[Clause]) -> bool:
    """True where "how is" is followed by the dog itself, not by "the walk with" it."""
    words = work.words
    for c in clauses:
        i = work.where(c, "ask summary")
        if i < 0:
            continue
        if words.w[i] not in _HOW_IS:
            return True
        end = i + words.tags[i]["ask summary"][1]
        if end < c.hi and words.w[end] in _HOW_IS_ALL:
            return True
        return any(m.i - end <= 2 and m.i >= i for o in clauses for m in o.mentions)
    return True


def _first_open(said: list[str]) -> str:
    for w in said:
        if w in _FIRST_QUESTION_WORDS:
            return w
    return ""


def _growing(s: set[str], first: str, hits: set[str]) -> bool:
    if s & _GROWTH_WORDS:
        return first not in ("why", "where")
    return "fed" not in hits and "due" not in hits


def _feeding(work: Work, clauses: list[Clause], s: set[str], first: str) -> bool:
    food = any(work.where(c, "meal", "treat", "food") >= 0 for c in clauses) or bool(s & _FEEDING_WORDS)
    if "please" in s or (first in _WOULD_YOU and "you" in s):
        return False  # a request between people
    return food and (first in _FED_OPENERS or bool(s & _FED_OF_WHOM))


def _between_people(work: Work, clauses: list[Clause], about: str) -> bool:
    """True for "Dad, are you home?": the question is about a person, or somebody else's dog."""
    words = work.words
    said: list[str] = []
    dog = any(c.named or (c.dogs and c.pronoun is not None) for c in clauses)
    for c in clauses:
        said += words.w[c.lo : c.hi]
        if c.other and not c.named:
            return True
    s = set(said)
    if dog:
        if "you" in s and about in ("summary",) and s & _ASKED_OF_YOU:
            return True
        return bool(s & _PEOPLE_DO) and about in ("summary", "weight", "due", "fed", "growth")
    elsewhere = any(c.elsewhere for c in clauses)
    if elsewhere:
        return True
    if about in ("summary", "growth", "weight", "ears"):
        people = _PEOPLE_WORDS
        return bool(s & people) or any(c.human for c in clauses)
    if about in ("due", "fed", "ration"):
        if any(
            "kin" in words.tags[i] or "person" in words.tags[i] for c in clauses for i in range(c.lo, c.hi)
        ) and not (s & _KENNEL_WORDS):
            return True
        return bool(s & _PEOPLE_MATTERS) and not (s & _KENNEL_MATTERS)
    return False


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
            return c.dogs if len(c.dogs) == 1 else (), len(c.dogs) > 1
    pronoun = next((c for c in clauses if c.pronoun is not None), None)
    if pronoun is not None:
        found = work.before_dogs(pronoun)
        if found:
            return (found, False) if len(found) == 1 else ((), True)
    return (), False


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
