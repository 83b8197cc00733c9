"""What an expecting bitch needs on a day: the days worth knowing, and near the end her temperature twice a day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, time, timedelta

from core import breeding
from core.entries import Mating, Progesterone, Temperature
from core.gestation import DueDate
from core.ledger import Ledger
from core.roster import Dog, Kennel

LONGEST = timedelta(days=80)  # no pregnancy goes on so long after its mating
MORNING, EVENING, NOON = time(8), time(20), time(14)  # when her temperature is asked for; own choice


def expecting(kennel: Kennel, ledger: Ledger, on: date) -> Iterator[tuple[Dog, DueDate]]:
    """The bitches at home that are expecting on that day, each with her due date."""
    for dog in kennel.at_home():
        if dog.sex != "f" or not ledger.of(dog.name, Mating, Progesterone, since=on - LONGEST, until=on):
            continue
        status = breeding.status(dog, ledger, kennel, on)
        if status.due is not None:
            yield dog, status.due


def milestones(when: DueDate, on: date) -> tuple[str, ...]:
    """The keys of what begins on that day: scan, more food, box, X-ray, temperatures, first look."""
    days = (
        ("scan", when.scan_from), ("food_up", when.food_up_from), ("box", when.box_by - timedelta(days=7)),
        ("xray", when.xray_from), ("temperatures", when.temperatures_from), ("first_look", when.first_look),
    )
    return tuple(key for key, day in days if day == on)


def is_taken(dog: Dog, kennel: Kennel, ledger: Ledger, on: date, clock: time) -> bool:
    """True where her temperature of that half of the day is in the book."""
    told = [kennel.local(p.at).time() for p in ledger.of(dog.name, Temperature, since=on, until=on)]
    return any((at < NOON) is (clock < NOON) for at in told)
