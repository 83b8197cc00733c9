"""Words for the breeder about a note just kept: short, figures first, never a diagnosis."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from bot.replies import say_units
from bot.replies.answers import rations
from core.breeding import BreedingStatus
from core.care import SignWatch
from core.entries import Dose, Entry, Mating, Progesterone, Season, Sign, Temperature, Weight
from core.ledger import Posted
from core.ration_plan import RationPlan
from core.roster import Dog, Kennel
from shared.tables import facts
from shared.texts import listed, text

ODD_TESTS = ("unit_slip", "silent_gap_in_the_rise")  # what a row of blood tests is warned of
OLD_WEIGHT_DAYS = 14  # an order's figures rest on the last weight; an older one is named


def vet_line(watch: SignWatch, kennel: Kennel, on: date, vet: str) -> str:
    """Signs that reach the vet's line for the dog's age: today, for what is the vet's at once rings as red words do."""
    day = say_units.day(watch.since, on, kennel)
    since = day if watch.since == on else text("remarks.since", day=day)
    sign, times = text(f"kept.sign.{watch.sign}"), say_units.times(watch.times)
    return text("remarks.vet_today", dog=watch.dog, sign=sign, times=times, since=since, vet=vet)


def again(entry: Sign, times: int, snack: str, days: int) -> str:
    """The same sign once more within some weeks; bile beside the bedtime snack."""
    sign = text(f"kept.sign.{entry.sign}")
    if snack:
        beside = text(f"remarks.snack.{snack}")
        return text("remarks.bile", dog=entry.dog, sign=sign, times=say_units.times(times), days=days, beside=beside)
    return text("remarks.again", dog=entry.dog, sign=sign, times=say_units.times(times), days=days)


def ear_sign(entry: Sign, vet: str) -> str:
    """A sign told of an ear: never teething."""
    return text("remarks.ear_sign", dog=entry.dog, sign=text(f"kept.sign.{entry.sign}"), vet=vet)


def given_twice(earlier: Mapping[str, Posted], dose: str, kennel: Kennel, today: date) -> str:
    """A dose of the same kind told again too soon: the words to stop a second one, with a question.

    `earlier`: the dogs with the dose in the book; who gave it and when is said for each, the latest first.
    """
    given: dict[tuple[str, str], list[str]] = {}
    for dog, posted in sorted(earlier.items(), key=lambda d: (d[1].entry.on, d[1].at), reverse=True):
        given.setdefault((posted.by, _when(posted, kennel, today)), []).append(dog)
    told = [
        text("remarks.gave", dogs=listed(sorted(dogs, key=list(earlier).index)), dose=_dose(dose), by=by, when=when)
        for (by, when), dogs in given.items()
    ]
    return text("remarks.given_twice", given=" ".join(told))


def _when(posted: Posted, kennel: Kennel, today: date) -> str:
    if posted.entry.on == today:
        return text("remarks.at_time", time=say_units.clock(posted.entry.clock or posted.at, kennel))
    return say_units.on_day(posted.entry.on, today, kennel)


def given_again(dogs: Sequence[str], entry: Entry, by: str, vet: str) -> str:
    """A dose that really was given twice: the vet hears of it."""
    assert isinstance(entry, Dose)
    return text("remarks.given_again", dogs=listed(list(dogs)), dose=_dose(entry.dose), by=by, vet=vet)


def next_dose(
    dose: str, dogs: Sequence[str], on: date, kennel: Kennel, today: date, *, yearly: bool = False
) -> str:
    """When the next of a course would be, by the published window; the vet's sheet decides."""
    day = say_units.day(on, today, kennel)
    said = text("remarks.next_dose", dose=_dose(dose), dogs=listed(list(dogs)), day=day)
    return f"{said} {text('reminders.dose.not_every_year')}" if yearly else said


