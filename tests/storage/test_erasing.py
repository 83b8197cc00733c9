"""Erased is erased: no row, no text and no byte of the file names who was erased; what is the dogs' stays."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import select

from bot.chat.joining import knock
from bot.commands.telegram_book import TelegramBook
from bot.storage import Database, Update, codes
from bot.storage import tables as t
from bot.turn import Turns
from core.entries import Mating, Treat, Weight
from core.messages import Message, Say
from core.roster import BREEDER, FAMILY, Ancestor, Dog, Duty, Food, Kennel, Litter, OwnTip, Person
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
        return "\n".join(repr(tuple(row)) for table in t.ALL for row in connection.execute(select(table)))


def ask(database: Database, number: int, *lines: str) -> list[str]:
    """What the breeder is answered in her line."""
    turns, said = Turns(database), []
    for n, line in enumerate(lines):
        message = Message(key=f"b{n} {len(line)}", room=BREEDER, sender="Maya", sent_at=AT, text=line)
        turn = turns.take(message, number)
        assert turn is not None
        said += [o.text for o in turn.out if isinstance(o, Say)]
    return said


def test_of_a_person_nothing_is_left(database: Database, tmp_path: Path) -> None:
    number = filled(database)
    assert NAME in everything(database)
    asked, done = ask(database, number, f"erase {NAME}", f"erase {NAME}")
    assert NAME in asked and "breakfast at 06:30: Maya" in asked  # her job is not lost
    assert done == f"{text('erase.done')} {text('erase.done_jobs', jobs='breakfast at 06:30: Maya')}"
    dump = everything(database)
    for gone in (NAME, NAME.lower(), "Lieselotte", "says her owner", "fed in the family room", "100013"):
        assert gone not in dump, gone
    with database.reading(number) as store:
        kennel, ledger = store.load_kennel(), store.load_ledger(AT.date())
    assert [p.name for p in kennel.people] == ["Maya", "Tom"] and [d.who for d in kennel.duties] == ["Maya", "Tom"]
    assert [d.home for d in kennel.dogs] == ["", "somebody"] and kennel.dogs[0].notes == "somebody likes him"
    posted = {p.entry.dog: p for p in ledger}
    assert posted["Juniper"].by == "" and posted["Juniper"].entry.kg == 5.2  # type: ignore[union-attr]
    assert posted["Nugget"].by == "Tom"
    database.close()
    for beside in tmp_path.iterdir():  # in no free page of the file, nor in the log beside it
        content = beside.read_bytes()
        for gone in (NAME, "Lieselotte", "says her owner"):
            assert gone.encode() not in content, (beside, gone)


def test_what_only_has_the_name_of_a_person_stays_as_it_is(database: Database) -> None:
    """A zone, a sire, a food and a word may be called like somebody; words about the person go all the same."""
    people = tuple(Person(name=name) for name in ("Sydney", "Bo", "May"))
    born = AT.date()
    kennel = Kennel(
        name="Saltmarsh", zone="Australia/Sydney", people=(Person(name="Maya", role="breeder"), *people),
        dogs=(Dog(name="Moss", born=born, sire="Bo", food="May", notes="May likes him, and BO does"),
              Dog(name="Nugget", born=born, sire="May", litter="Sydney", apart_from=("Moss",), home="Sydney")),
        foods=(Food(name="May"),), litters=(Litter(dam="Moss", sire="May"),),
        pedigree=(Ancestor(name="Bo", sire="Sydney", dam="May"),),
        duties=(Duty(what="medicine", at=AT.time(), who="Bo", dogs=("Moss",)),),
        own_tips=(OwnTip(key="a", words="ask Bo"),),
    )  # fmt: skip
    number = database.create_kennel(kennel)
    message = Message(key="m", room=FAMILY, sender="Maya", sent_at=AT, text="Moss may have a limp, says May; bo too")
    with database.writing(number) as store:
        store.keep_message(message)
        store.post((Post(entry=Mating(dog="Moss", on=born, with_="Bo", said="Bo and Moss, May saw it")),), (), message)
        mind = {"away": [{"who": "Bo"}], "before": {"zone": "Australia/Sydney"}, "told": {"sire": "May"}}
        store.remember({BREEDER: Memory(facts=mind), FAMILY: Memory(why="Sydney may know")})
    for n, who in enumerate(("Sydney", "Bo", "May")):
        ask(database, number, f"erase {who}", f"erase {who}{'!' * n}")
    with database.reading(number) as store:
        now, mind = store.load_kennel(), store.memory()
        (posted,) = store.load_book().history()
        said = store.find_message(FAMILY, "m")
    assert now.zone == "Australia/Sydney" and now.pedigree == kennel.pedigree and now.litters == kennel.litters
    assert [(d.sire, d.food, d.litter, d.apart_from) for d in now.dogs] == [
        (d.sire, d.food, d.litter, d.apart_from) for d in kennel.dogs
    ]
    assert [d.home for d in now.dogs] == ["", "somebody"] and now.foods == kennel.foods
    assert [(d.what, d.who) for d in now.duties] == [("medicine", "Maya")]
    assert now.dogs[0].notes == "somebody likes him, and somebody does" and now.own_tips[0].words == "ask somebody"
    assert said is not None and said.text == "Moss may have a limp, says somebody; somebody too"
    assert posted.entry == Mating(dog="Moss", on=born, with_="Bo", said="somebody and Moss, somebody saw it")
    assert mind[BREEDER].facts["away"] == [{"who": "somebody"}] and mind[FAMILY].why == "somebody may know"
    assert mind[BREEDER].facts["before"] == {"zone": "Australia/Sydney"}
    assert ask(database, number, "Moss 9.4 kg") is not None  # the kennel is of use still


def test_a_guest_who_came_by_a_link_leaves_no_surname_and_no_handle(database: Database) -> None:
    number = filled(database)
    with database.writing(number) as store:
        code = codes.code_of(b"secret", store.invite(Invite(person=NAME, role="buyer"), AT, b"secret"))
    book = TelegramBook(database)
    for account, shown in (("901", f"{NAME} Kowalska (@anakow77)"), ("902", "Zed (@zed)")):  # the second comes too late
        guest = knock(book, code, account=account, chat=account, name=NAME, shown=shown, at=AT, only=number)
        with database.writing(number) as store:
            store.say(guest.say, AT)
    assert "Kowalska" in everything(database)
    ask(database, number, f"erase {NAME}", f"erase {NAME}")
    for gone in ("Kowalska", "anakow77", "901"):
        assert gone not in everything(database), gone
    assert "@zed" in everything(database)  # somebody else's try is no trace of hers


def test_undo_brings_nobody_back_who_was_erased(database: Database) -> None:
    number = filled(database)
    ask(database, number, "breakfast is at 7:30", f"erase {NAME}", f"erase {NAME}")
    with database.reading(number) as store:
        before = store.load_kennel()
    assert {str(d.at) for d in before.duties} == {"07:30:00", "06:30:00"}
    ask(database, number, "undo")
    with database.reading(number) as store:
        assert store.load_kennel() == before


def test_of_a_kennel_nothing_is_left_and_another_is_untouched(database: Database, tmp_path: Path) -> None:
    other = filled(database, "Fenmoor")
    number = filled(database)
    before = {table.name: rows(database, table, other) for table in t.ALL if "kennel" in table.c}
    turn_asked = ask(database, number, "erase the kennel")
    assert "2 dogs, 3 people" in turn_asked[0]
    assert ask(database, number, "erase Tindfjell") == []
    assert {table.name: rows(database, table, other) for table in t.ALL if "kennel" in table.c} == before
    for table in t.ALL:
        if "kennel" in table.c:
            assert rows(database, table, number) == []
    assert database.kennels() == {other: "Fenmoor"}
    with pytest.raises(LookupError), database.reading(number) as store:
        store.load_kennel()
    database.close()
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
     ("Maya", BREEDER, (f"erase {NAME}", "yes")), ("Maya", BREEDER, (f"erase {NAME}", "no", f"erase {NAME}")),
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
