"""Red words: what in a message means "ring the vet", decided before anything else is done with it.

The list (`shared/reference/urgent.toml`) is the breeder's: swallowed poisons and objects, and signs. A hit is
believed for a dog of ours, for "he" and "the pup", and where nobody is named; it is dropped where it is denied,
told of people or other people's animals, long ago, or talk about a subject. Unsure counts as yes.
No answer ever holds a dose or tells how to make a dog vomit.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from core.ledger import Ledger
from core.patient import Somebody, Who, named, subject
from core.patients import fits
from core.roster import Kennel
from core.wording import Word, has, hits, words
from shared.tables import facts

NOW, TODAY = "now", "today"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """A red word was said.

    Attributes:
        id: which line of the list. level: `now` (ring the vet now, at any hour) or `today`.
        dog: the dog's name where one is known, else "". text_key: the short answer in the texts.
        words: the words that raised it, for "why?".
    """

    id: str
    level: str
    text_key: str
    dog: str = ""
    words: str = ""


def alarm(
    text: str, kennel: Kennel, on: date, dogs: Sequence[str] = (), after_season: Collection[str] = (),
    ledger: Ledger | None = None,
) -> Alarm | None:  # fmt: skip
    """The worst alarm that a message raises, None where it raises none.

    `dogs` are the dogs' names that the message is already known to be about (from its context); `after_season` the
    bitches that were in season two to eight weeks ago; `ledger` the book, for a whelping that is only there.
    Source: the breeder's red words; poisons as in `toxins.csv` (any amount counts: no dose is weighed here).
    """
    said = words(text)
    if not said or _is_over(said, on):
        return None
    scene = _Scene(said, named(said, kennel), kennel, on, tuple(dogs), frozenset(after_season), ledger)
    found = [a for a in (_swallowed(scene), _sign(scene)) if a is not None]
    return min(found, key=lambda a: (a.level != NOW, found.index(a))) if found else None


def _is_over(said: Sequence[Word], on: date) -> bool:
    """True for a joke, for what the vet has already spoken on, and for what was long ago ("in 1983")."""
    if any(start == 0 or said[start - 1].text not in _words("deny") for start, _ in hits(_words("kidding"), said)):
        return True  # "not joking" is no joke
    if has(_words("vet_spoke"), said):
        return True
    if has(_words("fresh"), said):
        return False
    if has(_words("long_ago"), said):
        return True
    years = (int(w.text) for w in said if len(w.text) == 4 and w.text.isascii() and w.text.isdigit())
    return any(on.year - 100 < year < on.year for year in years)


@dataclass(frozen=True, slots=True)
class _Scene:
    text: tuple[Word, ...]
    everybody: tuple[Somebody, ...]
    kennel: Kennel
    on: date
    dogs: tuple[str, ...]
    after_season: frozenset[str] = frozenset()
    ledger: Ledger | None = None

    def subject(self, at: int, *, owners: bool = False) -> Somebody:
        return subject(self.text, self.everybody, at, self.dogs, owners=owners)

    def quote(self, start: int, end: int) -> str:
        return " ".join(w.text for w in self.text[start:end])

    def dog(self, who: Somebody) -> str:
        return who.dog or (self.dogs[0] if len(self.dogs) == 1 else "")


def _rules() -> Mapping[str, Any]:
    return facts("urgent")


def _words(name: str) -> tuple[str, ...]:
    found: tuple[str, ...] = _rules()["words"][name]
    return found


def _denied(scene: _Scene, start: int) -> bool:
    """True where the few words before a place deny it ("no sign of a …", "very nearly …")."""
    text = scene.text
    dogs = {s.at for s in scene.everybody if s.dog}  # "I'm not joking, Nugget ate it": a denial ends at the dog
    first = start
    while (
        first > 0
        and start - first < _rules()["deny_words"]
        and text[first - 1].clause == text[start].clause
        and text[first - 1].text not in _words("joins")
        and first - 1 not in dogs
    ):
        first -= 1
    before = text[first:start]
    in_sentence = [w for w in text[:start] if w.sentence == text[start].sentence]
    if has(_words("unsure"), in_sentence):
        return False
    return has(_words("deny"), before) or has(_words("near"), before)


# ---- swallowed -----------------------------------------------------------------------------------------------------


def _swallowed(scene: _Scene) -> Alarm | None:
    if has(_words("rescued"), scene.text) and not has(_words("unsure"), scene.text):
        return None
    for rule in _rules()["swallowed"]:
        for start, end in _substances(scene, rule):
            who = _eater(scene, rule, start, end)
            if who is not None:
                return Alarm(
                    id=rule["id"],
                    level=rule.get("level", NOW),
                    text_key=rule["text"],
                    dog=scene.dog(who),
                    words=scene.quote(start, end),
                )
    return None


def _substances(scene: _Scene, rule: Mapping[str, Any]) -> list[tuple[int, int]]:
    names = {s.at for s in scene.everybody if s.dog}
    after = rule.get("not_before", ())
    heard = [*hits(rule["hear"], scene.text), *_of_people(scene, rule.get("of_people", ()))]
    return [
        (start, end)
        for start, end in heard
        if not (names & set(range(start, end)))
        and not _follows(after, scene.text, end)
        and not has(("no", "not", "without"), scene.text[max(0, start - 1) : start])
    ]


def _of_people(scene: _Scene, patterns: Sequence[str]) -> list[tuple[int, int]]:
    """Where one of the phrases stands and belongs to a person by the few words before: "Ida's", "grans"."""
    people = {n.casefold() for p in scene.kennel.people for n in (p.name, *p.also)} | set(_rules()["who"]["human"])
    found = []
    for start, end in hits(patterns, scene.text):
        before = [w for w in scene.text[max(0, start - 3) : start] if w.clause == scene.text[start].clause]
        if any(w.text.removesuffix("s") in people and (w.s or w.text.endswith("s")) for w in before):
            found.append((start, end))
    return found


def _follows(patterns: Sequence[str], text: Sequence[Word], at: int) -> bool:
    """True where one of the phrases begins right here, in the same part of the sentence as the word before."""
    if at >= len(text) or text[at].clause != text[at - 1].clause:
        return False
    return any(place == 0 for place, _ in hits(patterns, text[at : at + 4]))


def _eater(scene: _Scene, rule: Mapping[str, Any], start: int, end: int) -> Somebody | None:
    """The dog of ours that had this, as far as it is known; None where none had it."""
    taking = _rules()["taking"]
    text = scene.text
    forms = list(taking["strong"]) + ([] if rule.get("swallow_only") else list(taking["weak"]))
    for verb, verb_end in hits(forms, text):
        if _near(scene, verb, start, end) and not _denied(scene, verb):
            who = _taker(scene, rule, verb, verb_end, start, strong=text[verb].text in taking["strong"])
            if who is not None:
                return who
    base = list(taking["base"]) + ([] if rule.get("swallow_only") else list(taking["base_weak"]))
    for verb, _ in hits(base, text):
        before = [w for w in text[max(0, verb - 4) : verb] if w.sentence == text[verb].sentence]
        if _near(scene, verb, start, end) and has(taking["base_after"], before) and not _denied(scene, verb):
            who = _taker(scene, rule, verb, verb + 1, start, strong=True)
            if who is not None:
                return who
    for verb, verb_end in hits(taking["giving"], text):
        if not rule.get("swallow_only") and _near(scene, verb, start, end) and not _denied(scene, verb):
            who = _given(scene, verb, verb_end)
            if who is not None:
                return who
    return None if rule.get("swallow_only") else _gone_or_panic(scene, rule, start, end)


def _near(scene: _Scene, verb: int, start: int, end: int) -> bool:
    if scene.text[verb].sentence != scene.text[start].sentence or start <= verb < end:
        return False
    distance = start - verb if verb < start else verb - end + 1
    return 0 < distance <= int(_rules()["near_words"])


def _taker(
    scene: _Scene, rule: Mapping[str, Any], verb: int, verb_end: int, start: int, *, strong: bool
) -> Somebody | None:
    text = scene.text
    who = scene.subject(verb)
    by = next((i for i in range(verb_end, min(len(text), verb_end + 3)) if text[i].text == "by"), None)
    if by is not None:
        named_after = [s for s in scene.everybody if s.at > by and not s.owner]
        who = named_after[0] if named_after else who
    if who.at > verb and by is None and not _is_call(scene, verb, who):
        who = Somebody(verb, Who.OURS, scene.dogs[0]) if len(scene.dogs) == 1 else Somebody(verb, Who.NOBODY)
    if who.who is Who.NOBODY and (stranger := _stranger(scene, verb)):
        who = Somebody(stranger, Who.UNKNOWN)
    if who.who in {Who.OURS, Who.PRONOUN}:
        return None if text[verb].text in {"got", "took", "taken"} and _is_his_own(text, verb_end) else who
    if who.who is Who.UNKNOWN:
        return who if scene.dogs or not rule.get("people_eat") else None
    if who.who is Who.NOBODY:
        return who if verb < start and _alone(scene, rule, verb, start, strong=strong) else None
    return None


def _alone(scene: _Scene, rule: Mapping[str, Any], verb: int, start: int, *, strong: bool) -> bool:
    """Whether "had one grape", with nobody named, is believed of a dog; a family's own supper is not."""
    text = scene.text
    if rule.get("people_eat") and has(_rules()["taking"]["at_table"], text):
        return False
    if strong:
        return True
    bare = hits(_rules()["taking"]["bare"], text[verb : verb + 2])
    short = len([w for w in text if w.sentence == text[verb].sentence]) <= _rules()["alone_words"]
    return bool(bare) and short and not rule.get("supper") and text[verb].clause == text[start].clause


