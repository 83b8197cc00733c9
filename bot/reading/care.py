"""Care: grooming, signs, doses, temperature, condition, height, teeth."""

from __future__ import annotations

from dataclasses import replace
from datetime import time

from bot.reading import dates
from bot.reading.amounts import LENGTH, Amount
from bot.reading.clauses import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core import plausible
from core.entries import Condition, Dose, Entry, Groom, Height, Sign, Temperature, Tooth
from core.units import KG_PER_LB, KG_PER_OZ

_ANOTHER_DOGS = words_of("cues", "another_dogs")
_ANOTHER_ONE = words_of("cues", "another_one")
_BAD_WOUNDS = words_of("cues", "bad_wounds")
_BLED = words_of("cues", "bled")
_COUGH_MEDICINE = words_of("cues", "cough_medicine")
_COVER_WORDS = words_of("cues", "cover_words")
_CUT_ON = words_of("cues", "cut_on")
_DOG_TO_PERSON = words_of("cues", "dog_to_person")
_DOSE_EACH_TIME = words_of("cues", "dose_each_time")
_DOSE_SHARED = words_of("cues", "dose_shared")
_DULL_THINGS = words_of("cues", "dull_things")
_EAR_CUT_VERBS = words_of("cues", "ear_cut_verbs")
_FAVOURED_LIMBS = words_of("cues", "favoured_limbs")
_FIT_AND_WELL = words_of("cues", "fit_and_well")
_FIT_OF_LAUGHTER = words_of("cues", "fit_of_laughter")
_FITS_AFTER = words_of("cues", "fits_after")
_FITS_BEFORE = words_of("cues", "fits_before")
_GOT_BACK = words_of("cues", "got_back")
_LAME_THINGS = words_of("cues", "lame_things")
_LIMP_THINGS = words_of("cues", "limp_things")
_MEDICINE_NOT_GIVEN = words_of("cues", "medicine_not_given")
_OF_MYSELF = words_of("cues", "of_myself")
_OF_US_OR_YOU = words_of("cues", "of_us_or_you")
_OTHER_LENGTHS = words_of("cues", "other_lengths")
_OTHER_SCORES = words_of("cues", "other_scores")
_PERSON_AS_OBJECT = words_of("cues", "person_as_object")
_PHOTO_SHOTS = words_of("cues", "photo_shots")
_POISONS = words_of("cues", "poisons")
_ROW_TICKED = words_of("cues", "row_ticked")
_RUNS_SCORED = words_of("cues", "runs_scored")
_SCRATCHED_THINGS = words_of("cues", "scratched_things")
_SCRATCHING = words_of("cues", "scratching")
_STANDS_FOR_THING = words_of("cues", "stands_for_thing")
_STOLEN = words_of("cues", "stolen")
_TALL = words_of("cues", "tall")
_TEETH_COUNTED = words_of("cues", "teeth_counted")
_TOLD_WITHOUT_ED = words_of("cues", "told_without_ed")
_TOOTH_LOST_NEAR = words_of("cues", "tooth_lost_near")
_TOOTH_WORDS_ALONE = words_of("cues", "tooth_words_alone")
_WARM_PLACES = words_of("cues", "warm_places")
_WARMED_BOXES = words_of("cues", "warmed_boxes")
_WIPED_BY_PEOPLE = words_of("cues", "wiped_by_people")
_WITHERS = words_of("cues", "withers")
_WOUND_MENDS = words_of("cues", "wound_mends")
_WOUND_VERBS = words_of("cues", "wound_verbs")


def read(work: Work) -> None:
    """Takes grooming, signs, doses, temperatures, condition, heights and teeth out of the message."""
    seen: set[tuple[str, str, str]] = set()
    for c in work.clauses:
        _temperature(work, c)
        _height(work, c)
        _condition(work, c)
        _signs(work, c, seen)
        _swallowed(work, c, seen)
        _groom(work, c, seen)
        _dose(work, c, seen)
        _tooth(work, c, seen)


def _covered(c: Clause, i: int) -> bool:
    return any(m.i <= i < m.end and m.kind in ("name", "group") for m in c.mentions)


