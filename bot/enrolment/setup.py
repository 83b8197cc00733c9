"""Setting up a kennel in the breeder's line: one question at a time, each can be skipped, and changed later.

A step takes the words and says whether it understood them; what it did not is asked once more, then left to the
rest of the conversation, so that a note or a question in between is heard as always.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date

from bot.enrolment import heard, rota_lines
from bot.enrolment.asking import Asking, number, sample_date, taken, time_there, vet_shown
from bot.enrolment.beside import forgotten_meals, forgotten_people, is_of_cups
from bot.enrolment.dogs import DogSaid, dogs_said
from bot.enrolment.heard import means
from bot.enrolment.places import zones_of
from core.roster import Dog, Food, Kennel, Person, Vet
from shared.texts import listed, text

# Kilocalories and grams of a level cup that can be; dry foods have 300-500 and 80-130, wide bounds catch slips.
KCAL, GRAMS = (50.0, 1500.0), (20.0, 500.0)
MOST_FOOD_WORDS = 5  # of a food's name; more is a sentence
MONTH_FIRST = "America/"  # zones whose people mostly write the month first and a 12-hour clock; can be changed


def begin(asking: Asking) -> None:
    """Greets, and asks the first thing that is not known yet."""
    asking.facts = {"step": ""}
    asking.tell("hello")
    _next(asking, after="")


def go_on(asking: Asking) -> None:
    """Asks again where the set-up stands."""
    facts = asking.facts or {"step": ""}
    asking.facts = facts
    if facts["step"] in STEPS:
        _ask(asking, facts["step"])
    else:
        _next(asking, after="")


def answer(asking: Asking) -> bool:
    """True where the message answered the question that is open (or skipped or stopped it)."""
    assert asking.facts is not None
    step = str(asking.facts["step"])
    if step not in STEPS:
        return False
    if means("stop", asking.said):
        asking.facts = None
        if not asking.kennel.name:
            asking.kennel = replace(asking.kennel, name=text("setup.default_name"))
        asking.tell("stopped")
        return True
    if means("skip", asking.said):
        _skip(asking, step)
        return True
    if means("finished", asking.said) and step not in ("name", "dogs", "people"):
        _skip(asking, step)
        return True
    if is_of_cups(asking):
        return False
    if forgotten_people(asking) or forgotten_meals(asking):
        go_on(asking)
        return True
    # A note or a question in between is heard as always ("Tom fed them breakfast at 7" is no line of the rota).
    if heard.is_note(asking.said) and not means("finished", asking.said):
        return False
    if STEPS[step](asking):
        return True
    if asking.facts.get("again") == step:
        return False
    asking.facts = {**asking.facts, "again": step}
    asking.tell(f"again.{_question(asking, step)}", date=sample_date(asking.kennel, asking.today))
    return True


def is_own_button(label: str) -> bool:
    """True for a label that a set-up's question offers."""
    return label in ("kg", "lb", text("setup.skip"), text("setup.done")) or zones_of(label) == (label,)


# The steps


def _name(asking: Asking) -> bool:
    name = heard.name_said(asking.said)
    if name is None or "\n" in asking.said:
        return False
    asking.kennel = replace(asking.kennel, name=name)
    asking.tell("got.name", name=name)
    return _next(asking, after="name")


def _zone(asking: Asking) -> bool:
    zones = zones_of(asking.said)
    if len(zones) > 1:
        asking.tell("again.zone_which")
        asking.buttons = zones
        return True
    if not zones:
        return False
    month_first = zones[0].startswith(MONTH_FIRST)
    asking.kennel = replace(asking.kennel, zone=zones[0], day_first=not month_first, clock_24=not month_first)
    asking.tell("got.zone", zone=zones[0].rpartition("/")[2].replace("_", " "), time=time_there(asking))
    return _next(asking, after="zone")


def _units(asking: Asking) -> bool:
    unit = heard.found("units", asking.said)
    if unit is None or any(c.isdigit() for c in asking.said):  # "Bran 9.4 kg" is a weight
        return False
    asking.kennel = replace(asking.kennel, weight_unit=unit)
    asking.tell("got.units", unit=text(f"setup.{unit}"))
    return _next(asking, after="units")


