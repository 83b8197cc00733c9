"""What is due, with windows, and the lines at which signs mean the vet."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

import pytest

from core import heat
from core.care import (
    box_warmth,
    due,
    given_already,
    of_dog,
    signs,
    weigh_every,
    weight_is_old,
    worm_gap,
)
from core.entries import Dose, Groom, Sign, Weight, Whelping
from core.roster import Dog, Duty, Kennel
from tests.books import Book, day

ON = day("2026-07-05")
FERN = Dog(name="Fern", sex="f", born=day("2026-03-15"))  # 16 weeks
BRAN = Dog(name="Bran", sex="m", born=day("2021-03-08"))


def house(*dogs: Dog, duties: tuple[Duty, ...] = ()) -> Kennel:
    return Kennel(name="Larkrise", dogs=dogs, duties=duties)


def one(dog: Dog, book: Book, what: str, kennel: Kennel | None = None):  # type: ignore[no-untyped-def]
    return next(d for d in of_dog(dog, book.ledger, kennel or house(dog), ON) if d.what == what)


@pytest.mark.parametrize(
    ("age_days", "every"), [(0, 1), (20, 1), (21, 3), (30, 3), (70, 7), (200, 14), (300, 30), (3000, 21)]
)
def test_weighing_by_age(age_days: int, every: int) -> None:
    """Newborns daily to day 21, then by the list (common practice, no source; daily then weekly: SACN Table 16-6)."""
    assert weigh_every(age_days) == every


def test_brush_is_due_a_week_after_the_last() -> None:
    """Weekly from the last time; the rota's own interval and weekday stand above the custom."""
    book = Book().add(Groom(dog="Bran", on=ON - timedelta(days=9), task="brush"))
    found = one(BRAN, book, "brush")
    assert (found.on, found.last, found.overdue_days) == (ON - timedelta(days=2), ON - timedelta(days=9), 2)
    assert found.is_due
    rota = house(BRAN, duties=(Duty(what="brush", at=time(10), who="Elin", every_days=14),))
    found = one(BRAN, book, "brush", rota)
    assert found.on == ON + timedelta(days=5)
    assert not found.is_due
    saturday = house(BRAN, duties=(Duty(what="brush", at=time(10), who="Elin", days=(5,)),))
    assert one(BRAN, book, "brush", saturday).on == day("2026-06-27")


def test_nobody_is_nagged_about_what_is_never_done() -> None:
    """Baths and teeth are only due where they were done before or stand on the rota."""
    whats = {d.what for d in of_dog(BRAN, Book().ledger, house(BRAN), ON)}
    assert "bath" not in whats
    assert "nails" in whats
    book = Book().add(Groom(dog="Bran", on=ON - timedelta(days=60), task="bath"))
    assert one(BRAN, book, "bath").overdue_days == 11


@pytest.mark.parametrize(
    ("age", "gap"),
    [(14, 14), (28, 14), (42, 14), (56, 14), (63, 30), (100, 30), (190, 91)],
)
def test_worming_gaps(age: int, gap: int) -> None:
    """ESCCAP guideline 1 [checked: copy; Vet Times 2021]: 14 days to two weeks after weaning, monthly, 3-monthly."""
    assert worm_gap(FERN, FERN.born + timedelta(days=age)) == gap


def test_wormer_is_weighed_for_first() -> None:
    """No weight in the last week: weigh first; never a dose, and the vet's plan decides."""
    book = Book().add(Dose(dog="Fern", on=ON - timedelta(days=32), dose="wormer"))
    found = one(FERN, book, "wormer")
    assert found.overdue_days == 2
    assert {"weigh_first", "vet_plan_decides", "no_dose"} <= set(found.caution)
    book.add(Weight(dog="Fern", on=ON - timedelta(days=3), kg=8.1))
    assert "weigh_first" not in one(FERN, book, "wormer").caution
    assert not weight_is_old(FERN, book.ledger, ON)


def test_the_dam_is_wormed_with_her_pups() -> None:
    """ESCCAP: with the first treatment of the pups, 14 days after whelping."""
    runa = Dog(name="Runa", sex="f", born=day("2022-05-08"))
    book = Book().add(Dose(dog="Runa", on=day("2026-05-01"), dose="wormer"))
    book.add(Whelping(dog="Runa", on=ON - timedelta(days=10)))
    found = one(runa, book, "wormer")
    assert found.on == ON + timedelta(days=4)
    assert "dam_with_pups" in found.caution


def test_third_vaccine_window() -> None:
    """Second at 12 weeks: the next 2 to 4 weeks later, and the last at 16 weeks or older (WSAVA)."""
    book = Book()
    book.add(Dose(dog="Fern", on=FERN.born + timedelta(weeks=8), dose="vaccine"))
    book.add(Dose(dog="Fern", on=FERN.born + timedelta(weeks=12), dose="vaccine"))
    found = one(FERN, book, "vaccine")
    assert (found.number, found.on, found.until) == (3, FERN.born + timedelta(weeks=16), None)
    assert "last_at_16_weeks_or_older" in found.caution
    book.add(Dose(dog="Fern", on=ON, dose="vaccine"))
    assert one(FERN, book, "vaccine").on == FERN.born + timedelta(weeks=26)


