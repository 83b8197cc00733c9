"""The roster: `Kennel` and all that is in it, as rows and back. Every function is bound to one kennel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, Table, delete, insert, select, update

from bot.storage import tables as t
from bot.storage.errors import StaleRoster
from core.codec import from_json, to_json
from core.roster import Dog, Duty, Food, Kennel, KnownWeight, Litter, Person

# Fields of `Kennel` that are tables of their own or columns.
_APART = ("name", "people", "dogs", "litters", "foods", "duties", "revision")
_DOG_COLUMNS = ("name", "born", "home", "gone", "last_weight")
_PERSON_COLUMNS = ("name", "role")


def lock(connection: Connection, kennel_id: int) -> None:
    """No other transaction that locks it first writes to the kennel until this one ends (SQLite's own lock does that
    for the whole file)."""
    connection.execute(select(t.kennel.c.id).where(t.kennel.c.id == kennel_id).with_for_update())


def insert_kennel(connection: Connection, kennel: Kennel) -> int:
    """The number of a kennel newly written with its whole roster."""
    values = {"name": kennel.name, "facts": t.facts_without(to_json(kennel), *_APART), "revision": kennel.revision}
    number = connection.execute(insert(t.kennel).values(values)).inserted_primary_key
    assert number is not None
    kennel_id = int(number[0])
    _write_lists(connection, kennel_id, Kennel(name=kennel.name), kennel)
    return kennel_id


def load(connection: Connection, kennel_id: int) -> Kennel:
    """The kennel as it stands.

    Raises:
        LookupError: there is no kennel of that number.
    """
    row = connection.execute(select(t.kennel).where(t.kennel.c.id == kennel_id)).one_or_none()
    if row is None:
        raise LookupError(f"there is no kennel {kennel_id}")
    return from_json(
        Kennel,
        row.facts,
        name=row.name,
        revision=row.revision,
        people=tuple(
            from_json(Person, r.facts, name=r.name, role=r.role) for r in _rows(connection, t.person, kennel_id)
        ),
        dogs=tuple(_dog(r) for r in _rows(connection, t.dog, kennel_id)),
        foods=_listed(connection, t.food, kennel_id, Food),
        duties=_listed(connection, t.duty, kennel_id, Duty),
        litters=_listed(connection, t.litter, kennel_id, Litter),
    )


def save(connection: Connection, kennel_id: int, old: Kennel, new: Kennel) -> None:
    """The differences between old and new, written. The revision is the caller's to raise.

    Raises:
        StaleRoster: the stored roster is not the old one any more.
    """
    stored = connection.execute(select(t.kennel.c.revision).where(t.kennel.c.id == kennel_id)).scalar()
    if stored != old.revision:
        raise StaleRoster(f"{old.name} was changed by somebody else just now; say it once more.")
    connection.execute(
        update(t.kennel)
        .where(t.kennel.c.id == kennel_id)
        .values(name=new.name, facts=t.facts_without(to_json(new), *_APART))
    )
    names = renamed(old, new)
    for was, now in names.items():
        _rename(connection, kennel_id, was, now)
    dogs = tuple(replace(d, name=names.get(d.name, d.name)) for d in old.dogs)
    _write_lists(connection, kennel_id, replace(old, dogs=dogs), new)


def set_last_weight(connection: Connection, kennel_id: int, dog: str) -> bool:
    """True where the dog's newest counting weight is another than was kept; it is kept now."""
    e, d = t.entry.c, t.dog.c
    row = connection.execute(
        select(d.last_kg, d.last_on, d.given_kg, d.given_on).where(d.kennel == kennel_id, d.name == dog)
    ).one_or_none()
    if row is None:
        return False
    mine = (e.kennel == kennel_id, e.dog == dog, e.kind == "weight")
    newest = connection.execute(
        select(e.day, e.facts)
        .where(*mine, e.replaced_by.is_(None), e.withdrawn.is_(False))
        .order_by(e.day.desc(), e.at.desc(), e.number.desc())
        .limit(1)
    ).one_or_none()
    given = KnownWeight(kg=row.given_kg, on=row.given_on) if row.given_on else None
    last = KnownWeight(kg=float(newest.facts["kg"]), on=newest.day) if newest else None
    if last is None or (given is not None and given.on > last.on):
        last = given
    values: dict[str, Any] = {"last_kg": last.kg if last else None, "last_on": last.on if last else None}
    if (row.last_kg, row.last_on) == (values["last_kg"], values["last_on"]):
        return False
    connection.execute(update(t.dog).where(d.kennel == kennel_id, d.name == dog).values(values))
    return True


