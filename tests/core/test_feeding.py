"""The ration plan, with the worked numbers of one invented pup (`nuggets_ration`)."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from core import energy
from core.entries import Condition, Meal, Weight
from core.feeding import assess, expires_at_kg, reordered
from core.ledger import Ledger
from core.portions import eighths, kcal_of, new_bag, split, taken_off
from core.roster import Dog, Duty, Food, Kennel
from tests.books import Book, day
from tests.core.nuggets_ration import (
    BOWLS,
    NUGGET,
    ON,
    WEIGHTS,
    kennel,
    nuggets_book,
    order,
    plan,
    shape,
    sliding,
)


def test_what_is_really_eaten() -> None:
    """1¾ cups are 700 kcal, cheese about 85: 785 a day; resting need 376, the floor 564."""
    found = plan()
    assert found.resting_kcal == pytest.approx(376, abs=0.5)
    assert found.floor_kcal == pytest.approx(564, abs=0.5)
    assert found.eaten is not None
    assert found.eaten.bowl_kcal == pytest.approx(700)
    assert found.eaten.treat_kcal == pytest.approx(85)
    assert found.eaten_kcal == pytest.approx(785)
    assert found.basis == "measured"
    assert shape(found.meals) == {"breakfast": 6, "dinner": 6, "bedtime": 2}
    assert found.treat_pot_kcal == pytest.approx(70)
    assert found.treat_pot_g == pytest.approx(19.25)


def test_tables_side_by_side() -> None:
    """Twice resting need 752, the European federation 939, the NRC equation about 1,195: over half apart."""
    tables = {name: kcal for name, kcal, _ in plan().tables}
    assert tables["stepwise"] == pytest.approx(752, abs=1)
    assert tables["fediaf"] == pytest.approx(939, abs=1)
    assert tables["nrc"] == pytest.approx(1195, rel=0.02)


def test_treats_into_the_jar_are_the_weeks_step() -> None:
    """785 → 700 is −11 %: the bowls stay as they are."""
    step = plan().step
    assert step is not None
    assert (step.key, step.reasons) == ("jar", ("treats_first",))
    assert step.kcal_day == pytest.approx(700)
    assert step.change_pct == pytest.approx(-10.8, abs=0.1)
    assert shape(step.meals) == {"breakfast": 6, "dinner": 6, "bedtime": 2}


def test_then_an_eighth_off_breakfast() -> None:
    """Still over with the treats in the jar: ⅛ off breakfast, 650 kcal (⅝, ¾, ¼); the snack is kept."""
    step = plan(book=sliding(nuggets_book(cheese=0)).ledger).step
    assert step is not None
    assert step.key == "less"
    assert step.kcal_day == pytest.approx(650)
    assert shape(step.meals) == {"breakfast": 5, "dinner": 6, "bedtime": 2}


def test_the_floor_says_no() -> None:
    """From 1½ cups (600, 1.60 times resting need) the next step, 1⅜ = 550, is under 564: refused."""
    book = sliding(nuggets_book(cheese=0, bowls=(("breakfast", 0.625), ("dinner", 0.625), ("bedtime", 0.25))))
    found = plan(book=book.ledger)
    assert found.times_resting == pytest.approx(1.60, abs=0.005)
    assert found.step is not None
    assert (found.step.key, found.step.reasons) == ("refused", ("floor",))
    assert found.step.meals == ()


def test_an_eighth_that_is_too_coarse_is_said_in_grams() -> None:
    """With 700 kcal a cup an eighth is over a tenth of the day: grams instead."""
    rich = Food(name="Rich", kcal_per_cup=700, g_per_cup=120)
    book = sliding(nuggets_book(cheese=0, bowls=(("breakfast", 0.5), ("dinner", 0.5), ("bedtime", 0.125))))
    found = plan(book=book.ledger, food=rich)
    assert found.step is not None
    assert found.step.key == "less"
    assert found.step.grams_less == pytest.approx(787.5 * 0.1 / 700 * 120)
    assert "use_grams" in found.step.reasons


# ---- what keeps a cut back -------------------------------------------------------------------------------------------


def test_the_breeders_order_stands() -> None:
    """⅝ + ⅝ + ¼: 600 kcal, 1.60 times resting need, 24 % under last week's food; weigh Thursday and Sunday."""
    found = plan(replace(NUGGET, ration=order(0.625, 0.625, 0.25)))
    assert found.ordered
    assert found.kcal_day == pytest.approx(600)
    assert found.change_pct == pytest.approx(-23.6, abs=0.1)
    assert "big_cut" in found.warnings
    assert "under_floor" not in found.warnings
    assert found.rechecks == (day("2026-07-09"), day("2026-07-12"))
    assert found.expires_at_kg == pytest.approx(10.2, abs=0.05)
    assert found.ears_on == day("2026-07-19")


