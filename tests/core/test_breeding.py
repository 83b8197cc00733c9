"""Seasons, due dates, the whelping clock and the list of a leaving pup."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from core.bags import bags, litter_food
from core.bile import mornings
from core.breeding import next_season, plausible_units, status, unit_slip
from core.entries import Dose, Mating, Meal, Progesterone, Season, Sign, Temperature, Weight, Whelping
from core.feeding import nursing_week
from core.gestation import nursing
from core.leaving import ready
from core.ledger import Posted
from core.patients import is_nursing
from core.roster import Dog, Kennel, Litter
from core.urgent import alarm
from core.whelping import clock
from tests.books import Book, day

RUNA = Dog(name="Runa", sex="f", born=day("2022-05-08"))
BRAN = Dog(name="Bran", sex="m", born=day("2021-03-08"))
KENNEL = Kennel(name="Larkrise", dogs=(RUNA, BRAN))


def test_next_season_from_her_own_intervals() -> None:
    """Median of her own; fewer than three seasons is said."""
    found = next_season((day("2025-01-10"), day("2025-07-20"), day("2026-01-25")), day("2026-03-01"))
    assert found is not None
    assert found.intervals == (191, 189)
    assert found.interval_days == 190
    assert found.earliest < found.on == day("2026-08-03") < found.latest
    assert "few_seasons" not in found.caution
    few = next_season((day("2026-01-25"),), day("2026-03-01"))
    assert few is not None
    assert "few_seasons" in few.caution
    assert (few.latest - few.earliest).days >= 80


def test_a_season_and_its_days() -> None:
    """Colour on 22 August: apart from day 7 to day 21, blood from day 5 (common practice), never a promise."""
    book = Book().add(Season(dog="Runa", on=day("2026-08-22")))
    found = status(RUNA, book.ledger, KENNEL, day("2026-08-26"))
    assert (found.phase, found.season_day) == ("in season", 5)
    assert (found.apart_from, found.apart_to) == (day("2026-08-28"), day("2026-09-11"))
    assert found.blood_test_on == day("2026-08-26")
    assert "not_safe_until_she_refuses" in found.caution


def test_progesterone_without_its_unit_is_asked() -> None:
    """5.8 of nothing: asked; it counts for no date."""
    book = Book().add(
        Season(dog="Runa", on=day("2026-08-22")),
        Mating(dog="Runa", on=day("2026-09-03"), with_="Bran"),
        Progesterone(dog="Runa", on=day("2026-09-01"), value=5.8),
    )
    found = status(RUNA, book.ledger, KENNEL, day("2026-09-04"))
    assert found.ask == ("progesterone unit",)
    assert found.due is not None
    assert found.due.basis == "mating"
    assert plausible_units(5.8)[0] == "ng/ml"
    assert plausible_units(40)[0] == "nmol/l"
    assert unit_slip(2.0, 6.2)
    assert not unit_slip(8.0, 5.0)


def test_due_by_ovulation() -> None:
    """Ovulation 1 September → due 3 November, first look the 1st, X-ray from 26 October, temperatures from the 28th."""
    book = Book().add(
        Season(dog="Runa", on=day("2026-08-22")),
        Progesterone(dog="Runa", on=day("2026-08-30"), value=2.6, unit="ng/ml"),
        Progesterone(dog="Runa", on=day("2026-09-01"), value=5.8, unit="ng/ml"),
        Mating(dog="Runa", on=day("2026-09-03"), with_="Bran"),
    )
    found = status(RUNA, book.ledger, KENNEL, day("2026-10-10"))
    assert found.phase == "pregnant"
    assert found.due is not None
    assert found.due.basis == "ovulation"
    assert found.due.on == day("2026-11-03")
    assert found.due.first_look == day("2026-11-01")
    assert found.due.xray_from == day("2026-10-26")
    assert found.due.temperatures_from == day("2026-10-28")
    assert found.day_of_pregnancy == 39
    assert [t.fits for t in found.tests] == ["hormone peak", "ovulation"]
    late = status(RUNA, book.ledger, KENNEL, day("2026-11-06"))
    assert (late.phase, late.warnings) == ("near term", ("past_due_ring_vet",))


def test_drop_is_a_fall() -> None:
    """36.9 from 37.9: the drop; a bitch that is always low has none without a fall."""
    book = Book().add(Mating(dog="Runa", on=day("2026-09-01")))
    book.add(*(Temperature(dog="Runa", on=day("2026-11-01") - timedelta(days=d), celsius=37.9) for d in (2, 1)))
    book.add(Temperature(dog="Runa", on=day("2026-11-02"), celsius=36.9), at="20:00")
    found = status(RUNA, book.ledger, KENNEL, day("2026-11-02"))
    assert found.dropped is not None
    assert found.dropped.at.hour == 20


def test_nursing_then_resting() -> None:
    """Day 16 of nursing; nine weeks later she rests. A male has no phase."""
    book = Book().add(Mating(dog="Runa", on=day("2026-04-18")), Whelping(dog="Runa", on=day("2026-06-20"), pups=5))
    found = status(RUNA, book.ledger, KENNEL, day("2026-07-06"))
    assert (found.phase, found.nursing_day, found.due) == ("nursing", 16, None)
    assert status(RUNA, book.ledger, KENNEL, day("2026-09-06")).phase == "resting"
    assert status(BRAN, book.ledger, KENNEL, day("2026-09-06")).phase == "none"


def test_nursing_is_known_from_the_book_and_the_litters_too() -> None:
    """Three ways in which a litter is told; one answer for the red words, the ration and the breeding page."""
    told = Book().add(Whelping(dog="Runa", on=day("2026-07-01"), pups=5)).ledger
    counted = Kennel(name="K", dogs=(RUNA,), litters=(Litter(dam="Runa", born=day("2026-07-01"), counted=5),))
    named = Kennel(name="K", dogs=(RUNA, Dog(name="Red", sex="m", born=day("2026-07-01"), litter="Runa")))
    bare = Kennel(name="K", dogs=(RUNA,))
    for kennel, ledger, pups in ((bare, told, 5), (counted, Book().ledger, 5), (named, Book().ledger, 1)):
        for on, nurses in ((day("2026-07-05"), True), (day("2026-08-25"), True), (day("2026-08-26"), False)):
            found = nursing(RUNA, ledger, kennel, on)
            assert (found is not None) is nurses
            assert is_nursing(RUNA, kennel, on, ledger) is nurses
            assert (nursing_week(RUNA, ledger, kennel, on) is not None) is nurses
            assert (status(RUNA, ledger, kennel, on).phase == "nursing") is nurses
            assert found is None or found.pups == pups
        rung = alarm("Runa shaking and stiff", kennel, day("2026-07-05"), ledger=ledger)
        assert rung is not None and rung.dog == "Runa"


def test_no_pup_left_is_no_nursing() -> None:
    dead = Dog(name="Red", sex="m", born=day("2026-07-01"), litter="Runa", gone="died")
    kennel = Kennel(name="K", dogs=(RUNA, dead))
    assert nursing(RUNA, Book().ledger, kennel, day("2026-07-05")) is None
    none = Book().add(Whelping(dog="Runa", on=day("2026-07-01"), pups=0)).ledger
    assert nursing(RUNA, none, Kennel(name="K", dogs=(RUNA,)), day("2026-07-05")) is None


def test_born_over_midnight_is_one_litter() -> None:
    """The note of the whelping has the day after: the pups on the roster are still hers."""
    pups = tuple(Dog(name=n, sex="m", born=day("2026-07-01"), litter="Runa") for n in ("Red", "Blue"))
    told = Book().add(Whelping(dog="Runa", on=day("2026-07-02"))).ledger
    found = nursing(RUNA, told, Kennel(name="K", dogs=(RUNA, *pups)), day("2026-07-05"))
    assert found is not None and found.pups == 2


def test_womb_infection_weeks_and_colour_too_long() -> None:
    """Two to eight weeks after a season thirst and discharge are watched; colour past day 28 is odd."""
    book = Book().add(Season(dog="Runa", on=day("2026-06-01")))
    for on, watched in (("2026-06-28", False), ("2026-06-29", True), ("2026-07-05", True), ("2026-08-16", True),
                        ("2026-08-17", False)):  # fmt: skip
        found = status(RUNA, book.ledger, KENNEL, day(on)).warnings
        assert ("watch_for_womb_infection" in found) is watched
    book.add(Season(dog="Runa", on=day("2026-07-01")))
    assert "colour_past_28_days" in status(RUNA, book.ledger, KENNEL, day("2026-07-02")).warnings


# ---- the whelping clock ----------------------------------------------------------------------------------------------

NIGHT = datetime(2026, 11, 3, 2, 0, tzinfo=UTC)


def minutes(n: float) -> datetime:
    return NIGHT + timedelta(minutes=n)


def test_seventy_five_minutes_two_owed_resting() -> None:
    """Four born of six counted, 75 minutes since the last: no line yet, the next in 45 minutes."""
    births = [minutes(m) for m in (0, 20, 40, 50)]
    found = clock(minutes(125), births, counted=6)
    assert (found.born, found.owed, found.minutes_since_pup) == (4, 2, 75)
    assert not found.ring_vet
    assert found.next_line_at == minutes(170)


@pytest.mark.parametrize(
    ("after", "pushing", "lines"),
    [
        (119, None, ()),
        (120, None, ("between",)),
        (60, 40, ("pushing",)),
        (59, 40, ()),
        (125, 100, ("pushing", "between")),
    ],
)
def test_lines(after: float, pushing: float | None, lines: tuple[str, ...]) -> None:
    """20 minutes of hard pushing, 2 hours between pups with more owed (common practice): ring, again in 10 minutes."""
    found = clock(minutes(after), [minutes(0)], counted=3, pushing_since=minutes(pushing) if pushing else None)
    assert found.lines == lines
    if lines:
        assert found.repeat_at == minutes(after + 10)


def test_lines_end() -> None:
    """All counted born, or said to be done: no line. A pup ends the push before it. Nobody counted: the line stays."""
    assert not clock(minutes(500), [minutes(0)], counted=1).ring_vet
    assert not clock(minutes(500), [minutes(0)], done=True).ring_vet
    assert clock(minutes(120), [minutes(0)]).ring_vet
    assert not clock(minutes(50), [minutes(30)], counted=3, pushing_since=minutes(5)).ring_vet


def test_drop_and_green() -> None:
    """24 hours after the drop without a pup, and green before pup one, are lines; after the first pup they are not."""
    assert clock(NIGHT + timedelta(hours=24), dropped_at=NIGHT).lines == ("drop",)
    assert not clock(NIGHT + timedelta(hours=23), dropped_at=NIGHT).ring_vet
    assert clock(NIGHT, green_before_first=True).lines == ("green",)
    assert not clock(minutes(10), [NIGHT], counted=4, green_before_first=True).ring_vet


# ---- litter and house ------------------------------------------------------------------------------------------------


def test_litter_food() -> None:
    """Seven weeks, 3.6 kg: 3 × resting need = 549 kcal = 151 g at 400 kcal and 110 g a cup; six pups 6.3 kg a week."""
    found = litter_food(6, 3.6, 400 / 110)
    assert found.kcal_pup_day == pytest.approx(549, abs=0.5)
    assert found.grams_pup_day == pytest.approx(151, abs=0.5)
    assert found.kg_week == pytest.approx(6.3, abs=0.05)
    with pytest.raises(ValueError, match="pups"):
        litter_food(0, 3.6, 3.6)


def test_bags() -> None:
    """Days left round down, bags round up, bought five days before."""
    found = bags(day("2026-07-05"), grams_day=2000, grams_left=25_000, bag_grams=12_000, days_wanted=28)
    assert found.days_left == 12
    assert found.runs_out_on == day("2026-07-17")
    assert found.buy_by == day("2026-07-12")
    assert found.bags == 3


def test_bile_beside_the_snack() -> None:
    """Three mornings in ten, all after a night without the snack: keep it, no cause claimed."""
    nugget = Dog(name="Nugget", born=day("2026-03-08"))
    house = Kennel(name="K", dogs=(nugget,))
    on, bare = day("2026-07-05"), (2, 5, 9)
    book = Book()
    for d in range(1, 12):
        night = on - timedelta(days=d)
        book.add(Meal(dog="Nugget", on=night, meal="dinner", amount=0.75, unit="cup"), at="18:30")
        if d - 1 not in bare:
            book.add(Meal(dog="Nugget", on=night, meal="bedtime", amount=0.25, unit="cup"), at="21:45")
    for d in bare:
        book.add(Sign(dog="Nugget", on=on - timedelta(days=d), sign="bile"), at="06:30")
    found = mornings(nugget, book.ledger, house, on, days=10)
    assert found is not None
    assert (len(found.mornings), found.after_none, found.after_snack) == (3, 3, 0)
    assert found.keep_snack
    assert found.hours_empty == pytest.approx(12)
    assert mornings(nugget, Book().ledger, house, on) is None


def test_a_snack_refused_in_a_message_of_its_own_is_no_snack() -> None:
    """"Snack given", and later "he left it": one bowl, refused. A moment that nobody told gives no hours."""
    nugget = Dog(name="Nugget", born=day("2026-03-08"))
    house = Kennel(name="K", dogs=(nugget,))
    book = Book()
    for d in (2, 4):
        night, morning = day("2026-07-05") - timedelta(days=d), day("2026-07-05") - timedelta(days=d - 1)
        book.add(Meal(dog="Nugget", on=night, meal="dinner", amount=0.75, unit="cup"), at="18:30")
        book.add(Meal(dog="Nugget", on=night, meal="bedtime", amount=0.25, unit="cup"), at="21:45")
        book.add(Meal(dog="Nugget", on=night, meal="bedtime", eaten="none"), at="22:10")
        book.add(Sign(dog="Nugget", on=morning, sign="bile"), at="06:30")
    found = mornings(nugget, book.ledger, house, day("2026-07-05"), days=10)
    assert found is not None
    assert (found.after_none, found.after_snack, found.each_after_none) == (2, 0, True)
    assert found.hours_empty == pytest.approx(12)
    late = Posted(id=99, entry=Meal(dog="Nugget", on=day("2026-07-03"), meal="dinner"),
                  at=datetime(2026, 7, 4, 5, 0, tzinfo=UTC))  # fmt: skip
    untimed = mornings(nugget, book.ledger.with_posted([late]), house, day("2026-07-04"), days=1)
    assert untimed is not None
    assert untimed.hours_empty is None


def test_ready_to_leave() -> None:
    """Eight weeks is a hard stop; then the list, a vaccine a day old, gain this week, firm stool."""
    born = day("2026-05-10")
    pup = Dog(name="Yellow", born=born, litter="Runa")
    book = Book()
    book.add(Dose(dog="Yellow", on=born + timedelta(days=49), dose="vaccine"))
    book.add(Dose(dog="Yellow", on=born + timedelta(days=50), dose="wormer"))
    book.add(*(Weight(dog="Yellow", on=born + timedelta(days=d), kg=kg) for d, kg in ((50, 3.6), (56, 4.0))))
    done = ("vet check", "contract", "papers", "food")
    at = datetime(2026, 7, 5, 9, 0, tzinfo=UTC)
    found = ready(pup, book.ledger, KENNEL, at, done)
    assert not found.too_young
    assert found.missing == ("chip",)
    assert found.gained_kg == pytest.approx(0.4)
    assert ready(pup, book.ledger, KENNEL, at, (*done, "chip")).ready
    assert ready(pup, book.ledger, KENNEL, at - timedelta(days=1), (*done, "chip")).too_young
    book.add(Sign(dog="Yellow", on=day("2026-07-04"), sign="diarrhoea"))
    book.add(Dose(dog="Yellow", on=day("2026-07-05"), dose="vaccine"), at="08:00")
    assert set(ready(pup, book.ledger, KENNEL, at, (*done, "chip")).missing) == {"firm stool", "vaccine a day old"}
