"""Condition: a score of nine or five, and how the ribs feel."""

from __future__ import annotations

from bot.reading.amounts import Amount
from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core import plausible
from core.entries import Condition

_COVER_WORDS = words_of("cues", "cover_words")
_RIB = words_of("cues", "rib")
_FEEL = {ribs: words_of("cues", "ribs_feel", ribs) for ribs in ("sharp", "easy", "hard")}
_OTHER_SCORES = words_of("cues", "other_scores")


def read(work: Work, c: Clause) -> None:
    """Keeps the condition told in the clause: a score, how the ribs feel, or both."""
    words = work.words
    ribs_at = work.where(c, "ribs")
    ribs = words.tags[ribs_at]["ribs"][0] if ribs_at >= 0 else None
    if ribs is None:
        ribs, ribs_at = _of_ribs_before(work, c)
    k = c.number
    cond = work.where(c, "cond")
    headed = cond < 0 and any(
        work.where(o, "cond") >= 0 and not o.ask and not _other_score(work, o) for o in work.clauses[max(0, k - 6) : k]
    )
    headed = headed or c.topic == "condition" or _next_of_list(work, c)
    score: float | None = None
    scale: int | None = None
    at = ribs_at
    for j, a in enumerate(c.amounts):
        if a.other is not None or a.unit is not None or a.sign or a.ordinal:
            continue
        if a.of in (9, 5) and a.form == "digits":
            value: float | None = a.value
            size: float | None = a.of
        else:
            value, size = a.value, None
            nxt = c.amounts[j + 1] if j + 1 < len(c.amounts) else None
            if nxt is not None and nxt.value == 10 and _out_of(words.w, a.end, nxt.i):
                return
            if nxt is not None and nxt.value in (9, 5) and _out_of(words.w, a.end, nxt.i):
                size = nxt.value
        if size is None and not (cond >= 0 or (headed and c.dogs and _bare_score(a))):
            continue
        if size is None and a.value in (9, 5) and words.says(max(c.lo, a.i - 2), a.i, {"of", "scale"}):
            continue
        beside = size is not None and any("ribs" in o.meanings and o.sentence == c.sentence for o in work.clauses)
        if cond < 0 and not headed and not beside and not _plain_share(work, c, a, size):
            continue
        if cond >= 0 and _other_score(work, c):
            continue
        scale_said = size or _scale_around(work, c)
        score, scale = value, int(scale_said) if scale_said else None
        at = a.i
        break
    if score is None and ribs is None:
        return
    i = at if at >= 0 else c.lo
    if ribs is not None and score is None:
        if c.ask or c.wish or c.quote or c.near or c.joke or (0 <= c.plan_at < ribs_at) or 0 <= c.neg_at < ribs_at:
            return
    elif work.shut(c, i) or c.joke:
        return
    if c.human and not c.dogs and c.pronoun is None:
        return
    on = work.day(c)
    size_kept = scale if scale else (9 if score is not None else None)
    if score is not None and not plausible.condition_fits(score, size_kept or 9):
        dogs = work.whom(c, "condition")
        if dogs and (cond >= 0 or scale) and not c.elsewhere:
            work.doubt("value", Condition(dog=dogs[0], on=on, score=score, scale=scale), c)
        return
    dogs = work.whom(c, "condition")
    entry = Condition(dog="", on=on, score=score, scale=size_kept, ribs=ribs)
    if not dogs:
        work.no_dog(c, entry, sure=ribs is not None or cond >= 0)
        return
    c.topic = "condition"
    for name in dogs:
        _join_condition(work, c, Condition(dog=name, on=on, score=score, scale=size_kept, ribs=ribs))


def _of_ribs_before(work: Work, c: Clause) -> tuple[str | None, int]:
    """'felt her ribs and they're easy to feel': how the ribs of the clause before are, and where that is said."""
    before = work.clauses[c.number - 1] if c.number else None
    if before is None or before.sentence != c.sentence or not work.says(before, _RIB) or "ribs" in before.meanings:
        return None, -1
    for i in range(c.lo, c.hi):
        for ribs, heard in _FEEL.items():
            if work.words.w[i] in heard:
                return ribs, i
    return None, -1


def _join_condition(work: Work, c: Clause, new: Condition) -> None:
    """Score and ribs of one dog on one day are one entry."""
    for j, (e, k) in enumerate(work.found):
        if (
            isinstance(e, Condition)
            and e.dog == new.dog
            and e.on == new.on
            and ((e.score is None) != (new.score is None) or (e.ribs is None) != (new.ribs is None))
        ):
            work.found[j] = (
                Condition(
                    dog=e.dog,
                    on=e.on,
                    score=e.score if e.score is not None else new.score,
                    scale=e.scale or new.scale,
                    ribs=e.ribs or new.ribs,
                    said=e.said,
                ),
                k,
            )
            return
    work.put(new, c)


def _next_of_list(work: Work, c: Clause) -> bool:
    """'Tank and Pip each 4/9, Mossy 5': a dog and a figure right after another's score."""
    before = work.clauses[c.number - 1] if c.number else None
    scored = before is not None and any(k is before and isinstance(e, Condition) and e.score for e, k in work.found)
    lone = c.how == "own" and c.hi - c.lo == sum(m.n for m in c.mentions) + 1
    return scored and before is not None and before.sentence == c.sentence and lone


def _out_of(w: list[str], lo: int, hi: int) -> bool:
    between = w[lo:hi]
    return between in (["out", "of"], ["of"], ["on"], ["over"], ["from"], ["/"], ["outta"], ["out", "of", "a"])


def _bare_score(a: Amount) -> bool:
    return a.value <= 9 and (a.value * 2) % 1 == 0 and not a.clock


def _ribs_near(work: Work, c: Clause) -> bool:
    return any(o.sentence == c.sentence and work.where(o, "ribs") >= 0 for o in work.clauses)


def _plain_share(work: Work, c: Clause, a: Amount, size: float | None) -> bool:
    """'Clover 4/9' beside a dog, with nothing else owning the figures; 'Flint 10/10' is praise."""
    if c.elsewhere or not c.dogs or (c.human and not c.named and c.pronoun is None and size != 9):
        return False
    if (size or a.of) == 5 and not (
        _ribs_near(work, c) or work.where(c, "ribs") >= 0 or work.says(c, _COVER_WORDS) or work.says(c, {"vet"})
    ):
        return False
    return (size or a.of) in (5, 9) and not c.whens


def _other_score(work: Work, c: Clause) -> bool:
    return work.says(c, _OTHER_SCORES)


def _scale_around(work: Work, c: Clause) -> float | None:
    """A scale said once over a list: "Condition scores out of 9 this month: …"."""
    words = work.words
    for o in work.clauses:
        if o.lo > c.lo and o is not c:
            break
        for a in o.amounts:
            if (
                a.value in (5, 9)
                and a.i > 0
                and (
                    (words.w[a.i - 1] in ("of", "/") and a.i > 1 and words.w[a.i - 2] in ("out", "scale"))
                    or words.w[a.i - 1] == "scale"
                )
            ) or (a.value in (5, 9) and a.end < len(words) and (words.w[a.end] in ("point", "-point"))):
                return a.value
    return None
