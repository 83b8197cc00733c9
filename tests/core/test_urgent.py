"""Red words: what must ring, and what must not, in the words a family writes."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.roster import Dog, Kennel, Person
from core.urgent import alarm

HERE = Path(__file__).parent / "urgent"
ON = date(2026, 7, 5)
PEOPLE = (
    ("Maya", "breeder", ("Ma", "Mum")),
    ("Tom", "partner", ("Dad",)),
    ("Elin", "family", ()),
    ("Max", "child", ()),
    ("Gran", "gran", ()),
)
BUHUND = "Norwegian Buhund"
KENNEL = Kennel(
    name="Larkrise",
    people=tuple(Person(name=n, role=r, also=a) for n, r, a in PEOPLE),
    dogs=(
        Dog(name="Nugget", also=("Nug", "N"), sex="m", born=date(2026, 3, 8), breed=BUHUND, litter="Saga"),
        Dog(name="Fern", sex="f", born=date(2026, 3, 8), breed=BUHUND, litter="Saga"),
        Dog(name="Bran", sex="m", born=date(2021, 3, 8), breed=BUHUND),
        Dog(name="Saga", sex="f", born=date(2021, 5, 8), breed=BUHUND),
        Dog(name="Runa", sex="f", born=date(2022, 5, 8), breed=BUHUND),
        Dog(name="Tove", sex="f", born=date(2016, 5, 8), breed=BUHUND),
        Dog(name="Green", sex="f", born=date(2026, 7, 2), litter="Runa"),
        Dog(name="Yellow", sex="f", born=date(2026, 7, 2), litter="Runa"),
        Dog(name="Pepper", also=("Blue",), sex="f", born=date(2026, 4, 20), litter="Saga", home="Ana"),
    ),
)

RINGS = (HERE / "rings.txt").read_text(encoding="utf-8").splitlines()

QUIET = (HERE / "quiet.txt").read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize("text", RINGS)
def test_rings(text: str) -> None:
    """A dog of ours may have swallowed it, or has the sign: the vet's number at once."""
    found = alarm(text, KENNEL, ON)
    assert found is not None
    assert found.words
    assert found.text_key.startswith("urgent.")


@pytest.mark.parametrize("text", QUIET)
def test_is_silent(text: str) -> None:
    """Talk, jokes, denials, people, and other people's dogs raise nothing."""
    assert alarm(text, KENNEL, ON) is None


@pytest.mark.parametrize(
    ("text", "id_", "dog"),
    [
        ("nugget ate chocolate", "chocolate", "Nugget"),
        ("Gran gave Fern a grape", "grapes", "Fern"),
        ("Dad says Nuget swallowed a stone", "object", "Nugget"),
        ("Bran's belly tight, trying to be sick, nothing comes", "bloat", "Bran"),
        ("Runa shaking stiff panting", "milk fever", "Runa"),
        ("Green is cold and limp", "newborn", "Green"),
        ("had one grape", "grapes", ""),
    ],
)
def test_says_what_and_who(text: str, id_: str, dog: str) -> None:
    """The line of the list and the dog, where one is known."""
    found = alarm(text, KENNEL, ON)
    assert found is not None
    assert (found.id, found.dog) == (id_, dog)


def test_context_names_the_dog() -> None:
    """"He" is the dog that the message is already known to be about."""
    found = alarm("he ate a raisin", KENNEL, ON, dogs=("Bran",))
    assert found is not None
    assert found.dog == "Bran"


def test_a_dog_named_like_a_poison_is_a_dog() -> None:
    """A litter of fruit: Raisin eating her dinner is no alarm, Raisin eating grapes is."""
    kennel = Kennel(name="K", dogs=(Dog(name="Raisin", born=date(2025, 1, 1)), Dog(name="Sock", born=date(2025, 1, 1))))
    assert alarm("Raisin ate her dinner, fed Sock too", kennel, ON) is None
    found = alarm("Raisin ate two grapes", kennel, ON)
    assert found is not None
    assert found.dog == "Raisin"


def test_a_pup_named_by_its_blue_collar_is_weighed_in_peace() -> None:
    """A collar's colour is no sign: "blue 495" is a weight, "blue is limp" rings."""
    kennel = Kennel(name="K", dogs=(Dog(name="Blue", born=date(2026, 7, 1)), Dog(name="Red", born=date(2026, 7, 1))))
    assert alarm("blue 495", kennel, date(2026, 7, 5)) is None
    assert alarm("red 350 blue 361", kennel, date(2026, 7, 5)) is None
    assert alarm("blue is cold and limp", kennel, date(2026, 7, 5)) is not None