def test_an_order_under_the_floor_is_kept_and_said() -> None:
    """With a ⅛ snack 550 kcal are 1.46 times resting need: logged as hers, weighed in four days, more suggested."""
    found = plan(replace(NUGGET, ration=order(0.625, 0.625, 0.125)))
    assert found.kcal_day == pytest.approx(550)
    assert found.times_resting == pytest.approx(1.46, abs=0.005)
    assert "under_floor" in found.warnings
    assert found.recheck_on == day("2026-07-09")
    assert found.step is not None
    assert found.step.key == "more"
    assert found.step.kcal_day is not None
    assert found.step.kcal_day >= (found.floor_kcal or 0)


def test_a_new_order_does_not_rewrite_last_week() -> None:
    """Bowls logged without an amount were the order of their day."""
    old = replace(NUGGET, ration=order(0.75, 0.75, 0.25))
    book = Book()
    for on, kg in WEIGHTS:
        book.add(Weight(dog="Nugget", on=day(on), kg=kg))
    for i in range(1, 8):
        for meal, _ in BOWLS:
            book.add(Meal(dog="Nugget", on=ON - timedelta(days=i), meal=meal))
    new = reordered(old, kennel(old), ON, ration=order(0.625, 0.625, 0.25))
    assert plan(old, book.ledger).eaten_kcal == pytest.approx(700)
    assert plan(new, book.ledger).eaten_kcal == pytest.approx(700)
    assert plan(new, book.ledger).kcal_day == pytest.approx(600)


def test_a_cut_expires() -> None:
    """(600 / 105)^(4/3) = 10.2 kg; the floor at 9.7 kg is 577."""
    assert expires_at_kg(600, 1.5) == pytest.approx(10.2, abs=0.05)
    assert 1.5 * energy.resting(9.7) == pytest.approx(577, abs=0.5)


# ---- rounding, meals, bags -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kcal", "per_cup", "number"),
    [(700, 400, 14), (600, 365, 13), (3828, 400, 77), (610, 400, 12), (624, 400, 13), (616, 400, 13)],
)
def test_rounding(kcal: float, per_cup: float, number: int) -> None:
    """The nearest eighth, one more where that is over 2 % short: 616 at 400 is 12.3 eighths, 2.6 % short, so 13."""
    assert eighths(kcal, per_cup) == number


def test_new_bag() -> None:
    """1½ cups × 400 ÷ 365 = 1.64 → 1⅝ cups (593 kcal), changed over in 7 to 10 days."""
    found = new_bag(order(0.625, 0.625, 0.25), 400, Food(name="Blue", kcal_per_cup=365, g_per_cup=100))
    assert found is not None
    assert found.cups_exact == pytest.approx(1.644, abs=0.001)
    assert found.eighths_after == 13
    assert found.kcal_after == pytest.approx(593, abs=0.5)
    assert sum(m.cups_eighths for m in found.meals) == 13
    assert (found.days_low, found.days_high) == (7, 10)
    assert new_bag(order(0.5), 400, Food(name="Unknown")) is None


def test_meals_of_a_day() -> None:
    """¾ ¾ ¼, ⅝ ¾ ¼, ⅝ ⅝ ¼: even main meals, breakfast the smaller, a seventh before the night."""
    names = ("breakfast", "dinner", "bedtime")
    assert split(14, names) == {"breakfast": 6, "dinner": 6, "bedtime": 2}
    assert split(13, names) == {"breakfast": 5, "dinner": 6, "bedtime": 2}
    assert split(12, names) == {"breakfast": 5, "dinner": 5, "bedtime": 2}
    assert taken_off({"breakfast": 6, "dinner": 6, "bedtime": 2}, 2) == {"breakfast": 5, "dinner": 5, "bedtime": 2}
    assert sum(split(1, names).values()) == 1
    assert kcal_of(14, 400) == 700


@pytest.mark.parametrize(("weeks", "count"), [(7, 4), (11, 4), (13, 3), (20, 3), (30, 2)])
def test_meals_by_age(weeks: int, count: int) -> None:
    """Four meals to 12 weeks, two and a snack to six months, two after (common practice, no source)."""
    pup = Dog(name="Pup", sex="f", born=ON - timedelta(weeks=weeks), adult_kg=18)
    book = Book().add(Weight(dog="Pup", on=ON, kg=6.0))
    assert len(assess(pup, book.ledger, kennel(pup), ON).meals) == count


def test_the_rota_decides_the_meals() -> None:
    """A kennel that feeds once a day at dinner plans one bowl."""
    from datetime import time

    bran = Dog(name="Bran", sex="m", born=day("2021-03-08"))
    house = replace(kennel(bran), duties=(Duty(what="dinner", at=time(18), who="Tom"),))
    book = Book().add(Weight(dog="Bran", on=ON, kg=18.0))
    assert [m.meal for m in assess(bran, book.ledger, house, ON).meals] == ["dinner"]


# ---- what is missing -------------------------------------------------------------------------------------------------


def test_missing_input_is_named_and_nothing_guessed() -> None:
    """No kcal on the bag, no weight: said, and no plan."""
    found = assess(NUGGET, nuggets_book().ledger, kennel(NUGGET, food=Food(name="Red bag")), ON)
    assert "food kcal" in found.missing
    assert found.kcal_day is None
    assert found.step is None
    found = assess(NUGGET, Ledger(), kennel(NUGGET), ON)
    assert "weight" in found.missing
    assert found.kcal_day is None
    found = assess(NUGGET, Ledger(), Kennel(name="K", dogs=(NUGGET,)), ON)
    assert {"food", "weight"} <= set(found.missing)


