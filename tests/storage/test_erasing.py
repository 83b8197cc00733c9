"""Erased is erased: no row, no text and no byte of the file names who was erased; what is the dogs' stays."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import select

from bot.storage import Database, Update
from bot.storage import tables as t
from bot.turn import Turns
from core.entries import Treat, Weight
from core.messages import Message, Say
from core.roster import BREEDER, FAMILY, Dog, Duty, Kennel, Person
from core.turns import Invite, Memory, Post
from shared.texts import text

AT = datetime(2026, 7, 5, 6, 30, tzinfo=UTC)
NAME = "Anneliese"  # in no other word, so that the whole file can be searched for it
KENNEL = Kennel(
    name="Tindfjell",
    people=(Person(name="Maya", role="breeder"), Person(name="Tom", role="partner"),
            Person(name=NAME, role="buyer", also=("Lieselotte",), dogs=("Juniper",))),
    dogs=(Dog(name="Nugget", born=AT.date(), notes=f"{NAME} likes him"),
          Dog(name="Juniper", born=AT.date(), home=NAME)),
    duties=(Duty(what="breakfast", at=AT.time(), who=NAME), Duty(what="dinner", at=AT.time(), who="Tom")),
)  # fmt: skip


def filled(database: Database, name: str = "Tindfjell") -> int:
    """A kennel in which that person has left a trace in every table that can hold one."""
    number = database.create_kennel(replace(KENNEL, name=name))
    base = number * 1000
    for room, chat in ((BREEDER, f"{base}11"), (FAMILY, f"-{base}"), (NAME, f"{base}13")):
        database.bind_room("telegram", chat, number, room)
    database.bind_account("telegram", f"{base}11", number, "Maya")
    database.bind_account("telegram", f"{base}13", number, NAME)
    hers = Message(key="a1", room=NAME, sender=NAME, sent_at=AT, text="Juniper 5.2 kg says her owner")
    his = Message(key="f1", room=FAMILY, sender="Tom", sent_at=AT, text=f"{NAME.lower()}'s Juniper, Lieselotte rang")
    group = Message(key="f2", room=FAMILY, sender=NAME, sent_at=AT, text="fed in the family room")
    with database.writing(number) as store:
        store.post((Post(entry=Weight(dog="Juniper", on=AT.date(), kg=5.2, said="5.2 kg says her owner")),), (), hers)
        store.post((Post(entry=Treat(dog="Nugget", on=AT.date(), amount=1, unit="piece", said=his.text)),), (), his)
        for message in (hers, his, group):
            store.keep_message(message)
        store.remember({NAME: Memory(why="because"), BREEDER: Memory(facts={"away": [{"who": NAME, "to": "x"}]})})
        store.say([Say(key="s1", room=NAME, text="hello"), Say(key=f"x:{NAME}", room=BREEDER, text="keyed"),
                   Say(key=f"who {base}13", room=BREEDER, text="asked"),
                   Say(key="s2", room=BREEDER, text=f"{NAME} asks: “is that right?”")], AT)  # fmt: skip
        store.set_looked_at(AT)
        store.invite(Invite(person=NAME, role="buyer"), AT, b"secret")
    database.invites.wrong("telegram", f"{base}13", AT, AT - AT)
    raw = {"message": {"from": {"id": int(f"{base}13"), "first_name": NAME}, "text": "fed in the family room"}}
    for n, chat in enumerate((f"-{base}", f"{base}13")):
        update = Update(platform="telegram", chat=chat, received_at=AT, raw=raw, update_key=f"{base}{n}")
        database.inbox.take([update])
    for row in database.inbox.waiting("telegram"):
        database.inbox.done(row.id)
    return number


def everything(database: Database) -> str:
    """Every row of every table as text."""
    with database.transaction(writes=False) as connection:
        driver = connection.connection.driver_connection
        assert driver is not None
        return "\n".join(driver.iterdump())


def ask(database: Database, number: int, *lines: str) -> list[str]:
    """What the breeder is answered in her line."""
    turns, said = Turns(database), []
    for n, line in enumerate(lines):
        message = Message(key=f"b{n} {len(line)}", room=BREEDER, sender="Maya", sent_at=AT, text=line)
        turn = turns.take(message, number)
        assert turn is not None
        said += [o.text for o in turn.out if isinstance(o, Say)]
    return said


def test_of_a_person_nothing_is_left(tmp_path: Path) -> None:
    file = tmp_path / "fettle.db"
    with Database(f"sqlite:///{file}") as database:
        number = filled(database)
        assert NAME in everything(database)
        asked, done = ask(database, number, f"erase {NAME}", "yes")
        assert NAME in asked and done == text("erase.done")
        dump = everything(database)
        for gone in (NAME, NAME.lower(), "Lieselotte", "says her owner", "fed in the family room", "100013"):
            assert gone not in dump, gone
        with database.reading(number) as store:
            kennel, ledger = store.load_kennel(), store.load_ledger(AT.date())
        assert [p.name for p in kennel.people] == ["Maya", "Tom"] and [d.who for d in kennel.duties] == ["Tom"]
        assert [d.home for d in kennel.dogs] == ["", "somebody"] and kennel.dogs[0].notes == "somebody likes him"
        posted = {p.entry.dog: p for p in ledger}
        assert posted["Juniper"].by == "" and posted["Juniper"].entry.kg == 5.2  # type: ignore[union-attr]
        assert posted["Nugget"].by == "Tom"
    for beside in tmp_path.iterdir():  # in no free page of the file, nor in the log beside it
        content = beside.read_bytes()
        for gone in (NAME, "Lieselotte", "says her owner"):
            assert gone.encode() not in content, (beside, gone)


def test_of_a_kennel_nothing_is_left_and_another_is_untouched(tmp_path: Path) -> None:
    file = tmp_path / "fettle.db"
    with Database(f"sqlite:///{file}") as database:
        other = filled(database, "Fenmoor")
        number = filled(database)
        before = {table.name: rows(database, table, other) for table in t.ALL if "kennel" in table.c}
        turn_asked = ask(database, number, "erase the kennel")
        assert "2 dogs, 3 people" in turn_asked[0]
        assert ask(database, number, "yes") == []
        assert {table.name: rows(database, table, other) for table in t.ALL if "kennel" in table.c} == before
        for table in t.ALL:
            if "kennel" in table.c:
                assert rows(database, table, number) == []
        assert database.kennels() == {other: "Fenmoor"}
        with pytest.raises(LookupError), database.reading(number) as store:
            store.load_kennel()
    for beside in tmp_path.iterdir():
        assert b"Tindfjell" not in beside.read_bytes()


def rows(database: Database, table, number: int) -> list[tuple[object, ...]]:  # type: ignore[no-untyped-def]
    with database.transaction(writes=False) as connection:
        return [tuple(r) for r in connection.execute(select(table).where(table.c.kennel == number))]


@pytest.mark.parametrize(
    ("who", "room", "lines"),
    [("Tom", FAMILY, (f"erase {NAME}", "yes")), ("Maya", FAMILY, (f"erase {NAME}", "yes")),
     (NAME, NAME, ("erase the kennel", "yes")), ("Tom", BREEDER, ("erase the kennel", "yes")),
     ("Maya", BREEDER, (f"erase {NAME}", "no")), ("Maya", BREEDER, (f"erase {NAME}", "hm")),
     ("Maya", BREEDER, ("erase the kennel", "no")), ("Maya", BREEDER, ("erase Maya", "yes")),
     ("Maya", BREEDER, ("forget it", "yes")), ("Maya", BREEDER, ("delete that", "yes"))],
)  # fmt: skip
def test_nothing_goes_without_the_breeders_own_yes_in_her_line(
    tmp_path: Path, who: str, room: str, lines: tuple[str, ...]
) -> None:
    with Database(f"sqlite:///{tmp_path / 'a.db'}") as database:
        number = filled(database)
        turns = Turns(database)
        for n, line in enumerate(lines):
            turns.take(Message(key=f"z{n}", room=room, sender=who, sent_at=AT, text=line), number)
        with database.reading(number) as store:
            assert store.load_kennel().person(NAME) is not None
