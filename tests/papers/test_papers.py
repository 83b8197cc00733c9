"""Each paper is rendered as PDF and as plain text, and both hold what the paper must show."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, time

import pypdf
import pytest

from bot.replies import papers
from bot.replies.papers import as_pdf, as_text
from bot.replies.papers.model import Facts, Heading, Paper, Points, Table, Words
from core.entries import Concern, Dose, Mating, Sign, Temperature, Weight
from core.ledger import Ledger, Posted
from core.roster import BREEDER, FAMILY, Before, Dog, Food, Kennel, Litter, Person, Ration, Vet
from tests.books import Book, day
from tests.dialogue_house import House
from tests.papers.reading_pdf import pages, words

ON = date(2026, 3, 14)  # where the demo's book ends
A4 = (595.28, 841.89)  # points; ISO 216: 210 × 297 mm at 72 points an inch


@pytest.fixture(scope="module")
def house() -> House:
    """The demo kennel on its morning."""
    return House.of_demo()


@pytest.fixture(scope="module")
def both(house: House) -> Callable[..., tuple[str, str]]:
    """A paper's words from its PDF and from its plain text, white space made single."""

    def made(kind: str, dog: str = "", room: str = BREEDER) -> tuple[str, str]:
        _, pdf = papers.make(papers.spec(kind, ON, dog), house.kennel, house.ledger, room)
        _, txt = papers.make(papers.spec(kind, ON, dog, papers.TXT), house.kennel, house.ledger, room)
        return words(pdf), " ".join(txt.decode().split())

    return made


def shows(both: tuple[str, str], *expected: str) -> None:
    for said in both:
        for what in expected:
            assert what in said, what


def test_the_vets_page_has_weights_signs_and_what_was_given_by_whom(both: Callable[..., tuple[str, str]]) -> None:
    """The latest weight with its day, each sign and dose with who wrote it, the food, and no dose."""
    made = both("vet", "Nugget")
    shows(
        made, "Nugget: page for the vet", "15 November 2025, 17 weeks old", "9.2 kg (12 March 2026)",
        "5 March 2026, 06:50 yellow bile Tom", "11 March 2026, 06:55 yellow bile Tom",
        "14 February 2026, 09:10 wormed Maya", "21 February 2026, 11:30 vaccinated Maya",
        "8 March 2026 16 weeks 8.7 kg +0.7 kg Wren", "1 March 2026 15 weeks 8.0 kg +0.6 kg Wren",
        "Temperatures, last 60 days", "400 kcal and 110 g in a level cup", "1¾ cups (192 g)",
        "How much was given is never kept here.", "Larkrise, printed 14 March 2026", "about 7 of 9",
    )
    assert "Seasons" not in made[0]
    shows(both("vet", "Linnet"), "2 September 2025 in season", "15 November 2025 whelped, 4 pups", "mated with Fjord")


def test_the_vets_page_is_one_page(house: House) -> None:
    """Every dog of the demo, however much is written down."""
    for dog in house.kennel.dogs:
        _, pdf = papers.make(papers.spec("vet", ON, dog.name), house.kennel, house.ledger, BREEDER)
        assert len(pages(pdf)) == 1, dog.name


def test_nothing_written_is_never_called_none_or_fine(both: Callable[..., tuple[str, str]]) -> None:
    """A missing log is "not written down": of a dog without signs the page says that nobody wrote one down."""
    for kind, dog in (("vet", "Linnet"), ("book", "Moss"), ("home", "Ash"), ("litter", "Heather"), ("vet", "Red")):
        for said in both(kind, dog):
            assert "ot written down" in said
            # "that is not proof that there was none"; a tip of the calendar says that arms are fine.
            bare = said.replace("was none", "").replace("arms is fine", "").replace("There is nothing in the book", "")
            assert not re.search(r"\b(?:none|nothing|fine|healthy|normal|OK)\b", bare)


def test_the_sitters_sheet_has_cups_grams_oddities_and_numbers(both: Callable[..., tuple[str, str]]) -> None:
    """Every grown dog's bowls by meal, who must be apart, what to know, the vet by day and night, the breeder."""
    made = both("sitter")
    shows(
        made, "¾ cup (82 g)", "Fjord and Sorrel", "Moss: Slow on the stairs; carry her down at night.",
        "Larkrise Vets", "01632 960201", "01632 960299", "Maya, at any hour", "Ring the vet at once",
        "Red, Blue, Green, Yellow and White",
    )  # fmt: skip
    assert re.search(r"Tansy 1½ cups \(165 g\) – 1½ cups \(165 g\) – Hillfarm Junior", made[0])
    assert re.search(r"Heather 2 cups \(220 g\) 1 cup \(110 g\) 2 cups \(220 g\) 1 cup \(110 g\)", made[0])
    assert "Teasel" not in made[0] and "Ana" not in made[0]