def test_grams_are_left_out_where_the_cup_was_never_weighed() -> None:
    """Cups still stand; the missing weight of a cup is named."""
    found = plan(food=Food(name="Red bag", kcal_per_cup=400))
    assert found.missing == ("g per cup",)
    assert all(m.grams is None for m in found.meals)


def test_bowls_not_logged_are_not_taken_for_nothing() -> None:
    """One dinner forgotten in seven days changes nothing; a week without dinners gives no measure."""
    book = nuggets_book()
    gone = next(p for p in book.posted if isinstance(p.entry, Meal) and p.entry.meal == "dinner"
                and p.entry.on == ON - timedelta(days=2))  # fmt: skip
    book.posted.remove(gone)
    assert plan(book=book.ledger).eaten_kcal == pytest.approx(785)
    book.posted = [p for p in book.posted if not (isinstance(p.entry, Meal) and p.entry.meal == "dinner")]
    assert plan(book=book.ledger).eaten is None


def test_a_pup_without_history_starts_by_the_tables() -> None:
    """Nothing logged: the middle of the published tables, and it is said that they disagree."""
    found = plan(book=Book().add(Weight(dog="Nugget", on=ON, kg=9.4)).ledger)
    assert found.basis == "table"
    assert found.kcal_day == pytest.approx(939, rel=0.03)
    assert "tables_disagree" in found.caution


# ---- learning --------------------------------------------------------------------------------------------------------


def test_its_own_record_takes_over() -> None:
    """Three weeks of bowls outweigh the table; the interval narrows; then a week unlogged still has an answer."""
    found = plan().learned
    assert found is not None
    assert found.counts
    assert found.low < found.factor < found.high
    none = plan(book=Book().add(Weight(dog="Nugget", on=ON, kg=9.4)).ledger).learned
    assert none is not None
    assert not none.counts
    assert none.factor == pytest.approx(1)
    assert found.high / found.low < none.high / none.low
    later = assess(NUGGET, nuggets_book().ledger, kennel(NUGGET), ON + timedelta(days=12))
    assert later.basis == "learned"
    assert later.kcal_day == pytest.approx(found.kcal_day * 700 / 785, rel=0.08)  # from the bowls alone


@pytest.mark.parametrize("true_factor", [0.7, 0.85, 1.0, 1.2])
def test_a_grown_dogs_own_need_is_found(true_factor: float) -> None:
    """A dog of steady weight that eats so many times the table's middle: its factor is found within a few percent."""
    bran = Dog(name="Bran", sex="m", born=day("2021-03-08"), neutered=False)
    need = true_factor * energy.middle(energy.adult_tables(18.0, False))
    book = Book()
    for i in range(5):
        book.add(Weight(dog="Bran", on=ON - timedelta(days=14 * i), kg=18.0))
    for i in range(1, 57):
        for meal in ("breakfast", "dinner"):
            book.add(Meal(dog="Bran", on=ON - timedelta(days=i), meal=meal, amount=need / 2 / 400, unit="cup"))
    found = assess(bran, book.ledger, kennel(bran), ON).learned
    assert found is not None
    assert found.low < true_factor < found.high
    assert found.factor == pytest.approx(true_factor, rel=0.05)


# ---- the dam ---------------------------------------------------------------------------------------------------------


def test_a_grown_dog_that_creeps_up_loses_an_eighth() -> None:
    """2¾ cups → 2⅝ after three monthly weighings 3 % over his ideal, with ribs to press for."""
    bran = Dog(name="Bran", sex="m", born=day("2021-03-08"), ideal_kg=18.0, ration=order(1.375, 1.375))
    book = Book()
    for i, kg in enumerate((18.6, 18.7, 18.8)):
        book.add(Weight(dog="Bran", on=ON - timedelta(days=60 - 30 * i), kg=kg))
    book.add(Condition(dog="Bran", on=ON, ribs="hard"))
    for i in range(1, 29):
        book.add(*(Meal(dog="Bran", on=ON - timedelta(days=i), meal=m) for m in ("breakfast", "dinner")))
    found = assess(bran, book.ledger, kennel(bran), ON)
    assert found.step is not None
    assert found.step.key == "less"
    assert found.step.kcal_day == pytest.approx(2.625 * 400)


def test_unplanned_loss_in_a_grown_dog_is_the_vets() -> None:
    """Five percent in a month: never food advice."""
    tove = Dog(name="Tove", sex="f", born=day("2016-05-08"), ideal_kg=18.0)
    book = Book().add(Weight(dog="Tove", on=ON - timedelta(days=28), kg=18.0), Weight(dog="Tove", on=ON, kg=17.0))
    found = assess(tove, book.ledger, kennel(tove), ON)
    assert found.stage == "veteran"
    assert found.step is not None
    assert (found.step.key, found.step.reasons) == ("look", ("loss_ask_vet",))
