"""What the pictures rest on: life events, a litter's gains, food week by week."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from core import gains, story, weekly
from core.entries import Groom, Meal, Season, Sign, Tooth, Treat, Weight, Whelping
from core.roster import Before, Dog, Food, Kennel, Litter, Ration
from tests.books import Book, day

KIBBLE, LIGHT = Food(name="Kibble", kcal_per_cup=400), Food(name="Light", kcal_per_cup=300)


def _order(cups: float) -> tuple[Ration, ...]:
    return (Ration(meal="breakfast", cups=cups / 2), Ration(meal="dinner", cups=cups / 2))


def test_events_by_day_once_for_each_kind() -> None:
    dog = Dog(
        name="Bran",
        born=day("2025-01-01"),
        ration=_order(1.5),
        food="Light",
        before=(
            Before(until=day("2026-02-01"), ration=_order(2), food=KIBBLE),
            Before(until=day("2026-02-10"), ration=_order(1.75), food=KIBBLE),
            Before(until=day("2026-02-20"), ration=_order(1.5), food=KIBBLE),
        ),
    )
    book = Book().add(
        Tooth(dog="Bran", on=day("2026-02-03")),
        Tooth(dog="Bran", on=day("2026-02-03")),
        Groom(dog="Bran", on=day("2026-02-04"), task="ear trim"),
        Groom(dog="Bran", on=day("2026-02-04"), task="bath"),
        Sign(dog="Bran", on=day("2026-02-05"), sign="bile"),
        Sign(dog="Bran", on=day("2026-02-05"), sign="vomit"),
        Season(dog="Bran", on=day("2026-02-06")),
        Whelping(dog="Bran", on=day("2026-02-07")),
        Tooth(dog="Bran", on=day("2026-01-01")),
    )
    found = story.events(dog, book.ledger, day("2026-02-01"), day("2026-02-28"))
    assert [(e.kind, e.on.day, e.cups) for e in found] == [
        ("order", 2, 1.75),
        ("tooth", 3, None),
        ("ear_trim", 4, None),
        ("unwell", 5, None),
        ("season", 6, None),
        ("whelped", 7, None),
        ("order", 11, 1.5),
        ("food", 21, None),
    ]


def _litter(*series: tuple[str, dict[str, int]]) -> tuple[Kennel, Book]:
    dam = Dog(name="Runa", born=day("2022-01-01"), sex="f")
    pups = tuple(Dog(name=n, born=day("2026-03-09"), litter="Runa") for n, _ in series)
    book = Book()
    for name, grams in series:
        book.add(*(Weight(dog=name, on=day(f"2026-{on}"), kg=g / 1000) for on, g in grams.items()))
    kennel = Kennel(name="K", dogs=(dam, *pups), litters=(Litter(dam="Runa", born=day("2026-03-09")),))
    return kennel, book


def test_gains_are_percent_since_birth_the_worst_pup_first() -> None:
    """Green by the worked example of the trade: 318 g at birth, 303 g on day 2 is −4.7 %."""
    kennel, book = _litter(
        ("Red", {"03-09": 350, "03-10": 357, "03-11": 385}),
        ("Green", {"03-09": 318, "03-10": 312, "03-11": 303}),
        ("Blue", {"03-09": 361, "03-10": 369, "03-11": 365}),
        ("Late", {"03-11": 300}),
        ("None", {}),
    )
    told = gains.of_litter(kennel.by_name["Runa"], book.ledger, kennel, datetime(2026, 3, 11, 9, tzinfo=UTC))
    assert (told.born, told.age_days, told.past) == (day("2026-03-09"), 2, False)
    by_name = {p.dog: p for p in told.pups}
    assert told.pups[0].dog == "Green"
    assert [round(g.pct, 1) for g in by_name["Green"].gains] == [0.0, -1.9, -4.7]
    assert [g.day for g in by_name["Green"].gains] == pytest.approx([0, 1, 2])
    assert {n for n, p in by_name.items() if p.lost} == {"Green", "Blue"}
    assert {n for n, p in by_name.items() if p.watched} == {"Green", "Blue"}
    assert not by_name["Late"].from_birth and by_name["None"].gains == ()


def test_after_four_weeks_the_newborn_weeks_stay() -> None:
    kennel, book = _litter(("Red", {"03-09": 350, "03-20": 800, "04-12": 2500}))
    told = gains.of_litter(kennel.by_name["Runa"], book.ledger, kennel, datetime(2026, 4, 20, 9, tzinfo=UTC))
    assert told.past and [g.grams for g in told.pups[0].gains] == [350, 800]


def test_a_dog_without_a_litter_has_no_gains() -> None:
    kennel, book = _litter()
    told = gains.of_litter(kennel.by_name["Runa"], book.ledger, kennel, datetime(2026, 4, 20, 9, tzinfo=UTC))
    assert told.pups == () and told.born is None


def test_weeks_end_yesterday_and_a_bare_week_is_not_a_nought() -> None:
    """Bowls of a cup a day at 400 kcal; treats of two and one given in a week of seven days; a week with two bowls."""
    dog = Dog(name="Bran", born=day("2024-01-01"), ration=(Ration(meal="dinner", cups=1),), food="Kibble")
    kennel = Kennel(name="K", dogs=(dog,), foods=(KIBBLE,))
    book = Book()
    for n in range(1, 29):
        if not 8 <= n <= 14 or n in (9, 11):
            book.add(Meal(dog="Bran", on=day(f"2026-02-{n:02d}"), meal="dinner", amount=1.0, unit="cup"))
    book.add(Treat(dog="Bran", on=day("2026-02-25"), amount=1.0, unit="cup"), by="Ida")
    book.add(Treat(dog="Bran", on=day("2026-02-26"), amount=0.5, unit="cup"), by="Tom")
    found = weekly.weeks(dog, book.ledger, kennel, day("2026-03-01"), 6)
    assert [(w.since.day, w.until.day) for w in found] == [(1, 7), (8, 14), (15, 21), (22, 28)]
    assert [w.bowl_kcal for w in found] == [400, None, 400, 400]
    assert [round(w.treat_kcal, 1) for w in found] == [0, 0, 0, round(600 / 7, 1)]
    assert found[-1].treats_by == pytest.approx({"Ida": 400 / 7, "Tom": 200 / 7}) and not found[-1].estimated
    assert {w.order_kcal for w in found} == {400}
    assert weekly.weeks(dog, book.ledger, kennel, day("2026-01-01"), 6) == ()
    assert len(weekly.weeks(dog, book.ledger, kennel, day("2026-03-01"), 2)) == 2
