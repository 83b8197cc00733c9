"""Which dogs a red word can be about: a newborn, a nursing dam, a bitch, a pup under sixteen weeks."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from datetime import date

from core.gestation import nursing
from core.ledger import Ledger
from core.roster import Dog, Kennel, months_between
from shared.tables import facts

Can = Callable[[Dog, Kennel, date, Ledger], bool]


def fits(
    who: str, dogs: Collection[str], spoken: Collection[str], kennel: Kennel, on: date, ledger: Ledger | None = None
) -> bool:
    """True where the sign can be about one of these dogs, or where none is named about any of the kennel's.

    `spoken` are the message's words: "newborn" or "dam" said is enough, whatever the roster knows. A whelping that is
    only in the book is known with the `ledger`.
    """
    if not who:
        return True
    if set(facts("urgent")["says"].get(who, ())) & set(spoken):
        return True
    named = [d for name in dogs if (d := kennel.dog(name)) is not None]
    return any(_CAN[who](d, kennel, on, ledger or Ledger()) for d in named or kennel.living())


def _months(dog: Dog, on: date) -> int:
    return months_between(dog.born, on)


def _limit(name: str) -> int:
    value: int = facts("urgent")["limits"][name]
    return value


def is_nursing(dog: Dog, kennel: Kennel, on: date, ledger: Ledger) -> bool:
    """True for a dam with pups that are not yet weaned (`gestation.nursing`)."""
    return nursing(dog, ledger, kennel, on) is not None


def _is_bitch(dog: Dog, kennel: Kennel, on: date, ledger: Ledger) -> bool:
    return dog.sex != "m" and _months(dog, on) >= _limit("season_months")


_CAN: Mapping[str, Can] = {
    "grown": lambda d, k, on, book: _months(d, on) >= _limit("grown_months"),
    "newborn": lambda d, k, on, book: d.is_newborn(on),
    "nursing": is_nursing,
    "bitch": _is_bitch,
    "not nursing": lambda d, k, on, book: _is_bitch(d, k, on, book) and not is_nursing(d, k, on, book),
    "young": lambda d, k, on, book: _limit("weaning_days") <= d.age_days(on) < _limit("young_days"),
    "eyes open": lambda d, k, on, book: d.age_days(on) >= _limit("eyes_open_days"),
}
