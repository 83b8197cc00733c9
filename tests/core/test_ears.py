"""Ears: the trend of each, beside teeth, hands and the calendar."""

from __future__ import annotations

from datetime import date, timedelta

import growth_book as b
import pytest

from core import ear_steps, ears
from core.entries import Concern, Condition, Ears, Entry, Groom, Sign, Tooth
from core.roster import Before, Dog, Ration

TODAY = date(2026, 7, 5)  # 17 weeks old


def scored(pattern: str, until: date = TODAY) -> list[Entry]:
    """One day for each letter: U both up, L only the left up, R only the right, D both down, . not scored."""
    words = {"U": ("up", "up"), "L": ("up", "half"), "R": ("half", "up"), "D": ("down", "down")}
    first = until - timedelta(days=len(pattern) - 1)
    return [
        Ears(dog="Tinder", on=first + timedelta(days=i), left=words[c][0], right=words[c][1])
        for i, c in enumerate(pattern)
        if c != "."
    ]


def look(*entries: Entry, dog: Dog | None = None, day: date = TODAY, others: tuple[Dog, ...] = ()) -> ears.EarTrend:
    mine = dog or b.pup()
    return ears.assess(mine, b.book(*entries), b.kennel(mine, *others), day)


TRENDS = [
    # last week and this week, both up of scored before and now, trend
    ("UULUULU" + "LULLLUL", (5, 7), (2, 7), "going_down"),
    ("UULUULU" + "UULUULL", (5, 7), (4, 7), "no_change"),
    ("L.UL.LL" + "UU.ULLL", (1, 5), (3, 6), "going_up"),
    ("UU....." + "LLLLLLL", (2, 2), (0, 7), "too_few_scored"),
    ("DDDDDDD" + "LLLRRRL", (0, 7), (0, 7), "going_up"),
    ("UUUUUUU" + "UUUUUUU", (7, 7), (7, 7), "no_change"),
]


@pytest.mark.parametrize(("pattern", "before", "now", "trend"), TRENDS)
def test_this_week_against_last(pattern: str, before: tuple, now: tuple, trend: str) -> None:
    """Days both up out of days scored; at least three scored in each; one day's difference is noise."""
    e = look(*scored(pattern))
    assert (e.days_both_up_before, e.days_scored_before) == before
    assert (e.days_both_up, e.days_scored) == now
    assert e.trend == trend


def test_each_ear_has_its_own_history() -> None:
    """The right ear lags: its own days, and the lower ear on every uneven day."""
    e = look(*scored("UULUULU" + "LULLLUL"))
    assert (e.left.days_up, e.right.days_up) == (7, 2)
    assert (e.left.now, e.right.now) == ("up", "half")
    assert (e.uneven_days, e.lower) == (5, "right")
    assert e.last_both_up == date(2026, 7, 4)
    assert e.best == 3


def test_one_unnamed_ear_up_says_nothing_of_the_other() -> None:
    """"One ear's up" is not a day scored; one down is."""
    e = look(Ears(dog="Tinder", on=TODAY, one="up"))
    assert e.days_scored == 0
    assert e.last is not None
    assert look(Ears(dog="Tinder", on=TODAY, one="down")).days_scored == 1
    mixed = look(Ears(dog="Tinder", on=TODAY, one="up", other="half"))
    assert (mixed.days_scored, mixed.days_both_up, mixed.uneven_days, mixed.lower) == (1, 0, 1, None)


def test_the_last_word_of_a_day_counts_for_each_ear() -> None:
    """Left half in the morning, left up at night, right told once: up and up."""
    e = look(Ears(dog="Tinder", on=TODAY, left="half", right="up"), Ears(dog="Tinder", on=TODAY, left="up"))
    assert e.days_both_up == 1


def test_a_drop_beside_a_tooth_is_told_as_beside() -> None:
    """Down since the day the fang came out, in teething weeks; a tooth a month earlier is not beside it."""
    e = look(*scored("UUUUUUU" + "UULLLLL"), Tooth(dog="Tinder", on=date(2026, 7, 1)))
    assert e.teething
    assert e.dropped_near_tooth
    assert not look(*scored("UUUUUUU" + "UULLLLL"), Tooth(dog="Tinder", on=date(2026, 6, 10))).dropped_near_tooth


def test_an_ear_sign_overrides_everything() -> None:
    """Scratching told of the ear is the vet, whatever the trend; an itchy belly is not."""
    e = look(*scored("U" * 14), Sign(dog="Tinder", on=TODAY, sign="itch", said="scratching right ear, smells"))
    assert e.warnings[0] == "ear_sign_vet"
    assert e.next_step == "vet"
    assert not look(Sign(dog="Tinder", on=TODAY, sign="itch", said="scratching his belly")).ear_signs
    smells = look(*scored("U" * 14), Concern(dog="Tinder", on=TODAY, about="ears", said="his right ear smells a bit"))
    assert (smells.warnings[0], smells.next_step) == ("ear_sign_vet", "vet")
    assert not look(Concern(dog="Tinder", on=TODAY, about="eyes", said="weepy eye")).ear_signs


