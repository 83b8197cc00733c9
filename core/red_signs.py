"""Signs of illness that mean the vet, in a dog that can have them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import islice, product
from typing import Any

from core.patient import Somebody, Who
from core.patients import fits
from core.red_scene import Hit, Scene, denied, follows, over, rules, word_list
from core.wording import Word, has, hits

MOST_TRIED = 64  # places of one rule's groups that are tried: a text of nothing but red words must not cost time


def sign(scene: Scene) -> Hit | None:
    """The worst sign that a dog of ours has, None where none has one."""
    worst: Hit | None = None
    about_it = has(word_list("talk"), scene.text)
    for rule in rules()["sign"]:
        found = _sign_of(scene, rule, about_it)
        if found is None:
            continue
        if "level" not in rule:
            return found  # now: nothing is worse
        worst = worst or found
    return worst


def _sign_of(scene: Scene, rule: Mapping[str, Any], about_it: bool) -> Hit | None:
    groups = _groups(scene, rule)
    if not groups or has(rule.get("blocks", ()), scene.text) or not _minutes_enough(scene, rule):
        return None
    # Each group has a place of its own.
    places_of_rule = (places for places in product(*groups) if len(set(places)) == len(places))
    for places in islice(places_of_rule, MOST_TRIED):
        who = _ill(scene, rule, places, about_it)
        if who is not None:
            return Hit(rule, who, min(p[0] for p in places), max(p[1] for p in places))
    return None


def _groups(scene: Scene, rule: Mapping[str, Any]) -> list[list[tuple[int, int]]]:
    """Where each of the rule's groups of phrases stands; empty where one stands nowhere."""
    found = []
    for number, group in enumerate(rule["groups"]):
        sure = number == rule.get("sure")  # "hasn't eaten since yesterday": the denial is part of the sign
        found.append([h for h in hits(group, scene.text) if sure or _stands(scene, rule, h)])
        if not found[-1]:
            return []
    return found


def _stands(scene: Scene, rule: Mapping[str, Any], hit: tuple[int, int]) -> bool:
    start, end = hit
    before = scene.text[start - 1].text if start and scene.text[start - 1].clause == scene.text[start].clause else ""
    return (
        not denied(scene, start)
        and not over(scene, start, sign=True)
        and not follows(rule.get("not_before", ()), scene.text, end)
        and before not in rule.get("not_after", ())
        and ("only_before" not in rule or _at_end(scene.text, end) or follows(rule["only_before"], scene.text, end))
    )


def _at_end(text: Sequence[Word], end: int) -> bool:
    return end >= len(text) or text[end].clause != text[end - 1].clause


def _ill(scene: Scene, rule: Mapping[str, Any], places: Sequence[tuple[int, int]], about_it: bool) -> Somebody | None:
    """Who has the sign: a dog of ours that the rule can be about, else None."""
    subjects = [scene.subject(start, owners=True) for start, _ in places]
    if any(s.who in {Who.HUMAN, Who.ELSEWHERE} for s in subjects):
        return None
    if any(_thing(scene, rule, start) for start, _ in places):
        return None
    best = next((s for s in subjects if s.dog), None) or next((s for s in subjects if s.who is Who.OURS), subjects[0])
    first = min(start for start, _ in places)
    if rule.get("named_first") and best.at > first:
        return None
    if rule.get("who") == "nursing" and not best.dog and best.at < first and _is_little(scene, best):
        return None
    if best.who is Who.NOBODY and (about_it or len(scene.text) > rules()["alone_words"] * len(places)):
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


def _is_little(scene: Scene, somebody: Somebody) -> bool:
    """True for the pups, who cannot have what only a dam has: "pups twitching in their sleep"."""
    return scene.text[somebody.at].text in rules()["who"]["little"]


def _thing(scene: Scene, rule: Mapping[str, Any], start: int) -> bool:
    """True where the sign is told of a thing: "the fence collapsed"."""
    things = rule.get("thing_subjects", ())
    before = [w.text for w in scene.text[max(0, start - 3) : start] if w.sentence == scene.text[start].sentence]
    return any(b in things for b in before)


def _minutes_enough(scene: Scene, rule: Mapping[str, Any]) -> bool:
    """Whether a stated length of time reaches the rule's line; true for a rule without one."""
    line = rule.get("pushing_minutes", rule.get("hours_since_pup", 0) * 60)
    return not line or any(minutes >= line for minutes in lengths_of_time(scene.text))


def lengths_of_time(text: Sequence[Word]) -> tuple[float, ...]:
    """Every length of time that is said, in minutes: "20 min", "2 hours", "half an hour", "ages"."""
    units: Mapping[str, float] = rules()["time"]["units"]
    numbers: Mapping[str, float] = rules()["time"]["numbers"]
    out: list[float] = [m for said, m in rules()["time"]["said"].items() if has((said,), text)]
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
