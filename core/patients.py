"""Which dogs a red word can be about: a newborn, a nursing dam, a bitch, a pup under sixteen weeks."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from datetime import date

from core.roster import Dog, Kennel, months_between
from shared.tables import facts

Can = Callable[[Dog, Kennel, date], bool]


def fits(who: str, dogs: Collection[str], spoken: Collection[str], kennel: Kennel, on: date) -> bool:
    """True where the sign can be about one of these dogs, or where none is named about any of the kennel's.

    `spoken` are the message's words: "newborn" or "dam" said is enough, whatever the roster knows.
    """
    if not who:
        return True
    if set(facts("urgent")["says"].get(who, ())) & set(spoken):
        return True
    named = [d for name in dogs if (d := kennel.dog(name)) is not None]
    return any(_CAN[who](d, kennel, on) for d in named or kennel.living())


def _months(dog: Dog, on: date) -> int:
    return months_between(dog.born, on)


def _limit(name: str) -> int:
    value: int = facts("urgent")["limits"][name]
    return value


def is_nursing(dog: Dog, kennel: Kennel, on: date) -> bool:
    """True for a dam with pups that are not yet weaned (under eight weeks)."""
    return dog.sex == "f" and any(0 <= p.age_days(on) < _limit("weaned_days") for p in kennel.pups_of(dog.name))


def _is_bitch(dog: Dog, kennel: Kennel, on: date) -> bool:
    return dog.sex != "m" and _months(dog, on) >= _limit("season_months")


_CAN: Mapping[str, Can] = {
    "grown": lambda d, k, on: _months(d, on) >= _limit("grown_months"),
    "newborn": lambda d, k, on: d.is_newborn(on),
    "nursing": is_nursing,
    "bitch": _is_bitch,
    "not nursing": lambda d, k, on: _is_bitch(d, k, on) and not is_nursing(d, k, on),
    "young": lambda d, k, on: _limit("weaning_days") <= d.age_days(on) < _limit("young_days"),
    "eyes open": lambda d, k, on: d.age_days(on) >= _limit("eyes_open_days"),
}
