"""A database, SQLite's and PostgreSQL's in turn, with one invented kennel, and messages to post with."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time

import pytest

from bot.storage import Database
from core.messages import Message
from core.roster import (
    Dog,
    Duty,
    Food,
    Kennel,
    KnownWeight,
    Litter,
    Person,
    Ration,
    Vet,
)

AT = datetime(2026, 7, 5, 6, 30, tzinfo=UTC)
DAY = date(2026, 7, 5)

KENNEL = Kennel(
    name="Tindfjell",
    zone="Europe/Oslo",
    weight_unit="kg",
    people=(
        Person(name="Maya", role="breeder", also=("Mum",)),
        Person(name="Tom", role="partner", unit="lb"),
        Person(name="Ana", role="buyer", dogs=("Juniper",), tips=False, until=date(2027, 1, 1)),
    ),
    dogs=(
        Dog(
            name="Clover", sex="f", born=date(2022, 4, 1), breed="Norwegian Buhund", neutered=False,
            last_weight=KnownWeight(kg=15.2, on=date(2026, 6, 1)), ration=(Ration(meal="breakfast", cups=0.625),),
        ),
        Dog(
            name="Nugget", also=("Nug",), sex="m", born=date(2026, 3, 8), litter="Clover", ear_watch=True,
            apart_from=("Clover",),
        ),
        Dog(name="Juniper", sex="f", born=date(2026, 3, 8), litter="Clover", home="Ana", show_home=True),
    ),
    litters=(Litter(dam="Clover", born=date(2026, 3, 8), counted=2),),
    foods=(Food(name="Kibble", kcal_per_cup=400, g_per_cup=110),),
    duties=(Duty(what="breakfast", at=time(7), who="Tom", days=(0, 1, 2)), Duty(what="weigh", at=time(8), who="Maya")),
    vet=Vet(name="Dr Lie", day="555 0100", night="555 0199"),
    quiet_from=time(22, 15),
)


def said(text: str = "Nugget 9.4 kg", key: str = "1", **more: object) -> Message:
    """A message of Maya's in the family room."""
    values: dict[str, object] = {"room": "family", "sender": "Maya", "sent_at": AT}
    return Message(key=key, text=text, **(values | more))  # type: ignore[arg-type]


@pytest.fixture
def database(url: str) -> Iterator[Database]:
    """A new database."""
    with Database(url) as opened:
        yield opened


@pytest.fixture
def kennel_id(database: Database) -> int:
    """The number of the invented kennel."""
    return database.create_kennel(KENNEL)
