"""The agenda: each thing once, to the right person in the right room, silent where the book has it already."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core import agenda
from core.agenda import ALERT, MEAL, NUDGE, REMIND, ROUND, TELL, TIP_OF_AGE, WEEK, Due, due, times
from core.entries import Dose, Entry, Groom, Meal, Sign, Weight
from core.ledger import Ledger, Posted
from core.roster import BREEDER, FAMILY, Dog, Duty, Kennel, Litter, OwnTip, Person, Ration
from core.times import within
from core.tips import Tip

LONDON = ZoneInfo("Europe/London")
PEOPLE = (
    Person(name="Maya", role="breeder"), Person(name="Tom", role="partner"), Person(name="Wren"),
    Person(name="Ida", role="gran"), Person(name="Ana", role="buyer", dogs=("Teasel",)),
)  # fmt: skip
DOGS = (
    Dog(name="Nugget", born=date(2025, 11, 15), sex="m", ear_watch=True,
        ration=tuple(Ration(meal=m, cups=c) for m, c in (("breakfast", 0.75), ("dinner", 0.75), ("bedtime", 0.25)))),
    Dog(name="Fjord", born=date(2021, 5, 2), sex="m"),
    Dog(name="Teasel", born=date(2025, 11, 15), sex="f", home="Ana"),
    Dog(name="Red", born=date(2026, 3, 9), sex="m", litter="Heather"),
)  # fmt: skip
BREAKFAST = Duty(what="breakfast", at=time(7), who="Tom")


def kennel(*duties: Duty, zone: str = "Europe/London", **more: object) -> Kennel:
    return replace(Kennel(name="K", zone=zone, people=PEOPLE, dogs=DOGS, duties=duties, tips_ok=True), **more)  # type: ignore[arg-type]


def book(*entries: Entry, at: datetime | None = None, by: str = "Tom") -> Ledger:
    return Ledger(
        Posted(id=n, entry=e, at=at or datetime.combine(e.on, e.clock or time(12), LONDON), by=by)
        for n, e in enumerate(entries, start=1)
    )


def at(day: int, hour: int, minute: int = 0, month: int = 3, zone: ZoneInfo = LONDON) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=zone)


def of_day(
    home: Kennel, ledger: Ledger | None = None, on: date = date(2026, 3, 14), tips: tuple[Tip, ...] = ()
) -> list[Due]:
    start = datetime.combine(on, time(0), home.tz)
    return list(due(home, ledger or Ledger(), start, datetime.combine(on + timedelta(days=1), time(0), home.tz), tips))


def told(items: list[Due], kind: str) -> list[tuple[str, str, str, str]]:
    return [(f"{i.at.astimezone(LONDON):%H:%M}", i.step, i.room, i.person) for i in items if i.kind == kind]


def test_a_bowl_is_named_once_nudged_once_then_told_to_the_breeder() -> None:
    """Tom at 07:00 and 07:30 in the family room; Maya at 08:00; never a fourth time."""
    assert told(of_day(kennel(BREAKFAST)), MEAL) == [
        ("07:00", REMIND, FAMILY, "Tom"), ("07:30", NUDGE, FAMILY, "Tom"), ("08:00", TELL, BREEDER, ""),
    ]  # fmt: skip


def test_a_bowl_that_is_logged_is_not_named() -> None:
    """By name or by the time of day at which it was told; what is left is named for the dogs that are left."""
    named = [Meal(dog=d, on=date(2026, 3, 14), meal="breakfast") for d in ("Nugget", "Fjord")]
    assert told(of_day(kennel(BREAKFAST), book(*named)), MEAL) == []
    unnamed = [Meal(dog=d, on=date(2026, 3, 14), clock=time(6, 40)) for d in ("Nugget", "Fjord")]
    assert told(of_day(kennel(BREAKFAST), book(*unnamed)), MEAL) == []
    (first, *_) = of_day(kennel(BREAKFAST), book(named[0]))
    assert first.kind == ALERT
    left = [i for i in of_day(kennel(BREAKFAST), book(named[0])) if i.kind == MEAL]
    assert {i.dogs for i in left} == {("Fjord",)}
    yesterday = book(*(replace(e, on=date(2026, 3, 13)) for e in named))
    assert len(told(of_day(kennel(BREAKFAST), yesterday), MEAL)) == 3


def test_only_dogs_that_get_the_meal_are_in_it() -> None:
    """Rations say who; without one, lunch is for the very young and the snack for pups; newborns have no bowl."""
    by_meal = {
        what: next((i.dogs for i in of_day(kennel(Duty(what=what, at=time(12), who="Tom"))) if i.kind == MEAL), ())
        for what in ("breakfast", "lunch", "dinner", "bedtime")
    }
    assert by_meal == {"breakfast": ("Nugget", "Fjord"), "lunch": (), "dinner": ("Nugget", "Fjord"),
                       "bedtime": ("Nugget",)}  # fmt: skip


def test_the_breeder_is_reminded_in_her_own_line() -> None:
    """At 21:45, the last minute before the quiet; no nudge follows into the night, nobody is told on her."""
    items = of_day(kennel(Duty(what="bedtime", at=time(21, 45), who="Maya")))
    assert told(items, MEAL) == [("21:45", REMIND, BREEDER, "")]


def test_the_family_room_gets_two_posts_a_day_besides_bowls() -> None:
    """Four tasks are two posts: the first, and the rest together; nothing is left out."""
    duties = (
        Duty(what="weigh", at=time(10), who="Wren", dogs=("Nugget",)),
        Duty(what="brush", at=time(11), who="Ida", dogs=("Fjord",)),
        Duty(what="teeth", at=time(16), who="Wren", dogs=("Fjord",)),
        Duty(what="nails", at=time(18, 30), who="Tom", dogs=("Fjord",)),
    )
    items = [i for i in of_day(kennel(*duties, BREAKFAST)) if i.room == FAMILY and i.kind != MEAL]
    assert [[(t.person, t.what) for t in i.tasks] for i in items] == [
        [("Wren", "weigh")], [("Ida", "brush"), ("Wren", "teeth"), ("Tom", "nails")],
    ]  # fmt: skip
    done = book(
        Groom(dog="Fjord", on=date(2026, 3, 14), task="brush"), Weight(dog="Nugget", on=date(2026, 3, 14), kg=9)
    )
    left = [i for i in of_day(kennel(*duties), done) if i.room == FAMILY]
    assert [[t.what for t in i.tasks] for i in left] == [["teeth", "nails"]]
    assert left[0].key == items[1].key  # what was told at 11:00 is not told again later


def test_one_task_may_be_nudged_two_may_not() -> None:
    """Two posts a day in all."""
    weigh, brush = (Duty(what="weigh", at=time(10), who="Wren", dogs=("Nugget",)),
                    Duty(what="brush", at=time(11), who="Ida", dogs=("Fjord",)))  # fmt: skip
    assert [i.step for i in of_day(kennel(weigh)) if i.room == FAMILY] == [REMIND, NUDGE]
    assert [i.step for i in of_day(kennel(weigh, brush)) if i.room == FAMILY] == [REMIND, REMIND]


def test_a_task_by_interval_waits_for_its_day_and_does_not_nag() -> None:
    """Fourteen days after it was done, then every third day until it is done."""
    home = kennel(Duty(what="nails", at=time(18), who="Tom", every_days=14, dogs=("Fjord",)))
    done = book(Groom(dog="Fjord", on=date(2026, 3, 1), task="nails"))
    days = [n for n in range(2, 27) if any(i.kind == "groom" for i in of_day(home, done, date(2026, 3, n)))]
    assert days == [15, 18, 21, 24]


def test_weekdays_rule_where_they_are_named() -> None:
    """14 March 2026 is a Saturday."""
    home = kennel(Duty(what="weigh", at=time(10), who="Wren", days=(6,), dogs=("Nugget",)))
    assert not [i for i in of_day(home) if i.kind == "weigh"]
    assert [i for i in of_day(home, on=date(2026, 3, 15)) if i.kind == "weigh"]


def test_newborn_weighings_and_doses_reach_the_breeder_when_nobody_logs_them() -> None:
    """And a weighing of a grown pup doesn't."""
    home = kennel(Duty(what="weigh", at=time(8, 30), who="Wren", dogs=("Red",)),
                  Duty(what="medicine", at=time(8), who="Tom", dogs=("Fjord",)),
                  Duty(what="weigh", at=time(10), who="Wren", dogs=("Nugget",)))  # fmt: skip
    assert [(i.kind, i.dogs) for i in of_day(home) if i.step == TELL] == [("dose", ("Fjord",)), ("weigh", ("Red",))]
    given = book(Dose(dog="Fjord", on=date(2026, 3, 14), dose="medicine"))
    assert not [i for i in of_day(home, given) if i.kind == "dose"]


