"""What a change of the kennel took away, as facts to be kept in mind, and the kennel put back by them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any

from core.codec import field_from_json, from_json, to_json
from core.roster import Dog, Kennel

_APART = frozenset({"dogs", "revision"})  # dogs one by one; the revision only ever rises


def difference(old: Kennel, new: Kennel) -> dict[str, Any]:
    """What stood in `old` and stands otherwise in `new`, ready for JSON; a dog that is new there as None."""
    parts = {f.name: getattr(old, f.name) for f in fields(Kennel) if f.name not in _APART}
    dogs = {d.name: old.dog(d.name) for d in new.dogs if old.dog(d.name) != d}
    return {
        "parts": {name: to_json(was) for name, was in parts.items() if was != getattr(new, name)},
        "dogs": {name: to_json(was) for name, was in dogs.items()},
    }


def put_back(kennel: Kennel, told: Mapping[str, Any]) -> Kennel:
    """The kennel with what `difference` kept; weighings since then stay with their dogs."""
    parts = {name: field_from_json(Kennel, name, was) for name, was in told["parts"].items()}
    dogs = []
    for dog in kennel.dogs:
        if dog.name not in told["dogs"]:
            dogs.append(dog)
        elif told["dogs"][dog.name] is not None:
            dogs.append(replace(from_json(Dog, told["dogs"][dog.name]), last_weight=dog.last_weight))
    return replace(kennel, **parts, dogs=tuple(dogs))
