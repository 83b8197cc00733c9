"""One invented pup's weeks of bowls: Nugget, born 8 March, 9.4 kg, 400 kcal a cup."""

from __future__ import annotations

from datetime import date, timedelta

from core.entries import Condition, Ears, Meal, Treat, Weight
from core.feeding import assess
from core.ledger import Ledger
from core.ration_plan import RationPlan
from core.roster import Dog, Food, Kennel, Ration
from tests.books import Book, day

FOOD = Food(name="Red bag", kcal_per_cup=400, g_per_cup=110)
NUGGET = Dog(name="Nugget", sex="m", born=day("2026-03-08"), breed="Norwegian Buhund", adult_kg=18.4, ear_watch=True)
ON = day("2026-07-05")
BOWLS = (("breakfast", 0.75), ("dinner", 0.75), ("bedtime", 0.25))
WEIGHTS = (("2026-06-07", 6.5), ("2026-06-14", 7.2), ("2026-06-21", 7.9), ("2026-06-28", 8.6), ("2026-07-05", 9.4))


def kennel(*dogs: Dog, food: Food = FOOD) -> Kennel:
    return Kennel(name="Larkrise", dogs=dogs, foods=(food,))


def nuggets_book(
    *, ribs: str | None = "hard", cheese: float = 85, bowls: tuple[tuple[str, float], ...] = BOWLS, days: int = 21
) -> Book:
    """Three weeks of bowls and cheese, weighings a week apart, hands right at 15 weeks and (mostly) heavy now."""
    book = Book()
    for on, kg in WEIGHTS:
        book.add(Weight(dog="Nugget", on=day(on), kg=kg))
    book.add(Condition(dog="Nugget", on=day("2026-06-21"), ribs="easy"))
    if ribs:
        book.add(Condition(dog="Nugget", on=ON, ribs=ribs))
    feed(book, ON - timedelta(days=days), days, bowls, cheese)
    return book


def sliding(book: Book) -> Book:
    """Both ears up five days of seven, then two of seven."""
    for days_ago, up in ((13, True), (12, True), (11, True), (10, False), (9, True), (8, False), (7, True), (6, True),
                         (5, False), (4, False), (3, True), (2, False), (1, False), (0, False)):  # fmt: skip
        ear = "up" if up else "half"
        book.add(Ears(dog="Nugget", on=ON - timedelta(days=days_ago), left=ear, right=ear))
    return book


def feed(book: Book, start: date, days: int, bowls: tuple[tuple[str, float], ...], cheese: float = 0) -> None:
    for i in range(days):
        on = start + timedelta(days=i)
        for meal, cups in bowls:
            book.add(Meal(dog="Nugget", on=on, meal=meal, amount=cups, unit="cup"))
        if cheese:  # a thumbnail of cheese is 12 kcal in treats.csv
            book.add(Treat(dog="Nugget", on=on, amount=cheese / 12, unit="piece", said="a bit of cheese"), by="Gran")


def plan(dog: Dog = NUGGET, book: Ledger | None = None, on: date = ON, food: Food = FOOD) -> RationPlan:
    return assess(dog, book if book is not None else nuggets_book().ledger, kennel(dog, food=food), on)


def order(*cups: float) -> tuple[Ration, ...]:
    names = ("breakfast", "dinner", "bedtime")
    return tuple(Ration(meal=m, cups=c) for m, c in zip(names, cups, strict=False))


def shape(meals: object) -> dict[str, int]:
    return {m.meal: m.cups_eighths for m in meals}  # type: ignore[attr-defined]


# ---- what is eaten, and the first step -------------------------------------------------------------------------------
