"""Signs of illness or hurt: "sick twice", "limping", "cut her pad". What only sounds like one is left."""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.people import subject_is_person
from bot.reading.work import Work
from core.entries import Sign

_BAD_WOUNDS = words_of("cues", "bad_wounds")
_BLED = words_of("cues", "bled")
_COUGH_MEDICINE = words_of("cues", "cough_medicine")
_CUT_ON = words_of("cues", "cut_on")
_DOG_TO_PERSON = words_of("cues", "dog_to_person")
_DULL_THINGS = words_of("cues", "dull_things")
_FAVOURED_LIMBS = words_of("cues", "favoured_limbs")
_FIT_AND_WELL = words_of("cues", "fit_and_well")
_FIT_OF_LAUGHTER = words_of("cues", "fit_of_laughter")
_FITS_AFTER = words_of("cues", "fits_after")
_FITS_BEFORE = words_of("cues", "fits_before")
_LAME_THINGS = words_of("cues", "lame_things")
_LIMP_THINGS = words_of("cues", "limp_things")
_RUNS_SCORED = words_of("cues", "runs_scored")
_SCRATCHED_THINGS = words_of("cues", "scratched_things")
_SCRATCHING = words_of("cues", "scratching")
_WOUND_MENDS = words_of("cues", "wound_mends")
_WOUND_VERBS = words_of("cues", "wound_verbs")
_PARTS = words_of("cues", "wound_places")


def read(work: Work, c: Clause) -> None:
    """Keeps the signs told in the clause."""
    if "sign" not in c.meanings:
        return
    words = work.words
    found: dict[str, int] = {}
    covered = c.lo
    for i in range(c.lo, c.hi):
        tag = words.tags[i].get("sign")
        if tag is None or c.named_at(i):
            continue
        sign = tag[0]
        if i < covered:
            continue
        if tag[1] > 1:
            covered = i + tag[1]
        if not _is_sign(work, c, i, sign):
            continue
        found.setdefault(sign, i)
    if "bile" in found:
        found.pop("vomit", None)
    if "seizure" in found and "limp" in found and words.w[found["limp"]] in ("stiff",):
        found.pop("limp")
    for sign, i in found.items():
        if work.shut(c, i) or (c.joke and sign != "seizure"):
            continue
        if c.human and not c.named and c.how != "carried" and c.pronoun is None and not c.unsure:
            continue
        if c.human and c.how == "carried" and c.pronoun is None and subject_is_person(work, c, i):
            continue
        if c.human and c.named and subject_is_person(work, c, i) and not _dog_is_object(work, c, i):
            continue
        if c.other and not c.named:
            continue
        on = work.day(c, began=True)
        if sign == "bile" and work.where(c, "sign") >= 0:
            _drop(work, c, "vomit", on)
        work.post(c, Sign(dog="", on=on, sign=sign, clock=work.clock(c)), sure=False)


def _is_sign(work: Work, c: Clause, i: int, sign: str) -> bool:
    words = work.words
    w = words.w[i]
    n = words.tags[i]["sign"][1]
    after = words.w[i + n] if i + n < len(words) else ""
    before = words.w[i - 1] if i > c.lo else ""
    if sign == "cough" and (after in _COUGH_MEDICINE or before == "kennel"):
        return False
    if w in ("fits", "fitted", "fitting") and (after in _FITS_AFTER or before in _FITS_BEFORE):
        return before == "of" and sign == "seizure" and after not in _FIT_OF_LAUGHTER
    if w == "a" and n > 1 and words.w[i + 1] == "fit" and after in _FIT_AND_WELL:
        return False
    if w in ("a",) and n > 1 and words.w[i + 1] == "cut" and (after in ("of", "above") or before in ("needs",)):
        return False
    if sign == "lethargy" and w in ("dull",) and after in _DULL_THINGS:
        return False
    if sign == "wound" and w in ("scratch", "scratches", "scratched") and "itch" in words.tags[i]:
        return False
    if sign == "wound" and w in _WOUND_VERBS:
        return _place_said(work, c, i) or after in ("by", "", "himself", "herself")
    if sign == "wound" and w in ("cut", "nicked") and n == 1:
        return _place_said(work, c, i)
    if sign == "wound" and w == "cut" and work.where(c, "go 0", "go 1", "go 2") >= 0 and not work.says(c, _BAD_WOUNDS):
        return (
            work.where(c, "go 0") < 0 and words.w[min(i + 1, len(words) - 1)] not in ("his", "her", "the")
        ) or words.says(i, c.hi, _CUT_ON)
    if sign == "wound" and w in _BLED and "season" in words.tags[i]:
        return False
    if sign == "wound" and w == "bleeding" and i > c.lo and before == "started":
        return False
    if sign == "wound" and w in ("stitches", "scab", "scabs") and work.says(c, _WOUND_MENDS):
        return False
    if sign == "vomit" and w == "brought" and n <= 2 and "up" not in words.w[i : i + 5]:
        return False
    if sign == "vomit" and w == "lost" and after in ("appetite",):
        return False
    if sign == "itch" and w in _SCRATCHING:
        return after not in _SCRATCHED_THINGS or (
            bool(c.dogs) and after in ("at", "the") and not any(words.w[j] == "door" for j in range(i, c.hi))
        )
    if sign == "diarrhoea" and w == "the" and n == 2 and words.w[i + 1] == "runs" and work.says(c, _RUNS_SCORED):
        return False
    if sign == "limp" and w in ("limp", "stiff") and after in _LIMP_THINGS:
        return False
    if sign == "limp" and w == "lame" and after in _LAME_THINGS:
        return False
    return not (sign == "limp" and w in ("favours", "favors") and not words.says(i, c.hi, _FAVOURED_LIMBS))


def _place_said(work: Work, c: Clause, i: int) -> bool:
    return work.words.says(i, min(c.hi, i + 8), _PARTS)


def _dog_is_object(work: Work, c: Clause, i: int) -> bool:
    words = work.words
    lead = [m for m in c.mentions if m.kind == "name" and m.i < i]
    if not lead:
        return True
    between = words.w[lead[-1].end : i]
    return (
        not any(w in _DOG_TO_PERSON for w in between)
        and not any(words.has(j, "self", "kin", "person") for j in range(lead[-1].end, i))
    ) or "from" in between


def _drop(work: Work, c: Clause, sign: str, on: object) -> None:
    work.found = [
        (e, k)
        for e, k in work.found
        if not (isinstance(e, Sign) and e.sign == sign and e.on == on and set(c.dogs or ()) & {e.dog})
    ]
