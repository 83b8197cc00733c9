"""How much energy a dog needs a day by the published tables, side by side where they differ. In kcal and kg.

Tables are where a dog without a history starts; what this dog is measured to eat stands above them (`core.learned`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp
from statistics import median
from typing import Any

from shared.tables import facts


@dataclass(frozen=True, slots=True, kw_only=True)
class TableNeed:
    """One table's figure for a day: its name, kcal, and the keys of its sources."""

    name: str
    kcal: float
    source: tuple[str, ...]


def _rule(*path: str) -> Mapping[str, Any]:
    node: Any = facts("energy")
    for key in path:
        node = node[key]
    found: Mapping[str, Any] = node
    return found


def metabolic(kg: float) -> float:
    """kg^0.75."""
    return float(kg ** float(_rule("resting")["exponent"]))


def resting(kg: float) -> float:
    """Resting need in kcal a day: 70 · kg^0.75 (Small Animal Clinical Nutrition 5th ed.; AAHA 2021)."""
    return float(_rule("resting")["coefficient"]) * metabolic(kg)


def kg_where_resting_is(kcal: float) -> float:
    """The weight in kg whose resting need is this: (kcal / 70)^(4/3)."""
    return float((kcal / float(_rule("resting")["coefficient"])) ** (1 / float(_rule("resting")["exponent"])))


# ---- growing -------------------------------------------------------------------------------------------------------


def puppy_nrc(kg: float, share: float) -> float:
    """kcal a day of a pup at this share (0–1) of its adult weight: 130·kg^0.75·3.2·(e^(−0.87p) − 0.1) (NRC 2006).

    It overestimates small breeds (Alexander et al. 2017, Bradley et al. 2021).
    """
    rule = _rule("puppy", "nrc")
    return float(
        rule["maintenance"] * metabolic(kg) * rule["scale"] * (exp(-rule["rate"] * min(share, 1.0)) - rule["less"])
    )


def puppy_fediaf(kg: float, share: float) -> float:
    """kcal a day of a pup: 210, 175, 140 · kg^0.75 under 50, under 80, from 80 % of adult weight (FEDIAF 2021)."""
    rule = _rule("puppy", "fediaf")
    for below, kcal in zip(rule["below"], rule["kcal"], strict=True):
        if share < below:
            return float(kcal) * metabolic(kg)
    return float(rule["kcal"][-1]) * metabolic(kg)


def puppy_stepwise(kg: float, age_days: int) -> float:
    """kcal a day of a pup: 3 times resting need under 16 weeks, then twice (SACN 5th ed., AAHA 2021)."""
    rule = _rule("puppy", "stepwise")
    return float(rule["young"] if age_days < rule["young_until_day"] else rule["older"]) * resting(kg)


def growth_share(share_of_adult: float) -> float:
    """Share (0–0.5) of a pup's food that goes into growth: half after weaning, 9 % at 80 % of adult weight, then none.

    Straight between these (SACN 5th ed. p. 306).
    """
    rule = _rule("puppy", "growth_share")
    at, share = rule["at"], rule["share"]
    if share_of_adult <= at[0]:
        return float(share[0])
    for (a, left), (b, right) in zip(
        zip(at, share, strict=True), zip(at[1:], share[1:], strict=True), strict=False
    ):
        if share_of_adult <= b:
            return float(left + (right - left) * (share_of_adult - a) / (b - a))
    return float(share[-1])


# ---- grown ---------------------------------------------------------------------------------------------------------


def adult_activity(kg: float, activity: str = "moderate") -> float:
    """kcal a day of a grown dog: 95 (`inactive`), 110 (`moderate`) or 125 (`active`) · kg^0.75 (FEDIAF 2019)."""
    return float(_rule("adult")[activity]) * metabolic(kg)


def adult_times(kg: float, neutered: bool | None) -> float:
    """kcal a day of a grown dog: 1.6 times resting need if neutered, else 1.8 times (SACN 5th ed. Table 33-7)."""
    return float(_rule("adult")["times_neutered" if neutered else "times_intact"]) * resting(kg)


def veteran(kg: float) -> float:
    """kcal a day of a veteran: 95 · kg^0.75 (FEDIAF over 7 years; from memory)."""
    return float(_rule("veteran")["kcal"]) * metabolic(kg)


# ---- the dam -------------------------------------------------------------------------------------------------------


def late_gestation(kg: float) -> float:
    """kcal a day late in pregnancy: 130·kg^0.75 + 26·kg (NRC 2006; from memory)."""
    rule = _rule("gestation")
    return float(rule["maintenance"] * metabolic(kg) + rule["per_kg"] * kg)


