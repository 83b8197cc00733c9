"""What a dog swallowed that is no food: poisons, objects, and whatever else went down that is not its dinner."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from core.patient import Somebody, Who
from core.red_scene import Hit, Scene, denied, follows, over, rules, word_list
from core.taken import is_object_of
from core.wording import Word, has, hits, words


def swallowed(scene: Scene) -> Hit | None:
    """The first thing on the list that a dog of ours had, else whatever it swallowed; None where it had nothing."""
    if has(word_list("rescued"), scene.text) and not has(word_list("unsure"), scene.text):
        return None
    for rule in rules()["swallowed"]:
        for start, end in _substances(scene, rule):
            who = _eater(scene, rule, start, end)
            if who is not None:
                return Hit(rule, who, start, end)
    return _unknown_thing(scene)


def _substances(scene: Scene, rule: Mapping[str, Any]) -> list[tuple[int, int]]:
    after = rule.get("not_before", ())
    return [
        (start, end)
        for start, end in [*hits(rule["hear"], scene.text), *_of_people(scene, rule.get("of_people", ()))]
        if not follows(after, scene.text, end)
        and not has(("no", "not", "without"), scene.text[max(0, start - 1) : start])
        and not over(scene, start, sign=False)
    ]


def _of_people(scene: Scene, patterns: Sequence[str]) -> list[tuple[int, int]]:
    """Where one of the phrases stands and belongs to a person by the few words before: "Ida's", "grans"."""
    if not patterns:
        return []
    people = {n.casefold() for p in scene.kennel.people for n in (p.name, *p.also)} | set(rules()["who"]["human"])
    found = []
    for start, end in hits(patterns, scene.text):
        before = [w for w in scene.text[max(0, start - 3) : start] if w.clause == scene.text[start].clause]
        if any(w.text in people if w.s else _plain_owner(w.text, people) for w in before):
            found.append((start, end))
    return found


def _plain_owner(said: str, people: Collection[str]) -> bool:
    """True for "grans" without its apostrophe; "is" is nobody's."""
    return len(said) > 3 and said.endswith("s") and said.removesuffix("s") in people


def _unknown_thing(scene: Scene) -> Hit | None:
    """Whatever was swallowed and is neither food nor medicine: "swallowed a bolt", "swallowed something"."""
    taking, text, rule = rules()["taking"], scene.text, rules()["unknown"]
    verbs = hits(taking["down"], text)
    verbs += [(v, e) for v, e in hits(["swallow"], text) if has(taking["base_after"], text[max(0, v - 4) : v])]
    for verb, verb_end in verbs:
        end = _thing_end(text, verb_end)
        if end is None or _is_denied(scene, verb) or over(scene, verb, sign=False):
            continue
        who = _taker(scene, rule, verb, verb_end, verb_end, strong=True)
        if who is not None:
            return Hit(rule, who, verb, end)
    return None


def is_harmless(said: str) -> bool:
    """True where all that is told of as swallowed may be: "swallowed her tablet in cheese", "swallowed hard"."""
    taking, text = rules()["taking"], words(said)
    verbs = hits(taking["down"], text)
    if not verbs or any(w.text in taking["strong"] and w.text not in {text[v].text for v, _ in verbs} for w in text):
        return False
    return all(_thing_end(text, end) is None and not _stands_for_unknown(text, verb, end) for verb, end in verbs)


def names_an_object(said: str) -> bool:
    """True where an object of the list is named and nothing is told of as swallowed: whether it was eaten has then
    been looked at ("had a stone in her paw", "ate, pinched a sock")."""
    text = words(said)
    objects = [rule for rule in rules()["swallowed"] if rule.get("swallow_only")]
    return not has(rules()["taking"]["down"], text) and any(has(rule["hear"], text) for rule in objects)


def _stands_for_unknown(text: Sequence[Word], verb: int, end: int) -> bool:
    """True for "swallowed it" where nothing before it in the sentence may be swallowed."""
    if end >= len(text) or text[end].text not in rules()["taken"]["stand_ins"]:
        return False
    before = [w for w in text[:verb] if w.sentence == text[verb].sentence]
    return not any(w.text in rules()["taking"]["harmless"] for w in before)