def test_a_going_home_record_has_growth_worming_vaccines_food_and_the_month(
    both: Callable[..., tuple[str, str]],
) -> None:
    """What a buyer takes along, as of the day; eight weeks is a hard stop; the same caution about food as elsewhere."""
    made = both("home", "Ash")
    shows(
        made, "Ash: going-home record", "24 January 2026 at birth 352 g", "11 March 2026 6 weeks 3.2 kg +0.5 kg",
        "7 March 2026, 09:15 6 weeks Maya", "Next likely about 21 March 2026.",
        "Not written down. Look in the vaccine card.",
        "Breakfast ⅜ cup 41 g 150 kcal", "Whole day 1⅜ cups 151 g 550 kcal", "at 5.3 kg these cups are too little",
        "Not to leave before 21 March 2026.", "The month from 21 March 2026", "28 March 2026 9 weeks",
        "Never cut a young pup's food by yourself.", "No calcium", "your vet says which and how much",
        "Chip number",
    )  # fmt: skip
    assert "Fjord" not in made[0] and "Tansy" not in made[0] and "Birch" not in made[0]
    assert not re.search(r"\b\d+\s*(?:ml|mg|tablets?)\b", made[0])


def test_a_litters_sheet_sets_the_pups_side_by_side(both: Callable[..., tuple[str, str]]) -> None:
    """Birth and newest weights, a row for each day, worming and vaccines."""
    shows(
        both("litter", "Tansy"), "4 pups: 2 male, 2 female", "Ash male 352 g 3.2 kg (11 March 2026) +2.8 kg",
        "7 February 2026 905 g 812 g 771 g 944 g", "7 February, 21 February, 7 March not written down",
    )
    shows(both("litter", "Heather"), "10 March 2026 357 g 369 g 316 g 336 g 346 g", "Counted", "Fjord")


def test_a_book_holds_every_entry_that_counts(house: House, both: Callable[..., tuple[str, str]]) -> None:
    """Each weight and each ear score of the dog, and not the one that was corrected."""
    made = both("book", "Nugget")
    weights = house.ledger.of("Nugget", Weight, until=ON)
    assert made[0].count(" kg") >= len(weights)
    for p in weights:
        assert isinstance(p.entry, Weight)
        assert f"{p.entry.kg:.1f} kg" in made[0]
    shows(made, "13 March 2026 left ear half up, right down Wren", "10 March 2026 tooth change", "2 March 2026 20 52 0")


def test_what_was_corrected_or_taken_back_is_not_printed(house: House) -> None:
    """Only what counts: a reading mended from 94 to 9.4 is not handed to a vet."""
    wrong = Posted(id=9001, entry=Weight(dog="Nugget", on=ON, kg=94.0), at=house.now, by="Wren", message="x",
                   replaced_by=9002)  # fmt: skip
    right = Posted(id=9002, entry=Weight(dog="Nugget", on=ON, kg=9.4), at=house.now, by="Wren", message="x")
    sick = Posted(id=9003, entry=Sign(dog="Nugget", on=ON, sign="vomit"), at=house.now, by="Wren", withdrawn=True)
    ledger = house.ledger.with_posted([wrong, right, sick])
    said = as_text.render(papers.write("vet", "Nugget", house.kennel, ledger, BREEDER, ON))
    assert "9.4 kg" in said and "94" not in said and "sick" not in said


def test_the_senders_words_stand_beside_a_sign_that_is_of_this_dog_alone(house: House) -> None:
    """"sick twice after the walk" helps a vet; a sentence that names another dog does not go along."""
    own = Sign(dog="Nugget", on=ON, sign="limp", said="nugget limping on his left hind since the walk")
    mixed = Dose(dog="Nugget", on=ON, dose="wormer", said="wormed nugget and moss")
    posted = [Posted(id=9000 + n, entry=e, at=house.now, by="Tom", message=f"m{n}") for n, e in enumerate((own, mixed))]
    ledger = house.ledger.with_posted(posted)
    said = " ".join(as_text.render(papers.write("vet", "Nugget", house.kennel, ledger, BREEDER, ON)).split())
    assert "left hind" in said and "moss" not in said.casefold()