def _dogs(asking: Asking) -> bool:
    assert asking.facts is not None
    queue: list[str] = list(asking.facts.get("queue", ()))
    if queue:
        return _born(asking, queue)
    if means("finished", asking.said):
        return _next(asking, after="dogs")
    said = dogs_said(asking.said, asking.today, asking.kennel.day_first)
    if not said:
        return False
    added = [d for d in said if d.born and not taken(asking.kennel, d.name)]
    known = [d.name for d in said if taken(asking.kennel, d.name)]
    waiting = [d for d in said if not d.born and d.name not in known]
    asking.add_dogs([dog_of(d, d.born) for d in added if d.born])
    if added:
        asking.tell("got.dog", dogs=listed([d.name for d in added]))
    if known:
        asking.tell("got.dog_known", dogs=listed(known))
    asking.facts = {**asking.facts, "queue": [f"{d.sex or '-'}{d.name}" for d in waiting]}
    _ask(asking, "dogs")
    return True


def _born(asking: Asking, queue: list[str]) -> bool:
    """The day of birth of the first dog that waits for one."""
    assert asking.facts is not None
    sex, name = queue[0][0].strip("-"), queue[0][1:]
    born = heard.day_said(asking.said, asking.today, asking.kennel.day_first)
    if born is None:
        return False
    asking.add_dogs([dog_of(DogSaid(name=name, sex=sex or heard.found("sex", asking.said) or ""), born)])
    asking.tell("got.dog", dogs=name)
    asking.facts = {**asking.facts, "queue": queue[1:]}
    _ask(asking, "dogs")
    return True


def _people(asking: Asking) -> bool:
    if means("finished", asking.said):
        return _next(asking, after="people")
    said = [p for p in heard.people_said(asking.said, asking.kennel) if not taken(asking.kennel, p.name)]
    people: list[Person] = list({p.name.casefold(): p for p in said}.values())
    if not people:
        return False
    asking.kennel = replace(asking.kennel, people=(*asking.kennel.people, *people))
    asking.tell("got.people", people=listed([p.name for p in people]))
    return _next(asking, after="people")


def _food(asking: Asking) -> bool:
    assert asking.facts is not None
    said = heard.food_said(asking.said)
    waiting = str(asking.facts.get("food", ""))
    name, kcal, grams = said.name or waiting, said.kcal, said.grams
    if waiting and kcal is None and (bare := heard.food_said(f"{asking.said} kcal")).kcal:
        kcal, name = bare.kcal, waiting
    if not name or (kcal is not None and not KCAL[0] <= kcal <= KCAL[1]):
        return False
    if kcal is None and (not waiting or name != waiting) and not _is_food_name(asking, name):
        return False
    if kcal is None:
        asking.facts = {**asking.facts, "food": name}
        asking.tell("ask.kcal", food=name)
        return True
    grams = grams if grams and GRAMS[0] <= grams <= GRAMS[1] else None
    asking.kennel = with_food(asking, Food(name=waiting or name, kcal_per_cup=kcal, g_per_cup=grams))
    tell_food(asking, "got", waiting or name, kcal, grams)
    return _next(asking, after="food")


def _is_food_name(asking: Asking, name: str) -> bool:
    """True for what can stand on a bag: a few words, no figure, no meal, nobody's name."""
    words = name.split()
    if len(words) > MOST_FOOD_WORDS or any(ch.isdigit() for ch in name):
        return False
    return not any(heard.found(t, name) for t in ("meals", "roles", "sex")) and not any(
        taken(asking.kennel, w) for w in words
    )


def _rota(asking: Asking) -> bool:
    said = rota_lines.lines_said(asking.said, asking.kennel)
    without = rota_lines.without_time(asking.said, asking.kennel)
    if not said and not without:
        return False
    duties = []
    for line in said:
        asking.kennel, duty = rota_lines.with_line(asking.kennel, line)
        duties.append(rota_lines.shown(duty, asking.kennel))
    if duties:
        asking.tell("got.rota", lines="; ".join(duties))
    if without:
        asking.tell("again.rota_time", what=listed([text(f"setup.what.{w}") for w in without]), first=without[0])
        asking.buttons = (text("setup.skip"),)
        return True
    return _next(asking, after="rota")


def _vet(asking: Asking) -> bool:
    numbers = heard.phones_said(asking.said)
    if not numbers:
        return False
    asking.kennel = replace(asking.kennel, vet=vet_of(asking, numbers))
    asking.tell("got.vet", vet=vet_shown(asking.kennel))
    return _next(asking, after="vet")