def _is_call(scene: _Scene, verb: int, who: Somebody) -> bool:
    """True for "ate a grape, Nugget!": the dog is named behind."""
    return who.who is Who.OURS and scene.text[who.at].clause != scene.text[verb].clause


def _is_his_own(text: Sequence[Word], at: int) -> bool:
    return at < len(text) and text[at].text in {"his", "her", "their"}


def _stranger(scene: _Scene, verb: int) -> int | None:
    """The place of a word before the verb that may be a name on no list ("rufus ate …"), None where there is none."""
    text = scene.text
    light = set(_words("light"))
    for i in range(verb - 1, -1, -1):
        if text[i].clause != text[verb].clause or text[i].text in _words("joins"):
            return None
        if text[i].text not in light and not text[i].text.isdigit():
            return i
    return None


def _given(scene: _Scene, verb: int, verb_end: int) -> Somebody | None:
    """The dog of ours to whom something was given: "gave him a grape", "to Nugget", "Nugget was given"."""
    text = scene.text
    for somebody in (s for s in scene.everybody if not s.owner):
        if verb_end <= somebody.at <= verb_end + 2 and text[somebody.at].sentence == text[verb].sentence:
            return somebody if somebody.who in {Who.OURS, Who.PRONOUN} else None
        if somebody.at > verb and somebody.at > 0 and text[somebody.at - 1].text == "to" and somebody.who is Who.OURS:
            return somebody
    objects = _rules()["who"]["objects"]
    if verb_end < len(text) and text[verb_end].text in objects and not _speaks_of_people(scene, verb):
        return Somebody(verb_end, Who.PRONOUN)
    if text[verb].text == "given":
        who = scene.subject(verb)
        return who if who.at < verb and who.who in {Who.OURS, Who.PRONOUN} else None
    return None