def _clock(work: Work, c: Clause) -> time | None:
    return dates.clock_in(work.words, c.lo, c.hi, c.amounts)


# --- grooming -------------------------------------------------------------------------------------------------


def _groom(work: Work, c: Clause, seen: set[tuple[str, str, str]]) -> None:
    words = work.words
    tasks: list[tuple[str, int, bool, bool]] = []  # task, word, told by itself, sure to be a dog's
    paired: set[int] = set()
    for p, verb, thing in work.pairs(c):
        if _covered(c, verb) or _covered(c, thing):
            continue
        if p == 1 and words.w[thing] == "ears" and words.w[verb] in _EAR_CUT_VERBS:
            continue
        task = words.tags[verb][f"gv {p}"][0]
        if words.w[verb] == "cut" and work.where(c, "sign") >= 0 and p in (1, 2, 3):
            continue  # "a nasty cut on his pad"
        told = _past(words.w[verb]) or work.done(c)
        tasks.append((task, verb, told, task not in ("bath", "teeth")))
        paired |= {verb, thing}
    for i in range(c.lo, c.hi):
        if "groom" not in words.tags[i] or _covered(c, i) or i in paired:
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
        told = form == "did" or work.done(c)
        tasks.append(
            (task, i, told, form == "did" and task in ("nails", "brush", "ear trim", "feet trim", "ears cleaned"))
        )
    kept = {t[0] for t in tasks}
    for task, i, told, sure in tasks:
        if not told or work.shut(c, i, naming=words.tags[i].get("groom", (("", "do"), 0))[0][1] == "do"):
            continue
        if task == "bath" and "wound" in kept:
            continue
        if _human_body(work, c, i):
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
        _post(work, c, Groom(dog="", on=work.day(c), task=task, clock=_clock(work, c)), seen, f"groom {task}", sure)


def _past(w: str) -> bool:
    return w.endswith("ed") or w in _TOLD_WITHOUT_ED


def _thing(work: Work, i: int) -> bool:
    """'I bathed it in salt water': the cut, not the dog."""
    w = work.words.w
    return i + 1 < len(w) and w[i + 1] == "it"


def _human_body(work: Work, c: Clause, i: int) -> bool:
    words = work.words
    if not c.named and c.pronoun is None and work.says(c, _OF_MYSELF):
        return True
    return (not c.named and words.says(max(c.lo, i - 2), i, _OF_US_OR_YOU)) or (
        c.how == "carried" and c.pronoun is None and work.says(c, {"my", "myself", "mine"})
    )


# --- signs ----------------------------------------------------------------------------------------------------


def _signs(work: Work, c: Clause, seen: set[tuple[str, str, str]]) -> None:
    if "sign" not in c.meanings:
        return
    words = work.words
    found: dict[str, int] = {}
    covered = c.lo
    for i in range(c.lo, c.hi):
        tag = words.tags[i].get("sign")
        if tag is None or _covered(c, i):
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
        if c.human and c.how == "carried" and c.pronoun is None and _subject_is_human(work, c, i):
            continue
        if c.human and c.named and _subject_is_human(work, c, i) and not _dog_is_object(work, c, i):
            continue
        if c.other and not c.named:
            continue
        on = work.day(c, began=True)
        if sign == "bile" and work.where(c, "sign") >= 0:
            _drop(work, c, "vomit", on)
        _post(
            work,
            c,
            Sign(dog="", on=on, sign=sign, clock=_clock(work, c)),
            seen,
            f"sign {sign}",
            sure=False,
        )


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
        return _body_part(work, c, i) or after in ("by", "", "himself", "herself")
    if sign == "wound" and w in ("cut", "nicked") and n == 1:
        return _body_part(work, c, i)
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


_PARTS = words_of("cues", "wound_places")


def _body_part(work: Work, c: Clause, i: int) -> bool:
    return work.words.says(i, min(c.hi, i + 8), _PARTS)


def _subject_is_human(work: Work, c: Clause, i: int) -> bool:
    words = work.words
    for j in range(i - 1, max(c.lo, i - 5) - 1, -1):
        tags = words.tags[j]
        if "dog" in tags or ("pron" in tags and words.w[j] not in ("his", "her")):
            return False
        if "self" in tags or "kin" in tags or "person" in tags:
            return words.w[j] not in _PERSON_AS_OBJECT or j + 1 < len(words)
    return False


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