def test_a_worrying_word_stands_on_the_vets_page_as_it_was_said(house: House) -> None:
    """A word that no sign fits is for the vet to judge, in the sender's own words."""
    worry = Concern(dog="Moss", on=ON, about="legs", said="Moss wobbly behind again")
    ledger = house.ledger.with_posted([Posted(id=9000, entry=worry, at=house.now, by="Tom", message="m1")])
    said = " ".join(as_text.render(papers.write("vet", "Moss", house.kennel, ledger, BREEDER, ON)).split())
    assert "stiff or unsteady" in said
    assert "wobbly behind" in said


def test_units_of_the_kennel_are_kept(house: House) -> None:
    """A house of pounds reads pounds, ounces and Fahrenheit; grams of food stay grams."""
    kennel = replace(house.kennel, weight_unit="lb")
    hot = Posted(id=9000, entry=Temperature(dog="Moss", on=ON, celsius=38.5, clock=time(9)), at=house.now, by="Tom")
    ledger = house.ledger.with_posted([hot])
    said = as_text.render(papers.write("vet", "Moss", kennel, ledger, BREEDER, ON))
    # 13.7 kg is 30 lb 3 oz (international pound, 0.45359237 kg); 38.5 °C is 101.3 °F.
    assert "30 lb 3 oz" in said and "101.3 °F" in said and " kg" not in said


def test_every_paper_is_a4_dated_numbered_and_readable_by_a_program(house: House) -> None:
    """Page size, page numbers, the day of printing and the kennel on each page; fonts are in the file."""
    wanted = (("vet", "Nugget"), ("sitter", ""), ("home", "Ash"), ("litter", "Tansy"), ("book", "Nugget"))
    for kind, dog in wanted:
        name, pdf = papers.make(papers.spec(kind, ON, dog), house.kennel, house.ledger, BREEDER)
        reader = pypdf.PdfReader(io.BytesIO(pdf))
        count = len(reader.pages)
        for n, page in enumerate(reader.pages, start=1):
            assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(A4, abs=0.1)
            said = page.extract_text()
            assert f"page {n} of {count}" in said and "Larkrise, printed 14 March 2026" in said
            assert len(said.split()) > 30, f"{name}: page {n} is all but empty"
        assert name.endswith("-2026-03-14.pdf") and reader.metadata is not None and reader.metadata.title


def test_the_same_paper_on_the_same_day_gives_the_same_file(house: House) -> None:
    """A paper asked for twice can be compared."""
    spec = papers.spec("vet", ON, "Nugget")
    assert papers.make(spec, house.kennel, house.ledger, BREEDER) == papers.make(
        spec, house.kennel, house.ledger, BREEDER
    )


ODD = Dog(
    name="Čertík Ærø-Łoś", also=("Ťapka 🐶",), sex="f", born=day("2025-11-15"), litter="Þóra",
    ration=(Ration(meal="breakfast", cups=0.125), Ration(meal="dinner", cups=1.875)),
    notes="Élan: half–blind, “slow” on stairs; ½ tablet is the vet’s affair.",
    before=(Before(until=day("2026-01-10"), ration=(Ration(meal="dinner", cups=0.375),)),),
)
ODD_KENNEL = Kennel(
    name="Smørrebrød & Sønner", zone="Europe/Oslo", people=(Person(name="Zoë", role="breeder"),),
    dogs=(ODD, Dog(name="Þóra", sex="f", born=day("2020-01-01"), apart_from=("Čertík Ærø-Łoś",))),
    foods=(Food(name="Fôr", kcal_per_cup=400, g_per_cup=110),), vet=Vet(name="Dýralæknir", day="555 0100"),
    litters=(Litter(dam="Þóra", born=day("2025-11-15")),),
)


