"""Kennels for the pictures: the ear window of one pup as a breeder lived it, litters, dense and sparse books.

All of it is made up. Each case is a kennel, its book, the description of a picture and the room it goes to.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from core.entries import Condition, Ears, Groom, Meal, Season, Sign, Tooth, Treat, Weight, Whelping
from core.ledger import Ledger
from core.roster import BREEDER, FAMILY, Before, Dog, Food, Kennel, Litter, Person, Ration
from tests.books import Book, day
from tests.dialogue_house import House

KIBBLE = Food(name="Kibble", kcal_per_cup=400, g_per_cup=110)
PEOPLE = tuple(Person(name=n, role=r) for n, r in (("Maya", "breeder"), ("Tom", "partner"), ("Wren", "family")))


@dataclass(frozen=True, kw_only=True)
class Case:
    """One picture to be drawn."""

    kennel: Kennel
    ledger: Ledger
    spec: str
    room: str = FAMILY


def _order(*cups: float) -> tuple[Ration, ...]:
    return tuple(Ration(meal=m, cups=c) for m, c in zip(("breakfast", "dinner", "bedtime"), cups, strict=True))


def ear_window(asked: str = "2026-08-09") -> Case:
    """The pup whose ears decided while he was a pound too heavy, with every step of that summer."""
    pup = Dog(
        name="Nugget", sex="m", born=day("2026-03-08"), breed="Norwegian Buhund", adult_kg=17.7, ear_watch=True,
        ration=_order(0.75, 0.75, 0.25),
        before=(
            Before(until=day("2026-07-05"), ration=_order(0.75, 0.75, 0.25), food=KIBBLE),
            Before(until=day("2026-07-12"), ration=_order(0.625, 0.625, 0.25), food=KIBBLE),
            Before(until=day("2026-07-18"), ration=_order(0.625, 0.625, 0.125), food=KIBBLE),
            Before(until=day("2026-07-25"), ration=_order(0.75, 0.625, 0.25), food=KIBBLE),
        ),
    )  # fmt: skip
    book = Book()
    for when, kg in (
        ("05-03", 2.5),
        ("05-10", 3.3),
        ("05-17", 4.1),
        ("05-24", 4.9),
        ("05-31", 5.7),
        ("06-07", 6.4),
        ("06-14", 7.2),
        ("06-21", 7.9),
        ("06-28", 8.6),
        ("07-05", 9.4),
        ("07-09", 9.5),
        ("07-12", 9.7),
        ("07-16", 9.7),
        ("07-19", 9.7),
        ("07-26", 10.1),
        ("08-02", 10.6),
        ("08-09", 11.1),
    ):
        book.add(Weight(dog="Nugget", on=day(f"2026-{when}"), kg=kg))
    # Days of seven with both up, from mid-June on: 5, 4, 2, 3, 3, 4, 5, 6.
    for week, up in enumerate((5, 4, 2, 3, 3, 4, 5, 6)):
        for n in range(7):
            on = day("2026-06-15") + timedelta(days=7 * week + n)
            # The days up come first, as ears that tire; the others are half or down, the right one lower.
            left, right = ("up", "up") if n < up else ("half", "down") if n % 2 else ("half", "half")
            book.add(Ears(dog="Nugget", on=on, left=left, right=right))
    book.add(Condition(dog="Nugget", on=day("2026-06-21"), score=3, scale=5, ribs="easy"))
    book.add(Condition(dog="Nugget", on=day("2026-07-05"), score=4, scale=5, ribs="hard"))
    book.add(Condition(dog="Nugget", on=day("2026-07-12"), score=3, scale=5, ribs="easy"))
    book.add(*(Tooth(dog="Nugget", on=day(f"2026-{d}")) for d in ("06-28", "07-02", "07-11")))
    book.add(Groom(dog="Nugget", on=day("2026-07-05"), task="ear trim"))
    book.add(*(Sign(dog="Nugget", on=day(f"2026-{d}"), sign="bile") for d in ("07-14", "07-16")))
    book.add(*_fed("Nugget", day("2026-06-15"), 55))
    kennel = Kennel(name="K", dogs=(pup,), foods=(KIBBLE,), people=PEOPLE)
    return Case(kennel=kennel, ledger=book.ledger, spec=f"chart:weight:Nugget:{asked}")


def _fed(dog: str, since: date, days: int) -> list[Meal | Treat]:
    found: list[Meal | Treat] = []
    for n in range(days):
        on = since + timedelta(days=n)
        found += [Meal(dog=dog, on=on, meal=m) for m in ("breakfast", "dinner", "bedtime")]
        found.append(Treat(dog=dog, on=on, amount=float(4 if n < 21 else 2), unit="piece"))
    return found


def litter(pups: int = 6, days: int = 5, on: str = "2026-03-09", missing: bool = False, unit: str = "kg") -> Case:
    """A litter of so many pups on a day of its life; the first loses, the second is under its birth weight."""
    names = ("Green", "Blue", "Red", "White", "Yellow", "Orange", "Purple", "Pink", "Brown", "Black", "Teal", "Grey")
    born = day(on)
    dam = Dog(name="Clover", sex="f", born=day("2022-01-01"), breed="Norwegian Buhund")
    dogs = [Dog(name=n, sex="f", born=born, litter="Clover", breed="Norwegian Buhund") for n in names[:pups]]
    book = Book()
    for k, dog in enumerate(dogs):
        for n in range(days):
            if missing and (k == 2 or (k == 3 and n < 2)):
                continue  # never weighed; not weighed at birth
            grams = (330 + 7 * k) * 1.07 ** min(n, 7) * 1.05 ** max(n - 7, 0) * (1 + 0.01 * k * n / max(days, 1))
            if k == 0 and n == days - 1:
                grams *= 0.9
            if k == 1 and days < 8:
                grams = 330 * (1, 0.95, 0.955, 0.96, 0.965, 0.97, 0.975)[n]
            book.add(Weight(dog=dog.name, on=born + timedelta(days=n), kg=round(grams) / 1000), at=f"08:{30 + k}")
    kennel = Kennel(
        name="K", dogs=(dam, *dogs), litters=(Litter(dam="Clover", born=born),), people=PEOPLE, weight_unit=unit
    )
    today = born + timedelta(days=days - 1)
    return Case(kennel=kennel, ledger=book.ledger, spec=f"chart:litter:Clover:{today}")


def daily_for_a_year(unit: str = "kg") -> Case:
    """A bitch weighed every day of a year and four months, with seasons and a litter."""
    dog = Dog(name="Saga", sex="f", born=day("2023-02-01"), breed="Norwegian Buhund", ideal_kg=15.0)
    book = Book()
    for n in range(480):
        on = day("2025-01-01") + timedelta(days=n)
        book.add(Weight(dog="Saga", on=on, kg=round(15 + 0.25 * ((n * 7919) % 13 - 6) / 6 + 0.002 * (n % 90), 2)))
    book.add(Season(dog="Saga", on=day("2025-06-01")), Season(dog="Saga", on=day("2025-12-20")))
    book.add(Whelping(dog="Saga", on=day("2025-08-03"), pups=5))
    kennel = Kennel(name="K", dogs=(dog,), weight_unit=unit, people=PEOPLE)
    return Case(kennel=kennel, ledger=book.ledger, spec="chart:weight:Saga:2026-04-25")


def sparse() -> Case:
    """A pup weighed three times in nine weeks, its ears told twice and once without a side, by a long name."""
    name = "Kveldulf of the Northern Fells"
    dog = Dog(name=name, sex="m", born=day("2026-01-01"), breed="", ear_watch=True)
    book = Book().add(
        Weight(dog=name, on=day("2026-02-26"), kg=4.25), Weight(dog=name, on=day("2026-03-05"), kg=4.9),
        Weight(dog=name, on=day("2026-04-30"), kg=10.35),
        Ears(dog=name, on=day("2026-04-20"), left="up", right="half"),
        Ears(dog=name, on=day("2026-04-28"), left="down"),
        Ears(dog=name, on=day("2026-04-29"), one="up"),
    )  # fmt: skip
    kennel = Kennel(name="K", dogs=(dog,), day_first=False, weight_unit="lb", people=PEOPLE)
    return Case(kennel=kennel, ledger=book.ledger, spec=f"chart:weight:{name}:2026-05-28")


def many_treaters(unit: str = "kg") -> Case:
    """Seven weeks of bowls with a week nobody wrote down, and treats from five people."""
    case = ear_window()
    book = Book()
    givers = ("Ida", "Wren", "Tom", "Maximilian", "Grandfather")
    people = (*PEOPLE, Person(name="Ida", role="gran"), *(Person(name=n) for n in givers[3:]))
    for n in range(50):
        on = day("2026-06-15") + timedelta(days=n)
        if not 14 <= n < 21:
            book.add(*(Meal(dog="Nugget", on=on, meal=m) for m in ("breakfast", "dinner", "bedtime")))
        for k, who in enumerate(givers):
            if (n + k) % (k + 1) == 0:
                book.add(Treat(dog="Nugget", on=on, amount=3.0, unit="piece"), by=who, at=f"1{k}:00")
    book.add(Weight(dog="Nugget", on=day("2026-08-02"), kg=10.6))
    return Case(
        kennel=replace(case.kennel, people=people, weight_unit=unit), ledger=book.ledger,
        spec="chart:food:Nugget:2026-08-04:people", room=BREEDER,
    )  # fmt: skip


def of_demo(spec: str, room: str = FAMILY) -> Case:
    """A picture of the demo kennel on its morning."""
    house = House.of_demo()
    return Case(kennel=house.kennel, ledger=house.ledger, spec=spec, room=room)


def _other(case: Case, kind: str) -> Case:
    parts = case.spec.split(":")
    return replace(case, spec=":".join(["chart", kind, *parts[2:]]))


CASES = {
    "ear window": ear_window(),
    "ear window, ears": _other(ear_window(), "ears"),
    "ear window, growth": _other(ear_window(), "growth"),
    "ear window, first cut": ear_window("2026-07-16"),
    "ear window, food": replace(_other(ear_window(), "food"), room=BREEDER),
    "litter of 6": litter(),
    "litter of 12, oz": litter(12, 20, unit="lb"),
    "litter of 1": litter(1, 3),
    "litter of 2": litter(2, 4),
    "litter of 3, gaps": litter(4, 5, missing=True),
    "litter on day 0": litter(5, 1),
    "newborn": replace(litter(), spec="chart:weight:Green:2026-03-13"),
    "newborn, oz": replace(litter(unit="lb"), spec="chart:weight:Red:2026-03-13"),
    "newborn, doubled": replace(litter(4, 14), spec="chart:weight:White:2026-03-22"),
    "daily for a year": daily_for_a_year(),
    "daily for a year, lb": daily_for_a_year("lb"),
    "sparse": sparse(),
    "many treaters": many_treaters(),
    "many treaters, family": replace(many_treaters(), room=FAMILY),
    "Nugget": of_demo("chart:weight:Nugget:2026-03-14"),
    "Bramble's ears": of_demo("chart:ears:Bramble:2026-03-14:lb"),
    "Ash": of_demo("chart:weight:Ash:2026-03-14:lb"),
    "Linnet": of_demo("chart:weight:Linnet:2026-03-14"),
    "Moss": of_demo("chart:weight:Moss:2026-03-14:lb"),
    "Heather's litter": of_demo("chart:litter:Heather:2026-03-14"),
    "Tansy's litter": of_demo("chart:litter:Tansy:2026-03-14"),
    "Nugget's food": of_demo("chart:food:Nugget:2026-03-14:people", BREEDER),
    "Teasel, buyer": of_demo("chart:weight:Teasel:2026-03-14", "Ana"),
    "no weights": Case(
        kennel=Kennel(name="K", dogs=(Dog(name="New", born=day("2026-01-01")),)),
        ledger=Ledger(),
        spec="chart:weight:New:2026-03-14",
    ),
    "no food": Case(
        kennel=Kennel(name="K", dogs=(Dog(name="New", born=day("2026-01-01")),)),
        ledger=Ledger(),
        spec="chart:food:New:2026-03-14",
    ),
}
