"""Who may see what: the walls between the family, the breeder's line and each buyer."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from core.access import may_write, view
from core.entries import Weight
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel, Person, Vet

BORN = date(2025, 11, 15)
AT = datetime(2026, 3, 14, 8, tzinfo=UTC)
ANA = Person(name="Ana", role="buyer", dogs=("Teasel",))
MAYA = Person(name="Maya", role="breeder")
SITTER = Person(name="Jo", role="sitter", until=date(2026, 3, 10))
KENNEL = Kennel(
    name="larkrise",
    people=(MAYA, Person(name="Tom", role="partner"), ANA, SITTER, Person(name="Bea", role="buyer", dogs=("Rue",))),
    dogs=(
        Dog(name="Teasel", born=BORN, litter="Clover", sire="Bran", home="Ana", apart_from=("Nugget",), notes="Nugget"),
        Dog(name="Nugget", born=BORN, litter="Clover"),
        Dog(name="Rue", born=BORN, litter="Clover", home="Bea"),
        Dog(name="Clover", born=date(2021, 5, 1)),
    ),
    vet=Vet(name="Dale vets", day="555 0100"),
)
LEDGER = Ledger(
    Posted(id=i, entry=Weight(dog=d, on=AT.date(), kg=9.0 + i), at=AT, by="Maya")
    for i, d in enumerate(("Teasel", "Nugget", "Rue", "Clover"), 1)
)


def test_a_buyer_sees_only_their_own_dog() -> None:
    """Nothing in the buyer's view names another dog, another buyer, the vet or the house."""
    kennel, ledger = view(KENNEL, LEDGER, ANA)
    assert [d.name for d in kennel.dogs] == ["Teasel"]
    assert {p.entry.dog for p in ledger} == {"Teasel"} == {p.entry.dog for p in ledger.history()}
    shown = repr(kennel)
    for other in ("Nugget", "Rue", "Clover", "Bran", "Bea", "Tom", "555 0100"):
        assert other not in shown


def test_family_and_breeder_see_all() -> None:
    """Those of the house see the kennel as it is."""
    for person in (MAYA, KENNEL.person("Tom")):
        assert view(KENNEL, LEDGER, person) == (KENNEL, LEDGER)


def test_a_sitter_sees_the_house_until_the_stay_ends() -> None:
    """No buyer's dog, no buyer; after the last day nothing."""
    kennel, ledger = view(KENNEL, LEDGER, SITTER, date(2026, 3, 10))
    assert {d.name for d in kennel.dogs} == {"Nugget", "Clover"} == {p.entry.dog for p in ledger}
    assert not any(p.role == "buyer" for p in kennel.people)
    kennel, ledger = view(KENNEL, LEDGER, SITTER, date(2026, 3, 11))
    assert not kennel.dogs and not kennel.people and not len(ledger)


def test_a_stranger_sees_nothing() -> None:
    """No dog, no person, no entry."""
    kennel, ledger = view(KENNEL, LEDGER, None)
    assert not kennel.dogs and not kennel.people and not len(ledger)


@pytest.mark.parametrize(
    ("who", "room", "may"),
    [
        ("Maya", "family", True), ("Maya", "breeder", True), ("Maya", "Ana", True), ("Tom", "family", True),
        ("Tom", "breeder", False), ("Tom", "Tom", True), ("Tom", "Ana", False), ("Ana", "Ana", True),
        ("Ana", "family", False), ("Ana", "Bea", False), ("Ana", "breeder", False), ("Jo", "family", False),
        ("Jo", "Jo", True),
    ],
)
def test_who_belongs_in_which_room(who: str, room: str, may: bool) -> None:
    """Each private line has one person and the breeder."""
    assert may_write(KENNEL.person(who), room) is may


def test_undoing_a_correction_restores_what_it_corrected() -> None:
    """A withdrawn replacement lets the entry before it count again, also in a view that lacks the replacement."""
    old = Posted(id=1, entry=Weight(dog="Nugget", on=AT.date(), kg=9.4), at=AT, replaced_by=2)
    new = Posted(id=2, entry=Weight(dog="Teasel", on=AT.date(), kg=9.4, replaces=True), at=AT)
    assert [p.id for p in Ledger([old, new])] == [2]
    undone = Ledger([old, Posted(id=2, entry=new.entry, at=AT, withdrawn=True)])
    assert [p.id for p in undone] == [1] == [p.id for p in undone.for_dogs({"Nugget"})]