def test_accents_and_fractions_come_out_as_they_are() -> None:
    """Names of many alphabets and every eighth of a cup, in the PDF and in the text."""
    ledger = Book().add(Weight(dog=ODD.name, on=day("2026-03-01"), kg=7.5)).ledger
    for kind, dog in (("sitter", ""), ("book", ODD.name), ("home", ODD.name), ("litter", "Þóra")):
        _, pdf = papers.make(papers.spec(kind, ON, dog), ODD_KENNEL, ledger, BREEDER)
        said = words(pdf)
        assert "Čertík Ærø-Łoś" in said and "Smørrebrød & Sønner" in said, kind
    _, pdf = papers.make(papers.spec("sitter", ON), ODD_KENNEL, ledger, BREEDER)
    wanted = ("⅛ cup (14 g)", "1⅞ cups (206 g)", "half–blind, “slow”", "vet’s", "Dýralæknir", "555 0100", "not given")
    for expected in wanted:
        assert expected in words(pdf), expected
    eighths = Paper(title="⅛ ¼ ⅜ ½ ⅝ ¾ ⅞", under="−4 °C × 2 · é", foot="", parts=(Words("🐶 Nugget 你好"),))
    assert "⅛ ¼ ⅜ ½ ⅝ ¾ ⅞" in words(as_pdf.render(eighths, ON))
    assert "Nugget ??" in words(as_pdf.render(eighths, ON))  # letters that the set has not are owned up to


def test_a_long_paper_repeats_its_heads_and_leaves_no_heading_alone() -> None:
    """Tables go on under their heads; the last words of a page are never a heading."""
    rows = tuple((f"{n} March", f"{n} kg") for n in range(1, 61))
    parts = tuple(
        part for n in range(12)
        for part in (Heading(f"Heading {n}"), Table(("Day", "Weight"), rows[: 5 + 7 * (n % 4)]), Words("After it."))
    )
    paper = Paper(title="Long", under="", foot="foot", parts=(*parts, Points(("one", "two")), Facts((("a", "b"),))))
    found = pages(as_pdf.render(paper, ON))
    assert len(found) > 3
    for page in found:
        body = page.replace("foot", "").strip()
        assert not re.search(r"Heading \d+(?: Day Weight)?(?: page \d+ of \d+)?$", body), body[-60:]
        assert "Day Weight" in body


def test_plain_text_keeps_to_its_width_and_figures_to_their_units(house: House) -> None:
    """No line is longer than 78 letters, and none breaks between a figure and its unit."""
    for kind, dog in (("vet", "Nugget"), ("sitter", ""), ("home", "Ash"), ("litter", "Heather"), ("book", "Heather")):
        said = as_text.render(papers.write(kind, dog, house.kennel, house.ledger, BREEDER, ON))
        for line in said.splitlines():
            assert len(line) <= 78, line
            assert not re.match(r"\s*(?:g|kg|kcal)\)?(?:\s|$)", line), line
        assert "\u00a0" not in said


def test_a_row_of_another_length_is_a_fault() -> None:
    """A table that would come out crooked is never set."""
    with pytest.raises(ValueError, match="another length"):
        Table(("a", "b"), (("only one",),))


@pytest.mark.parametrize(
    "spec",
    ["paper:vet:pdf:2026-03-14:Nobody", "paper:vet:pdf:tomorrow:Nugget", "paper:gossip:pdf:2026-03-14:Nugget",
     "paper:vet:exe:2026-03-14:Nugget", "paper:vet", "chart:weight:Nugget:2026-03-14"],
)  # fmt: skip
def test_a_paper_that_is_none_is_refused(house: House, spec: str) -> None:
    """What was not made by `spec` says what is wrong with it."""
    with pytest.raises(papers.PaperError):
        papers.make(spec, house.kennel, house.ledger, BREEDER)


def test_a_file_cannot_leave_its_folder(house: House) -> None:
    """A dog's name is no path."""
    dog = Dog(name="../../etc/Nug", born=day("2025-11-15"))
    kennel = replace(house.kennel, dogs=(dog,))
    name, _ = papers.make(papers.spec("vet", ON, dog.name, papers.TXT), kennel, Ledger(), BREEDER)
    assert "/" not in name and ".." not in name and name.startswith("etc-Nug")


def test_nothing_after_the_day_is_on_a_paper(house: House) -> None:
    """A page as of the 10th knows nothing of the 12th."""
    on = date(2026, 3, 10)
    said = as_text.render(papers.write("vet", "Nugget", house.kennel, house.ledger, BREEDER, on))
    assert "12 March" not in said and "9.2" not in said and "8.7 kg (8 March 2026)" in said


def test_a_mating_is_named_at_home(house: House) -> None:
    """The family's paper names the sire; a buyer's does not (see the property)."""
    assert isinstance(house.ledger.last("Linnet", Mating).entry, Mating)  # type: ignore[union-attr]
    assert "mated with Fjord" in as_text.render(papers.write("book", "Linnet", house.kennel, house.ledger, FAMILY, ON))