def _swallowed(work: Work, c: Clause, seen: set[tuple[str, str, str]]) -> None:
    words = work.words
    i = work.where(c, "swallow")
    while i >= 0 and (_covered(c, i) or words.tags[i]["swallow"][0] not in ("did", "sure")):
        i = next((j for j in range(i + 1, c.hi) if "swallow" in words.tags[j]), -1)
    if i < 0:
        return
    sure = any("swallow" in words.tags[j] and words.w[j] in _SURE for j in range(c.lo, c.hi))
    things = [
        j
        for j in range(c.lo, c.hi)
        if "harm" in words.tags[j] and j != i and not _covered(c, j) and not _longer_treat(work, j)
    ]
    if not things and work.says(c, _STANDS_FOR_THING):
        k = c.number
        if k and work.clauses[k - 1].sentence == c.sentence:
            prior = work.clauses[k - 1]
            things = [j for j in range(prior.lo, prior.hi) if "harm" in words.tags[j] and not _covered(prior, j)]
    if not things and not sure:
        return
    if sure and not things:
        last = max(j for j in range(c.lo, c.hi) if words.w[j] in _SURE)
        rest = [words.w[j] for j in range(last + 1, c.hi) if words.kind[j] == "w"]
        if any("dose" in words.tags[j] or "toothw" in words.tags[j] for j in range(c.lo, c.hi)) or not rest:
            if not rest and not any(
                "harm" in words.tags[j] for o in work.clauses if o.sentence >= c.sentence - 1 for j in range(o.lo, o.hi)
            ):
                return
            if rest:
                return
        if any(
            "food" in words.tags[j] or "meal" in words.tags[j] or "treat" in words.tags[j]
            for j in range(last + 1, c.hi)
        ):
            return
    if things and not sure and all(_edible(work, j) for j in things) and not work.says(c, _STOLEN):
        return
    if (
        things
        and words.w[i] in ("had", "has", "got")
        and words.tags[i]["swallow"][1] == 1
        and not any(_toxic(words.w[j]) for j in things)
    ):
        return
    if things and all("dose" in words.tags[j] for j in things) and not work.says(c, _MEDICINE_NOT_GIVEN):
        return
    if (c.joke and not sure) or work.shut(c, i) or c.quote:
        return
    if c.other and not c.named and c.how != "carried":
        return
    if not c.dogs and c.human and c.pronoun is None and not c.unsure and c.how == "":
        return
    if not c.named and c.how in ("carried", "before") and _subject_is_human(work, c, i):
        return
    if c.named and _subject_is_human(work, c, i) and (c.mentions[0].i > i):
        return
    if _lost(work, c):
        return
    _post(
        work,
        c,
        Sign(dog="", on=work.day(c), sign="swallowed", clock=_clock(work, c)),
        seen,
        "sign swallowed",
        sure=sure and bool(c.pronoun),
    )


_SURE = words_of("cues", "surely_swallowed")


def _longer_treat(work: Work, j: int) -> bool:
    """'string cheese' is no string."""
    tags = work.words.tags[j]
    n = tags["harm"][1]
    return any(m in tags and tags[m][1] > n for m in ("treat", "food"))


def _edible(work: Work, j: int) -> bool:
    return "food" in work.words.tags[j] or ("treat" in work.words.tags[j])


def _toxic(word: str) -> bool:
    return word in _POISONS


def _lost(work: Work, c: Clause) -> bool:
    """'stole the sock but I got it back': nothing went down."""
    words = work.words
    for o in work.clauses:
        if o.sentence - c.sentence in (0, 1) and o.lo >= c.lo:
            said = words.w[o.lo : o.hi]
            if "back" in said and any(w in _GOT_BACK for w in said):
                return True
            if any(w in said for w in ("spat", "retrieved", "rescued")) and not any(w == "some" for w in said):
                return True
    return False


# --- doses ----------------------------------------------------------------------------------------------------