def test_the_schedules_doses_are_named_on_the_first_and_the_last_day_of_their_window() -> None:
    """A litter wormed on day 14 is due on day 28 (ESCCAP GL1: every 14 days); a dose given ends it; buyers' dogs and
    grown dogs without any record are left out."""
    pup = Dog(name="Ash", born=date(2026, 2, 1), sex="m")
    home = kennel(dogs=(pup, *DOGS[1:3]))
    wormed = book(Dose(dog="Ash", on=date(2026, 2, 15), dose="wormer"))
    days = {n: of_day(home, wormed, date(2026, 2, 1) + timedelta(days=n)) for n in range(15, 60)}
    found = {n: [(i.what, i.dogs) for i in items if i.kind == "dose"] for n, items in days.items()}
    assert [n for n, items in found.items() if ("wormer", ("Ash",)) in items] == [28]
    # The first vaccination is due at 6 to 8 weeks: start 6-8 weeks (WSAVA vaccination guidelines).
    assert [n for n, items in found.items() if ("vaccine", ("Ash",)) in items] == [42, 56]
    again = book(*(Dose(dog="Ash", on=date(2026, month, day), dose="wormer") for month, day in ((2, 15), (3, 1))))
    assert not [i for i in of_day(home, again, date(2026, 3, 1)) if i.what == "wormer"]


