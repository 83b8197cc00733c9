"""Signs of illness or hurt: "sick twice", "limping", "cut her pad". What only sounds like one is left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.people import subject_is_person
from bot.reading.work import Work
from core.entries import Sign

_BAD_WOUNDS = words_of("cues", "bad_wounds")
_BLED = words_of("cues", "bled")
_COUGH_MEDICINE = words_of("cues", "cough_medicine")
_CLIPPED = words_of("cues", "clipped")
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
_NO_PERSONS = frozenset(
    {"bile", "diarrhoea", "seizure", "cough", "itch", "limp"}
)  # so said, seldom of a person in a kennel's room
_RUNS_SCORED = words_of("cues", "runs_scored")
_SCRATCHED_THINGS = words_of("cues", "scratched_things")
_AFTER_SICK = words_of("cues", "after_sick")
_STINKS_AFTER = words_of("cues", "stinks_after")
_SCRATCHING = words_of("cues", "scratching")
_WOUND_MENDS = words_of("cues", "wound_mends")
_WOUND_VERBS = words_of("cues", "wound_verbs")
_PARTS = words_of("cues", "wound_places")
_DOOR = frozenset({"door"})


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
    if "seizure" in found and "limp" in found and words.w[found["limp"]] == "stiff":
        found.pop("limp")
    for sign, i in found.items():
        if work.shut(c, i) or (c.joke and sign != "seizure"):
            continue
        if (c.human and _is_persons(work, c, i)) or (c.other and not c.named):
            continue
        on = work.day(c, began=True)
        if sign == "bile" and work.where(c, "sign") >= 0:
            _drop(work, c, "vomit", on)
        hers = c.pronoun is not None and c.pronoun.sex != "" and not any(o.human for o in work.clauses)
        work.post(c, Sign(dog="", on=on, sign=sign, clock=work.clock(c)), sure=hers and sign in _NO_PERSONS)


def _is_persons(work: Work, c: Clause, i: int) -> bool:
    """True where a clause that speaks of a person gives the sign to the person."""
    if c.named:
        return subject_is_person(work, c, i) and not _dog_is_object(work, c, i)
    if c.pronoun is not None:
        return False
    if c.how == "carried":
        return subject_is_person(work, c, i)
    return not (c.unsure or work.is_unsure_near(c))


@dataclass(frozen=True, slots=True)
class _Heard:
    """A word for a sign with the words beside it: the word itself, how many it takes, the ones before and after."""

    work: Work
    clause: Clause
    i: int
    word: str
    n: int
    before: str
    after: str

    def later(self, heard: frozenset[str]) -> bool:
        """True where one of these words stands in the clause from here on."""
        return self.work.words.says(self.i, self.clause.hi, heard)

    def place_said(self) -> bool:
        """True where a part of the body follows closely."""
        return self.work.words.says(self.i, min(self.clause.hi, self.i + 8), _PARTS)


def _is_sign(work: Work, c: Clause, i: int, sign: str) -> bool:
    """False where the words beside it make it something else ("kennel cough vaccine", "fits her well")."""
    words = work.words
    n = words.tags[i]["sign"][1]
    h = _Heard(
        work,
        c,
        i,
        words.w[i],
        n,
        before=words.w[i - 1] if i > c.lo else "",
        after=words.w[i + n] if i + n < len(words) else "",
    )
    if h.word in ("fits", "fitted", "fitting") and (h.after in _FITS_AFTER or h.before in _FITS_BEFORE):
        return sign == "seizure" and h.before == "of" and h.after not in _FIT_OF_LAUGHTER
    if h.word == "a" and n > 1:
        following = words.w[i + 1]
        if following == "fit" and h.after in _FIT_AND_WELL:
            return False
        if following == "cut" and (h.after in ("of", "above") or h.before == "needs"):
            return False
    if i - c.lo <= 2 and words.w[c.lo - 1 : c.lo + 1] == ["because", "of"]:
        return False  # "put off because of this cough"
    if h.word == "not" and h.after == "" and h.before in ("left", "l"):
        return False  # "left not right" is of ears
    check = _CHECKS.get(sign)
    return check is None or check(h)


def _is_cough(h: _Heard) -> bool:
    if h.word == "honking" and (h.after in ("in", "of") or h.before in _STINKS_AFTER):
        return False  # "absolutely honking in here" smells
    return h.after not in _COUGH_MEDICINE and h.before != "kennel"


def _is_lethargy(h: _Heard) -> bool:
    return not (h.word == "dull" and h.after in _DULL_THINGS)


def _is_wound(h: _Heard) -> bool:
    tags = h.work.words.tags[h.i]
    if h.before == "to":
        return False  # "had to scrape every window"
    if h.word in ("scratch", "scratches", "scratched") and "itch" in tags:
        return False
    if h.word in _WOUND_VERBS:
        return h.place_said() or h.after in ("", "by", "himself", "herself")
    if h.word in ("cut", "nicked") and h.n == 1:
        return h.place_said()
    if h.word == "cut" and h.clause.named and h.clause.mentions[0].end == h.i and not h.work.says(h.clause, _CLIPPED):
        return h.place_said()  # "Simba cut his pad"; "cut his nails" clips
    clipped = h.work.where(h.clause, "go 0", "go 1", "go 2") >= 0
    if h.word == "cut" and clipped and not h.work.says(h.clause, _BAD_WOUNDS):
        return (h.work.where(h.clause, "go 0") < 0 and not _is_clipping(h)) or h.later(_CUT_ON)
    if h.word in _BLED and "season" in tags:
        return False
    if h.word == "bleeding" and h.before == "started":
        return False
    return not (h.word in ("stitches", "scab", "scabs") and h.work.says(h.clause, _WOUND_MENDS))


def _is_clipping(h: _Heard) -> bool:
    """'cut her …': somebody clips her."""
    w = h.work.words.w
    return w[min(h.i + 1, len(w) - 1)] in ("his", "her", "the")


def _is_vomit(h: _Heard) -> bool:
    if h.word == "brought" and h.n <= 2 and "up" not in h.work.words.w[h.i : h.i + 5]:
        return False
    if h.word == "sick" and h.n == 1:
        return h.i > h.clause.lo and h.clause.named_at(h.i - 1) and h.after in _AFTER_SICK  # "Usk sick x2"
    return not (h.word == "lost" and h.after == "appetite")


def _is_itch(h: _Heard) -> bool:
    if h.word == "scratches" and h.before in ("the", "these", "my", "some", "got", "have"):
        return False  # "I've the scratches to prove it"
    if h.word not in _SCRATCHING or h.after not in _SCRATCHED_THINGS:
        return True
    return bool(h.clause.dogs) and h.after in ("at", "the") and not h.later(_DOOR)


def _is_diarrhoea(h: _Heard) -> bool:
    runs = h.word == "the" and h.n == 2 and h.work.words.w[h.i + 1] == "runs"
    return not (runs and h.work.says(h.clause, _RUNS_SCORED))


def _is_limp(h: _Heard) -> bool:
    if h.word in ("limp", "stiff") and h.after in _LIMP_THINGS:
        return False
    if h.word == "lame" and h.after in _LAME_THINGS:
        return False
    return not (h.word in ("favours", "favors") and not h.later(_FAVOURED_LIMBS))


_CHECKS: dict[str, Callable[[_Heard], bool]] = {
    "cough": _is_cough,
    "lethargy": _is_lethargy,
    "wound": _is_wound,
    "vomit": _is_vomit,
    "itch": _is_itch,
    "diarrhoea": _is_diarrhoea,
    "limp": _is_limp,
}


def _dog_is_object(work: Work, c: Clause, i: int) -> bool:
    """True where a dog is named before the sign and no person between them has it."""
    words = work.words
    lead = [m for m in c.mentions if m.kind == "name" and m.i < i]
    if not lead:
        return True
    between = words.w[lead[-1].end : i]
    return (
        not any(w in _DOG_TO_PERSON for w in between)
        and not any(words.has(j, "self", "kin", "person") for j in range(lead[-1].end, i))
    ) or "from" in between


def _drop(work: Work, c: Clause, sign: str, on: date) -> None:
    """Takes back a sign of that day that a closer word now tells better."""
    work.found = [
        (e, k)
        for e, k in work.found
        if not (isinstance(e, Sign) and e.sign == sign and e.on == on and set(c.dogs or ()) & {e.dog})
    ]
