"""A pair on the day of a mating: pedigree, rules, tests."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from core.entries import HealthTest, Season, Whelping
from core.ledger import Ledger
from core.pairing import Pairing, certificates, check, litters_of
from core.pedigree import PedigreeError, kin, kinship, parents_of
from core.roster import Ancestor, Dog, Kennel, Litter
from tests.books import Book, day

RUNA = Dog(name="Runa", sex="f", born=day("2022-05-08"))
BRAN = Dog(name="Bran", sex="m", born=day("2021-03-08"))
HOUSE = Kennel(name="Larkrise", dogs=(RUNA, BRAN), show_rules="uk")
ON = day("2026-09-01")


def pair(*entries: object, house: Kennel = HOUSE, dam: Dog = RUNA, sire: Dog = BRAN) -> Pairing:
    return check(dam, sire, Book().add(*entries).ledger, house, day("2026-08-01"), ON)  # type: ignore[arg-type]


# ---- pedigree --------------------------------------------------------------------------------------------------------


def test_common_grandsire_three_steps_back() -> None:
    """Storm is grandsire of both: 2 + 2 steps, (1/2)^5 = 3.1 %; six of 62 places are known."""
    house = replace(
        HOUSE,
        pedigree=(
            Ancestor(name="Runa", sire="Kestrel", dam=None), Ancestor(name="Bran", sire="Skerry", dam=None),
            Ancestor(name="Kestrel", sire="Storm"), Ancestor(name="Skerry", sire="Storm"),
        ),
    )  # fmt: skip
    found = kin(BRAN, RUNA, house, 5)
    assert found.coefficient == pytest.approx(1 / 32)
    assert (found.known, found.of, found.common) == (6, 62, ("Storm",))
    assert kin(BRAN, RUNA, house, 2).coefficient == 0  # two generations back he is not yet to be seen


def test_a_sire_behind_the_dam_and_a_nickname() -> None:
    """A daughter to her own sire: 25 %, and the sire himself is the common ancestor; "Old Bran" is Bran."""
    bran = replace(BRAN, also=("Old Bran",))
    runa = replace(RUNA, sire="Old Bran")
    house = replace(HOUSE, dogs=(runa, bran))
    found = kin(bran, runa, house, 5)
    assert (found.coefficient, found.common) == (0.25, ("Bran",))


def test_an_inbred_common_ancestor_counts_for_more() -> None:
    """Half-siblings by a sire with F = 1/4: 1/8 · (1 + 1/4)."""
    parents = {
        "x": ("a", "b"), "y": ("a", "b"), "s": ("x", "y"), "m": ("s", "c"), "n": ("s", "d"),
    }  # fmt: skip
    assert kinship("m", "n", parents) == pytest.approx(1 / 8 * 1.25)


def test_a_circle_is_said() -> None:
    """A dog that is its own grandsire."""
    house = replace(HOUSE, pedigree=(Ancestor(name="Runa", sire="Kit"), Ancestor(name="Kit", sire="Runa")))
    with pytest.raises(PedigreeError, match="own ancestors"):
        kinship("Runa", "Bran", parents_of(house))
    with pytest.raises(ValueError, match="generation"):
        kin(BRAN, RUNA, HOUSE, 0)


# ---- rules -----------------------------------------------------------------------------------------------------------


def broken(found: Pairing) -> set[str]:
    return {r.what for r in found.rules if r.met is False}


def test_within_the_rules() -> None:
    """Four years old, one litter two years ago: nothing is broken, and no verdict is given."""
    found = pair(Whelping(dog="Runa", on=day("2024-07-01"), pups=5))
    assert broken(found) == set()
    assert (found.litters, found.months_since, found.stops) == (1, 28, ())
    assert {"no_match_claimed", "check_your_law", "breeder_decides"} <= set(found.caution)


@pytest.mark.parametrize(
    ("born", "rule"), [("2025-09-02", "dam_youngest_at_mating"), ("2018-11-03", "dam_oldest_at_whelping")]
)
def test_her_age(born: str, rule: str) -> None:
    """A day short of twelve months at mating; eight years on the day of whelping (63 days after) is too old."""
    runa = replace(RUNA, born=day(born))
    assert broken(pair(house=replace(HOUSE, dogs=(runa, BRAN)), dam=runa)) == {rule}
    kept = replace(RUNA, born=day(born) + (timedelta(days=-1) if rule.endswith("mating") else timedelta(days=1)))
    assert broken(pair(house=replace(HOUSE, dogs=(kept, BRAN)), dam=kept)) == set()


def test_litters_and_rest() -> None:
    """The fifth litter is one too many; whelping within twelve months of the last is too soon."""
    four = [Whelping(dog="Runa", on=day(f"{year}-02-01"), pups=4) for year in (2022, 2023, 2024, 2025)]
    assert broken(pair(*four)) == {"dam_litters"}
    assert broken(pair(Whelping(dog="Runa", on=day("2026-01-01"), pups=4))) == {"months_between_litters"}
    untold = next(r for r in pair().rules if r.what == "months_between_litters")
    assert (untold.figure, untold.met) == (None, None)


def test_one_whelping_told_in_three_places_is_one_litter() -> None:
    """In the book, as a litter and as pups on the roster; a stillborn's day does not make another."""
    born = day("2026-01-24")
    pups = (Dog(name="Ash", born=born, litter="Runa"), Dog(name="Birch", born=born, litter="Runa"))
    house = replace(HOUSE, dogs=(*HOUSE.dogs, *pups), litters=(Litter(dam="Runa", born=born, counted=2),))
    book = Book().add(Whelping(dog="Runa", on=born - timedelta(days=1), pups=2))
    assert litters_of(RUNA, book.ledger, house, ON) == (born - timedelta(days=1),)