def _speaks_of_people(scene: _Scene, at: int) -> bool:
    speakers = _rules()["who"]["speakers"]
    before = [s for s in scene.everybody if s.at < at and s.who is not Who.PRONOUN and not s.owner]
    return bool(before) and before[-1].who is Who.HUMAN and scene.text[before[-1].at].text not in speakers


def _gone_or_panic(scene: _Scene, rule: Mapping[str, Any], start: int, end: int) -> Somebody | None:
    """A dog of ours where the thing is gone with it about, or is cried out with a call for help."""
    text = scene.text
    sentence = text[start].sentence
    whole = [w for w in text if w.sentence == sentence]
    ours = [s for s in scene.everybody if s.who is Who.OURS and text[s.at].sentence == sentence]
    speakers = _rules()["who"]["speakers"]
    people = [
        s for s in scene.everybody
        if s.who in {Who.HUMAN, Who.ELSEWHERE} and not s.owner and text[s.at].sentence == sentence
        and text[s.at].text not in speakers
    ]
    if not ours or people or _denied(scene, start):
        return None
    before = text[start - 1].text if start else ""
    if len(text) <= 4 and ours[0].dog and before in _rules()["who"]["counted"]:
        return ours[0]
    return ours[0] if has(_rules()["taking"]["gone"], whole) or has(_rules()["taking"]["panic"], text) else None


# ---- signs ---------------------------------------------------------------------------------------------------------


def _sign(scene: _Scene) -> Alarm | None:
    worst: Alarm | None = None
    about_it = has(_words("talk"), scene.text)
    for rule in _rules()["sign"]:
        found = _sign_of(scene, rule, about_it)
        if found is not None and (worst is None or (worst.level != NOW and found.level == NOW)):
            worst = found
            if worst.level == NOW:
                break
    return worst