def test_the_steps_come_in_order() -> None:
    """Hands first; heavy: jar and hair; then wait; then the breeder's cut; easy ribs never a cut."""
    slide = scored("UULUULU" + "LULLLUL")
    heavy = Condition(dog="Tinder", on=TODAY, ribs="hard")
    easy = Condition(dog="Tinder", on=TODAY, ribs="easy")
    new, old = (Groom(dog="Tinder", on=TODAY - timedelta(days=d), task="ear trim") for d in (5, 20))
    assert look(*slide).next_step == "hands_on_ribs"
    assert look(*slide, heavy).next_step == "lean_and_jar_and_hair"
    assert look(*slide, easy).next_step == "hair"
    assert look(*slide, heavy, new).next_step == "wait"
    assert look(*slide, heavy, old).next_step == "breeders_cut"
    assert look(*slide, easy, old).next_step == "mentor_or_vet"


def test_a_cut_has_its_days_and_an_end() -> None:
    """Cut five days ago: not judged yet; after a fortnight and with thinned hair, or held three weeks: mentor or vet.
    A ration raised again is no cut."""
    slide = scored("UULUULU" + "LULLLUL")
    heavy = Condition(dog="Tinder", on=TODAY, ribs="hard")
    thinned = Groom(dog="Tinder", on=TODAY - timedelta(days=30), task="ear trim")

    def cut(days: int, cups: float = 0.75) -> Dog:
        before = Before(until=TODAY - timedelta(days=days + 1), ration=(Ration(meal="dinner", cups=1.0),))
        return b.pup(ration=(Ration(meal="dinner", cups=cups),), before=(before,))

    e = look(*slide, heavy, thinned, dog=cut(5))
    assert (e.next_step, e.cut_on, ear_steps.judged_on(e)) == ("wait", date(2026, 6, 30), date(2026, 7, 14))
    assert look(*slide, heavy, thinned, dog=cut(15)).next_step == "mentor_or_vet"
    assert look(*slide, heavy, dog=cut(15)).next_step == "hair"
    assert look(*slide, heavy, dog=cut(22)).next_step == "mentor_or_vet"
    assert look(*slide, heavy, thinned, dog=cut(5, cups=1.25)).cut_on is None


def test_days_left_and_hair_back() -> None:
    """Born 8 March: on 5 July 65 days to six months, 156 to nine; hair trimmed that day is back 30 August to
    13 September (common practice, no source)."""
    e = look(Groom(dog="Tinder", on=TODAY, task="ear trim"))
    assert (e.days_to_six_months, e.days_to_nine_months) == (65, 156)
    assert (e.grown_back_from, e.grown_back_to) == (date(2026, 8, 30), date(2026, 9, 13))


def test_never_up_by_the_alert_weeks() -> None:
    """At 20 weeks and best half up: an alert; at 21 weeks silence; once up on any day none."""
    assert look(*scored("LLLLLLL", b.on(20)), day=b.on(20)).alert_week == 20
    assert look(*scored("LLLLLLL", b.on(21)), day=b.on(21)).alert_week is None
    assert look(*scored("ULLLLLL", b.on(20)), day=b.on(20)).alert_week is None


def test_holding_and_closing() -> None:
    """Four days running is holding; a fortnight of days up at six months may close the watch."""
    assert "holding" in look(*scored("LLLLLLL" + "LLLUUUU")).warnings
    assert "holding" not in look(*scored("LLLLLLL" + "LLLLUUU")).warnings
    six = date(2026, 9, 8)
    assert "may_close_watch" in look(*scored("U" * 14, six), day=six).warnings
    assert "may_close_watch" not in look(*scored("U" * 14)).warnings


def test_tape_is_refused_where_others_run_loose() -> None:
    """A dog at home that it is not kept apart from."""
    saga = Dog(name="Saga", born=date(2021, 1, 1))
    assert "no_tape_while_loose" in look(others=(saga,)).caution
    apart = look(dog=b.pup(apart_from=("Saga",)), others=(saga,))
    assert apart.loose_with == ()
    assert "no_tape_while_loose" not in apart.caution


def test_nothing_scored_and_not_born() -> None:
    """A plain result."""
    assert "no_scores" in look().caution
    assert look(day=date(2026, 1, 1)).caution == ("not_born",)