STEPS: Mapping[str, Callable[[Asking], bool]] = {
    "name": _name, "zone": _zone, "units": _units, "dogs": _dogs, "people": _people, "food": _food, "rota": _rota,
    "vet": _vet,
}  # fmt: skip


def _never(kennel: Kennel) -> bool:
    return False


# What need not be asked any more, where a set-up goes on another day.
KNOWN: Mapping[str, Callable[[Kennel], bool]] = {
    "name": lambda k: bool(k.name),
    "zone": lambda k: k.zone != "UTC",
    "dogs": lambda k: bool(k.dogs),
    "people": lambda k: len(k.people) > 1,
    "food": lambda k: bool(k.foods),
    "rota": lambda k: bool(k.duties),
    "vet": lambda k: bool(k.vet.day or k.vet.night),
}


# What the steps and later changes share


def dog_of(said: DogSaid, born: date) -> Dog:
    """The dog of those words; a pup's ears are watched until they stand."""
    return Dog(name=said.name, sex=said.sex, born=born)


def with_food(asking: Asking, food: Food) -> Kennel:
    """The kennel with that food in the place of one of the same name."""
    foods = asking.kennel.foods
    old = next((f for f in foods if f.name.casefold() == food.name.casefold()), None)
    if old is not None:
        new = replace(old, kcal_per_cup=food.kcal_per_cup, g_per_cup=food.g_per_cup or old.g_per_cup)
        return replace(asking.kennel, foods=tuple(new if f is old else f for f in foods))
    return replace(asking.kennel, foods=(*foods, food))


def tell_food(asking: Asking, where: str, name: str, kcal: float, grams: float | None) -> None:
    """Says the cup of a food."""
    if grams is None:
        asking.tell(f"{where}.food_kcal", food=name, kcal=number(kcal))
    else:
        asking.tell(f"{where}.food", food=name, kcal=number(kcal), grams=number(grams))


def vet_of(asking: Asking, numbers: list[str]) -> Vet:
    """The vet with these numbers: day, then night; a single one that is said to be for nights is the night's."""
    nightly = len(numbers) == 1 and any(w in asking.said.casefold() for w in ("night", "weekend", "emergency"))
    if nightly:
        return replace(asking.kennel.vet, night=numbers[0])
    return replace(asking.kennel.vet, day=numbers[0], night=numbers[1] if len(numbers) > 1 else asking.kennel.vet.night)


# From one step to the next


def _skip(asking: Asking, step: str) -> None:
    assert asking.facts is not None
    queue = list(asking.facts.get("queue", ()))
    if step == "dogs" and queue:  # a dog without a day of birth can't be kept: it is left out
        asking.facts = {**asking.facts, "queue": queue[1:]}
        _ask(asking, "dogs")
        return
    if step == "name" and not asking.kennel.name:
        asking.kennel = replace(asking.kennel, name=text("setup.default_name"))
    _next(asking, after=step)


def _next(asking: Asking, after: str) -> bool:
    names = list(STEPS)
    for step in names[names.index(after) + 1 if after else 0 :]:
        if not KNOWN.get(step, _never)(asking.kennel):
            asking.facts = {"step": step}
            _ask(asking, step)
            return True
    asking.facts = None
    asking.tell(
        "finished",
        kennel=asking.kennel.name,
        dogs=_count("dog", len(asking.kennel.dogs)),
        people=_count("person", len(asking.kennel.people)),
    )
    return True


def _ask(asking: Asking, step: str) -> None:
    assert asking.facts is not None
    key = _question(asking, step)
    queue = asking.facts.get("queue", ())
    asking.tell(f"ask.{key}", date=sample_date(asking.kennel, asking.today), dog=queue[0][1:] if queue else "")
    if key == "units":
        asking.buttons = ("kg", "lb", text("setup.skip"))
    elif key == "more_dogs":
        asking.buttons = (text("setup.done"),)
    elif key != "name":
        asking.buttons = (text("setup.skip"),)


def _question(asking: Asking, step: str) -> str:
    assert asking.facts is not None
    if step == "dogs" and asking.facts.get("queue"):
        return "born"
    if step == "dogs" and "queue" in asking.facts and asking.facts.get("again") != step:
        return "more_dogs"
    return step


def _count(what: str, n: int) -> str:
    plural = {"dog": "dogs", "person": "people"}[what]
    return text(f"setup.one_{what}") if n == 1 else text(f"setup.n_{plural}", n=n)