def test_rounds_run_on_elapsed_hours_through_the_changed_night() -> None:
    """Every three hours on 28/29 March 2026 in London: three hours apart as time passes, not as the clock shows."""
    red = replace(DOGS[3], born=date(2026, 3, 27))
    home = kennel(Duty(what=ROUND, at=time(6), who="Maya", every_hours=3), dogs=(red,))
    items = [i for i in due(home, Ledger(), at(28, 18), at(29, 12)) if i.step == REMIND and i.kind == ROUND]
    assert [f"{i.at.astimezone(LONDON):%H:%M}" for i in items] == ["21:00", "00:00", "04:00", "07:00", "10:00"]
    assert {b.at - a.at for a, b in pairwise(items)} == {timedelta(hours=3)}
    weighed = book(Weight(dog="Red", on=date(2026, 3, 29), kg=0.35), at=at(29, 3, 10))
    left = [i for i in due(home, weighed, at(28, 18), at(29, 12)) if i.kind == ROUND and i.step == REMIND]
    assert "04:00" not in [f"{i.at.astimezone(LONDON):%H:%M}" for i in left]


def test_rounds_end_at_two_weeks() -> None:
    """Nobody is woken for a litter of three weeks."""
    home = kennel(Duty(what=ROUND, at=time(6), who="Maya", every_hours=3))
    assert not [i for i in of_day(home, on=date(2026, 3, 24)) if i.kind == ROUND]
    assert len([i for i in of_day(home, on=date(2026, 3, 20)) if i.kind == ROUND and i.step == REMIND]) == 8


@pytest.mark.parametrize("zone", ["Europe/London", "America/New_York", "Australia/Lord_Howe", "Pacific/Apia"])
def test_each_day_of_a_year_has_its_breakfast_once_at_its_hour(zone: str) -> None:
    """365 mornings, each at 07:00 on the family's clock, each with a key of its own."""
    home = kennel(BREAKFAST, zone=zone)
    start = datetime(2026, 1, 1, tzinfo=home.tz)
    items = [i for i in due(home, Ledger(), start, datetime(2027, 1, 1, tzinfo=home.tz))
             if i.kind == MEAL and i.step == REMIND]  # fmt: skip
    assert len(items) == 365 == len({i.key for i in items})
    assert {f"{i.at.astimezone(home.tz):%H:%M}" for i in items} == {"07:00"}