def _thing_end(text: Sequence[Word], at: int) -> int | None:
    """The place after the thing that begins here; None where none does, or one that may be swallowed."""
    taking, end = rules()["taking"], at
    while end < len(text) and text[end].clause == text[at].clause and text[end].text not in taking["thing_ends"]:
        end += 1
    while end > at and text[end - 1].text in taking["tail"]:
        end -= 1
    if all(w.text in taking["no_thing"] or w.text.isdigit() for w in text[at:end]):
        return None
    return None if text[end - 1].text in taking["harmless"] else end


def _is_denied(scene: Scene, verb: int) -> bool:
    return denied(scene, verb) or _beforehand(scene, verb)


def _beforehand(scene: Scene, verb: int) -> bool:
    """True for "before Nugget got any": what is told of had not happened yet."""
    somebody = {s.at for s in scene.everybody}
    at = verb - 1
    while at >= 0 and (at in somebody or scene.text[at].text in word_list("helpers")):
        at -= 1
    return 0 <= at < verb - 1 and scene.text[at].text == "before"


def _eater(scene: Scene, rule: Mapping[str, Any], start: int, end: int) -> Somebody | None:
    """The dog of ours that had this, as far as it is known; None where none had it."""
    for verb, verb_end, strong in _takings(scene, rule):
        if _reaches(scene, rule, verb, verb_end, start, end) and not _is_denied(scene, verb):
            who = _taker(scene, rule, verb, verb_end, start, strong=strong)
            if who is not None:
                return who
    if rule.get("swallow_only"):
        return _made_off_with(scene, rule, start, end)
    if not rule.get("mouth_only"):
        for verb, verb_end in hits(rules()["taking"]["giving"], scene.text):
            if _near(scene, verb, start, end) and not _is_denied(scene, verb):
                who = _given(scene, verb, verb_end)
                if who is not None:
                    return who
    return _gone_or_panic(scene, rule, start, end)


def _takings(scene: Scene, rule: Mapping[str, Any]) -> Iterator[tuple[int, int, bool]]:
    """Where something is eaten or got at, each with whether that alone says that it went down."""
    taking, text = rules()["taking"], scene.text
    weak = () if rule.get("swallow_only") else taking["mouthing"] if rule.get("mouth_only") else taking["weak"]
    for verb, verb_end in hits((*taking["strong"], *weak), text):
        on = rule.get("mouth_only") and verb_end < len(text) and text[verb_end].text in taking["mouthing_on"]
        yield verb, verb_end + bool(on), text[verb].text in taking["strong"]
    weak = () if rule.get("swallow_only") or rule.get("mouth_only") else taking["base_weak"]
    for verb, verb_end in hits((*taking["base"], *weak), text):
        before = [w for w in text[max(0, verb - 4) : verb] if w.sentence == text[verb].sentence]
        if has(taking["base_after"], before):
            yield verb, verb_end, True


def _reaches(scene: Scene, rule: Mapping[str, Any], verb: int, verb_end: int, start: int, end: int) -> bool:
    """Whether the eating is of this: an object must be what was eaten, a poison need only be near."""
    if rule.get("swallow_only") or rule.get("mouth_only"):
        return is_object_of(scene, verb, verb_end, start, end)
    return _near(scene, verb, start, end)


def _near(scene: Scene, verb: int, start: int, end: int) -> bool:
    if scene.text[verb].sentence != scene.text[start].sentence or start <= verb < end:
        return False
    distance = start - verb if verb < start else verb - end + 1
    return 0 < distance <= int(rules()["near_words"])