def _sign_of(scene: _Scene, rule: Mapping[str, Any], about_it: bool) -> Alarm | None:
    if has(rule.get("blocks", ()), scene.text):
        return None
    places: list[tuple[int, int]] = []
    for number, group in enumerate(rule["groups"]):
        sure = number == rule.get("sure")  # "hasn't eaten since yesterday": the denial is part of the sign
        good = [h for h in hits(group, scene.text) if (sure or _stands(scene, rule, h)) and h not in places]
        if not good:
            return None
        places.append(good[0])
    if not _minutes_enough(scene, rule):
        return None
    who = _ill(scene, rule, places, about_it)
    if who is None:
        return None
    start, end = min(p[0] for p in places), max(p[1] for p in places)
    return Alarm(
        id=rule["id"],
        level=rule.get("level", NOW),
        text_key=rule["text"],
        dog=scene.dog(who),
        words=scene.quote(start, end),
    )


def _stands(scene: _Scene, rule: Mapping[str, Any], hit: tuple[int, int]) -> bool:
    start, end = hit
    # A pup called Blue is no blue pup: a hit that is nothing but names is none ("blue 495").
    if set(range(start, end)) <= {s.at for s in scene.everybody if s.dog}:
        return False
    before = scene.text[start - 1].text if start and scene.text[start - 1].clause == scene.text[start].clause else ""
    return (
        not _denied(scene, start)
        and not _follows(rule.get("not_before", ()), scene.text, end)
        and before not in rule.get("not_after", ())
    )


def _ill(scene: _Scene, rule: Mapping[str, Any], places: Sequence[tuple[int, int]], about_it: bool) -> Somebody | None:
    """Who has the sign: a dog of ours that the rule can be about, else None."""
    subjects = [scene.subject(start, owners=True) for start, _ in places]
    if any(s.who in {Who.HUMAN, Who.ELSEWHERE} for s in subjects):
        return None
    if any(_thing(scene, rule, start) for start, _ in places):
        return None
    best = next((s for s in subjects if s.dog), None) or next((s for s in subjects if s.who is Who.OURS), subjects[0])
    if best.who is Who.NOBODY and (about_it or len(scene.text) > _rules()["alone_words"] * len(places)):
        return None
    if about_it and not best.dog:
        return None
    dogs = (best.dog,) if best.dog else scene.dogs
    if rule.get("named") and not dogs:
        return None
    who = rule.get("who", "")
    if who == "after season":
        return best if scene.after_season & set(dogs) else None
    spoken = {w.text for w in scene.text}
    return best if fits(who, dogs, spoken, scene.kennel, scene.on, scene.ledger) else None


def _thing(scene: _Scene, rule: Mapping[str, Any], start: int) -> bool:
    """True where the sign is told of a thing: "the fence collapsed"."""
    things = rule.get("thing_subjects", ())
    before = [w.text for w in scene.text[max(0, start - 3) : start] if w.sentence == scene.text[start].sentence]
    return any(b in things for b in before)


def _minutes_enough(scene: _Scene, rule: Mapping[str, Any]) -> bool:
    """Whether a stated length of time reaches the rule's line; true for a rule without one."""
    line = rule.get("pushing_minutes", rule.get("hours_since_pup", 0) * 60)
    return not line or any(minutes >= line for minutes in lengths_of_time(scene.text))


def lengths_of_time(text: Sequence[Word]) -> tuple[float, ...]:
    """Every length of time that is said, in minutes: "20 min", "2 hours", "half an hour", "ages"."""
    units: Mapping[str, float] = _rules()["time"]["units"]
    numbers: Mapping[str, float] = _rules()["time"]["numbers"]
    out: list[float] = [m for said, m in _rules()["time"]["said"].items() if has((said,), text)]
    for i, word in enumerate(text):
        digits = "".join(c for c in word.text if c.isdecimal() and c.isascii())
        unit = word.text[len(digits) :] if digits and word.text.startswith(digits) else ""
        value = numbers.get(word.text, float(digits) if 0 < len(digits) <= 4 and word.text.startswith(digits) else None)
        if value is None:
            continue
        following = unit or (text[i + 1].text if i + 1 < len(text) else "")
        if following in units:
            out.append(value * units[following])
    return tuple(out)