@pytest.mark.parametrize(
    ("zone", "on", "clock", "shown"),
    [("Europe/London", date(2026, 3, 29), time(1, 30), "02:00"),
     ("Europe/London", date(2026, 10, 25), time(1, 30), "01:30"),
     ("America/New_York", date(2026, 3, 8), time(2, 30), "03:00"),
     ("Australia/Lord_Howe", date(2026, 10, 4), time(2, 15), "02:30")],
)  # fmt: skip
def test_on_the_night_of_the_change_a_bowl_is_named_once(zone: str, on: date, clock: time, shown: str) -> None:
    """A time that does not exist: the first minute after; one that comes twice: the first."""
    home = kennel(Duty(what="bedtime", at=clock, who="Tom"), zone=zone)
    items = [i for i in of_day(home, on=on) if i.kind == MEAL and i.step == REMIND]
    assert [f"{i.at.astimezone(home.tz):%H:%M}" for i in items] == [shown]


def test_a_day_that_was_left_out_has_nothing() -> None:
    """Apia, 30 December 2011: the breakfasts are those of the 29th and the 31st."""
    home = kennel(BREAKFAST, zone="Pacific/Apia", dogs=(replace(DOGS[1], born=date(2010, 1, 1)),))
    start = datetime(2011, 12, 29, tzinfo=home.tz)
    items = due(home, Ledger(), start, datetime(2012, 1, 1, tzinfo=home.tz))
    assert [i.on.day for i in items if i.kind == MEAL and i.step == REMIND] == [29, 31]


TIPS = (
    Tip(key="ears", days=98),
    Tip(key="jar", days=101),
    Tip(key="last", days=119),
    Tip(key="girls", days=126, sex="m"),
)


def test_a_tip_comes_at_its_age_to_the_buyer_alone() -> None:
    """Ten in the morning, in the buyer's line; at most one a week; none for another sex."""
    home = kennel()
    days = {n: [i for i in of_day(home, on=date(2026, 2, 1) + timedelta(days=n), tips=TIPS) if i.kind == TIP_OF_AGE]
            for n in range(80)}  # fmt: skip
    found = {n: (i[0].what, i[0].room, f"{i[0].at.astimezone(LONDON):%H:%M}") for n, i in days.items() if i}
    assert found == {20: ("ears", "Ana", "10:00"), 41: ("last", "Ana", "10:00")}


def test_tips_stop_for_illness_loss_and_a_word() -> None:
    """Skipped while ill, over for good once the dog is gone or the buyer said stop."""
    on = date(2026, 2, 21)
    ill = book(Sign(dog="Teasel", on=date(2026, 2, 20), sign="vomit"))
    well = book(Sign(dog="Teasel", on=date(2026, 2, 10), sign="vomit"))
    gone = kennel(dogs=tuple(replace(d, gone="died") if d.name == "Teasel" else d for d in DOGS))
    stopped = kennel(people=tuple(replace(p, tips=False) for p in PEOPLE))
    not_yet, dropped = kennel(tips_ok=False), kennel(own_tips=(OwnTip(key="ears"),))
    assert [i.what for i in of_day(kennel(), well, on, TIPS) if i.kind == TIP_OF_AGE] == ["ears"]
    for home, ledger in ((kennel(), ill), (gone, well), (stopped, well), (not_yet, well), (dropped, well)):
        assert not [i for i in of_day(home, ledger, on, TIPS) if i.kind == TIP_OF_AGE]


def test_a_tip_by_months_comes_on_the_birthday_and_at_a_short_months_end() -> None:
    """Born on 31 August: six months on 28 February, the last day there is."""
    dog = Dog(name="Teasel", born=date(2025, 8, 31), home="Ana", sex="f")
    home = kennel(dogs=(dog,))
    tips = (Tip(key="six", months=6), Tip(key="year", months=12))
    found = [i.on for n in range(400) for i in of_day(home, on=date(2025, 9, 1) + timedelta(days=n), tips=tips)
             if i.kind == TIP_OF_AGE]  # fmt: skip
    assert found == [date(2026, 2, 28), date(2026, 8, 31)]