COLLARS = Kennel(
    name="K",
    dogs=(
        Dog(name="Runa", sex="f", born=date(2022, 5, 8)),
        *(Dog(name=n, born=date(2026, 7, 2), litter="Runa") for n in ("Red", "Blue", "White", "Green", "Yellow")),
    ),
)


@pytest.mark.parametrize(
    "text",
    [
        "red on the best teat, feeding well",
        "put Red on a back teat",
        "red on the teat",
        "Red and Blue both on the teat, filling up nicely",
        "Red pushed off the back teat so I swapped him",
        "Blue's tongue nice and pink",
        "Blue's gums pink, good suck",
        "White gums pink, all good",
        "is Blue still available?",
        "White lips and nose clean, gums pink",
        "Yellow on the front teat",
    ],
)
def test_a_collar_fills_no_place_of_a_colour(text: str) -> None:
    """A pup called Red on a teat is no red teat, and Blue's pink tongue no blue one."""
    assert alarm(text, COLLARS, ON) is None


@pytest.mark.parametrize(
    ("text", "dog"),
    [
        ("Red not on the teat and quiet", "Red"),
        ("Blue's tongue has gone blue", "Blue"),
        ("Runa's gums are white", "Runa"),
        ("gums gone white", ""),
        ("White gums, help", ""),
        ("Runa has green discharge and no pups", "Runa"),
        ("there's green stuff and no puppies yet", ""),
        ("Green's gums look blue", "Green"),
        ("Runa has a red teat", "Runa"),
    ],
)
def test_a_collar_is_a_colour_where_something_has_it(text: str, dog: str) -> None:
    """Gums gone white ring in a house with a pup called White, and of the right dog."""
    found = alarm(text, COLLARS, ON)
    assert found is not None
    assert found.dog == dog


def test_signs_wait_for_the_right_dog() -> None:
    """Shaking is milk fever in a nursing dam alone; closed eyes are right in a newborn."""
    assert alarm("Bran shaking", KENNEL, ON) is None
    assert alarm("Green's eye is shut", KENNEL, ON) is None
    assert alarm("Bran's eye is shut", KENNEL, ON) is not None


WOMB = ("Saga drinking loads", "Saga has a discharge", "Saga is always thirsty", "Saga drinks like mad")
NO_WOMB = ("Saga isn't drinking a lot", "no discharge on Saga", "Saga has an eye discharge", "drinking loads of tea")


@pytest.mark.parametrize("text", WOMB)
def test_thirst_or_a_discharge_after_a_season_is_for_the_vet_today(text: str) -> None:
    """Either one alone, in a bitch that was in season some weeks ago; in any other dog it raises nothing."""
    found = alarm(text, KENNEL, ON, after_season=("Saga",))
    assert found is not None
    assert (found.level, found.text_key, found.dog) == ("today", "urgent.womb", "Saga")
    assert alarm(text, KENNEL, ON) is None
    assert alarm(text.replace("Saga", "Bran"), KENNEL, ON, after_season=("Saga",)) is None


@pytest.mark.parametrize("text", NO_WOMB)
def test_no_womb_in_talk(text: str) -> None:
    """Denied, of the eye, or of nobody."""
    assert alarm(text, KENNEL, ON, after_season=("Saga",)) is None


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("Tove dragging her back legs", "urgent.spine"),
        ("Bran's belly is swollen", "urgent.belly"),
        ("Bran has a head tilt", "urgent.tilt"),
        ("Bran glazed and staggering after the walk", "urgent.heat"),
        ("tove ate grans pills", "urgent.poison"),
        ("Bran got Elin's tablets", "urgent.poison"),
        ("Runa feels hot", "urgent.dam"),
    ],
)
def test_says_the_right_words(text: str, line: str) -> None:
    """The line fits the sign: no cloth pressed on a back that fails."""
    found = alarm(text, KENNEL, ON)
    assert found is not None
    assert found.text_key == line


ODD = ("", "\n", "?" * 5000, "no " * 50000, "ate " * 30000, "chocolate " * 20000, "🐕" * 3000, "\u202eate grape")


@pytest.mark.parametrize("text", ODD)
def test_any_text_is_survived(text: str) -> None:
    """Empty, huge and odd texts are looked at in bounded time."""
    alarm(text, KENNEL, ON)
