"""A newborn's first day: a small dip is usual (paediatric teaching, see `newborn.toml`), a deeper one is not."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from core import gains, newborn
from core.entries import Weight
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel, Litter

BORN = datetime(2026, 3, 9, 8, 30, tzinfo=UTC)
PUP = Dog(name="Green", sex="f", born=date(2026, 3, 9), litter="Heather")
HOUSE = Kennel(
    name="Larkrise", dogs=(PUP, Dog(name="Heather", sex="f", born=date(2022, 3, 30))),
    litters=(Litter(dam="Heather", born=PUP.born),),
)  # fmt: skip


def book(*weighed: tuple[float, int]) -> Ledger:
    """Weighings so many hours after the first, in grams."""
    return Ledger(
        Posted(id=n, entry=Weight(dog="Green", on=(at := BORN + timedelta(hours=hours)).date(), kg=grams / 1000), at=at)
        for n, (hours, grams) in enumerate(weighed, 1)
    )


@pytest.mark.parametrize(
    ("hours", "grams", "level"),
    [
        (24.1, 316, newborn.CLEAR),  # −0.6 % at the next morning's round
        (25.9, 313, newborn.CLEAR),
        (24.1, 311, newborn.AMBER),  # −2.2 %
        (24.1, 305, newborn.RED),  # −4.1 %: Mila 2015
        (30.0, 316, newborn.AMBER),  # any loss past the first day
    ],
)
def test_a_small_dip_of_the_first_day_is_no_warning(hours: float, grams: float, level: str) -> None:
    """The round of the next morning comes a little after the hour of the first: it still tells of the first day."""
    ledger = book((0, 318), (hours, grams))
    at = BORN + timedelta(hours=hours, minutes=30)
    assert newborn.assess(PUP, ledger, HOUSE, at).level == level
    (pup,) = gains.of_litter(HOUSE.by_name["Heather"], ledger, HOUSE, at).pups
    assert pup.watched == (level != newborn.CLEAR)
