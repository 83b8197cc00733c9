"""The roster comes back as it went in, and a change writes only itself."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date

import pytest

from bot.storage import Database
from bot.storage.errors import StaleRoster
from core.entries import Mating, Weight
from core.roster import Dog, Kennel, KnownWeight, Person
from core.turns import Post
from tests.storage.conftest import DAY, KENNEL, said


def load(database: Database, kennel_id: int) -> Kennel:
    with database.reading(kennel_id) as store:
        return store.load_kennel()


def test_a_kennel_comes_back_whole(database: Database, kennel_id: int, url: str) -> None:
    """Every field of the roster survives a new process (nothing is answered from memory)."""
    with Database(url) as fresh:
        assert load(fresh, kennel_id) == KENNEL


def test_no_field_of_a_dog_or_person_is_forgotten(database: Database) -> None:
    """A field that is added to the roster later is kept too."""
    odd: dict[str, object] = {"born": DAY, "last_weight": KnownWeight(kg=9.4, on=DAY)}
    dog = Dog(**({f.name: _odd(f.name, f.type) for f in fields(Dog)} | odd))  # type: ignore[arg-type]
    until = {"until": DAY}
    person = Person(**({f.name: _odd(f.name, f.type) for f in fields(Person)} | until))  # type: ignore[arg-type]
    kennel_id = database.create_kennel(Kennel(name="Odd", dogs=(dog,), people=(person,)))
    assert load(database, kennel_id).dogs == (dog,)
    assert load(database, kennel_id).people == (person,)


def _odd(name: str, kind: object) -> object:
    """A value that no default has."""
    text = str(kind)
    if text.startswith("tuple[str"):
        return (f"{name} one", f"{name} two")
    if text.startswith("tuple"):
        return ()
    return {"str": name, "bool": True, "float": 1.5, "int": 3}.get(text.removesuffix(" | None"))


def test_a_change_is_written_and_raises_the_revision(database: Database, kennel_id: int) -> None:
    """Dogs, people, lists and settings change; everything else stays."""
    dogs = (replace(KENNEL.dogs[1], notes="barks at rain"), KENNEL.dogs[0], Dog(name="Bramble", born=DAY))
    new = replace(KENNEL, dogs=dogs, people=KENNEL.people[:2], foods=(), day_first=False)
    with database.writing(kennel_id) as store:
        saved = store.save_kennel(KENNEL, new)
    assert saved == replace(new, revision=1)
    assert load(database, kennel_id) == saved


def test_a_roster_changed_in_between_is_not_overwritten(database: Database, kennel_id: int) -> None:
    """Two people change the roster from the same state: the second is told, nothing is lost silently."""
    with database.writing(kennel_id) as store:
        store.save_kennel(KENNEL, replace(KENNEL, name="Tindfjell Buhunds"))
    with pytest.raises(StaleRoster), database.writing(kennel_id) as store:
        store.save_kennel(KENNEL, replace(KENNEL, day_first=False))
    assert load(database, kennel_id).day_first


def test_a_new_name_keeps_the_dogs_past(database: Database, kennel_id: int) -> None:
    """A renamed dog keeps its weights; matings name it by its new name."""
    sire = replace(KENNEL, dogs=(*KENNEL.dogs, Dog(name="Odin", sex="m", born=date(2021, 1, 1))))
    with database.writing(kennel_id) as store:
        kennel = store.save_kennel(KENNEL, sire)
        posts = (
            Post(entry=Weight(dog="Odin", on=DAY, kg=17.0)),
            Post(entry=Mating(dog="Clover", on=DAY, with_="Odin")),
        )
        store.post(posts, (), said())
    with database.writing(kennel_id) as store:
        kennel = store.load_kennel()
        called = replace(kennel.dogs[3], name="Loki", also=("Odin",))
        store.save_kennel(kennel, replace(kennel, dogs=(*kennel.dogs[:3], called)))
    with database.reading(kennel_id) as store:
        ledger = store.load_ledger(DAY)
        assert [w.kg for w in ledger.entries("Loki", Weight)] == [17.0]
        assert ledger.entries("Clover", Mating)[0].with_ == "Loki"
        assert store.load_kennel().dogs[3].last_weight == KnownWeight(kg=17.0, on=DAY)


def test_a_removed_dogs_entries_stay_in_the_book(database: Database, kennel_id: int) -> None:
    """Taking a dog off the roster takes nothing out of the book."""
    with database.writing(kennel_id) as store:
        store.post((Post(entry=Weight(dog="Nugget", on=DAY, kg=9.4)),), (), said())
    with database.writing(kennel_id) as store:
        kennel = store.load_kennel()
        store.save_kennel(kennel, replace(kennel, dogs=(kennel.dogs[0], kennel.dogs[2])))
        assert len(store.load_book()) == 1
