"""A kennel in one YAML file, and the book that comes with it; `shared/kennels/larkrise.yaml` explains the format."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bot.enrolment.kennel_history import read_history
from bot.enrolment.yaml_fields import Block, KennelFileError, read_block
from core.ledger import Posted
from core.pedigree import PedigreeError, kinship, parents_of
from core.regrowth import LEFT, OFF
from core.roster import Ancestor, Dog, Duty, Food, Kennel, KnownWeight, Litter, Person, Ration, Vet

ROLES = ("breeder", "partner", "family", "child", "gran", "sitter", "mentor", "buyer")
MEALS = ("breakfast", "lunch", "dinner", "bedtime")
TASKS = ("brush", "bath", "nails", "ear trim", "feet trim", "coat trim", "teeth", "ears cleaned")
DUTIES = (*MEALS, "weigh", "ears", "newborn round", *TASKS)
CHARTS = ("light", "dark")
SHOW_RULES = ("fci", "uk", "akc", "anka", "ckc")
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

MAX_KG = 120.0  # the heaviest breeds stay under it
SNACK_AT, WAKE_AT = time(21, 45), time(6, 45)  # quiet hours where the file names none (own choice)


@dataclass(frozen=True, slots=True, kw_only=True)
class KennelFile:
    """What a kennel file holds: the kennel as it is set up, and the book as far as it was brought along."""

    kennel: Kennel
    history: tuple[Posted, ...] = ()


def parse(text: str) -> KennelFile:
    """The kennel of a YAML text.

    Raises:
        KennelFileError: one sentence that names the line, the field and what belongs there.
    """
    top = read_block(text)
    top.only("kennel", "zone", "weight_unit", "day_first", "clock", "quiet", "morning_alert", "show_rules", "charts",
             "ear_trim_means", "buyer_tips", "vet", "food", "people", "litters", "dogs", "pedigree", "rota",
             "history")  # fmt: skip
    quiet = _quiet(top.block("quiet"))
    kennel = Kennel(
        name=top.name("kennel"),
        zone=_zone(top),
        weight_unit=top.one_of("weight_unit", ("kg", "lb"), "kg"),
        day_first=top.yes("day_first", True) is not False,
        clock_24=top.one_of("clock", ("24", "12"), "24") == "24",
        people=tuple(_person(b) for b in top.blocks("people")),
        dogs=tuple(_dog(b) for b in top.blocks("dogs")),
        litters=tuple(_litter(b) for b in top.blocks("litters")),
        pedigree=tuple(_ancestor(b) for b in top.blocks("pedigree")),
        foods=tuple(_food(b) for b in top.blocks("food")),
        duties=tuple(_duty(b) for b in top.blocks("rota")),
        vet=_vet(top.block("vet")),
        quiet_from=quiet[0],
        quiet_to=quiet[1],
        alert_at=top.clock("morning_alert") or WAKE_AT,
        show_rules=top.one_of("show_rules", SHOW_RULES),
        charts=top.one_of("charts", CHARTS, "light"),
        trim_means=top.one_of("ear_trim_means", (OFF, LEFT)),
        tips_ok=top.yes("buyer_tips", False) is True,
        revision=1,
    )
    _check(top, kennel)
    return KennelFile(kennel=kennel, history=read_history(top, kennel))


def _zone(top: Block) -> str:
    name = top.text("zone", "UTC")
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise top.error("zone", f"“{name[:40]}” is no time zone; write one as Europe/London") from None
    return name


def _quiet(block: Block | None) -> tuple[time, time]:
    if block is None:
        return SNACK_AT, WAKE_AT
    block.only("from", "to")
    return block.clock("from") or SNACK_AT, block.clock("to") or WAKE_AT


def _vet(block: Block | None) -> Vet:
    if block is None:
        return Vet()
    block.only("name", "day", "night")
    return Vet(name=block.text("name"), day=block.text("day"), night=block.text("night"))


def _food(block: Block) -> Food:
    block.only("name", "kcal_per_cup", "g_per_cup")
    # Dry foods have about 300-500 kcal and 80-130 g a cup; wide bounds, they only catch slips.
    return Food(
        name=block.name("name"),
        kcal_per_cup=block.number("kcal_per_cup", 50, 1500, "kcal"),
        g_per_cup=block.number("g_per_cup", 20, 500, "g"),
    )


def _person(block: Block) -> Person:
    block.only("name", "role", "also", "unit", "dogs", "tips", "since", "until", "charts")
    return Person(
        name=block.name("name"),
        role=block.one_of("role", ROLES, "family"),
        also=block.words("also"),
        unit=block.one_of("unit", ("kg", "lb")) or None,
        dogs=block.words("dogs"),
        tips=block.yes("tips", True) is not False,
        since=block.day("since"),
        until=block.day("until"),
        charts=block.one_of("charts", CHARTS) or None,
    )


def _litter(block: Block) -> Litter:
    block.only("dam", "sire", "born", "counted")
    counted = block.number("counted", 0, 30, "pups")
    return Litter(
        dam=block.name("dam"),
        sire=block.text("sire") or None,
        born=block.day("born"),
        counted=None if counted is None else int(counted),
    )


def _ancestor(block: Block) -> Ancestor:
    block.only("name", "sire", "dam")
    return Ancestor(name=block.name("name"), sire=block.text("sire") or None, dam=block.text("dam") or None)


def _dog(block: Block) -> Dog:
    block.only("name", "also", "sex", "born", "breed", "dam", "sire", "home", "food", "ration", "ideal_kg", "adult_kg",
               "neutered", "ear_watch", "show_home", "gone", "notes", "apart_from", "weight")  # fmt: skip
    name, born = block.name("name"), block.day("born")
    if born is None:
        raise block.error("born", f"{name} needs a day of birth, as 2026-01-24 (the nearest you know)")
    return Dog(
        name=name,
        also=block.words("also"),
        sex=block.one_of("sex", ("m", "f")),
        born=born,
        breed=block.text("breed"),
        litter=block.text("dam") or None,
        sire=block.text("sire") or None,
        last_weight=_known(block.block("weight")),
        home=block.text("home"),
        food=block.text("food") or None,
        ration=_ration(block.block("ration")),
        ideal_kg=block.number("ideal_kg", 0.3, MAX_KG, "kg"),
        adult_kg=block.number("adult_kg", 0.5, MAX_KG, "kg"),
        neutered=block.yes("neutered"),
        ear_watch=bool(block.yes("ear_watch", False)),
        show_home=bool(block.yes("show_home", False)),
        gone=block.one_of("gone", ("died", "returned", "left")),
        notes=block.text("notes"),
        apart_from=block.words("apart_from"),
    )


def _known(block: Block | None) -> KnownWeight | None:
    if block is None:
        return None
    block.only("kg", "on")
    kg, on = block.number("kg", 0.03, MAX_KG, "kg"), block.day("on")
    if kg is None or on is None:
        raise block.error("kg", "a weight needs both `kg` and `on`")
    return KnownWeight(kg=kg, on=on)


def _ration(block: Block | None) -> tuple[Ration, ...]:
    if block is None:
        return ()
    block.only(*MEALS)
    return tuple(Ration(meal=m, cups=block.cups(m)) for m in MEALS if block.has(m))


def _duty(block: Block) -> Duty:
    block.only("what", "at", "who", "days", "dogs", "every_days", "every_hours")
    at = block.clock("at")
    if at is None:
        raise block.error("at", "a line of the rota needs a time, as 07:00")
    every_days = block.number("every_days", 1, 400, "days")
    every_hours = block.number("every_hours", 1, 24, "hours")
    what = block.one_of("what", DUTIES)
    if not what:
        raise block.error("what", f"a line of the rota needs one of {', '.join(DUTIES)}")
    return Duty(
        what=what,
        at=at,
        who=block.name("who"),
        days=tuple(sorted({_weekday(block, d) for d in block.words("days")})),
        dogs=block.words("dogs"),
        every_days=None if every_days is None else int(every_days),
        every_hours=None if every_hours is None else int(every_hours),
    )


def _weekday(block: Block, said: str) -> int:
    found = [i for i, day in enumerate(WEEKDAYS) if len(said) >= 2 and day.startswith(said.casefold())]
    if len(found) != 1:
        raise block.error("days", f"“{said}” is no day of the week")
    return found[0]


def _check(top: Block, kennel: Kennel) -> None:
    """Raises KennelFileError where the parts don't fit each other."""
    breeders = [p for p in kennel.people if p.role == "breeder"]
    if len(breeders) != 1:
        raise top.error("people", f"one person must have `role: breeder`, not {len(breeders)}")
    _unique(top, "people", [n for p in kennel.people for n in (p.name, *p.also)])
    _unique(top, "dogs", [d.name for d in kennel.dogs])
    _unique(top, "food", [f.name for f in kennel.foods])
    _unique(top, "pedigree", [a.name for a in kennel.pedigree])
    _no_circle(top, kennel)
    for person, block in zip(kennel.people, top.blocks("people"), strict=True):
        _known_dogs(kennel, block, person.dogs)
    for duty, block in zip(kennel.duties, top.blocks("rota"), strict=True):
        _known_dogs(kennel, block, duty.dogs)
        if kennel.person(duty.who) is None:
            raise block.error("who", f"there is no “{duty.who}” under `people`")
    buyers = {p.name for p in kennel.people if p.role == "buyer"}
    foods = {f.name for f in kennel.foods}
    for dog, block in zip(kennel.dogs, top.blocks("dogs"), strict=True):
        if dog.home and dog.home not in buyers:
            raise block.error("home", f"there is no buyer “{dog.home}” under `people`")
        if dog.food and dog.food not in foods:
            raise block.error("food", f"there is no “{dog.food}” under `food`")


def _no_circle(top: Block, kennel: Kennel) -> None:
    parents = parents_of(kennel)
    for name in parents:
        try:
            kinship(name, name, parents)
        except PedigreeError as circle:
            raise top.error("pedigree" if top.has("pedigree") else "dogs", str(circle)) from None


def _known_dogs(kennel: Kennel, block: Block, dogs: tuple[str, ...]) -> None:
    for dog in dogs:
        if kennel.dog(dog) is None:
            raise block.error("dogs", f"there is no dog “{dog}” under `dogs`")


def _unique(top: Block, part: str, names: list[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name.casefold() in seen:
            raise top.error(part, f"two of them are called “{name}”; give one another name")
        seen.add(name.casefold())


__all__ = ["KennelFile", "KennelFileError", "parse"]
