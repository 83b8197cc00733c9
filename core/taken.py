"""Whether a thing is what was eaten, by the words between: "ate breakfast and a sock", not "ate, got the ball"."""

from __future__ import annotations

from collections.abc import Sequence

from core.red_scene import Scene, rules
from core.wording import Word, has


def is_object_of(scene: Scene, verb: int, verb_end: int, start: int, end: int) -> bool:
    """True where the thing at `start` to `end` is the object of the eating at `verb` to `verb_end`."""
    if start >= verb_end:
        return _behind(scene.text, verb_end, start, end)
    return end <= verb and _in_front(scene.text, verb, verb_end, start, end)


def _behind(text: Sequence[Word], verb_end: int, start: int, end: int) -> bool:
    taken = rules()["taken"]
    if text[start].sentence != text[verb_end - 1].sentence or start - verb_end > taken["words"]:
        return False
    cuts = [i for i in range(verb_end, start + 1) if _cuts(text, verb_end, i)]
    if not cuts:
        between = text[verb_end:start]
        at_once = bool(between) and between[0].text in taken["from"]
        return not at_once and not _has_any(between, "breaks") and not _has_any(between, "meals")
    first, last = text[verb_end : cuts[0]], cuts[-1]
    while last < start and text[last].text in taken["ands"]:
        last += 1
    between = text[last:start]
    if _has_any(first, "breaks") or _has_any(between, "breaks") or _has_any(between, "meals"):
        return False
    # One of a list is a thing of its own, with nothing told of it: "and a sock", not "and the ball is wet".
    listed = bool(between) and _begins_thing(between[0]) and _ends(text, end)
    return listed or [w.text for w in text[end : end + 2]] == ["and", "all"]


def _cuts(text: Sequence[Word], verb_end: int, i: int) -> bool:
    """True where a new part of a list begins: behind a comma, or at "and"."""
    return text[i].text in rules()["taken"]["ands"] or (i > 0 and text[i].clause != text[i - 1].clause)


def _begins_thing(word: Word) -> bool:
    return word.s or word.text.isdigit() or word.text in rules()["taken"]["articles"]


def _ends(text: Sequence[Word], end: int) -> bool:
    """True where the clause ends here, or goes on with no more than "off the floor" or "this morning"."""
    if end >= len(text) or text[end].clause != text[end - 1].clause:
        return True
    return text[end].text in rules()["taken"]["after"] or text[end].text in rules()["taking"]["tail"]


def _in_front(text: Sequence[Word], verb: int, verb_end: int, start: int, end: int) -> bool:
    """ "The sock was eaten", "the stone that he swallowed", "can't find the sock, I think Fern swallowed it". """
    taken = rules()["taken"]
    apart = text[verb].sentence - text[start].sentence
    following = text[verb_end] if verb_end < len(text) and text[verb_end].clause == text[verb].clause else None
    if following is not None and following.text in taken["stand_ins"]:
        sure = has(rules()["taking"]["down"], text[verb:verb_end])
        whole = [w for w in text if w.sentence == text[verb].sentence]
        return (apart == 0 or (apart == 1 and sure)) and not _has_any(whole, "meals") and verb - end <= taken["far"]
    if apart or text[start].clause != text[verb].clause:
        return False
    between = text[end:verb]
    passive = text[verb].text in taken["passive"] and all(w.text in taken["helpers"] for w in between)
    told_of = start > 0 and _begins_thing(text[start - 1]) and _ends(text, verb_end)
    return passive or (told_of and not _has_any(between, "breaks") and len(between) <= taken["words"] // 2)


def _has_any(words: Sequence[Word], name: str) -> bool:
    return any(w.text in rules()["taken"][name] for w in words)