def _dose(work: Work, c: Clause, seen: set[tuple[str, str, str]]) -> None:
    words = work.words
    found: dict[str, tuple[int, str]] = {}
    for i in range(c.lo, c.hi):
        tag = words.tags[i].get("dose")
        if tag is None or _covered(c, i):
            continue
        (dose, form), _n = tag
        if words.w[i] in _DOSE_SHARED and dose in ("vaccine", "medicine"):
            if not (c.dogs or c.pronoun) or (words.w[i] in ("shot", "shots") and _photo(work, c)):
                continue
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
        _ticked(work, c, seen)
    if not found and c.named and work.says(c, {"dosed"}):
        # "Clover dosed alongside them": the dose of the clause before
        given = [e for e, k in work.found if isinstance(e, Dose) and c.sentence - k.sentence <= 1]
        if given and not work.shut(c, c.lo):
            _post(work, c, given[-1], seen, f"dose {given[-1].dose}", sure=False)
    for dose, (i, form) in found.items():
        told = form == "did" or work.done(c) or _applied(work, c) or _dose_list(work, c, i)
        if not told or work.shut(c, i, naming=form == "do" and not _gave_before(work, c)):
            continue
        if c.other and not c.named:
            continue
        if not c.dogs and c.pronoun is None and any(o.topic == "dose" for o in work.clauses):
            continue  # a heading; its rows are read by themselves
        if c.human and not c.dogs and c.pronoun is None:
            continue
        if _human_body(work, c, i):
            continue
        if (
            c.human
            and c.how == "carried"
            and c.pronoun is None
            and _subject_is_human(work, c, i)
            and not work.where(c, "give") >= 0
        ):
            continue
        _post(
            work,
            c,
            Dose(dog="", on=work.day(c), dose=dose, clock=_clock(work, c)),
            seen,
            f"dose {dose}",
            sure=dose in ("wormer", "flea and tick"),
        )


def _ticked(work: Work, c: Clause, seen: set[tuple[str, str, str]]) -> None:
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
            _post(work, c, Dose(dog="", on=work.day(c), dose=dose), seen, f"dose {dose}", sure=False)
        else:
            task = words.tags[i]["groom"][0][0]
            _post(work, c, Groom(dog="", on=work.day(c), task=task), seen, f"groom {task}", sure=False)
        return


def _photo(work: Work, c: Clause) -> bool:
    return work.says(c, _PHOTO_SHOTS)


def _applied(work: Work, c: Clause) -> bool:
    if work.where(c, "give") >= 0 or work.says(c, {"put"}):
        return True
    # "Sunny's bordetella was the day before yesterday"
    return work.says(c, {"was", "were"}) and any(w.on < work.today for w in c.whens)


def _gave_before(work: Work, c: Clause) -> bool:
    g = work.where(c, "give")
    return g >= 0 and (c.plan_at < 0 or g < c.plan_at)


def _dose_list(work: Work, c: Clause, i: int) -> bool:
    """'kennel cough vaccine up the nose: tansy, sorrel, flint': the dose over a list of dogs."""
    return c.how == "list" or (
        c.dogs != () and work.words.says(i, c.hi, _DOSE_EACH_TIME) and work.where(c, "s each") >= 0
    )


# --- figures --------------------------------------------------------------------------------------------------


