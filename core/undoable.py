"""What a change of the kennel took away and brought, as facts to be kept in mind, and that one change taken back.

Only the change itself is taken back: what else was changed since then stands.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

from core.codec import field_from_json, from_json, to_json
from core.roster import Ancestor, Dog, Food, Kennel, Person

_NAMED: dict[str, type[Any]] = {"dogs": Dog, "people": Person, "foods": Food, "pedigree": Ancestor}
_LISTS = ("duties", "litters", "own_tips")
_STAY = frozenset({"last_weight"})  # of a dog: weighings are the book's, not the roster's


def difference(old: Kennel, new: Kennel) -> dict[str, Any]:
    """What stood in `old` and stands otherwise in `new`, ready for JSON.

    `parts`: plain values as they were. `named`: of dogs, people, foods and ancestors by name what was otherwise, the
    whole of one that is gone in `new`, None for one that is new there. `lists`: of the others what went and what came.
    """
    apart = {*_NAMED, *_LISTS, "revision"}  # the revision only ever rises
    parts = [f.name for f in fields(Kennel) if f.name not in apart and getattr(old, f.name) != getattr(new, f.name)]
    named = {name: _named(getattr(old, name), getattr(new, name)) for name in _NAMED}
    lists = {n: _moved(getattr(old, n), getattr(new, n)) for n in _LISTS if getattr(old, n) != getattr(new, n)}
    return {
        "parts": {name: to_json(getattr(old, name)) for name in parts},
        "named": {name: told for name, told in named.items() if told},
        "lists": lists,
    }


def put_back(kennel: Kennel, told: Mapping[str, Any]) -> Kennel:
    """The kennel without the change that `difference` kept, and with every other one since."""
    put: dict[str, Any] = {n: field_from_json(Kennel, n, was) for n, was in told.get("parts", {}).items()}
    for name, changes in told.get("named", {}).items():
        put[name] = _named_back(getattr(kennel, name), changes, _NAMED[name])
    for name, moved in told.get("lists", {}).items():
        went = field_from_json(Kennel, name, [item for _, item in moved["went"]])
        came = field_from_json(Kennel, name, moved["came"])
        put[name] = _moved_back(getattr(kennel, name), [i for i, _ in moved["went"]], went, came)
    return replace(kennel, **put)


def _named(old: Sequence[Any], new: Sequence[Any]) -> dict[str, Any]:
    before, after = {x.name: x for x in old}, {x.name: x for x in new}
    told: dict[str, Any] = {n: {"was": to_json(x), "place": i} for i, (n, x) in enumerate(before.items())
                            if n not in after}  # fmt: skip
    for name, item in after.items():
        if name not in before:
            told[name] = None
        elif changed := _values(before[name], item):
            told[name] = changed
    return told


def _values(old: Any, new: Any) -> dict[str, Any]:
    """The values of one dog or person that are otherwise in `new`; lists of names as what went and what came."""
    told: dict[str, Any] = {"values": {}, "names": {}}
    for f in fields(old):
        was, now = getattr(old, f.name), getattr(new, f.name)
        if was == now or f.name in _STAY:
            continue
        if isinstance(was, tuple) and all(isinstance(x, str) for x in (*was, *now)):
            told["names"][f.name] = _moved(was, now)
        else:
            told["values"][f.name] = to_json(was)
    return told if told["values"] or told["names"] else {}


def _named_back(items: Sequence[Any], changes: Mapping[str, Any], kind: type[Any]) -> tuple[Any, ...]:
    back = []
    for item in items:
        told = changes.get(item.name, {})
        if told is None:
            continue  # it was new then
        values = {n: field_from_json(kind, n, was) for n, was in told.get("values", {}).items()}
        for name, moved in told.get("names", {}).items():
            places = [i for i, _ in moved["went"]]
            went = [x for _, x in moved["went"]]
            values[name] = _moved_back(getattr(item, name), places, went, moved["came"])
        back.append(replace(item, **values) if values else item)
    here = {x.name for x in back}
    for name, told in changes.items():
        if told and "was" in told and name not in here:
            back.insert(told["place"], from_json(kind, told["was"]))
    return tuple(back)


def _moved(old: Sequence[Any], new: Sequence[Any]) -> dict[str, Any]:
    """What of `old` is not in `new`, each with its place, and what of `new` was not in `old`."""
    return {
        "went": [[i, to_json(x)] for i, x in enumerate(old) if x not in new],
        "came": [to_json(x) for x in new if x not in old],
    }


def _moved_back(
    present: Sequence[Any], places: Sequence[int], went: Sequence[Any], came: Sequence[Any]
) -> tuple[Any, ...]:
    """Without what came and with what went; what came and was changed again since then stands as it is."""
    if came and not any(x in present for x in came):
        return tuple(present)
    back = [x for x in present if x not in came]
    for place, item in zip(places, went, strict=True):
        if item not in back:
            back.insert(place, item)
    return tuple(back)