def test_close_kin_and_stops() -> None:
    """Brother and sister; the wrong sexes, a neutered dog, one that is gone, pups under eight weeks."""
    runa, bran = (replace(d, sire="Storm", litter="Saga") for d in (RUNA, BRAN))
    found = pair(house=replace(HOUSE, dogs=(runa, bran)), dam=runa, sire=bran)
    assert broken(found) == {"close_kin"}
    assert found.kin is not None and found.kin.coefficient == 0.25
    assert set(pair(dam=BRAN, sire=RUNA).stops) == {"dam_not_female", "sire_not_male"}
    gone = replace(BRAN, gone="died", neutered=True)
    assert set(pair(sire=gone).stops) == {"neutered", "gone"}
    assert pair(Whelping(dog="Runa", on=ON - timedelta(days=50))).stops == ("nursing",)


def test_another_body_has_no_table() -> None:
    """Nothing is borrowed from another country's rules."""
    assert pair(house=replace(HOUSE, show_rules="fci")).rules == ()


# ---- tests and dates -------------------------------------------------------------------------------------------------


def test_certificates_the_day() -> None:
    """Valid to its last day; run out the day after; the newer result counts; one only made later is said as that."""
    eyes = HealthTest(dog="Runa", on=day("2025-08-14"), test="eyes", result="clear", until=day("2026-08-14"))
    hips = HealthTest(dog="Runa", on=day("2024-05-01"), test="hips", result="5:6")
    later = HealthTest(dog="Runa", on=day("2026-10-01"), test="DNA")
    ledger = Book().add(eyes, hips, later).ledger

    def states(on: str) -> dict[str, str]:
        return {t.test: t.state for t in certificates(RUNA, ledger, day(on))}

    assert states("2026-08-14") == {"DNA": "later", "eyes": "valid", "hips": "no_end"}
    assert states("2026-08-15")["eyes"] == "run_out"
    again = replace(eyes, on=day("2026-08-20"), until=day("2027-08-20"))
    newer = Book().add(eyes, again).ledger
    assert certificates(RUNA, newer, ON)[0].state == "valid"
    assert certificates(RUNA, Ledger(), ON) == ()


def test_without_a_date_the_end_of_her_next_season() -> None:
    """Eyes that run out before her season has ended are run out; without a season it is today's answer."""
    book = Book().add(
        Season(dog="Runa", on=day("2025-03-01")), Season(dog="Runa", on=day("2025-09-01")),
        Season(dog="Runa", on=day("2026-03-01")),
    )  # fmt: skip
    today = day("2026-08-01")
    found = check(RUNA, BRAN, book.ledger, HOUSE, today)
    assert found.on == found.season_to
    assert found.season_from is not None and found.season_from < day("2026-09-01") < found.on
    bare = check(RUNA, BRAN, Ledger(), HOUSE, today)
    assert (bare.on, bare.season_to) == (today, None)