def _rows(connection: Connection, table: Table, kennel_id: int) -> Sequence[Any]:
    return connection.execute(select(table).where(table.c.kennel == kennel_id).order_by(table.c.place)).all()


def _listed(connection: Connection, table: Table, kennel_id: int, cls: type[Any]) -> tuple[Any, ...]:
    return tuple(from_json(cls, r.facts) for r in _rows(connection, table, kennel_id))


def _dog(row: Any) -> Dog:
    last = KnownWeight(kg=row.last_kg, on=row.last_on) if row.last_on else None
    return from_json(Dog, row.facts, name=row.name, born=row.born, home=row.home, gone=row.gone, last_weight=last)


def _write_lists(connection: Connection, kennel_id: int, old: Kennel, new: Kennel) -> None:
    _write_named(
        connection,
        kennel_id,
        t.person,
        old.people,
        new.people,
        lambda p, _: {"role": p.role, "facts": t.facts_without(to_json(p), *_PERSON_COLUMNS)},
    )
    _write_named(connection, kennel_id, t.dog, old.dogs, new.dogs, _dog_values)
    changed = [d.name for d in new.dogs if (was := old.dog(d.name)) is None or was.last_weight != d.last_weight]
    for name in changed:
        set_last_weight(connection, kennel_id, name)
    for table, before, after in (
        (t.food, old.foods, new.foods),
        (t.duty, old.duties, new.duties),
        (t.litter, old.litters, new.litters),
    ):
        if before == after:
            continue
        connection.execute(delete(table).where(table.c.kennel == kennel_id))
        if after:
            connection.execute(
                insert(table), [{"kennel": kennel_id, "place": i, "facts": to_json(x)} for i, x in enumerate(after)]
            )


def _dog_values(dog: Dog, was: Dog | None) -> dict[str, Any]:
    values: dict[str, Any] = {
        "born": dog.born,
        "home": dog.home,
        "gone": dog.gone,
        "facts": t.facts_without(to_json(dog), *_DOG_COLUMNS),
    }
    if was is None or was.last_weight != dog.last_weight:
        given = dog.last_weight
        values |= {"given_kg": given.kg if given else None, "given_on": given.on if given else None}
    return values


def _write_named(
    connection: Connection, kennel_id: int, table: Table, old: Sequence[Any], new: Sequence[Any], values: Any
) -> None:
    """The rows that changed; a name that is gone loses its row, its entries stay in the book."""
    before = {x.name: (i, x) for i, x in enumerate(old)}
    gone = before.keys() - {x.name for x in new}
    if gone:
        connection.execute(delete(table).where(table.c.kennel == kennel_id, table.c.name.in_(gone)))
    for place, item in enumerate(new):
        if before.get(item.name) == (place, item):
            continue
        was = before[item.name][1] if item.name in before else None
        row = {"place": place} | values(item, was)
        if was is None:
            connection.execute(insert(table).values({"kennel": kennel_id, "name": item.name} | row))
        else:
            connection.execute(update(table).where(table.c.kennel == kennel_id, table.c.name == item.name).values(row))


def renamed(old: Kennel, new: Kennel) -> dict[str, str]:
    """Old to new names of dogs that are the same dog: the new one bears the old name beside its own, or stands in
    the same place with the same birthday, sex and dam."""
    here = {d.name for d in new.dogs}
    were = {d.name for d in old.dogs}
    out: dict[str, str] = {}
    for place, dog in enumerate(old.dogs):
        if dog.name in here:
            continue
        for other_place, other in enumerate(new.dogs):
            same = (other.born, other.sex, other.litter) == (dog.born, dog.sex, dog.litter)
            if other.name not in were and same and (dog.name in other.also or place == other_place):
                out[dog.name] = other.name
                break
    return out


def _rename(connection: Connection, kennel_id: int, was: str, now: str) -> None:
    """The dog's row and its entries under its new name; in matings too, where it was the sire."""
    d, e = t.dog.c, t.entry.c
    book = connection.execute(select(t.kennel.c.book).where(t.kennel.c.id == kennel_id)).scalar_one() + 1
    connection.execute(update(t.kennel).where(t.kennel.c.id == kennel_id).values(book=book))
    connection.execute(update(t.dog).where(d.kennel == kennel_id, d.name == was).values(name=now))
    connection.execute(update(t.entry).where(e.kennel == kennel_id, e.dog == was).values(dog=now, changed=book))
    matings = select(e.number, e.facts).where(e.kennel == kennel_id, e.kind == "mating")
    for row in connection.execute(matings).all():
        if row.facts.get("with") == was:
            facts = row.facts | {"with": now}
            mine = (e.kennel == kennel_id, e.number == row.number)
            connection.execute(update(t.entry).where(*mine).values(facts=facts, changed=book))
