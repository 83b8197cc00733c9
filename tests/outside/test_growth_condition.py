"""Condition, teeth, ears against what is published; each check names its source and how far it was seen."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from core import ears
from core.condition import ideal_kg, is_ideal, over_ideal_pct
from core.entries import Groom
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel
from shared.tables import facts, number, table


def test_ideal_weight_by_the_divide_form() -> None:
    """30 kg at 7 of 9 is 25.0 kg: each point above 5 is 10 % over ideal (MVMA 2023 proceedings, seen); the other form
    in circulation, 30·(1 − 0.2) = 24, does not fit that sentence."""
    assert ideal_kg(30.0, 7) == pytest.approx(25.0)


@pytest.mark.parametrize(("score", "pct"), [(4, 0), (5, 0), (6, 10), (7, 20), (8, 30), (9, 40)])
def test_ten_percent_a_point(score: int, pct: float) -> None:
    """MVMA 2023 proceedings (seen); table and function say the same."""
    assert over_ideal_pct(score) == pytest.approx(pct)
    row = next(r for r in table("condition9") if r["score"] == str(score))
    assert number(row, "over_ideal_pct") == pct


def test_ideal_is_four_to_five() -> None:
    """Laflamme 1997, Canine Practice 22:10–15 (seen as cited in FEDIAF 2019): 4 to 5 of 9 is ideal, 3 thin, 6 heavy."""
    by_nine = facts("condition")["hands"]["from_nine"]
    assert [n for n in range(1, 10) if is_ideal(by_nine[n - 1])] == [4, 5]


def test_teeth_add_up() -> None:
    """28 milk teeth without molars, 42 adult teeth (texasveterinarydentalcenter.com, ksla.com, seen)."""
    for set_, whole in (("milk", 28), ("adult", 42)):
        parts = {r["tooth"]: int(r["count"]) for r in table("teeth") if r["set"] == set_}
        assert parts.pop("all") == whole
        assert sum(parts.values()) == whole
    assert not any(r["tooth"] == "molars" for r in table("teeth") if r["set"] == "milk")


def test_teething_weeks_cover_the_change_of_teeth() -> None:
    """Incisors from 3 months, canines and premolars to 6 (texasveterinarydentalcenter.com, seen): weeks 14 to 26 of
    the ear watch lie within them (common practice, no source)."""
    ages = facts("ears")["age"]
    month = 365.25 / 12 / 7
    assert ages["teething_from_week"] >= 3 * month - 1
    assert ages["teething_to_week"] <= 6 * month + 1


def test_ears_are_not_given_up_before_nine_months() -> None:
    """Prick ears are up at 4–6 months (drool.pet), 6–8 (keepingdog.com), some to 9 (all seen): no alert before 4½
    months, and the window ends at nine."""
    ages = facts("ears")["age"]
    assert min(ages["alert_weeks"]) >= 4 * 30.4 / 7
    assert tuple(ages["window_months"]) == (6, 9)


def test_ear_hair_is_back_in_eight_to_ten_weeks() -> None:
    """Common practice, no source: trimmed on 5 July, back about 30 August to 13 September; 29 August is tight,
    12 September likely fine."""
    dog = Dog(name="Pup", born=date(2026, 3, 8))
    trim = Groom(dog="Pup", on=date(2026, 7, 5), task="ear trim")
    posted = Posted(id=1, entry=trim, at=datetime(2026, 7, 5, 12, tzinfo=UTC))
    e = ears.assess(dog, Ledger([posted]), Kennel(name="k", dogs=(dog,)), date(2026, 7, 6))
    assert (e.grown_back_from, e.grown_back_to) == (date(2026, 8, 30), date(2026, 9, 13))


def test_no_result_promises_an_ear_or_proposes_calcium() -> None:
    """A vet's page (ringringvet.com, seen): cartilage does not fix calcium; no step and no caution proposes it, tape or
    glue. No key of a result says will or won't."""
    dog = Dog(name="Pup", born=date(2026, 3, 8))
    e = ears.assess(dog, Ledger(), Kennel(name="k", dogs=(dog,)), date(2026, 3, 8) + timedelta(weeks=20))
    assert "no_calcium" in e.caution
    steps = {"hands_on_ribs", "lean_and_jar_and_hair", "hair", "wait", "breeders_cut", "mentor_or_vet", "vet", None}
    assert e.next_step in steps
    assert not {"calcium", "tape", "glue"} & steps


def test_growth_plates_of_the_forearm() -> None:
    """Oviawe et al. 2018 (seen: paper.researchbib.com 192304): proximal ulna 24 weeks, proximal radius 28, distal ulna
    32, distal radius 36; each lies in the textbook's range for that plate (from memory)."""
    weeks = {("ulna", "proximal"): 24, ("radius", "proximal"): 28, ("ulna", "distal"): 32, ("radius", "distal"): 36}
    for (bone, plate), week in weeks.items():
        rows = [r for r in table("growth_plates") if r["bone"] == bone and r["plate"].startswith(plate)]
        seen = next(r for r in rows if r["source"] == "oviawe-2018")
        book = next(r for r in rows if r["source"] == "radiology-texts")
        months = number(seen, "from_months")
        assert months == pytest.approx(week * 7 / 30.4, abs=0.1)
        assert (number(book, "from_months") or 0) <= (months or 0) <= (number(book, "to_months") or 0)
