"""A large house for the bench: one kennel written out, then as many copies of it as are asked for.

Every kennel has 30 dogs, 5,000 entries over two years, the 2,500 messages that brought them and as many marks that
were sent. All are alike, so that what one of them costs can be compared between a small house and a large one.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta

from sqlalchemy import Column, Connection, Table, insert, literal, select

from bot.storage import Database
from bot.storage import tables as t
from core.entries import Ears, Entry, Groom, Meal, Sign, Treat, Weight
from core.ledger import Posted
from core.messages import Mark, Message
from core.roster import BREEDER, FAMILY, Dog, Duty, Food, Kennel, Litter, Person, Ration

PLATFORM = "telegram"
DOGS, ENTRIES, A_MESSAGE = 30, 5_000, 2
TODAY = date(2026, 11, 20)
DAYS = 730
_NAMES = """
Nugget Juniper Clover Moss Bramble Teasel Sorrel Fern Thistle Hazel Rowan Linnet Plover Curlew Wren Dunlin Merle
Bracken Yarrow Tansy Burdock Comfrey Mallow Campion Vetch Sedge Rush Heron Lapwing Snipe
""".split()  # noqa: SIM905 (thirty quotes are harder to read)


def kennel(number: int) -> Kennel:
    """The kennel of that number: two litters of this year, grown dogs, a rota."""
    pups = {0: date(2026, 8, 3), 1: date(2026, 8, 3), 2: date(2026, 6, 20)}
    dogs = tuple(
        Dog(
            name=name, sex="mf"[n % 2], breed="Norwegian Buhund", adult_kg=17.0, ear_watch=n in pups,
            born=pups.get(n, date(2018 + n % 7, 3, 8)), litter="Clover" if n in (0, 1) else None,
            ration=(Ration(meal="breakfast", cups=0.75), Ration(meal="dinner", cups=0.75)),
        )
        for n, name in enumerate(_NAMES[:DOGS])
    )
    return Kennel(
        name=f"Kennel {number}", zone="Europe/London", dogs=dogs,
        people=(Person(name="Maya", role="breeder"), Person(name="Tom", role="partner"), Person(name="Wren")),
        litters=(Litter(dam="Clover", born=pups[0], counted=2),),
        foods=(Food(name="Kibble", kcal_per_cup=400, g_per_cup=110),),
        duties=(
            Duty(what="breakfast", at=time(7), who="Tom"), Duty(what="dinner", at=time(17, 30), who="Wren"),
            Duty(what="weigh", at=time(10), who="Maya", days=(6,)),
        ),
    )


def build(database: Database, kennels: int) -> list[int]:
    """The numbers of so many new kennels, each with its whole book and its rooms bound."""
    numbers = [database.create_kennel(kennel(n)) for n in range(1, kennels + 1)]
    first, others = numbers[0], numbers[1:]
    home = kennel(1)
    with database.writing(first) as store:
        store.bring(tuple(_history(home)))
    for number in numbers:
        database.bind_room(PLATFORM, str(-number), number, FAMILY)
        database.bind_room(PLATFORM, str(number), number, BREEDER)
        database.bind_account(PLATFORM, str(number), number, "Maya")
    with database.transaction() as connection:
        _talk(connection, first)
        for number in others:
            for table in (t.entry, t.message, t.outbox):
                _copied(connection, table, first, number)
            _counted(connection, first, number)
    return numbers


def _counted(connection: Connection, source: int, target: int) -> None:
    """What a kennel's and its dogs' rows tell of the book, as it is in the source."""
    k, d = t.kennel.c, t.dog.c
    book = connection.execute(select(k.book, k.last_number).where(k.id == source)).mappings().one()
    connection.execute(t.kennel.update().where(k.id == target).values(**book))
    for row in connection.execute(select(d.name, d.last_kg, d.last_on).where(d.kennel == source)).mappings().all():
        mine = (d.kennel == target, d.name == row["name"])
        connection.execute(t.dog.update().where(*mine).values(last_kg=row["last_kg"], last_on=row["last_on"]))


def _history(home: Kennel) -> Iterator[Posted]:
    chance = random.Random(7)  # the same book every time
    for n in range(ENTRIES):
        day = TODAY - timedelta(days=DAYS - n * DAYS // ENTRIES)
        at = datetime.combine(day, time(6 + n % 12, n % 60), tzinfo=UTC)
        dog = home.dogs[n % DOGS] if home.dogs[n % DOGS].born < day else home.dogs[3 + n % (DOGS - 3)]
        yield Posted(
            id=n + 1, entry=_entry(chance, dog, day), at=at, by=("Maya", "Tom", "Wren")[n % 3], room=FAMILY,
            message=f"m{n // A_MESSAGE}", replaced_by=None, withdrawn=False,
        )


def _entry(chance: random.Random, dog: Dog, day: date) -> Entry:
    """By far the most are bowls and weights."""
    draw = chance.random()
    if draw < 0.35:
        months = max(0.5, (day - dog.born).days / 30.4)
        return Weight(dog=dog.name, on=day, kg=round(17.0 * min(1.0, months / 12) + chance.gauss(0, 0.1) + 0.5, 2))
    if draw < 0.8:
        return Meal(dog=dog.name, on=day, meal=("breakfast", "dinner")[int(draw * 100) % 2], amount=0.75, unit="cup")
    if draw < 0.88:
        return Ears(dog=dog.name, on=day, left="up", right="half")
    if draw < 0.94:
        return Treat(dog=dog.name, on=day, amount=1.0, unit="piece")
    if draw < 0.98:
        return Groom(dog=dog.name, on=day, task=("bath", "nails")[int(draw * 1000) % 2])
    return Sign(dog=dog.name, on=day, sign="soft stool")


def _talk(connection: Connection, number: int) -> None:
    """The messages that brought the entries, and the mark that each was answered with."""
    start = datetime.combine(TODAY - timedelta(days=DAYS), time(6), tzinfo=UTC)
    said, marks = [], []
    for n in range(ENTRIES // A_MESSAGE):
        at = start + timedelta(days=DAYS) * n / (ENTRIES // A_MESSAGE)
        mark = Mark(room=FAMILY, message=f"m{n}")
        said.append({"kennel": number, "room": FAMILY, "key": f"m{n}", "edit": 0, "sender": "Tom", "sent_at": at,
                     "text": "Nugget 9.4 kg, ate it all"})
        marks.append({"kennel": number, "key": f"mark m{n}", "room": FAMILY, "kind": "mark", "about": "mark",
                      "payload": {"room": FAMILY, "message": mark.message}, "priority": 1, "due_at": at,
                      "state": "sent", "tries": 1, "added_at": at, "settled_at": at, "sent_key": f"s{n}"})  # fmt: skip
    connection.execute(insert(t.message), said)
    connection.execute(insert(t.outbox), marks)


def _copied(connection: Connection, table: Table, source: int, target: int) -> None:
    columns: Sequence[Column[object]] = [c for c in table.columns if c.name not in ("id", "kennel")]
    rows = select(literal(target).label("kennel"), *columns).where(table.c.kennel == source)
    connection.execute(insert(table).from_select(["kennel", *(c.name for c in columns)], rows))


def note(number: int, key: str, text: str, at: datetime, room: str = FAMILY) -> Message:
    """A message of Tom's to that kennel."""
    return Message(key=key, room=room, sender="Tom" if room == FAMILY else "Maya", sent_at=at, text=text)
