"""Doses: "wormed the pups", "flea tablets given"; how much is never read."""

from __future__ import annotations

from bot.reading.clause import Clause, is_last
from bot.reading.lexicon import words_of
from bot.reading.people import own_body, subject_is_person
from bot.reading.work import Work
from core.entries import Dose, Groom

_DOSE_EACH_TIME = words_of("cues", "dose_each_time")
_DOSE_SHARED = words_of("cues", "dose_shared")
_STARTED = words_of("cues", "dose_started")
_SHOTS = words_of("cues", "shots")
_DOSE_INTO = words_of("cues", "dose_into")
_SPOTS = words_of("cues", "spots")
_PHOTO_SHOTS = words_of("cues", "photo_shots")
_ROW_TICKED = words_of("cues", "row_ticked")


def read(work: Work, c: Clause) -> None:
    """Keeps the doses told in the clause."""
    words = work.words
    found: dict[str, tuple[int, str]] = {}
    covered = c.lo
    for i in range(c.lo, c.hi):
        tag = words.tags[i].get("dose")
        if tag is None or c.named_at(i) or i < covered:
            continue
        covered = i + tag[1]  # "arthritis injection" is no vaccine
        (dose, form), _n = tag
        if words.w[i] in _DOSE_SHARED and dose in ("vaccine", "medicine"):
            if not (c.dogs or c.pronoun) or (words.w[i] in ("shot", "shots") and _photo(work, c)):
                continue
        if (
            words.w[i] in _SHOTS
            and i > c.lo
            and any(j + words.tags[j]["dose"][1] == i for j in range(c.lo, i) if "dose" in words.tags[j])
        ):
            continue  # "an anti-sickness injection"
        if words.w[i] == "spot" and words.w[i - 1 : i] and words.w[i - 1] in _SPOTS:
            continue  # "a bald spot on his butt"
        if words.w[i] == "cream" and (work.where(c, "food", "treat") >= 0 or words.w[i - 1 : i] in (["ice"], ["of"])):
            continue
        if dose in found and found[dose][1] == "did":
            continue
        found[dose] = (i, form)
    if len(found) > 1 and "medicine" in found:
        i = found["medicine"][0]
        if any(abs(i - j) <= 3 and d != "medicine" for d, (j, _) in found.items()):
            found.pop("medicine")  # "flea tablet", "worming tablet"
    if not found and c.named and c.topic in ("dose", "groom") and not c.amounts:
        _ticked(work, c)
    if not found and c.named and work.says(c, {"dosed"}):
        # "Clover dosed alongside them": the dose of the clause before
        given = [e for e, k in work.found if isinstance(e, Dose) and c.sentence - k.sentence <= 1]
        if given and not work.shut(c, c.lo):
            work.post(c, given[-1], sure=False)
    for dose, (i, form) in found.items():
        told = form == "did" or work.done(c) or _applied(work, c) or _dose_list(work, c, i) or _dose_for(work, c, i)
        told = told or work.dated_line(c)
        if not told or work.shut(c, i, naming=form == "do" and not _gave_before(work, c)):
            continue
        if c.other and not c.named:
            continue
        if not c.dogs and c.pronoun is None and any(o.topic == "dose" for o in work.clauses):
            continue  # a heading; its rows are read by themselves
        if c.human and not c.dogs and c.pronoun is None:
            continue
        if own_body(work, c, i):
            continue
        if (
            c.human
            and c.how == "carried"
            and c.pronoun is None
            and subject_is_person(work, c, i)
            and not work.where(c, "give") >= 0
        ):
            continue
        work.post(
            c,
            Dose(dog="", on=work.day(c), dose=dose, clock=work.clock(c)),
            sure=dose in ("wormer", "flea and tick") or (c.pronoun is not None and _applied(work, c)),
        )


def _ticked(work: Work, c: Clause) -> None:
    """A row of names under "Flea & tick": ticked ones had it, dashed ones had not."""
    words = work.words
    after = words.w[c.hi] if c.hi < len(words) else ""
    row = words.w[c.lo : c.hi]
    ticks = _ROW_TICKED
    if not (any(w in ticks for w in row) or after in ("✓", "✔", "✅", "☑")) or c.neg_at >= 0 or c.plan_at >= 0:
        return
    for o in work.clauses:
        if o.lo >= c.lo:
            return
        i = work.where(o, "dose", "groom") if not o.named else -1
        if i < 0:
            continue
        if "dose" in words.tags[i]:
            dose = words.tags[i]["dose"][0][0]
            work.post(c, Dose(dog="", on=work.day(c), dose=dose), sure=False)
        else:
            task = words.tags[i]["groom"][0][0]
            work.post(c, Groom(dog="", on=work.day(c), task=task), sure=False)
        return


def _photo(work: Work, c: Clause) -> bool:
    return work.says(c, _PHOTO_SHOTS)


def _applied(work: Work, c: Clause) -> bool:
    if work.where(c, "give") >= 0 or work.says(c, _STARTED):
        return True
    if any(m.i > c.lo and "to" in work.words.w[max(c.lo, m.i - 3) : m.i] for m in c.mentions) and c.named:
        return True  # "booster to the whole litter"
    # "Sunny's bordetella was the day before yesterday"
    return work.says(c, {"was", "were"}) and any(w.on < work.today for w in c.whens)


def _gave_before(work: Work, c: Clause) -> bool:
    g = work.where(c, "give")
    return g >= 0 and (c.plan_at < 0 or g < c.plan_at)


def _dose_for(work: Work, c: Clause, i: int) -> bool:
    """'Tick chews for Frost, Angus and Heather': nothing but the dose and those who had it."""
    words = work.words
    dosed = [m for m in c.mentions if m.kind in ("name", "group")]
    if not dosed or dosed[0].i <= i or c.ask or c.plan_at >= 0 or words.w[dosed[0].i - 1] not in _DOSE_INTO:
        return False
    opens = all(
        words.has(k, "ordinal", "between", "dose", "s a", "day") for k in range(c.lo, i) if words.kind[k] == "w"
    )
    return opens and is_last(words, c, dosed[-1]) and not c.amounts


def _dose_list(work: Work, c: Clause, i: int) -> bool:
    """'kennel cough vaccine up the nose: tansy, sorrel, flint': the dose over a list of dogs."""
    return c.how == "list" or (
        c.dogs != () and work.words.says(i, c.hi, _DOSE_EACH_TIME) and work.where(c, "s each") >= 0
    )
