"""Changing the kennel later, in the breeder's own line and in plain words: "breakfast at 7:15", "add dog …"."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache

from bot.enrolment import heard
from bot.enrolment.asking import (
    Asking,
    dog_named,
    put_dog,
    put_person,
    sample_date,
    taken,
    time_there,
    vet_shown,
)
from bot.enrolment.clocks import as_figures
from bot.enrolment.dogs import dogs_said
from bot.enrolment.heard import phrases
from bot.enrolment.litter_changes import LITTER_CHANGES
from bot.enrolment.places import zones_of
from bot.enrolment.roster_names import NAME_CHANGES
from bot.enrolment.rota_changes import ROTA_CHANGES
from bot.enrolment.rota_lines import clock_shown, day_written
from bot.enrolment.setup import GRAMS, KCAL, dog_of, tell_food, vet_of, with_food
from core.feeding import reordered
from core.pedigree import PedigreeError, kinship, parents_of
from core.roster import Ancestor, Food, Person
from shared.texts import listed, text

LONGEST = 300  # characters of a change; a longer message is none

Hit = re.Match[str]


def change(asking: Asking) -> bool:
    """True where the message changed the kennel (or asked to, and was answered why not)."""
    said = " ".join(asking.said.split())
    if not said or len(said) > LONGEST:
        return False
    for name, pattern in _patterns():
        # The rota's own words are also those of notes ("breakfast at 7"); a note is never a change.
        if name in _LIKE_NOTES and heard.is_note(said):
            continue
        told = as_figures(said) if name in ROTA_CHANGES else said
        if (hit := pattern.match(told)) and CHANGES[name](asking, hit):
            return True
    return False


def beside_setup(asking: Asking) -> bool:
    """The same of a message between the questions of a set-up: only what can be no answer to one of them."""
    said = " ".join(asking.said.split())
    if not said or len(said) > LONGEST or heard.is_note(said):
        return False
    return any(
        name in _PLAIN and (hit := pattern.match(said)) is not None and CHANGES[name](asking, hit)
        for name, pattern in _patterns()
    )


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple((name, re.compile(p, re.IGNORECASE)) for name, p in phrases()["changes"].items())


# Dogs and people


def _add_dog(asking: Asking, hit: Hit) -> bool:
    said = dogs_said(hit["rest"], asking.today, asking.kennel.day_first)
    if not said:
        return False
    known = {d.name: other for d in said if (other := taken(asking.kennel, d.name))}
    new = [d for d in said if d.name not in known]
    added, unborn = [d for d in new if d.born], [d for d in new if not d.born]
    if known:
        asking.tell("changed.dog_known", dogs=listed(list(known.values())))
    if added:
        asking.add_dogs([dog_of(d, d.born) for d in added if d.born])
        asking.tell("changed.dog", dogs=listed([d.name for d in added]))
    if unborn:
        day = sample_date(asking.kennel, asking.today)
        key = "changed.born" if len(unborn) == 1 else "changed.born_all"
        asking.tell(key, dogs=listed([d.name for d in unborn]), dog=unborn[0].name, date=day)
    return True


def _add_person(asking: Asking, hit: Hit) -> bool:
    rest, until = heard.until_said(hit["rest"], asking.today, asking.kennel.day_first)
    if not heard.found("roles", rest):
        dogs = dogs_said(hit["rest"], asking.today, asking.kennel.day_first)
        if any(d.born for d in dogs):  # "add Bran, boy, born …"
            return _add_dog(asking, hit)
    people = heard.people_said(rest, asking.kennel)
    if not people or len(people) > 5:
        return False
    people = [replace(p, until=until) if p.role == "sitter" else p for p in people]
    for person in people:
        if other := taken(asking.kennel, person.name):
            asking.tell("changed.person_known", who=other)
        else:
            asking.kennel = replace(asking.kennel, people=(*asking.kennel.people, person))
            key, values = _welcomed(person, asking)
            asking.tell(key, **values)
    return True


def _welcomed(person: Person, asking: Asking) -> tuple[str, dict[str, str]]:
    if person.until is None:
        return "changed.person", {"who": person.name}
    return "changed.sitter_until", {"who": person.name, "day": day_written(person.until, asking.kennel)}


def _home(asking: Asking, hit: Hit) -> bool:
    dog, who = dog_named(asking.kennel, hit["dog"]), heard.name_said(hit["who"])
    if dog is None or who is None:
        return False
    person = asking.kennel.person(who)
    if person is not None and person.role != "buyer":
        return False  # "Bran goes to Tom" is talk in the house
    new = replace(person or Person(name=who, role="buyer"), dogs=(*(person.dogs if person else ()), dog.name))
    put_person(asking, person, new)
    put_dog(asking, replace(dog, home=new.name))
    asking.tell("changed.home", dog=dog.name, who=new.name)
    return True


def _nickname(asking: Asking, hit: Hit) -> bool:
    dog, name = dog_named(asking.kennel, hit["dog"]), heard.name_said(hit["name"])
    # "Bran is also sick" is a note: a name is said to be one, or has its capital.
    if dog is None or name is None or not ("called" in hit[0] or "known" in hit[0] or name[0].isupper()):
        return False
    if other := taken(asking.kennel, name):
        asking.tell("changed.name_taken", name=name, dog=other)
        return True
    put_dog(asking, replace(dog, also=(*dog.also, name)))
    asking.tell("changed.nickname", dog=dog.name, name=name)
    return True


def _by_out_of(asking: Asking, hit: Hit) -> bool:
    """ "Fjord is by Storm out of Saga": parents for the pedigree, of a dog on the list or of one long gone."""
    names = [heard.name_said(hit[part]) for part in ("dog", "sire", "dam")]
    if None in names:
        return False
    known = [dog_named(asking.kennel, n or "") for n in names]
    name, sire, dam = (d.name if d else n or "" for d, n in zip(known, names, strict=True))
    others = tuple(a for a in asking.kennel.pedigree if a.name.casefold() != name.casefold())
    told = replace(asking.kennel, pedigree=(*others, Ancestor(name=name, sire=sire, dam=dam)))
    dog = known[0]
    if dog is not None and (dog.sire, dog.litter) != (None, None) and (dog.sire, dog.litter) != (sire, dam):
        asking.tell("changed.parents_known", dog=name, sire=dog.sire or "?", dam=dog.litter or "?")
        return True
    try:
        kinship(name, name, parents_of(told))
    except PedigreeError:
        asking.tell("changed.own_ancestor", dog=name)
        return True
    asking.kennel = told
    asking.tell("changed.parents", dog=name, sire=sire, dam=dam)
    return True


def _ear_watch(asking: Asking, hit: Hit) -> bool:
    dog = dog_named(asking.kennel, hit["dog"])
    if dog is None:
        return False
    on = hit["how"].casefold() == "watch"
    put_dog(asking, replace(dog, ear_watch=on))
    asking.tell("changed.watch" if on else "changed.no_watch", dogs=dog.name)
    return True


# Food


def _add_food(asking: Asking, hit: Hit) -> bool:
    said = heard.food_said(hit["rest"])
    if not said.name or said.kcal is None or not KCAL[0] <= said.kcal <= KCAL[1]:
        return False
    grams = said.grams if said.grams and GRAMS[0] <= said.grams <= GRAMS[1] else None
    asking.kennel = with_food(asking, Food(name=said.name, kcal_per_cup=said.kcal, g_per_cup=grams))
    tell_food(asking, "changed", said.name, said.kcal, grams)
    return True


def _eats(asking: Asking, hit: Hit) -> bool:
    dog, named = dog_named(asking.kennel, hit["dog"]), hit["food"].strip()
    if dog is None:
        return False
    food = next((f for f in asking.kennel.foods if f.name.casefold() == named.casefold()), None)
    if food is None:
        if re.search(r"\d|[¼½¾⅛⅜⅝⅞]|\bcups?\b", named) or not any(
            w in named.casefold().split() for f in asking.kennel.foods for w in f.name.casefold().split()
        ):
            return False  # a ration, or talk
        near = [f for f in asking.kennel.foods if set(named.casefold().split()) & set(f.name.casefold().split())]
        if len(near) != 1:
            asking.tell("changed.which_food", food=named)
            return True
        food = near[0]
    put_dog(asking, reordered(dog, asking.kennel, asking.today, food=food))
    asking.tell("changed.eats", dogs=dog.name, dog=dog.name, food=food.name)
    return True


# The kennel


def _vet(asking: Asking, hit: Hit) -> bool:
    numbers = heard.phones_said(hit["rest"])
    if not numbers:
        return False
    asking.kennel = replace(asking.kennel, vet=vet_of(asking, numbers))
    asking.tell("changed.vet", vet=vet_shown(asking.kennel))
    return True


def _zone(asking: Asking, hit: Hit) -> bool:
    zones = zones_of(hit["place"])
    if len(zones) != 1:
        return False
    asking.kennel = replace(asking.kennel, zone=zones[0])
    asking.tell("changed.zone", zone=zones[0].rpartition("/")[2].replace("_", " "), time=time_there(asking))
    return True


def _kennel_name(asking: Asking, hit: Hit) -> bool:
    name = heard.name_said(hit["name"])
    if name is None:
        return False
    asking.kennel = replace(asking.kennel, name=name)
    asking.tell("changed.name", name=name)
    return True


def _unit(asking: Asking, hit: Hit) -> bool:
    unit = heard.found("units", hit["unit"]) or asking.kennel.weight_unit
    asking.kennel = replace(asking.kennel, weight_unit=unit)
    asking.tell("changed.unit", unit=text(f"setup.{unit}"))
    return True


def _person_unit(asking: Asking, hit: Hit) -> bool:
    person, unit = heard.person_said(hit["who"], asking.kennel, asking.me), heard.found("units", hit["unit"])
    if person is None or unit is None:
        return False
    put_person(asking, person, replace(person, unit=unit))
    asking.tell("changed.person_unit", who=person.name, unit=text(f"setup.{unit}"))
    return True


def _person_clock(asking: Asking, hit: Hit) -> bool:
    person = heard.person_said(hit["who"], asking.kennel, asking.me)
    if person is None:
        return False
    put_person(asking, person, replace(person, clock_24=hit["hours"] == "24"))
    own = replace(asking.kennel, clock_24=hit["hours"] == "24")
    at = clock_shown(own.local(asking.message.sent_at).time(), own)
    asking.tell("changed.person_clock", who=person.name, time=at)
    return True


def _clock(asking: Asking, hit: Hit) -> bool:
    asking.kennel = replace(asking.kennel, clock_24=hit["hours"] == "24")
    asking.tell("changed.clock", time=time_there(asking))
    return True


def _quiet(asking: Asking, hit: Hit) -> bool:
    start, end = heard.clock_said(hit["start"], evening=True), heard.clock_said(hit["end"])
    if start is None or end is None:
        return False
    asking.kennel = replace(asking.kennel, quiet_from=start, quiet_to=end)
    asking.tell("changed.quiet", start=clock_shown(start, asking.kennel), end=clock_shown(end, asking.kennel))
    return True


def _alert(asking: Asking, hit: Hit) -> bool:
    at = heard.clock_said(hit["at"])
    if at is None:
        return False
    asking.kennel = replace(asking.kennel, alert_at=at)
    asking.tell("changed.alert", time=clock_shown(at, asking.kennel))
    return True


CHANGES: Mapping[str, Callable[[Asking, Hit], bool]] = {
    **LITTER_CHANGES, "add_food": _add_food, "eats": _eats, "add_dog": _add_dog, "add_person": _add_person,
    **NAME_CHANGES, "home": _home, "nickname": _nickname, "by_out_of": _by_out_of,
    "ear_watch": _ear_watch, "vet": _vet, "zone": _zone, "kennel_name": _kennel_name, "person_clock": _person_clock,
    "person_unit": _person_unit, "unit": _unit, "clock": _clock, "quiet": _quiet, "alert": _alert, **ROTA_CHANGES,
}  # fmt: skip
_LIKE_NOTES = frozenset({"eats", "home", "who_does", "meal_at", "rounds", "every", "medicine"})
_PLAIN = frozenset({"add_litter", "has_litter", "pups_of", "add_dog", "add_person", "rename", "remove_person", "home"})