def _taker(
    scene: Scene, rule: Mapping[str, Any], verb: int, verb_end: int, start: int, *, strong: bool
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


def _alone(scene: Scene, rule: Mapping[str, Any], verb: int, start: int, *, strong: bool) -> bool:
    """Whether "had one grape", with nobody named, is believed of a dog; a family's own supper is not."""
    text = scene.text
    if rule.get("people_eat") and has(rules()["taking"]["at_table"], text):
        return False
    if strong:
        return True
    bare = hits(rules()["taking"]["bare"], text[verb : verb + 2])
    short = len([w for w in text if w.sentence == text[verb].sentence]) <= rules()["alone_words"]
    return bool(bare) and short and not rule.get("supper") and text[verb].clause == text[start].clause


def _is_call(scene: Scene, verb: int, who: Somebody) -> bool:
    """True for "ate a grape, Nugget!": the dog is named behind."""
    return who.who is Who.OURS and scene.text[who.at].clause != scene.text[verb].clause


def _is_his_own(text: Sequence[Word], at: int) -> bool:
    return at < len(text) and text[at].text in {"his", "her", "their"}


def _stranger(scene: Scene, verb: int) -> int | None:
    """The place of a word before the verb that may be a name on no list ("rufus ate …"), None where there is none."""
    text = scene.text
    light = set(word_list("light"))
    for i in range(verb - 1, -1, -1):
        if text[i].clause != text[verb].clause or text[i].text in word_list("joins"):
            return None
        if text[i].text not in light and not text[i].text.isdigit():
            return i
    return None


def _given(scene: Scene, verb: int, verb_end: int) -> Somebody | None:
    """The dog of ours to whom something was given: "gave him a grape", "to Nugget", "Nugget was given"."""
    text = scene.text
    for somebody in (s for s in scene.everybody if not s.owner):
        if verb_end <= somebody.at <= verb_end + 2 and text[somebody.at].sentence == text[verb].sentence:
            return somebody if somebody.who in {Who.OURS, Who.PRONOUN} else None
        if somebody.at > verb and somebody.at > 0 and text[somebody.at - 1].text == "to" and somebody.who is Who.OURS:
            return somebody
    objects = rules()["who"]["objects"]
    if verb_end < len(text) and text[verb_end].text in objects and not _speaks_of_people(scene, verb):
        return Somebody(verb_end, Who.PRONOUN)
    if text[verb].text == "given":
        who = scene.subject(verb)
        return who if who.at < verb and who.who in {Who.OURS, Who.PRONOUN} else None
    return None


def _speaks_of_people(scene: Scene, at: int) -> bool:
    speakers = rules()["who"]["speakers"]
    before = [s for s in scene.everybody if s.at < at and s.who is not Who.PRONOUN and not s.owner]
    return bool(before) and before[-1].who is Who.HUMAN and scene.text[before[-1].at].text not in speakers


def _made_off_with(scene: Scene, rule: Mapping[str, Any], start: int, end: int) -> Somebody | None:
    """The dog of ours that took an object which then cannot be found: "nicked a sock and it's gone"."""
    taking, text = rules()["taking"], scene.text
    rest = [w for w in text[end:] if w.sentence <= text[start].sentence + 1]
    if not has(taking["lost"], rest) or has(taking["found"], rest):
        return None
    for verb, verb_end in hits(taking["stole"], text):
        if verb < start and is_object_of(scene, verb, verb_end, start, end) and not _is_denied(scene, verb):
            who = _taker(scene, rule, verb, verb_end, start, strong=False)
            if who is not None and who.who in {Who.OURS, Who.PRONOUN}:
                return who
    return None


def _gone_or_panic(scene: Scene, rule: Mapping[str, Any], start: int, end: int) -> Somebody | None:
    """A dog of ours where the thing is gone with it about, or is cried out with a call for help."""
    text = scene.text
    sentence = text[start].sentence
    whole = [w for w in text if w.sentence == sentence]
    ours = [s for s in scene.everybody if s.who is Who.OURS and text[s.at].sentence == sentence]
    speakers = rules()["who"]["speakers"]
    people = [
        s for s in scene.everybody
        if s.who in {Who.HUMAN, Who.ELSEWHERE} and not s.owner and text[s.at].sentence == sentence
        and text[s.at].text not in speakers
    ]
    if not ours or people or denied(scene, start):
        return None
    before = text[start - 1].text if start else ""
    if len(text) <= 4 and ours[0].dog and before in rules()["who"]["counted"]:
        return ours[0]
    return ours[0] if has(rules()["taking"]["gone"], whole) or has(rules()["taking"]["panic"], text) else None
