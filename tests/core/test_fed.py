"""Who has been fed: by whom, when, what is open, and a second bowl."""

from __future__ import annotations

from datetime import UTC, datetime, time

from core.entries import Meal
from core.fed import already, today
from core.roster import Dog, Duty, Kennel
from tests.books import Book, day

ON = day("2026-07-05")
KENNEL = Kennel(
    name="Larkrise",
    dogs=(
        Dog(name="Nugget", born=day("2026-03-08")),
        Dog(name="Bran", born=day("2021-03-08")),
        Dog(name="Green", born=day("2026-07-02"), litter="Runa"),
        Dog(name="Pepper", born=day("2026-03-08"), home="Ana"),
    ),
    duties=(
        Duty(what="breakfast", at=time(7), who="Tom"),
        Duty(what="dinner", at=time(18), who="Elin"),
        Duty(what="bedtime", at=time(21, 45), who="Maya", dogs=("Nugget",)),
    ),
)


def at(clock: str) -> datetime:
    return datetime.combine(ON, time.fromisoformat(clock), UTC)


def test_who_fed_and_when() -> None:
    """Dad fed everyone at 07:04: both bowls logged by him; newborns and buyers' pups have none."""
    book = Book()
    book.add(Meal(dog="Nugget", on=ON), Meal(dog="Bran", on=ON), by="Tom", at="07:04")
    board = today(book.ledger, KENNEL, at("12:00"))
    assert [(b.dog, b.by, b.at) for b in board.meal("breakfast")] == [
        ("Nugget", "Tom", at("07:04")), ("Bran", "Tom", at("07:04")),
    ]  # fmt: skip
    assert board.open == ()
    assert board.latest_meal == "breakfast"
    assert {b.dog for b in board.bowls} == {"Nugget", "Bran"}
    assert [b.meal for b in board.of("Nugget")] == ["breakfast", "dinner", "bedtime"]
    assert [b.meal for b in board.of("Bran")] == ["breakfast", "dinner"]


def test_not_logged_is_open_not_unfed() -> None:
    """At seven in the evening dinner is open for both, by the rota Elin's; bedtime is later."""
    board = today(Book().ledger, KENNEL, at("19:00"))
    assert [(b.dog, b.meal, b.who, b.state) for b in board.bowls if b.meal != "breakfast"] == [
        ("Nugget", "dinner", "Elin", "open"),
        ("Bran", "dinner", "Elin", "open"),
        ("Nugget", "bedtime", "Maya", "later"),
    ]


def test_a_second_breakfast_is_seen_before_it_is_kept() -> None:
    """Max at 07:20 after Dad at 07:04: the first log comes back for each dog; dinner is no second breakfast."""
    book = Book().add(Meal(dog="Nugget", on=ON), Meal(dog="Bran", on=ON), by="Tom", at="07:04", message="a")
    found = already([Meal(dog="Nugget", on=ON), Meal(dog="Bran", on=ON)], book.ledger, KENNEL, at("07:20"))
    assert {dog: p.by for dog, p in found.items()} == {"Nugget": "Tom", "Bran": "Tom"}
    assert already([Meal(dog="Bran", on=ON, meal="dinner")], book.ledger, KENNEL, at("07:20")) == {}
    assert already([Meal(dog="Bran", on=ON)], book.ledger, KENNEL, at("18:05")) == {}


def test_how_it_went_is_no_second_bowl() -> None:
    """"Bran left half his breakfast" and a correction are about the same bowl."""
    book = Book().add(Meal(dog="Bran", on=ON), by="Tom", at="07:04")
    assert already([Meal(dog="Bran", on=ON, eaten="some")], book.ledger, KENNEL, at("07:30")) == {}
    corrected = Meal(dog="Bran", on=ON, amount=1, unit="cup", replaces=True)
    assert already([corrected], book.ledger, KENNEL, at("07:30")) == {}


def test_two_bowls_are_told() -> None:
    """Two messages of the same meal: fed twice; one message with two entries is not."""
    book = Book().add(Meal(dog="Bran", on=ON), by="Tom", at="07:04", message="a")
    assert not today(book.ledger, KENNEL, at("09:00")).of("Bran")[0].twice
    book.add(Meal(dog="Bran", on=ON), by="Max", at="07:20", message="b")
    bowl = today(book.ledger, KENNEL, at("09:00")).of("Bran")[0]
    assert bowl.twice
    assert bowl.by == "Tom"


def test_the_board_is_of_the_kennels_own_day() -> None:
    """Half past midnight in Sydney is the new day, though UTC still has the old one."""
    house = Kennel(name="S", zone="Australia/Sydney", dogs=KENNEL.dogs)
    assert today(Book().ledger, house, at("14:30")).on == day("2026-07-06")


def test_how_it_went_is_told_of_the_same_bowl() -> None:
    """Tom fed at 18:04, Wren says at 18:20 that some was left: one bowl, Tom's, of which some was left."""
    book = Book().add(Meal(dog="Nugget", on=ON), by="Tom", at="18:04", message="a")
    book.add(Meal(dog="Nugget", on=ON, meal="dinner", eaten="some"), by="Wren", at="18:20", message="b")
    bowl = today(book.ledger, KENNEL, at("19:00")).of("Nugget")[1]
    assert (bowl.meal, bowl.by, bowl.at, bowl.eaten, bowl.twice) == ("dinner", "Tom", at("18:04"), "some", False)


def test_who_fed_is_who_put_it_down() -> None:
    """The log of what was left may come first; who put the food down is still who fed."""
    book = Book().add(Meal(dog="Nugget", on=ON, meal="dinner", eaten="some"), by="Wren", at="18:20", message="b")
    assert today(book.ledger, KENNEL, at("19:00")).of("Nugget")[1].by == "Wren"
    book.add(Meal(dog="Nugget", on=ON, meal="dinner"), by="Tom", at="18:40", message="c")
    assert today(book.ledger, KENNEL, at("19:00")).of("Nugget")[1].by == "Tom"
