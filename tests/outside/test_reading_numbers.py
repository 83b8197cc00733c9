"""Number words against two libraries that write numbers out: num2words and inflect.

Each number is written in words by the library, put in a message, and must come back from the reader as the number:
the libraries know nothing of our lexicon. Where neither is installed, the published names of numbers below still hold
(Merriam-Webster's table of cardinal numbers, from memory; fractions are arithmetic).
"""

from __future__ import annotations

import pytest

from core.entries import Meal, Temperature, Weight
from tests.outside.reading_kennel import NOON, kennel, only

TABLE = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
    "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17,
    "eighteen": 18, "nineteen": 19, "twenty": 20, "twenty-one": 21, "thirty": 30, "forty": 40, "fifty": 50,
    "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90, "ninety-nine": 99, "one hundred": 100, "a hundred": 100,
    "one hundred and one": 101,
}  # fmt: skip


def weighed(words: str, kg: float, unit: str = "kg", factor: float = 1.0) -> float:
    """The kilograms kept of a dog near that weight which is said to weigh `words`."""
    entry = only(f"Zorvik weighs {words} {unit}", kennel(kg * factor))
    assert isinstance(entry, Weight)
    return entry.kg


@pytest.mark.parametrize(("words", "number"), TABLE.items())
@pytest.mark.parametrize("hyphen", [True, False])
def test_published_names(words: str, number: int, hyphen: bool) -> None:
    said = words if hyphen else words.replace("-", " ")
    assert weighed(said, number) == pytest.approx(number)


class TestNum2words:
    """As num2words (0.5) writes them, in its British way with "and"."""

    num2words = pytest.importorskip("num2words", reason="num2words is not installed")

    def write(self, number: float, to: str = "cardinal") -> str:
        """The number in words."""
        return str(self.num2words.num2words(number, to=to))

    @pytest.mark.parametrize("tens", range(0, 110, 10))
    def test_whole_and_tenths(self, tens: int) -> None:
        """Every weight from 0.1 to 109.9 kg."""
        for tenths in range(max(tens * 10, 1), tens * 10 + 100):
            kg = tenths / 10
            words = self.write(kg if tenths % 10 else tenths // 10)
            assert weighed(words, kg) == pytest.approx(kg), words

    @pytest.mark.parametrize("whole", [0, 3, 9, 12, 20, 47])
    def test_hundredths(self, whole: int) -> None:
        """'nine point two five', 'nine point zero five'."""
        for hundredths in range(1, 100):
            kg = whole + hundredths / 100
            if kg < 0.06:
                continue  # lighter than any living pup
            words = self.write(round(kg, 2))
            assert weighed(words, kg) == pytest.approx(kg), words

    @pytest.mark.parametrize("hundreds", range(100, 1000, 100))
    def test_grams(self, hundreds: int) -> None:
        """'four hundred and fifty-five grams', with "and" and without."""
        for grams in range(hundreds, hundreds + 100, 7):
            words = self.write(grams)
            for said in (words, words.replace(" and ", " ").replace("-", " ")):
                assert weighed(said, grams, "grams", 0.001) == pytest.approx(grams / 1000), said

    @pytest.mark.parametrize(
        ("day", "form"),
        [(day, form) for day in range(1, 31) for form in ("ordinal", "ordinal_num")],
    )
    def test_ordinals(self, day: int, form: str) -> None:
        """'on the twenty-first of June' and 'on the 21st of June' are the same day."""
        text = f"Zorvik weighed 27 kg on the {self.write(day, form)} of June"
        assert only(text, kennel()).on == NOON.date().replace(month=6, day=day), text


class TestInflect:
    """As inflect (7) writes them."""

    inflect = pytest.importorskip("inflect", reason="inflect is not installed")

    def test_whole_and_tenths(self) -> None:
        engine = self.inflect.engine()
        for tenths in range(10, 1100, 3):
            kg = tenths / 10
            words = str(engine.number_to_words(kg if tenths % 10 else tenths // 10))
            assert weighed(words, kg) == pytest.approx(kg), words

    def test_without_and(self) -> None:
        """'one hundred five', the American way."""
        engine = self.inflect.engine()
        for kg in (101, 104, 105, 107, 109):
            assert weighed(str(engine.number_to_words(kg, andword="")), kg) == pytest.approx(kg)


@pytest.mark.parametrize(
    ("said", "cups"),
    [
        ("half a cup", 1 / 2),
        ("a half cup", 1 / 2),
        ("1/2 cup", 1 / 2),
        ("½ cup", 1 / 2),
        ("a quarter of a cup", 1 / 4),
        ("a quarter cup", 1 / 4),
        ("three quarters of a cup", 3 / 4),
        ("3/4 cup", 3 / 4),
        ("¾ of a cup", 3 / 4),
        ("a third of a cup", 1 / 3),
        ("two thirds of a cup", 2 / 3),
        ("⅔ cup", 2 / 3),
        ("an eighth of a cup", 1 / 8),
        ("a cup", 1),
        ("one cup", 1),
        ("a cup and a half", 3 / 2),
        ("one and a half cups", 3 / 2),
        ("1 1/2 cups", 3 / 2),
        ("1½ cups", 3 / 2),
        ("1.5 cups", 3 / 2),
        ("1,5 cups", 3 / 2),
        ("a cup and a quarter", 5 / 4),
        ("one and a quarter cups", 5 / 4),
        ("two and three quarter cups", 11 / 4),
        ("2 and 3/4 cups", 11 / 4),
        ("2 3/4 cups", 11 / 4),
        ("two cups and a half", 5 / 2),
    ],
)
def test_fractions(said: str, cups: float) -> None:
    """Parts of a cup as recipes write them; the values are arithmetic."""
    entry = only(f"Zorvik had {said} for dinner", kennel())
    assert isinstance(entry, Meal)
    assert entry.unit == "cup"
    assert entry.amount == pytest.approx(cups, abs=1e-5)  # kept to five places


@pytest.mark.parametrize("said", ["thirty-eight point six", "thirty eight point six", "38.6", "38,6"])
def test_a_temperature_in_words(said: str) -> None:
    entry = only(f"Zorvik's temperature is {said}", kennel())
    assert isinstance(entry, Temperature)
    assert entry.celsius == pytest.approx(38.6)
