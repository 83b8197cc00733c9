"""The rota: which dogs a line of it is for on a day, and whose share of it is already in the book."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from core.entries import Dose, Ears, Entry, Groom, Meal, Temperature, Weight
from core.ledger import Ledger, Posted
from core.roster import Dog, Duty, Kennel
from core.times import instant

MEALS = ("breakfast", "lunch", "dinner", "bedtime")
DOSES = ("wormer", "vaccine", "flea and tick", "medicine")
ROUND = "newborn round"

# Meals a day by age where no ration says it: four to 12 weeks, then a snack before the night to six months.
# Common practice, no source.
LUNCH_DAYS = 84
SNACK_DAYS = 183

ROUND_DAYS = 14  # how long newborns are seen to through the night; common practice, no source
AGAIN_DAYS = 3  # a grooming task that was not done is named again so many days later; own choice

# Until when a bowl told without its meal is taken for each. Common practice, no source.
_UNTIL = ((time(11), "breakfast"), (time(15, 30), "lunch"), (time(20, 30), "dinner"))


def dogs_of(duty: Duty, kennel: Kennel, on: date) -> tuple[Dog, ...]:
    """The dogs at home that this line of the rota is for on that day, whatever is in the book."""
    return tuple(d for d in kennel.at_home() if d.born <= on and _is_for(duty, d, on))


def planned(duty: Duty, kennel: Kennel, ledger: Ledger, on: date) -> tuple[Dog, ...]:
    """Of those, the dogs whose turn it is on that day, by weekday or by interval, as it stood in the morning."""
    if (duty.days and on.weekday() not in duty.days) or (duty.until is not None and on > duty.until):
        return ()
    dogs = dogs_of(duty, kennel, on)
    return tuple(d for d in dogs if _is_time(duty, d, ledger, on)) if duty.every_days else dogs


def is_logged(what: str, dog: Dog, kennel: Kennel, ledger: Ledger, on: date, at: time | None = None) -> bool:
    """True where the book has this line of the rota for that dog on that day.

    With `at`, of medicine more than once a day only what was told nearer to that time than to the one before counts.
    """
    if what in MEALS:
        return any(meal_of(p, kennel) == what for p in ledger.of(dog.name, Meal, since=on, until=on))
    if what == "medicine" and at is not None:
        given = [p for p in ledger.of(dog.name, Dose, since=on, until=on) if _does(what, p.entry)]
        start = _halfway(dog, kennel, at)
        return any((p.entry.clock or kennel.local(p.at).time()) >= start for p in given)
    return any(_does(what, p.entry) for p in ledger.of(dog.name, since=on, until=on))


def meal_of(posted: Posted, kennel: Kennel) -> str:
    """Which meal a bowl was: as it was said, else by the time of day at which it was told."""
    entry = posted.entry
    if isinstance(entry, Meal) and entry.meal:
        return entry.meal
    clock = entry.clock or kennel.local(posted.at).time()
    return next((meal for until, meal in _UNTIL if clock < until), "bedtime")


def round_times(duty: Duty, kennel: Kennel, start: datetime, end: datetime) -> tuple[datetime, ...]:
    """The instants of a round through the night in (start, end], counted in elapsed hours from the birth day."""
    young = round_dogs(duty, kennel, kennel.day_of(end))
    if not duty.every_hours or not young:
        return ()
    first = instant(min(d.born for d in young), duty.at, kennel.tz)
    step = timedelta(hours=duty.every_hours)
    number = max(0, (start - first) // step + 1)
    found = []
    while (at := first + number * step) <= end:
        found.append(at)
        number += 1
    return tuple(found)


def round_dogs(duty: Duty, kennel: Kennel, on: date) -> tuple[Dog, ...]:
    """The newborns that a round of that day sees to."""
    return tuple(d for d in dogs_of(duty, kennel, on) if _is_round_age(d, on))


def seen_to_since(dog: Dog, ledger: Ledger, since: datetime) -> bool:
    """True where anything about the dog was told after that moment: somebody was with it."""
    return any(p.at > since for p in ledger.of(dog.name))


def _halfway(dog: Dog, kennel: Kennel, at: time) -> time:
    """The time halfway from the dog's earlier line of medicine to this one; midnight where there is none earlier."""
    earlier = [d.at for d in kennel.duties if d.what == "medicine" and d.at < at and dog.name in d.dogs]
    if not earlier:
        return time(0)
    minutes = [t.hour * 60 + t.minute for t in (max(earlier), at)]
    return time(*divmod(sum(minutes) // 2, 60))


def _is_for(duty: Duty, dog: Dog, on: date) -> bool:
    if duty.dogs:
        return dog.name in duty.dogs
    if duty.what == "medicine":
        return False  # a line of medicine names its dogs: what is one dog's is never every dog's
    if duty.what == ROUND:
        return _is_round_age(dog, on)
    if duty.what == "weigh":
        return True
    if dog.is_newborn(on):
        return False
    if duty.what == "ears":
        return dog.ear_watch
    if duty.what not in MEALS:
        return True
    if dog.ration:
        return any(r.meal == duty.what for r in dog.ration)
    if duty.what == "lunch":
        return dog.age_days(on) < LUNCH_DAYS
    if duty.what == "bedtime":
        return dog.age_days(on) < SNACK_DAYS
    return True


def _is_round_age(dog: Dog, on: date) -> bool:
    return 0 <= dog.age_days(on) < ROUND_DAYS


def _is_time(duty: Duty, dog: Dog, ledger: Ledger, on: date) -> bool:
    """True on the day on which a task by interval falls due, and every few days after it until it is done."""
    every = duty.every_days or 1
    # Only what was done before the day: the day's plan must not change while the day goes on.
    done = [p.entry.on for p in ledger.of(dog.name, until=on - timedelta(days=1)) if _does(duty.what, p.entry)]
    if not done:
        return dog.age_days(on) > 0 and dog.age_days(on) % every == 0
    over = (on - done[-1]).days - every
    return over >= 0 and over % min(every, AGAIN_DAYS) == 0


def _does(what: str, entry: Entry) -> bool:
    match entry:
        case Weight():
            return what in ("weigh", ROUND)
        case Ears():
            return what == "ears"
        case Groom():
            return entry.task == what
        case Dose():
            return entry.dose == what
        case Temperature():
            return what == "temperature"
    return False
