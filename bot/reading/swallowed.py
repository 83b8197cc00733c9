"""What a dog swallowed that is no food: "ate a sock", "got into the chocolate"."""

from __future__ import annotations

from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.meals import eats_a_thing
from bot.reading.people import subject_is_person
from bot.reading.work import Work
from core.entries import Sign

_GOT_BACK = words_of("cues", "got_back")
_MEDICINE_NOT_GIVEN = words_of("cues", "medicine_not_given")
_MADE_OF = words_of("cues", "made_of")
_POISONS = words_of("cues", "poisons")
_STANDS_FOR_THING = words_of("cues", "stands_for_thing")
_STOLEN = words_of("cues", "stolen")
_LONGEST_REST = 6  # words up to "foil and all" (own choice)
_GOT_NEAR = 4  # words between "got" and "back" (own choice)
_CLOSE = 4  # words between "had a" and what was had (own choice)
_SURE = words_of("cues", "surely_swallowed")


def read(work: Work, c: Clause) -> None:
    """Keeps that a dog swallowed what is no food."""
    words = work.words
    i = work.where(c, "swallow")
    while i >= 0 and (c.named_at(i) or words.tags[i]["swallow"][0] not in ("did", "sure")):
        i = next((j for j in range(i + 1, c.hi) if "swallow" in words.tags[j]), -1)
    if i < 0:
        return
    sure = any("swallow" in words.tags[j] and words.w[j] in _SURE for j in range(c.lo, c.hi))
    things = [
        j
        for j in range(c.lo, c.hi)
        if "harm" in words.tags[j] and j != i and not c.named_at(j) and not _longer_treat(work, j)
    ]
    if not things and work.says(c, _STANDS_FOR_THING):
        k = c.number
        if k and work.clauses[k - 1].sentence == c.sentence:
            prior = work.clauses[k - 1]
            things = [j for j in range(prior.lo, prior.hi) if "harm" in words.tags[j] and not prior.named_at(j)]
    if not things:
        things = _and_all(work, c)
    theirs = not things and eats_a_thing(work, c, i, swallowed=True)  # "ate half my hearing aid"
    if not things and not sure and not theirs:
        return
    if sure and not things and not theirs:
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
        and (words.tags[i]["swallow"][1] == 1 or min(things) - i > _CLOSE)
        and not any(_toxic(words.w[j]) for j in things)
    ):
        return
    if things and all("dose" in words.tags[j] for j in things) and not work.says(c, _MEDICINE_NOT_GIVEN):
        return
    denied = any(
        "eaten" in words.tags[k] and words.tags[k]["eaten"][0] == "none" for k in range(max(c.lo, i - 1), i + 1)
    )
    if denied or (c.joke and not sure) or work.shut(c, i) or c.quote:
        return
    if c.other and not c.named and c.how != "carried":
        return
    if not c.dogs and c.human and c.pronoun is None and not c.unsure and c.how == "":
        return
    if not c.named and c.how in ("carried", "before") and subject_is_person(work, c, i):
        return
    if c.named and subject_is_person(work, c, i) and (c.mentions[0].i > i):
        return
    if _lost(work, c):
        return
    work.post(c, Sign(dog="", on=work.day(c), sign="swallowed", clock=work.clock(c)), sure=sure and bool(c.pronoun))


def _and_all(work: Work, c: Clause) -> list[int]:
    """'ate it. foil and all': the thing told right after, that went down with the rest."""
    words = work.words
    after = work.clauses[c.number + 1] if c.number + 1 < len(work.clauses) else None
    if after is not None and after.sentence == c.sentence and not after.named and work.says(after, _MADE_OF):
        return [j for j in range(after.lo, after.hi) if words.has(j, "harm") and _toxic(words.w[j])]
    return [
        j
        for j in range(c.hi, min(c.hi + _LONGEST_REST, len(words) - 2))
        if words.has(j, "harm") and words.w[j + 1 : j + 3] == ["and", "all"]
    ]


def _longer_treat(work: Work, j: int) -> bool:
    """'string cheese' is no string, "bully stick" no stick."""
    tags = work.words.tags
    end = j + tags[j]["harm"][1]
    return any(
        m in tags[k] and k + tags[k][m][1] >= end and tags[k][m][1] > end - j
        for k in range(max(0, j - 2), j + 1)
        for m in ("treat", "food")
    )


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
            at = said.index("back") if "back" in said else 0
            if any(w in _GOT_BACK for w in said[max(0, at - _GOT_NEAR) : at]):
                return True
            if any(w in said for w in ("spat", "retrieved", "rescued")) and not any(w == "some" for w in said):
                return True
    return False
