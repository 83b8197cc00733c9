"""A change taken back: the kennel as it was before it, with every other change since."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, time

import hypothesis.strategies as st
from hypothesis import given

from core.roster import Dog, Duty, Food, Kennel, KnownWeight, Litter, Person
from core.undoable import difference, put_back

NAMES = st.sampled_from(["Maya", "Tom", "Ana", "Bea"])
DOGS = st.sampled_from(["Nugget", "Ash", "Moss"])
PEOPLE = st.builds(
    Person, name=NAMES, unit=st.sampled_from([None, "lb"]), dogs=st.lists(DOGS, unique=True, max_size=2).map(tuple)
)
DUTIES = st.builds(Duty, what=st.sampled_from(["lunch", "brush"]), at=st.sampled_from([time(8), time(9)]), who=NAMES)
LITTERS = st.builds(Litter, dam=DOGS, counted=st.sampled_from([None, 4]))
BORN = date(2026, 1, 1)
KENNELS = st.builds(
    Kennel,
    name=st.just("Larkrise"),
    weight_unit=st.sampled_from(["kg", "lb"]),
    people=st.lists(PEOPLE, unique_by=lambda p: p.name, max_size=3).map(tuple),
    dogs=st.lists(st.builds(Dog, name=DOGS, born=st.just(BORN), home=st.sampled_from(["", "Ana"])),
                  unique_by=lambda d: d.name, max_size=3).map(tuple),
    duties=st.lists(DUTIES, unique=True, max_size=3).map(tuple),
    litters=st.lists(LITTERS, unique=True, max_size=2).map(tuple),
)  # fmt: skip


def told(old: Kennel, new: Kennel) -> dict[str, object]:
    """The difference as it comes back from being kept."""
    kept: dict[str, object] = json.loads(json.dumps(difference(old, new)))
    return kept


def as_sets(kennel: Kennel) -> tuple[object, ...]:
    """The kennel without the order of its lists, which a change that swaps items may move."""
    people = {replace(p, dogs=tuple(sorted(p.dogs))) for p in kennel.people}
    return (kennel.weight_unit, people, set(kennel.dogs), set(kennel.duties), set(kennel.litters))


@given(old=KENNELS, new=KENNELS)
def test_what_was_changed_is_as_before(old: Kennel, new: Kennel) -> None:
    assert as_sets(put_back(new, told(old, new))) == as_sets(old)


@given(old=KENNELS, new=KENNELS)
def test_what_came_since_stays(old: Kennel, new: Kennel) -> None:
    bag = Food(name="Hillfarm", kcal_per_cup=400)
    guest = Person(name="Guest", role="sitter")
    since = replace(new, people=(*new.people, guest), foods=(bag,), charts="dark")
    back = put_back(since, told(old, new))
    assert guest in back.people and back.foods == (bag,) and back.charts == "dark"
    assert as_sets(replace(back, people=tuple(p for p in back.people if p != guest))) == as_sets(old)


def test_a_weight_and_a_wish_of_the_same_person_since_then_stay() -> None:
    ana, nugget = Person(name="Ana", role="buyer", dogs=("Nugget",)), Dog(name="Nugget", born=BORN, home="Ana")
    old = Kennel(name="Larkrise", people=(ana,), dogs=(nugget,))
    new = replace(old, people=(replace(ana, dogs=()),), dogs=(replace(nugget, home=""),))
    weight = KnownWeight(kg=9.4, on=BORN)
    since = replace(
        new,
        people=(replace(ana, dogs=("Ash",), unit="lb"),),
        dogs=(replace(nugget, home="", last_weight=weight),),
    )
    back = put_back(since, told(old, new))
    assert back.people == (replace(ana, dogs=("Nugget", "Ash"), unit="lb"),)
    assert back.dogs == (replace(nugget, last_weight=weight),)


def test_a_line_that_was_changed_again_is_left_alone() -> None:
    first, second, third = (Litter(dam="Moss", counted=n) for n in (None, 4, 5))
    old = Kennel(name="Larkrise", litters=(first,))
    assert put_back(replace(old, litters=(third,)), told(old, replace(old, litters=(second,)))).litters == (third,)
