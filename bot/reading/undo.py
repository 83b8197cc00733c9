""" "scrap that", "undo": the last record is taken back."""

from __future__ import annotations

from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core.entries import Question

_UNDO_ASKED = words_of("cues", "undo_asked")
_UNDO_BACK = words_of("cues", "undo_back")
_UNDO_ENTRY = words_of("cues", "undo_entry")
_UNDO_IF_SHORT = words_of("cues", "undo_if_short")
_UNDO_OF_DOG = words_of("cues", "undo_of_dog")
_UNDO_OF_THINGS = words_of("cues", "undo_of_things")
_UNDO_TAKEN = words_of("cues", "undo_taken")
_UNDO_WITH_BACK = words_of("cues", "undo_with_back")
_UNDO_WITH_ENTRY = words_of("cues", "undo_with_entry")


def read(work: Work) -> Question | None:
    """The question that takes the last record back, None where the message does not ask for it."""
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