def _temperature(work: Work, c: Clause) -> None:
    words = work.words
    named = work.where(c, "temp") >= 0
    header = c.topic == "" and any(
        work.where(o, "temp") >= 0 and not o.ask and o.lo < c.lo and c.sentence - o.sentence <= 1 for o in work.clauses
    )
    for a in c.amounts:
        if a.other not in (None, "things", "speed", "duration"):
            continue
        unit = {"degc": "c", "degf": "f", "deg": None, None: None}.get(a.unit, "")
        if unit == "":
            continue
        degree = a.unit in ("degc", "degf", "deg") or _body_heat(work, c, a)
        after = words.w[a.end] if a.end < len(words) else ""
        if not degree and after in ("c", "f", "°"):
            degree, unit = True, None if after == "°" else after
        if not (named or degree or header or work.topic == "temperature"):
            continue
        value = plausible.celsius_of(a.value, unit)
        if not (named or work.topic == "temperature") and (c.elsewhere or value is None):
            continue
        if not named and header and a.whole and not degree:
            continue
        if (a.whole and a.value <= 24 and not degree) or (a.clock and value is None):
            continue
        if work.shut(c, a.i) or c.joke:
            continue
        if _box_heat(work, c) or (
            c.human and not c.named and c.how != "carried" and c.pronoun is None and (work.topic != "temperature")
        ):
            continue
        c.topic = "temperature"
        on = work.day(c)
        clock = dates.clock_in(words, c.lo, c.hi, [x for x in c.amounts if x is not a])
        dogs = work.whom(c, "temperature")
        if value is None:
            if dogs and named:
                work.doubt("value", Temperature(dog=dogs[0], on=on, celsius=a.value), c)
            continue
        value = round(value, 3)
        if not dogs:
            if named:
                work.no_dog(c, Temperature(dog="", on=on, celsius=value), sure=not c.human)
            continue
        if len(dogs) > 1 and not (len(c.amounts) == 1 and c.group):
            near = [m for m in c.mentions if m.kind == "name" and m.i < a.i]
            dogs = near[-1].names if near else dogs[:1]
        for name in dogs:
            work.put(Temperature(dog=name, on=on, celsius=value, clock=clock), c)
        return


def _body_heat(work: Work, c: Clause, a: Amount) -> bool:
    """'104.6 on Sunny': a figure with its decimal that no weight of the dog can be and every body temperature is."""
    if a.unit is not None or a.whole or a.other is not None or a.of is not None or c.elsewhere or a.form != "digits":
        return False
    if not (34.0 <= a.value <= 42.0 or 93.0 <= a.value <= 108.0) or work.where(c, "weigh") >= 0:
        return False
    dogs = work.dogs(c, "temperature")
    if len(dogs) != 1 or dogs[0].last_weight is None:
        return False
    on, unit = work.day(c), work.kennel.weight_unit
    own = {"kg": (1.0, 0.001), "lb": (KG_PER_LB, KG_PER_OZ)}[unit]
    if any(plausible.weight_fits(dogs[0], a.value * f, on) for f in own):
        return False
    said = {w for o in work.clauses if abs(o.sentence - c.sentence) <= 1 for w in work.words.w[o.lo : o.hi]}
    if said & words_of("body_heat"):
        return True
    if plausible.read_weight(dogs[0], a.value, on, unit) is not None:
        return False
    return not any(plausible.weight_fits(dogs[0], a.value * f * own[0], on) for f in (0.1, 10.0))


def _box_heat(work: Work, c: Clause) -> bool:
    return (work.says(c, _WARM_PLACES) and work.where(c, "temp") < 0) or work.says(c, _WARMED_BOXES)


def _height(work: Work, c: Clause) -> None:
    i = work.where(c, "height")
    for a in c.amounts:
        if a.unit not in LENGTH:
            if not (a.unit is None and a.other is None and i >= 0 and _wither(work, c) and not a.clock):
                continue
        if i < 0 and not (
            work.topic == "height"
            or any(work.where(o, "height") >= 0 and o.lo < c.lo and c.sentence - o.sentence <= 1 for o in work.clauses)
        ):
            continue
        if work.shut(c, a.i) or c.joke:
            continue
        if i >= 0 and not _wither(work, c) and not work.says(c, _TALL) and work.says(c, _OTHER_LENGTHS):
            continue
        unit = a.unit or ("inch" if work.kennel.weight_unit == "lb" and a.value < 40 else "cm")
        cm = round(a.value * LENGTH[unit], 3)
        on = work.day(c)
        dogs = work.whom(c, "height")
        if not dogs:
            work.no_dog(c, Height(dog="", on=on, cm=cm), sure=_wither(work, c))
            return
        if len(dogs) > 1:
            near = [m for m in c.mentions if m.kind == "name" and m.i < a.i]
            dogs = near[-1].names if near else dogs[:1]
        c.topic = "height"
        for name in dogs:
            if plausible.height_fits(cm):
                work.put(Height(dog=name, on=on, cm=cm), c)
            else:
                work.doubt("value", Height(dog=name, on=on, cm=cm), c)
        return


def _wither(work: Work, c: Clause) -> bool:
    return work.says(c, _WITHERS)