def test_the_breeder_has_an_alert_each_morning_and_a_digest_on_sunday() -> None:
    """06:45, and 18:00 on Sundays; a litter's own week too."""
    home = kennel(litters=(Litter(dam="Heather", born=date(2026, 3, 9)),))
    assert told(of_day(home), ALERT) == [("06:45", REMIND, BREEDER, "")]
    assert not told(of_day(home), WEEK) and told(of_day(home, on=date(2026, 3, 15)), WEEK)
    assert [i.dogs for i in of_day(home, on=date(2026, 3, 16)) if i.kind == agenda.LITTER] == [("Heather",)]


def test_dogs_not_yet_born_and_gone_have_no_bowls() -> None:
    """A day before their birth, and after they are gone."""
    assert {i.dogs for i in of_day(kennel(BREAKFAST), on=date(2024, 1, 1)) if i.kind == MEAL} == {("Fjord",)}
    gone = kennel(BREAKFAST, dogs=tuple(replace(d, gone="died") for d in DOGS))
    assert not [i for i in of_day(gone) if i.kind == MEAL]


def test_a_sitter_is_reminded_in_their_own_line_until_they_leave() -> None:
    """After the last day the breeder has it back."""
    sitter = Person(name="Sam", role="sitter", until=date(2026, 3, 14))
    home = kennel(replace(BREAKFAST, who="Sam"), people=(*PEOPLE, sitter))
    assert {i.room for i in of_day(home) if i.step == REMIND and i.kind == MEAL} == {"Sam"}
    assert {i.room for i in of_day(home, on=date(2026, 3, 15)) if i.kind == MEAL} == {BREEDER}


WHOLE = kennel(
    BREAKFAST, Duty(what="dinner", at=time(17, 30), who="Wren"), Duty(what="bedtime", at=time(21, 45), who="Maya"),
    Duty(what="weigh", at=time(5), who="Wren", days=(5, 6)), Duty(what="nails", at=time(23), who="Tom", every_days=5),
    Duty(what=ROUND, at=time(6), who="Tom", every_hours=3),
    Duty(what="medicine", at=time(21, 30), who="Tom", dogs=("Fjord",)),
    litters=(Litter(dam="Heather", born=date(2026, 3, 9)),),
)  # fmt: skip
START = datetime(2026, 3, 27, 12, tzinfo=UTC)


@settings(deadline=None)  # how long a look takes is measured elsewhere
@given(st.lists(st.integers(1, 5 * 24 * 60), min_size=1, max_size=40))
def test_however_often_one_looks_each_item_is_found_once(minutes: list[int]) -> None:
    """Any cuts of five days over the change of clocks find the same items as one look, none twice."""
    home = replace(WHOLE, dogs=(*DOGS, Dog(name="Blue", born=date(2026, 3, 26))))
    end = START + timedelta(days=5)
    whole = due(home, Ledger(), START, end, TIPS)
    cuts = [START, *sorted({START + timedelta(minutes=m) for m in minutes} - {end}), end]
    pieces = [i for a, b in pairwise(cuts) for i in due(home, Ledger(), a, b, TIPS)]
    assert [i.key for i in pieces] == [i.key for i in whole] and len({i.key for i in whole}) == len(whole)
    assert {i.at for i in whole} <= set(times(home, START, end, TIPS))


def test_nothing_but_newborns_and_chosen_times_falls_into_the_quiet_hours() -> None:
    """A week: what is shifted comes at the end of the quiet, 06:45."""
    home = replace(WHOLE, dogs=(*DOGS, Dog(name="Blue", born=date(2026, 3, 26))))
    items = due(home, Ledger(), START, START + timedelta(days=7), TIPS)
    night = {i.kind for i in items if within(home.local(i.at).time(), home.quiet_from, home.quiet_to)}
    assert night == {ROUND}
    assert "06:45" in {f"{home.local(i.at):%H:%M}" for i in items if i.kind == "weigh"}
