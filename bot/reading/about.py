"""What a question is about: weight, growth, ration, fed, due, ears, chart, summary; or nothing of Fettle's."""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work

_ASKED_OF_YOU = words_of("cues", "asked_of_you")
_DUE_WORDS = words_of("cues", "due_words")
_EARS_CARED_FOR = words_of("cues", "ears_cared_for")
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
_KENNEL_WORDS = words_of("cues", "kennel_words")
_MEDICINE_ASKED = words_of("cues", "medicine_asked")
_NEVER_DOSED = words_of("cues", "never_dosed")
_NO_RATION = words_of("cues", "no_ration")
_PEOPLE_DO = words_of("cues", "people_do")
_PEOPLE_MATTERS = words_of("cues", "people_matters")
_PEOPLE_WORDS = words_of("cues", "people_words")
_TIME_AGAIN = words_of("cues", "time_again")
_LEADS = words_of("cues", "question_leads")
_LONGEST_LEAD = 6  # words of "does any one of you know …" (own choice)
_WEIGHING = words_of("cues", "weighing")
_WHEN_DUE = words_of("cues", "when_due")
_WOULD_YOU = words_of("cues", "would_you")


def subject_of(work: Work, clauses: list[Clause]) -> str:
    """What these clauses of one question ask about, "" where they ask Fettle nothing."""
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
    hits.discard("undo")
    first = _first_open(said)
    asks_when = first in ("when", "whens", "wen")
    again = (
        bool(s & _TIME_AGAIN) and first in ("is", "are") and any(work.where(c, "dose", "groom") >= 0 for c in clauses)
    )
    if again and s & {"it", "they"}:
        return "due"  # "is it time for worming again?"
    if not hits:
        if (
            len(said) <= 8
            and first in ("what", "whats")
            and s & {"was", "is", "whats"}
            and _only_dog_and_day(work, clauses)
        ):
            return "weight"  # "What was White on Monday?"
        coming = asks_when and s & {"next", "due", "last"}
        record = any(work.where(c, "dose", "groom", "weigh", "season") >= 0 for c in clauses)
        return "due" if coming and record else ""
    if "chart" in hits:
        return "chart"
    if s & _MEDICINE_ASKED and s & {"much", "many", "give"}:
        return ""
    if s & _WEIGHING and first in _HOW_OR_WHAT:
        return "growth" if s & _GROWTH_OF_WEIGHT else "weight"
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
    if asks_when and ("due" in hits or s & _WHEN_DUE):
        return "due"
    if "due" in hits and (s & _DUE_WORDS or asks_when):
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


def _only_dog_and_day(work: Work, clauses: list[Clause]) -> bool:
    """'What was White on Monday?': nothing but a dog and a day."""
    words = work.words
    for c in clauses:
        for i in range(c.lo, c.hi):
            beside = words.kind[i] != "w" or words.has(i, "qword", "between", "day", "weekday", "dog", "t last")
            if not beside and not c.mentioned_at(i):
                return False
    return any(c.named for c in clauses)


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
    """The word that opens the question itself, after "can somebody tell me", "does anyone know if"."""
    lead = next((k for k, w in enumerate(said[:_LONGEST_LEAD]) if w in _LEADS), None)
    after = next((w for w in said[lead + 1 :] if w in _FIRST_QUESTION_WORDS), "") if lead is not None else ""
    if after:
        return after
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
    if first == "" and any(c.named and work.where(c, "fed") >= 0 for c in clauses):
        return True  # "leeu fed?"
    return food and (first in _FED_OPENERS or bool(s & _FED_OF_WHOM))


def is_between_people(work: Work, clauses: list[Clause], about: str) -> bool:
    """True for "Dad, are you home?": the question is about a person, or somebody else's dog."""
    words = work.words
    said: list[str] = []
    dog = any(c.named or c.newborns or (c.dogs and (c.pronoun is not None or about == "growth")) for c in clauses)
    for c in clauses:
        said += words.w[c.lo : c.hi]
        if c.other and not c.named:
            return True
    s = set(said)
    if dog:
        if "you" in s and about == "summary" and s & _ASKED_OF_YOU:
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
