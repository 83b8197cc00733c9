"""Rules of the reader that hold for any message.

Where a rule fails because of a bug of the reader, the smallest message that shows it stays below as a strict xfail.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from datetime import timedelta
from math import isfinite
from types import FrameType
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import DamerauLevenshtein

from bot.reading import explain, read
from core import plausible
from core.entries import Condition, Entry, Height, Meal, Reading, Season, Temperature, Treat, Weight, Whelping
from core.messages import Message
from core.roster import Kennel, KnownWeight
from core.units import KG_PER_LB, KG_PER_OZ, KG_PER_STONE
from tests.properties.strategies import (
    AT,
    GROWN,
    KENNEL,
    SENDER,
    Sentence,
    any_text,
    heard_text,
    letters_apart,
    non_words,
    sentences,
)

QUICK = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def reading(text: str, kennel: Kennel = KENNEL, before: Sequence[Message] = ()) -> Reading:
    """The reading of a message of the invented kennel."""
    return read(text, SENDER, AT, kennel, before)


def meant(found: Reading, names: dict[str, str] | None = None) -> Any:
    """What a reading says, without the words that gave it; the dogs under other names where given."""
    new = names or {}

    def plain(entry: Entry | None) -> Any:
        if entry is None:
            return None
        values = {f.name: getattr(entry, f.name) for f in fields(entry) if f.name != "said"}
        for key in ("dog", "with_"):
            if key in values:
                values[key] = new.get(values[key], values[key])
        return (entry.kind, tuple(sorted(values.items())))

    return (
        [plain(e) for e in found.entries],
        [(q.about, new.get(q.dog or "", q.dog or "")) for q in found.questions],
        [(d.about, plain(d.entry), tuple(new.get(c, c) for c in d.choices)) for d in found.doubts],
    )


# Nothing is left of these when marks and joining words are gone.
BARE = ["and", ",", "\n", "but then", "HOWEVER", "- ", "? and"]


def _run_on(parts: list[Sentence]) -> str:
    return " and ".join(p.text for p in parts)


class TestAnyText:
    """Reading never raises, and reading twice is the same."""

    @settings(QUICK, max_examples=300)
    @given(any_text())
    @example("\ud800\udc00 \udfff 9.4 kg")
    @example("Zorvik\u0000 27.2\u202e kg")
    @example("e\u0301" * 50)
    @example("Zorvik २७ kg, ٢٧ kg, ２７ kg, 27² kg, Ⅸ kg, 𝟗.𝟒 kg")
    @example("ﬁve ſix İstanbul ŉ ß ǰ")
    def test_never_raises(self, text: str) -> None:
        assert meant(reading(text)) == meant(reading(text))
        explain(text, SENDER, AT, KENNEL)

    @settings(QUICK, max_examples=400)
    @given(heard_text())
    def test_never_raises_on_known_words_in_any_order(self, text: str) -> None:
        assert meant(reading(text)) == meant(reading(text))

    @QUICK
    @given(st.lists(st.one_of(heard_text(12), sentences().map(lambda s: s.text)), max_size=3), heard_text(12))
    def test_never_raises_with_earlier_messages(self, earlier: list[str], text: str) -> None:
        senders = (SENDER, "Ansgar", "Fettle")
        before = tuple(
            Message(
                key=str(i),
                room="family",
                sender=senders[i % 3],
                sent_at=AT - timedelta(minutes=5 * (len(earlier) - i)),
                text=said,
            )
            for i, said in enumerate(earlier)
        )
        assert meant(reading(text, before=before)) == meant(reading(text, before=before))

    @pytest.mark.parametrize(
        "text",
        [
            "a" * 100_000,
            "9" * 100_000,
            "9.4 " * 25_000,
            "Zorvik 27.2 kg, " * 6_250,
            "½" * 100_000,
            "\n" * 100_000,
            "'" * 100_000,
            "1/2/" * 25_000,
            "Zorvik" * 16_000,
            "\u0301" * 100_000,
            "\ud83d" * 100_000,
            "🐕" * 25_000,
        ],
        ids=lambda text: ascii(text[:9]),
    )
    def test_never_raises_however_long(self, text: str) -> None:
        assert len(text) >= 25_000
        reading(text)

    @pytest.mark.parametrize("text", BARE, ids=ascii)
    def test_marks_and_joining_words_alone(self, text: str) -> None:
        assert not reading(text)


class TestKept:
    """Whatever the words, what is kept is of a dog of the roster, on a day of its life, and can be right."""

    @settings(QUICK, max_examples=400)
    @given(st.one_of(heard_text(), st.lists(sentences(), min_size=2, max_size=4).map(_run_on)))
    def test_possible(self, text: str) -> None:
        for entry in reading(text).entries:
            dog = KENNEL.by_name[entry.dog]
            assert dog.born <= entry.on <= AT.date()
            if isinstance(entry, Weight):
                assert plausible.weight_fits(dog, entry.kg, entry.on)
            elif isinstance(entry, Temperature):
                assert plausible.CELSIUS[0] <= entry.celsius <= plausible.CELSIUS[1]
            elif isinstance(entry, Height):
                assert plausible.height_fits(entry.cm)
            elif isinstance(entry, Condition) and entry.score is not None:
                assert plausible.condition_fits(entry.score, entry.scale or 9)
            elif isinstance(entry, Meal | Treat):
                assert entry.amount is None or (entry.amount > 0 and isfinite(entry.amount))
                assert entry.amount is None or entry.unit in {"cup", "g", "can", "piece"}
            elif isinstance(entry, Season | Whelping):
                assert dog.sex == "f"


class TestDress:
    """Letter case, extra spaces, and emoji and full stops at the end change nothing."""

    @QUICK
    @given(sentences(), st.sampled_from([str.upper, str.lower, str.title, str.swapcase]))
    def test_letter_case(self, sentence: Sentence, case: Callable[[str], str]) -> None:
        assert meant(reading(case(sentence.text))) == meant(reading(sentence.text))

    @QUICK
    @given(heard_text(15, odd=False), st.sampled_from([str.upper, str.lower]), st.sampled_from(["", " ", "\n", " 🐾"]))
    def test_letter_case_and_ends_of_any_words(self, text: str, case: Callable[[str], str], end: str) -> None:
        assert meant(reading(case(text) + end)) == meant(reading(text))

    @QUICK
    @given(sentences(), st.data())
    def test_extra_spaces(self, sentence: Sentence, data: st.DataObject) -> None:
        gaps = st.sampled_from([" ", "  ", "    ", "\t", "\u00a0", " \u2009"])
        words = sentence.text.split(" ")
        wide = "".join(data.draw(gaps) + w for w in words) + data.draw(st.sampled_from(["", " ", "   ", "\n"]))
        assert meant(reading(wide)) == meant(reading(sentence.text))

    @QUICK
    @given(
        sentences(),
        st.lists(st.sampled_from("🐕🐾😂💪🎉❤🥰🙈😀🦴✨🙏"), min_size=1, max_size=4),
        st.sampled_from(["", " "]),
    )
    def test_emoji_at_the_end(self, sentence: Sentence, emoji: list[str], gap: str) -> None:
        assert meant(reading(sentence.text + gap + "".join(emoji))) == meant(reading(sentence.text))

    @QUICK
    @given(sentences(), st.sampled_from([".", "..", "...", "…", " .", "!", "!!"]))
    def test_full_stops_at_the_end(self, sentence: Sentence, stops: str) -> None:
        assume(not sentence.text.endswith("?"))
        assert meant(reading(sentence.text + stops)) == meant(reading(sentence.text))


def pounds_and_ounces(kg: float) -> tuple[str, float]:
    """The weight as '20 lb 11 oz', and the kilograms that this says."""
    ounces = round(kg / KG_PER_OZ)
    return f"{ounces // 16} lb {ounces % 16} oz", ounces * KG_PER_OZ


def one_unit(unit: str, factor: float, places: int) -> Callable[[float], tuple[str, float]]:
    """A way of writing a weight in one unit, with the kilograms that the rounded figure says."""

    def write(kg: float) -> tuple[str, float]:
        figure = round(kg / factor, places)
        return f"{figure:.{places}f}{unit}", figure * factor

    return write


WAYS = {
    "kg": one_unit(" kg", 1.0, 2),
    "kilos": one_unit(" kilos", 1.0, 1),
    "close kg": one_unit("kg", 1.0, 1),
    "comma": lambda kg: (f"{kg:.1f} kg".replace(".", ","), round(kg, 1)),
    "g": one_unit(" g", 0.001, 0),
    "grams": one_unit(" grams", 0.001, 0),
    "lb": one_unit(" lb", KG_PER_LB, 1),
    "pounds": one_unit(" pounds", KG_PER_LB, 2),
    "oz": one_unit(" oz", KG_PER_OZ, 0),
    "lb and oz": pounds_and_ounces,
    "stone": one_unit(" stone", KG_PER_STONE, 2),
    "none": one_unit("", 1.0, 1),
}


class TestUnits:
    """A weight written in any unit reads to the same kilograms within rounding, in a kennel of any habit."""

    @QUICK
    @given(
        st.sampled_from(GROWN),
        st.floats(0.75, 1.4),
        st.sampled_from(sorted(WAYS)),
        st.sampled_from(
            ["{dog} weighs {said}", "{dog} {said}", "{said} for {dog} this morning", "weighed {dog}: {said}"]
        ),
        st.sampled_from(["kg", "lb"]),
    )
    def test_any_unit(self, name: str, share: float, way: str, form: str, habit: str) -> None:
        assume(way != "none" or habit == "kg")
        dog = KENNEL.by_name[name]
        assert dog.last_weight is not None
        said, kg = WAYS[way](dog.last_weight.kg * share)
        found = reading(form.format(dog=name, said=said), replace(KENNEL, weight_unit=habit))
        assert [type(e) for e in found.entries] == [Weight], found
        entry = found.entries[0]
        assert isinstance(entry, Weight)
        assert (entry.dog, entry.on) == (name, AT.date())
        assert entry.kg == pytest.approx(kg, rel=1e-6, abs=1e-4)

    @QUICK
    @given(st.floats(0.75, 1.9), st.sampled_from(["g", "grams", "oz", "kg", "lb and oz"]))
    def test_newborns(self, share: float, way: str) -> None:
        said, kg = WAYS[way](0.8 * share)
        assume(not said.startswith("0 lb") and not said.endswith(" 0 oz"))
        found = reading(f"Fyxen {said}")
        assert [(e.kind, e.dog) for e in found.entries] == [("weight", "Fyxen")]
        entry = found.entries[0]
        assert isinstance(entry, Weight)
        assert entry.kg == pytest.approx(kg, rel=1e-6, abs=1e-4)

    @QUICK
    @given(st.sampled_from(GROWN), st.one_of(st.floats(0.05, 0.6), st.floats(1.7, 9.0)), st.sampled_from(["kg", "lb"]))
    def test_what_cannot_be_right_is_asked(self, name: str, share: float, unit: str) -> None:
        dog = replace(KENNEL.by_name[name], born=AT.date() - timedelta(days=1500))
        assert dog.last_weight is not None
        kennel = replace(KENNEL, dogs=tuple(dog if d.name == name else d for d in KENNEL.dogs))
        said, _ = WAYS[unit](dog.last_weight.kg * share)
        found = reading(f"{name} weighs {said}", kennel)
        assert not found.entries
        assert [d.about for d in found.doubts] == ["value"]


class TestNames:
    """A dog renamed on the roster and in the message is renamed in the reading; unknown words yield nothing."""

    @settings(QUICK, max_examples=250)
    @given(sentences(), st.lists(non_words(), min_size=len(KENNEL.dogs), max_size=len(KENNEL.dogs), unique=True))
    def test_renaming(self, sentence: Sentence, drawn: list[str]) -> None:
        assume(letters_apart(drawn))
        names = {d.name: new.title() for d, new in zip(KENNEL.dogs, drawn, strict=True)}
        dogs = tuple(replace(d, name=names[d.name], litter=names.get(d.litter or "")) for d in KENNEL.dogs)
        renamed = reading(sentence.named(names), replace(KENNEL, dogs=dogs))
        assert meant(renamed) == meant(reading(sentence.text), names)

    @QUICK
    @given(st.lists(non_words(), max_size=30), st.sampled_from([" ", ", ", ". ", "\n"]))
    def test_unknown_words(self, words: list[str], joint: str) -> None:
        assert not reading(joint.join(words))

    @QUICK
    @given(sentences(), non_words())
    def test_a_dog_of_no_roster(self, sentence: Sentence, name: str) -> None:
        """No entry lands on a dog of the roster because an unknown one is named."""
        assume(len(sentence.dogs) == 1)
        assume(all(DamerauLevenshtein.distance(name, d.name.casefold()) > 1 for d in KENNEL.dogs))  # no typing slip
        found = reading(sentence.named({sentence.dogs[0]: name.title()}))
        assert not found.entries


def lines_run(text: str) -> int:
    """How many lines of Python the reader runs for a message: its cost, without a clock."""
    count = 0

    def local(frame: FrameType, event: str, arg: Any) -> Any:
        nonlocal count
        count += event == "line"
        return local

    earlier = sys.gettrace()
    reading(text)  # what is made once is made now
    sys.settrace(local)
    try:
        reading(text)
    finally:
        sys.settrace(earlier)
    return count


LONG = {
    "weights": "Zorvik 27.2 kg, Brelka 22.3. ",
    "run on": "zorvik 27.2 brelka 22.3 quilmo 14.4 ",
    "told": "Brushed Quilmo and did his nails, Jundra left some of her lunch. ",
    "no full stop": "and then zorvik was limping and brelka had one and a half cups and ",
    "table": "Zorvik | 27.2\nBrelka | 22.3\n",
    "questions": "has anyone fed Zorvik? ",
    "groups": "all the pups had breakfast and the girls half a cup ",
    "pronouns": "he was sick and she ate it and they left some ",
    "denied": "not sick, no cough, no limp, ",
    "names": "Zorvik Brelka Quilmo ",
    "listed": "Zorvik, Brelka and ",
    "figures": "9.4 12 27.2 3/4 ",
    "days": "yesterday on Sunday 3/3 two days ago ",
    "and": "and ",
    "unknown": "vrazil krodwe fyogux ",
    "small talk": "the kettle is on and somebody ought to get milk before the shop shuts ",
    "loose": "the his her all of a ",
    "marks": "| - , : ",
    "letters": "a",
    "apostrophes": "'s ",
}


class TestLength:
    """The cost of reading grows with the length of the message, never with its square."""

    @pytest.mark.parametrize("text", [pytest.param(text, id=kind) for kind, text in LONG.items()])
    def test_linear(self, text: str) -> None:
        """Twice the text runs under three times the lines (a square would run four times)."""
        short = (text * (1_000 // len(text) + 1))[:1_000]
        assert lines_run(short * 2) < 3 * lines_run(short)

    @pytest.mark.parametrize("text", ["Zorvik 27.2 kg, ", "a"])
    def test_no_more_for_what_nobody_can_have_typed(self, text: str) -> None:
        """Past the chat's longest message (4,096 characters) nothing is added."""
        assert lines_run(text * (100_000 // len(text))) <= lines_run(text * (4_200 // len(text))) * 1.01


def test_the_roster_is_plausible() -> None:
    """What the sentences say of weights fits the kennel: the rules above are not about doubts."""
    assert all(isinstance(d.last_weight, KnownWeight) for d in KENNEL.dogs)
    assert reading("Zorvik weighs 27.2 kg").entries
