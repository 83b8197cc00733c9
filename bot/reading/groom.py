"""Grooming: "brushed Moss", "did their nails", "bath done"."""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.people import own_body
from bot.reading.work import Work
from core.entries import Groom, Sign

_EAR_CUT_VERBS = words_of("cues", "ear_cut_verbs")
_TOLD_WITHOUT_ED = words_of("cues", "told_without_ed")
_DID_THEM = words_of("cues", "did_them")
_GROOM_HEADINGS = words_of("cues", "groom_headings")
_WASHED = words_of("cues", "washed")
_WASHED_PARTS = words_of("cues", "washed_parts")
_WIPED_BY_PEOPLE = words_of("cues", "wiped_by_people")


def read(work: Work, c: Clause) -> None:
    """Keeps what was groomed in the clause."""
    words = work.words
    tasks: list[tuple[str, int, bool, bool]] = []  # task, word, told by itself, sure to be a dog's
    paired: set[int] = set()
    for p, verb, thing in work.pairs(c):
        if c.named_at(verb) or c.named_at(thing):
            continue
        if p == 1 and words.w[thing] == "ears" and words.w[verb] in _EAR_CUT_VERBS:
            continue
        task = words.tags[verb][f"gv {p}"][0]
        if words.w[verb] == "cut" and work.where(c, "sign") >= 0 and p in (1, 2, 3):
            continue  # "a nasty cut on his pad"
        told = _past(words.w[verb]) or work.done(c) or _row(work, c)
        given = words.w[verb] in ("gave", "given") and c.pronoun is not None
        tasks.append((task, verb, told, given or task not in ("bath", "teeth")))
        paired |= {verb, thing}
    for i in range(c.lo, c.hi):
        if "groom" not in words.tags[i] or c.named_at(i) or i in paired:
            continue
        (task, form), n = words.tags[i]["groom"]
        if any(p in paired for p in range(i, i + n)):
            if any(t[0] == task for t in tasks):
                continue
        if task == "brush" and any(t[0] == "teeth" for t in tasks):
            continue
        if task == "brush" and words.w[i].startswith("brush") and words.has(i, "gv 4") and work.where(c, "go 4") >= 0:
            continue
        if task == "coat trim" and words.w[i] == "trim" and (work.where(c, "go 0", "go 1", "go 2", "earw") >= 0):
            continue
        if task == "bath" and words.w[i] in ("washed", "washing", "wash") and not c.dogs and c.pronoun is None:
            continue
        if words.w[i] == "groomed" and not c.dogs:
            continue
        told = form == "did" or work.done(c) or work.dated_line(c) or _row(work, c) or _under_groom(work, c)
        tasks.append(
            (task, i, told, form == "did" and task in ("nails", "brush", "ear trim", "feet trim", "ears cleaned"))
        )
    if not tasks and c.topic == "groom" and c.named and work.says(c, _DID_THEM):
        tasks += [(task, c.lo, True, True) for task in _headed(work, c)]
    for task, i, told, sure in tasks:
        if not told or work.shut(c, i, naming=words.tags[i].get("groom", (("", "do"), 0))[0][1] == "do"):
            continue
        if task == "bath" and (_only_a_part(work, c, i) or _wound_washed(work, c, i)):
            continue
        if own_body(work, c, i):
            continue
        if (
            task in ("bath", "ears cleaned", "teeth")
            and words.w[i] in _WIPED_BY_PEOPLE
            and (c.human and _thing(work, i))
        ):
            continue
        if (
            task == "bath"
            and words.w[i] == "bathed"
            and c.how == "carried"
            and work.where(c, "pron") >= 0
            and _thing(work, i)
        ):
            continue
        work.post(c, Groom(dog="", on=work.day(c), task=task, clock=work.clock(c)), sure)


def _headed(work: Work, c: Clause) -> list[str]:
    """'bath day!! did fudge then mango': the task of the heading."""
    for o in reversed(work.clauses[: c.number]):
        i = o.meanings.get("groom", -1)
        if i >= 0 and not o.named:
            return [work.words.tags[i]["groom"][0][0]]
    return []


def _only_a_part(work: Work, c: Clause, i: int) -> bool:
    """'washed Tank's muddy paws': a part of the dog, or a thing of his, and no bath."""
    return work.words.w[i] in _WASHED and work.words.says(i + 1, min(c.hi, i + 6), _WASHED_PARTS)


def _wound_washed(work: Work, c: Clause, i: int) -> bool:
    """'Opened up his pad. Washed and wrapped.': the wound, not the dog."""
    return (
        work.words.w[i] in _WASHED
        and c.how == "carried"
        and any(isinstance(e, Sign) and e.sign == "wound" and e.dog in c.dogs for e, _ in work.found)
    )


def _under_groom(work: Work, c: Clause) -> bool:
    """'full groom for Bramble: bath, nails, feet': one task of a list under a heading that says it was done."""
    over = next((o for o in reversed(work.clauses[: c.number]) if o.named and o.sentence == c.sentence), None)
    if over is None or c.how != "carried" or c.hi - c.lo > 3 or over.ask or over.plan_at >= 0 or over.neg_at >= 0:
        return False
    listed = work.clauses[over.number + 1].sep == ":" and not any(
        o.plan_at >= 0 for o in work.clauses[over.number : c.number + 1]
    )
    return listed and work.says(over, _GROOM_HEADINGS)


def _row(work: Work, c: Clause) -> bool:
    """'Nails 22.10: Storm, Saga', 'Coat trim: Mimmi' among rows that tell: a heading over its dogs."""
    told = any(w.on <= work.today for w in c.whens) or any(isinstance(e, Groom) for e, _ in work.found)
    before = work.clauses[c.number - 1] if c.number else None
    if (
        before is not None
        and before.named
        and before.whens
        and before.hi - before.lo <= 5
        and c.sentence == before.sentence
    ):
        return c.how == "carried" and c.hi - c.lo <= 2 and before.whens[0].on <= work.today  # "10/10 Treacle, bath"
    told = told or (
        c.number == 0 and c.hi - c.lo == 1 and work.words.w[c.hi : c.hi + 1] == [":"]
    )  # "BATHS: bracken, fly"
    return c.how == "list" and told and c.plan_at < 0


def _past(w: str) -> bool:
    return w.endswith("ed") or w in _TOLD_WITHOUT_ED


def _thing(work: Work, i: int) -> bool:
    """'I bathed it in salt water': the cut, not the dog."""
    w = work.words.w
    return i + 1 < len(w) and w[i + 1] == "it"