def bitch(entry: Entry, status: BreedingStatus, kennel: Kennel, today: date) -> str:
    """Where a bitch stands after a note of season, blood test or mating; "" where there is nothing new to say."""

    def day(on: date) -> str:
        return say_units.calendar_day(on, kennel, today)

    if isinstance(entry, Season) and status.apart_from and status.blood_test_on:
        rule = facts("reproduction")["season"]
        every = {"low": rule["blood_test_every_low"], "high": rule["blood_test_every_high"]}
        apart, first = day(status.apart_from), day(status.blood_test_on)
        return text("remarks.season", dog=entry.dog, apart=apart, test=first, **every)
    if isinstance(entry, Progesterone) and entry.unit is not None:
        test = next((t for t in reversed(status.tests) if t.on == entry.on and t.value == entry.value), None)
        if test is None or not test.fits:
            return ""
        said = [text(f"remarks.progesterone.{test.fits.replace(' ', '_')}", dog=entry.dog), _due(status, day)]
        said += [text(f"remarks.progesterone.{key}") for key in ODD_TESTS if key in status.warnings]
        return " ".join(line for line in said if line)
    if isinstance(entry, Mating):
        return _due(status, day, entry.dog)
    return ""


def dropped(entry: Temperature, status: BreedingStatus, unit: str) -> str:
    """The drop before whelping."""
    rule = facts("reproduction")["drop"]
    hours = {"low": rule["usual_hours_low"], "high": rule["usual_hours_high"]}
    return text("remarks.dropped", dog=entry.dog, temperature=say_units.temperature(entry.celsius, unit), **hours)


def temperature(entry: Temperature, key: str, unit: str, vet: str) -> str:
    """A body temperature past the vet's line for the age."""
    shown = say_units.temperature(entry.celsius, unit)
    return text(f"remarks.temperature.{key}", dog=entry.dog, temperature=shown, vet=vet)


def lost(entry: Entry, key: str, unit: str, vet: str) -> str:
    """A weight just written down that is the vet's to hear of."""
    assert isinstance(entry, Weight)
    weight, warned = say_units.weight(entry.kg, unit), text(f"answers.growth.warn.{key}")
    return text("remarks.lost", dog=entry.dog, weight=weight, warned=warned, vet=vet)


def order(dog: Dog, plan: RationPlan, kennel: Kennel, today: date, unit: str) -> str:
    """A new standing order: the day's cups, kcal, how far from what is really eaten, the floor, when to weigh."""
    total = sum(r.cups for r in dog.ration)
    said = [text("remarks.order.head", dog=dog.name, cups=say_units.cups(total), bowls=rations.bowls(plan.meals))]
    if plan.kcal_day is None:
        return " ".join([*said, text("remarks.order.missing", what=rations.missing(plan))])
    said.append(text("remarks.order.kcal", kcal=say_units.number(plan.kcal_day, 0)))
    nursing = rations.too_little_milk(plan)
    if nursing:
        return " ".join([*said, nursing])
    if plan.change_pct is not None and "big_cut" in plan.warnings:
        share = say_units.percent(abs(plan.change_pct) / 100, 0)
        said.append(text("remarks.order.big_cut", change=share))
    if "under_floor" in plan.warnings and plan.floor_kcal and plan.kg:
        said.append(text("remarks.order.under_floor", floor=say_units.number(plan.floor_kcal, 0)))
    if "cut_at_easy_ribs" in plan.warnings:
        said.append(text("remarks.order.easy_ribs"))
    if plan.kg_on is not None and (today - plan.kg_on).days > OLD_WEIGHT_DAYS:
        said.append(text("remarks.order.old_weight", day=say_units.day(plan.kg_on, today, kennel)))
    good_to = rations.good_to(plan, unit)
    if good_to:
        said.append(good_to)
    if plan.rechecks:
        days = [say_units.day(on, today, kennel) for on in plan.rechecks]
        said.append(text("remarks.order.weigh", days=listed(days)))
    if plan.ears_on is not None and plan.cut:
        said.append(text("remarks.order.ears", day=say_units.day(plan.ears_on, today, kennel)))
    return " ".join(said)


def _due(status: BreedingStatus, day: object, dog: str = "") -> str:
    assert callable(day)
    if status.due is None:
        return ""
    due = status.due
    values = {"dog": dog or status.dog, "day": day(due.on), "first": day(due.earliest), "last": day(due.latest)}
    return text("remarks.due", **values)


def _dose(dose: str) -> str:
    return text(f"reminders.dose.{dose.replace(' ', '_')}")
