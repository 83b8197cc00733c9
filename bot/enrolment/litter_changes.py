"""A litter and its pups told in the breeder's line: all at once, or the pups of one that is there already."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, timedelta

from bot.enrolment import heard
from bot.enrolment.asking import Asking, dog_named, sample_date, taken
from bot.enrolment.dogs import PupSaid, pups_said
from bot.enrolment.rota_lines import day_written
from core.entries import Weight, Whelping
from core.roster import Dog, Litter
from core.turns import Post
from shared.texts import listed

YOUNG = timedelta(days=56)  # a litter whose pups are named later than that has left
Hit = re.Match[str]


def add_litter(asking: Asking, hit: Hit) -> bool:
    """ "Litter of Saga x Storm, born 9 March: Oak m, Ivy f", "Saga has a litter of 4 …: boys Oak and Elm"."""
    dam, pups = dog_named(asking.kennel, hit["dam"]), pups_said(hit["pups"], _ounces(asking))
    if not pups:
        return False
    if dam is None:
        asking.tell("changed.no_dog", name=hit["dam"].strip())
        return True
    told = hit.groupdict().get("told") or ""
    sire = hit.groupdict().get("sire") or (m[1] if (m := re.search(r"\bby\s+([^,.:;]{1,40})", told)) else "")
    born = heard.day_said(hit.groupdict().get("born") or told, asking.today, asking.kennel.day_first)
    return _put(asking, dam, born or _born(asking, dam), pups, sire.strip())


def pups_of(asking: Asking, hit: Hit) -> bool:
    """ "Saga's pups are Oak m, Elm m, Ivy f"."""
    dam, pups = dog_named(asking.kennel, hit["dam"]), pups_said(hit["pups"], _ounces(asking))
    if dam is None or len(pups) < 1 or (len(pups) == 1 and not pups[0].sex):
        return False
    if any(not p.sex and dog_named(asking.kennel, p.name) for p in pups) or heard.is_note(hit[0]):
        return False  # "Saga's pups are Oak's brothers"; the ones that are known already
    return _put(asking, dam, _born(asking, dam), pups, "")


def weighed_pups(asking: Asking, hit: Hit) -> bool:
    """ "Oak boy 380 g, Elm boy 365": names that nobody knows yet, each with sex and weight, of the only open litter."""
    pups = pups_said(hit["pups"], _ounces(asking))
    if len(pups) < 2 or any(not p.sex or p.kg is None or taken(asking.kennel, p.name) for p in pups):
        return False
    dams = [d for d in asking.kennel.at_home() if d.sex != "m" and _is_open(asking, d)]
    return len(dams) == 1 and _put(asking, dams[0], _born(asking, dams[0]), pups, "")


def _is_open(asking: Asking, dam: Dog) -> bool:
    """True for a dam whose newest litter has no pups on the list yet."""
    born = _born(asking, dam)
    return born is not None and not asking.kennel.pups_of(dam.name, born)


def _born(asking: Asking, dam: Dog) -> date | None:
    """When her newest litter was born, by the list or by the book; None for none of these weeks."""
    days = [x.born for x in asking.kennel.litters if x.dam == dam.name and x.born]
    days += [w.on for w in asking.scene.ledger.entries(dam.name, Whelping)]
    newest = max(days, default=None)
    return newest if newest is not None and timedelta(0) <= asking.today - newest <= YOUNG else None


def _put(asking: Asking, dam: Dog, born: date | None, pups: list[PupSaid], sire: str) -> bool:
    if born is None:
        day = sample_date(asking.kennel, asking.today)
        asking.tell("changed.litter_born", dam=dam.name, date=day, dogs=", ".join(p.name for p in pups))
        return True
    known = [p.name for p in pups if taken(asking.kennel, p.name)]
    new = [p for p in pups if p.name not in known]
    if known:
        asking.tell("changed.dog_known", dogs=listed(known))
    if not new:
        return True
    was = next((x for x in asking.kennel.litters if (x.dam, x.born) == (dam.name, born)), None)
    father = dog_named(asking.kennel, sire)
    by = (father.name if father else sire) or (was.sire if was else None) or None
    asking.add_dogs([_dog(p, born, dam, by) for p in new])
    _put_litter(asking, dam, born, by, was)
    asking.posts += [
        Post(entry=Weight(dog=p.name, on=asking.today, kg=round(p.kg, 4), said=asking.said)) for p in new if p.kg
    ]
    told = listed([p.name for p in new])
    asking.tell("changed.litter", dam=dam.name, born=day_written(born, asking.kennel), dogs=told)
    if asking.posts:
        asking.tell("changed.litter_weighed")
    return True


def _dog(pup: PupSaid, born: date, dam: Dog, sire: str | None) -> Dog:
    return Dog(name=pup.name, sex=pup.sex, born=born, litter=dam.name, breed=dam.breed, sire=sire)


def _put_litter(asking: Asking, dam: Dog, born: date, sire: str | None, was: Litter | None) -> None:
    """The litter on the list, with at least as many counted as are named."""
    named = len([d for d in asking.kennel.dogs if d.litter == dam.name and d.born == born])
    litter = Litter(dam=dam.name, sire=sire, born=born, counted=max(named, (was.counted or 0) if was else 0))
    others = tuple(x for x in asking.kennel.litters if (x.dam, x.born) != (dam.name, born))
    asking.kennel = replace(asking.kennel, litters=(*others, litter))


def _ounces(asking: Asking) -> bool:
    return asking.kennel.weight_unit == "lb"


LITTER_CHANGES: Mapping[str, Callable[[Asking, Hit], bool]] = {
    "add_litter": add_litter, "has_litter": add_litter, "pups_of": pups_of, "weighed_pups": weighed_pups,
}  # fmt: skip


