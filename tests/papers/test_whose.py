"""Who may have which paper; and no paper for a buyer names another dog, or another person but the breeder."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.replies import papers
from bot.replies.papers import as_pdf, as_text
from core.entries import Dose, Entry, Mating, Meal, Season, Sign, Temperature, Weight, Whelping
from core.ledger import Ledger, Posted
from core.roster import BREEDER, FAMILY, Dog, Food, Kennel, Litter, Person, Ration, Vet
from tests.dialogue_house import House
from tests.papers.reading_pdf import words

ON = date(2026, 3, 14)
OWN = "Qzown"
# Names that are no words, so that each one found is a leak.
OTHERS = ("Xqabel", "Xqbram", "Xqcedar", "Xqdrift", "Xqember")
PEOPLE = ("Vbanna", "Vbotto", "Vbpenn", "Vbrosa")
BORN = date(2025, 11, 15)


@pytest.mark.parametrize(
    ("room", "may"),
    [
        (BREEDER, set(papers.KINDS)), (FAMILY, set(papers.KINDS)), ("Ana", {"vet", "home", "book"}),
        ("Ned", {"sitter", "vet"}), ("Nobody", set()),
    ],
)  # fmt: skip
def test_each_room_has_its_papers(room: str, may: set[str]) -> None:
    """A spec that was made for another room is refused there too."""
    house = House.of_demo()
    kennel = replace(house.kennel, people=(*house.kennel.people, Person(name="Ned", role="sitter")))
    dog = "Teasel" if room == "Ana" else "Heather"
    found = set()
    for kind in papers.KINDS:
        try:
            papers.write(kind, dog, kennel, house.ledger, room, ON)
            found.add(kind)
        except papers.PaperError:
            continue
    assert found == may


def test_a_buyer_has_no_paper_of_another_dog() -> None:
    """Not by any spec, of a littermate or of the dam."""
    house = House.of_demo()
    for dog in house.kennel.dogs:
        for kind in papers.KINDS:
            if dog.name != "Teasel":
                with pytest.raises(papers.PaperError):
                    papers.write(kind, dog.name, house.kennel, house.ledger, "Ana", ON)


def test_a_sitter_whose_stay_is_over_has_none() -> None:
    """The right ends with the stay."""
    house = House.of_demo()
    ned = Person(name="Ned", role="sitter", until=ON - timedelta(days=1))
    kennel = replace(house.kennel, people=(*house.kennel.people, ned))
    with pytest.raises(papers.PaperError):
        papers.write("vet", "Nugget", kennel, house.ledger, "Ned", ON)


WORDS = (*OTHERS, *PEOPLE, OWN, "sick", "wormed", "9.4 kg", "and")
words_of_house = st.lists(st.sampled_from(WORDS), max_size=6).map(" ".join)
days = st.integers(0, 118).map(lambda n: BORN + timedelta(days=n))
anybody = st.sampled_from([OWN, OWN, *OTHERS])


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    dog, on, said = draw(anybody), draw(days), draw(words_of_house)
    made: list[Entry] = [
        Weight(dog=dog, on=on, said=said, kg=draw(st.floats(0.3, 18))),
        Sign(dog=dog, on=on, said=said, sign="vomit"),
        Dose(dog=dog, on=on, said=said, dose=draw(st.sampled_from(["wormer", "vaccine", "medicine"]))),
        Mating(dog=dog, on=on, said=said, with_=draw(st.sampled_from(OTHERS))),
        Season(dog=dog, on=on, said=said),
        Whelping(dog=dog, on=on, said=said, pups=3),
        Temperature(dog=dog, on=on, said=said, celsius=38.4),
        Meal(dog=dog, on=on, said=said, meal="breakfast", amount=0.5, unit="cup"),
    ]
    return draw(st.sampled_from(made))


@st.composite
def houses(draw: st.DrawFn) -> tuple[Kennel, Ledger]:
    found = draw(st.lists(entries(), min_size=1, max_size=25))
    posted = [
        Posted(
            id=n, entry=e, at=datetime(e.on.year, e.on.month, e.on.day, 9, tzinfo=UTC),
            by=draw(st.sampled_from([*PEOPLE, "Maya", "Ana", ""])), message=f"m{n}",
        )
        for n, e in enumerate(found, start=1)
    ]
    own = Dog(
        name=OWN, also=draw(st.sampled_from([(), ("Qznew",)])), sex=draw(st.sampled_from(["f", "m"])), born=BORN,
        litter=OTHERS[0], sire=OTHERS[1], home=draw(st.sampled_from(["Ana", ""])), notes=draw(words_of_house),
        apart_from=draw(st.sampled_from([(), OTHERS[2:3]])),
        ration=draw(st.sampled_from([(), (Ration(meal="breakfast", cups=0.75),)])),
    )
    others = tuple(
        Dog(
            name=n, sex="f", born=BORN if i > 1 else date(2020, 1, 1), litter=OTHERS[0],
            home=draw(st.sampled_from(["", *PEOPLE])),
        )
        for i, n in enumerate(OTHERS)
    )
    people = (
        Person(name="Maya", role="breeder"), Person(name="Ana", role="buyer", dogs=(OWN,)),
        *(Person(name=n, role=r) for n, r in zip(PEOPLE, ("partner", "gran", "buyer", "sitter"), strict=True)),
    )
    kennel = Kennel(
        name="Tindfjell", zone="Europe/Oslo", people=people, dogs=(own, *others),
        foods=(Food(name="Kibble", kcal_per_cup=400, g_per_cup=110),), vet=Vet(name="Vbvet", day="555"),
        litters=(Litter(dam=OTHERS[0], sire=OTHERS[1], born=BORN),),
    )
    return kennel, Ledger(posted)


@settings(max_examples=60, deadline=None)
@given(houses())
def test_no_paper_for_a_buyer_names_another_dog_or_person(house: tuple[Kennel, Ledger]) -> None:
    """Whatever the book holds: asked for by the buyer, or by the breeder to be handed over."""
    kennel, ledger = house
    asked = [("vet", "Ana"), ("home", "Ana"), ("book", "Ana"), ("home", BREEDER), ("home", FAMILY)]
    for kind, room in asked:
        said = as_text.render(papers.write(kind, OWN, kennel, ledger, room, ON))
        for name in (*OTHERS, *PEOPLE, "Vbvet"):
            assert name not in said, (kind, room, name)
        assert OWN in said


@settings(max_examples=6, deadline=None)
@given(houses())
def test_nor_does_its_pdf(house: tuple[Kennel, Ledger]) -> None:
    """The same in the file itself, with its title and author."""
    kennel, ledger = house
    for kind in ("vet", "home", "book"):
        pdf = as_pdf.render(papers.write(kind, OWN, kennel, ledger, "Ana", ON), ON)
        said = words(pdf)
        assert not any(name in said for name in (*OTHERS, *PEOPLE, "Vbvet"))
        assert not any(name.encode() in pdf for name in (*OTHERS, *PEOPLE))