def lactation(kg: float, pups: int, week: int) -> float | None:
    """kcal a day of a nursing dam: 145·kg^0.75 + kg·(24·first four + 12·next four)·L (NRC 2006; from memory).

    L is 0.75, 0.95, 1.1, 1.2 in weeks 1 to 4. None past the table: over eight pups, or another week.
    """
    rule = _rule("lactation")
    if not 1 <= week <= len(rule["by_week"]) or not 0 < pups <= rule["most_pups"]:
        return None
    first, further = min(pups, 4), max(pups - 4, 0)
    milk = kg * (rule["per_pup_to_four"] * first + rule["per_pup_to_eight"] * further) * rule["by_week"][week - 1]
    return float(rule["maintenance"] * metabolic(kg) + milk)


def nursing_least(kg: float) -> float:
    """kcal a day below which no nursing dam goes, whatever her litter: 145·kg^0.75, NRC 2006 without any milk.

    The 145 is checked in SACN 5th ed. p. 280 (Meyer 1985).
    """
    return float(_rule("lactation")["maintenance"]) * metabolic(kg)


def lactation_times(kg: float, pups: int) -> float:
    """kcal a day at the height of nursing by number of pups: 3 to 6 times resting need (SACN 5th ed. Table 5-2)."""
    rule = _rule("lactation")
    times = next(t for most, t in zip(rule["pups"], rule["times"], strict=True) if pups <= most)
    return float(times) * resting(kg)


def newborn(kg: float) -> float:
    """kcal a day of a newborn: 25 for 100 g (NRC 2006, FEDIAF 2021). Milk sees to it; never a feeding instruction."""
    return float(_rule("newborn")["kcal_per_100_g"]) * kg * 10


# ---- side by side --------------------------------------------------------------------------------------------------


def puppy_tables(kg: float, age_days: int, share: float | None) -> tuple[TableNeed, ...]:
    """The tables for a pup; without its share of adult weight only the one by age."""
    out = [TableNeed(name="stepwise", kcal=puppy_stepwise(kg, age_days), source=_sources("puppy", "stepwise"))]
    if share is not None:
        out.append(TableNeed(name="fediaf", kcal=puppy_fediaf(kg, share), source=_sources("puppy", "fediaf")))
        out.append(TableNeed(name="nrc", kcal=puppy_nrc(kg, share), source=_sources("puppy", "nrc")))
    return tuple(out)


def adult_tables(kg: float, neutered: bool | None) -> tuple[TableNeed, ...]:
    """The tables for a grown dog."""
    return (
        TableNeed(name="fediaf_moderate", kcal=adult_activity(kg), source=("fediaf-activity",)),
        TableNeed(
            name="times_neutered" if neutered else "times_intact",
            kcal=adult_times(kg, neutered),
            source=("sacn5-energy",),
        ),
        TableNeed(name="inactive", kcal=adult_activity(kg, "inactive"), source=("fediaf-activity", "nrc-2006-adult")),
    )


def veteran_tables(kg: float, neutered: bool | None) -> tuple[TableNeed, ...]:
    """The tables for a veteran: its own beside those for grown dogs."""
    return (TableNeed(name="veteran", kcal=veteran(kg), source=_sources("veteran")), *adult_tables(kg, neutered)[:2])


def gestation_tables(kg: float) -> tuple[TableNeed, ...]:
    """The tables for late pregnancy."""
    rule = _rule("gestation")
    return (
        TableNeed(name="nrc", kcal=late_gestation(kg), source=("nrc-2006-dam",)),
        TableNeed(name="aaha", kcal=float(rule["times_last"]) * resting(kg), source=("aaha-2021",)),
    )


def lactation_tables(kg: float, pups: int | None, week: int) -> tuple[TableNeed, ...]:
    """The tables for a nursing dam in a week (1 is the first); by pups alone where the week is past the table.

    Where nobody counted the pups, only the least.
    """
    if pups is None:
        return (TableNeed(name="nursing_least", kcal=nursing_least(kg), source=("nrc-2006-dam",)),)
    by_week = lactation(kg, pups, week)
    nrc = (TableNeed(name="nrc", kcal=by_week, source=("nrc-2006-dam",)),) if by_week is not None else ()
    return (*nrc, TableNeed(name="by_pups", kcal=lactation_times(kg, pups), source=("sacn5-lactation",)))


def middle(tables: tuple[TableNeed, ...]) -> float:
    """The middle one of the tables' figures, in kcal."""
    return float(median(t.kcal for t in tables))


def _sources(*path: str) -> tuple[str, ...]:
    found: tuple[str, ...] = _rule(*path)["source"]
    return found
