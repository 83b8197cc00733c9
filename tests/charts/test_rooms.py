"""Each room gets the picture that it may see, whatever the description says."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.replies import charts
from bot.replies.charts.spec import KINDS, Spec
from core.roster import BREEDER, FAMILY
from tests.books import day
from tests.charts.cases import CASES, many_treaters
from tests.charts.drawn import drawn, said, sheet_of
from tests.dialogue_house import House

HOUSE = House.of_demo()
NAMES = {n for d in HOUSE.kennel.dogs for n in (d.name, *d.also)} | {p.name for p in HOUSE.kennel.people}


@pytest.mark.parametrize("kind", KINDS)
def test_a_buyer_gets_only_their_own_dog(kind: str) -> None:
    for dog in HOUSE.kennel.dogs:
        spec = f"chart:{kind}:{dog.name}:2026-03-14:people"
        if dog.name != "Teasel":
            with pytest.raises(charts.ChartError):
                charts.render(spec, HOUSE.kennel, HOUSE.ledger, "Ana")
        elif kind != "litter":
            page = charts.drawn(charts.parse(spec), HOUSE.kennel, HOUSE.ledger, "Ana")
            assert not {n for n in NAMES - {"Teasel"} if n in said(page)}


def test_a_stranger_gets_nothing() -> None:
    with pytest.raises(charts.ChartError):
        charts.render("chart:weight:Nugget:2026-03-14", HOUSE.kennel, HOUSE.ledger, "Percy")


def test_who_treats_is_drawn_in_the_breeders_line_alone() -> None:
    """The same description, with people, in four rooms."""
    case = many_treaters()
    assert {"Ida", "Wren", "Tom"} <= set(said(drawn(case)).split())
    for room in (FAMILY, "Tom", "Wren"):
        words = said(drawn(replace(case, room=room)))
        assert not {"Ida", "Wren", "Tom", "Maximilian", "Grandfather", "others"} & set(words.split())
    assert "Ida" not in said(drawn(replace(case, spec=case.spec.removesuffix(":people"))))


def test_the_kennels_unit_and_look_where_none_is_named() -> None:
    case = CASES["Moss"]
    kennel = replace(case.kennel, weight_unit="lb", charts="dark")
    page = charts.drawn(charts.parse("chart:weight:Moss:2026-03-14"), kennel, case.ledger)
    assert "lb" in said(page) and page.look == sheet_of("Moss", "dark").look
    named = charts.drawn(charts.parse("chart:weight:Moss:2026-03-14:kg:light"), kennel, case.ledger)
    assert "kg" in said(named) and named.look == sheet_of("Moss", "light").look


@given(
    kind=st.sampled_from(KINDS),
    dog=st.text(min_size=1, max_size=12),
    unit=st.sampled_from(("", "kg", "lb")),
    look=st.sampled_from(("", "light", "dark")),
    people=st.booleans(),
)
def test_a_description_is_read_as_it_was_written(kind: str, dog: str, unit: str, look: str, people: bool) -> None:
    spec = Spec(kind=kind, dog=dog, on=day("2026-03-14"), unit=unit, look=look, people=people)
    assert charts.parse(str(spec)) == spec


def test_the_same_sheet_is_the_same_picture_to_the_byte() -> None:
    case = CASES["ear window"]
    assert charts.render(case.spec, case.kennel, case.ledger) == charts.render(case.spec, case.kennel, case.ledger)
    assert CASES["many treaters"].room == BREEDER