def _condition(work: Work, c: Clause) -> None:
    words = work.words
    ribs_at = work.where(c, "ribs")
    ribs = words.tags[ribs_at]["ribs"][0] if ribs_at >= 0 else None
    k = c.number
    cond = work.where(c, "cond")
    headed = cond < 0 and any(
        work.where(o, "cond") >= 0 and not o.ask and not _other_score(work, o) for o in work.clauses[max(0, k - 6) : k]
    )
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
        if cond < 0 and not headed and not _plain_share(work, c, a, size):
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
    if (size or a.of) == 5 and not (_ribs_near(work, c) or work.where(c, "ribs") >= 0 or work.says(c, _COVER_WORDS)):
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


# --- teeth ----------------------------------------------------------------------------------------------------


def _tooth(work: Work, c: Clause, seen: set[tuple[str, str, str]]) -> None:
    words = work.words
    i = -1
    for j in range(c.lo, c.hi):
        if "tooth" in words.tags[j] and not _covered(c, j):
            w = words.w[j]
            if (w in _TOOTH_WORDS_ALONE and words.tags[j]["tooth"][1] == 1) or (
                w in ("shed", "gap") and work.where(c, "toothw") < 0
            ):
                if w != "teething" or not c.dogs:
                    continue
            i = j
            break
    if i < 0:
        noun, lost = work.where(c, "toothw"), work.where(c, "toothl")
        if noun >= 0 and lost >= 0 and noun != lost and not _groomed(work, c):
            if words.w[lost] in _TOOTH_LOST_NEAR and abs(noun - lost) > 7:
                return
            i = min(noun, lost)
        else:
            k = c.number
            prior = work.clauses[k - 1] if k else None
            if (
                lost >= 0
                and prior is not None
                and work.where(prior, "tooth", "toothw") >= 0
                and c.named
                and words.w[lost] in ("lost", "dropped", "shed")
                and work.says(c, _ANOTHER_DOGS)
            ) or (
                lost >= 0
                and c.named
                and noun < 0
                and words.w[lost] in ("lost", "dropped", "shed")
                and any(work.where(o, "tooth", "toothw") >= 0 for o in work.clauses[:k])
                and (c.amounts or work.says(c, _TEETH_COUNTED))
            ):
                i = lost
            elif noun >= 0 and prior is not None and any(e.kind == "tooth" for e, _ in work.found):
                return
            else:
                if not (
                    lost >= 0
                    and c.named
                    and any(e.kind == "tooth" for e, _ in work.found)
                    and work.says(c, _ANOTHER_ONE)
                ):
                    return
                i = lost
    if work.shut(c, i) or c.joke:
        return
    if _still_in(work, c):
        return
    if c.human and not c.named and c.how != "carried" and c.pronoun is None:
        return
    if c.human and _mine(work, c):
        return
    if c.other and not c.named:
        return
    _post(work, c, Tooth(dog="", on=work.day(c)), seen, "tooth", sure=False)


def _mine(work: Work, c: Clause) -> bool:
    return work.says(c, {"my", "mine"}) and not c.named


def _groomed(work: Work, c: Clause) -> bool:
    return (work.where(c, "gv 4") >= 0 and work.words.w[work.where(c, "gv 4")] not in ("did", "done", "do")) or (
        work.where(c, "groom") >= 0
    )


def _still_in(work: Work, c: Clause) -> bool:
    said = work.words.w[c.lo : c.hi]
    return (
        ("still" in said and "in" in said)
        or ("wobbly" in said and "out" not in said)
        or ("loose" in said and ("lost" not in said and "out" not in said))
    )


# --- one way to post ------------------------------------------------------------------------------------------


def _post(work: Work, c: Clause, entry: Entry, seen: set[tuple[str, str, str]], what: str, sure: bool) -> None:
    kind = what.split()[-1] if entry.kind == "dose" else entry.kind
    dogs = work.whom(c, "wormer" if what == "dose wormer" else kind)
    if not dogs:
        work.no_dog(c, entry, sure)
        return
    for name in dogs:
        key = (name, what, entry.on.isoformat())
        if key in seen:
            continue
        seen.add(key)
        work.put(replace(entry, dog=name), c)