def test_unwell_rings_before_a_vaccine() -> None:
    """A sign yesterday: ring first."""
    book = Book().add(Sign(dog="Fern", on=ON - timedelta(days=1), sign="diarrhoea"))
    assert "unwell_ring_first" in one(FERN, book, "vaccine").caution


def given(*hours: float, dose: str = "medicine") -> Book:
    book = Book()
    for hour in hours:
        clock = time(int(hour), round(hour % 1 * 60))
        book.add(Dose(dog="Bran", on=ON, dose=dose), by="Elin", at=clock.isoformat())
    return book


def at(hour: float, days: int = 0) -> datetime:
    return datetime(2026, 7, 5, int(hour), round(hour % 1 * 60), tzinfo=UTC) + timedelta(days=days)


def plan(*hours: int, until: str = "2026-07-09") -> Kennel:
    lines = (Duty(what="medicine", at=time(h), who="Maya", dogs=("Bran",), until=day(until)) for h in hours)
    return house(BRAN, duties=tuple(lines))


@pytest.mark.parametrize(
    ("kennel", "before", "now", "stopped"),
    [
        (house(BRAN), (8.2,), at(9), True),
        (house(BRAN), (8.2,), at(17.2), True),  # no plan: within a day's
        (house(BRAN), (8.2,), at(8, days=1), False),
        (plan(9), (9.2,), at(17.2), True),
        (plan(9), (9.2,), at(8.7, days=1), False),
        (plan(9, 21), (9.2,), at(21), False),
        (plan(9, 21), (9.2,), at(17), True),
        (plan(9, 21), (9.2, 21), at(23), True),
        (plan(8, 14, 20), (8.1,), at(13.5), False),
        (plan(8, 14, 20), (8.1,), at(11), True),
        (plan(8, 14, 20), (8, 13, 18), at(23), True),  # the day has all of them
        (plan(9, 21, until="2026-07-04"), (9.2,), at(21), True),  # the plan is over
    ],
)
def test_a_second_medicine_is_stopped(
    kennel: Kennel, before: tuple[float, ...], now: datetime, stopped: bool
) -> None:
    """The gap is the vet's plan's; without one, a day's (common practice, no source)."""
    found = given_already("Bran", "medicine", given(*before).ledger, now, kennel)
    assert (found is not None) is stopped
    assert found is None or found.by == "Elin"
    assert given_already("Bran", "wormer", given(*before).ledger, now, kennel) is None


def test_signs_that_add_up() -> None:
    """Twice limping in a week is the vet's; vomiting and diarrhoea together in a young pup is now."""
    book = Book().add(*(Sign(dog="Bran", on=ON - timedelta(days=d), sign="limp") for d in (5, 0)))
    assert [(w.sign, w.times, w.level) for w in signs(BRAN, book.ledger, ON)] == [("limp", 2, "today")]
    young = Dog(name="Pup", born=ON - timedelta(weeks=10))
    book = Book().add(*(Sign(dog="Pup", on=ON, sign=s) for s in ("vomit", "vomit", "diarrhoea")))
    assert signs(young, book.ledger, ON)[0].level == "now"
    assert signs(BRAN, Book().add(Sign(dog="Bran", on=ON, sign="vomit")).ledger, ON) == ()


@pytest.mark.parametrize(
    ("age_days", "celsius", "key"),
    [
        (3, 34.0, "cold"),
        (3, 34.5, "low"),
        (3, 36.0, None),
        (3, 37.8, "high"),
        (3, 38.8, "hot"),
        (14, 35.4, "cold"),
        (14, 35.9, "low"),
        (14, 38.8, "high"),
        (27, 39.0, "hot"),
        (2000, 38.4, None),
        (2000, 39.5, "hot"),
        (2000, 36.9, "cold"),
    ],
)
def test_temperature_bands(age_days: int, celsius: float, key: str | None) -> None:
    """SACN 5th ed. Table 16-1 [checked]: 34.5–37.2 °C in weeks 1–2; 36.0–37.8 in weeks 2–4; where the vet
    begins is common practice, no source."""
    assert heat.band(celsius, age_days) == key


def test_soonest_first_for_all() -> None:
    """Buyers' dogs are weighed and groomed by their people: only wormer and vaccine are listed."""
    pepper = Dog(name="Pepper", sex="f", born=day("2026-04-20"), home="Ana")
    found = due(house(FERN, BRAN, pepper), Book().ledger, ON)
    assert [d.on for d in found] == sorted(d.on for d in found)
    assert {d.what for d in found if d.dog == "Pepper"} == {"wormer", "vaccine"}


@pytest.mark.parametrize(
    ("day_", "celsius", "found"),
    [
        (3, 27, ("cool", 29, 32)),
        (3, 30, (None, 29, 32)),
        (8, 30, ("warm", 26, 29)),
        (15, 25, (None, 24, 26)),
        (21, 25, None),
    ],
)
def test_box_warmth(day_: int, celsius: float, found: object) -> None:
    """27 °C is cool for day 3: aim for 29–32 (common practice, no source)."""
    assert box_warmth(day_, celsius) == found
