"""Rules of the red words that hold for any text and any dog."""

from __future__ import annotations

from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from core.roster import Dog, Kennel
from core.urgent import alarm

ON = date(2026, 7, 5)
NAMES = ["Nugget", "Fern", "Old Bran", "Ísold", "Pip"]
KENNEL = Kennel(name="K", dogs=tuple(Dog(name=n, sex="f", born=date(2024, 1, 1)) for n in NAMES))
POISONS = ["chocolate", "a grape", "two raisins", "xylitol gum", "rat bait", "slug pellets", "my ibuprofen", "an onion"]


class TestRedWords:
    """A named dog that ate a poison always rings, in any case; the same denied never does; any text is survived."""

    @settings(max_examples=200, deadline=None)
    @given(st.sampled_from(NAMES), st.sampled_from(["ate", "has eaten", "just swallowed", "scoffed"]),
           st.sampled_from(POISONS), st.sampled_from([str.lower, str.upper, str.title]))  # fmt: skip
    def test_rings(self, name: str, verb: str, poison: str, case: object) -> None:
        found = alarm(case(f"{name} {verb} {poison}"), KENNEL, ON)  # type: ignore[operator]
        assert found is not None
        assert found.dog == name

    @settings(max_examples=200, deadline=None)
    @given(st.sampled_from(NAMES), st.sampled_from(["didn't eat", "never ate", "has not eaten", "nearly ate"]),
           st.sampled_from(POISONS))  # fmt: skip
    def test_denied(self, name: str, verb: str, poison: str) -> None:
        assert alarm(f"{name} {verb} {poison}", KENNEL, ON) is None

    @settings(max_examples=300, deadline=None)
    @given(st.text(max_size=400))
    def test_any_text(self, text: str) -> None:
        alarm(text, KENNEL, ON)
