"""The lines that a newborn's weight and heat may cross, and what each means: keys, levels, sources."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import exp, floor

from core import heat
from core.roster import NEWBORN_DAYS, Dog
from shared.tables import facts, number, table

RED, AMBER, CLEAR = "red", "amber", "clear"
# What each key means for the pup: red is the vet now, amber is the vet or the breeder's eye today.
LEVEL = {
    "cold": RED,
    "hot": RED,
    "lost_ten_percent": RED,
    "under_birth_four_percent": RED,
    "lost_twice": RED,
    "not_back_to_birth_weight": RED,
    "lost": AMBER,
    "below_birth_weight": AMBER,
    "early_loss": AMBER,
    "early_dip": AMBER,
    "no_gain_for_a_day": AMBER,
    "not_doubled": AMBER,
    "cool": AMBER,
    "warm": AMBER,
}
SOURCE = {
    "under_birth_four_percent": "mila-2015",
    "lost_ten_percent": "vet-handbook",
    "not_back_to_birth_weight": "vet-handbook",
    "early_dip": "paediatric-teaching",
    "early_loss": "paediatric-teaching",
    "cold": "sacn5-growth",
    "cool": "heat-custom",
    "warm": "sacn5-growth",
    "hot": "heat-custom",
    "not_doubled": "sacn5-growth",
}

_HEAT = {heat.COLD: "cold", heat.LOW: "cool", heat.HIGH: "warm", heat.HOT: "hot"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Gram:
    """One weighing of a newborn."""

    at: datetime
    on: date
    grams: float


def fastest_ratio(day: float) -> float | None:
    """The fastest growth known as a multiple of birth weight, exp(0.13084·day − 0.001616·day²), on days 0 to 21; None
    outside them, where the curve does not hold (Alves 2020)."""
    rule = facts("newborn")["envelope"]
    if not 0 <= day <= rule["last_day"]:
        return None
    return exp(rule["b1"] * day + rule["b2"] * day * day)


def expected_pace(age_days: float) -> float:
    """Typical gain in percent of body weight a day: 8 in week 1, 5 to week 4 (SACN5 Table 16-1)."""
    rule = facts("newborn")["gain"]
    return float(rule["week_1" if age_days < 7 else "weeks_2_to_4"]["typical"])


def birth_class(breed: str, grams: float) -> str | None:
    """`normal`, `low` or `very_low` birth weight for a breed in the table, None for others (Mugnier et al. 2020)."""
    for row in table("birth_weight"):
        low, very_low = number(row, "low_below_g"), number(row, "very_low_below_g")
        if row["breed"] == breed.casefold().strip() and low and very_low:
            return "very_low" if grams < very_low else "low" if grams < low else "normal"
    return None


def weight_keys(
    grams: Sequence[Gram],
    birth: Gram | None,
    birth_at: datetime,
    pct_birth: float | None,
    doubled: int | None,
    weighed_day: int,
) -> list[str]:
    """The lines that the weights have crossed; those from birth only where a weight of the first two days is known."""
    if len(grams) < 2:
        return []
    rules = facts("newborn")
    last = grams[-1]
    since_last = round(100 * (last.grams / grams[-2].grams - 1), 6)  # so that exactly a tenth is a tenth
    hours = (last.at - birth_at).total_seconds() / 3600
    after_first_day = hours >= rules["amber"]["after_hours"]
    below_birth = birth is not None and last.grams < birth.grams
    keys = []
    if min(pct_birth or 0.0, since_last) <= rules["red_lines"]["loss_pct"]:
        keys.append("lost_ten_percent")
    if pct_birth is not None and pct_birth <= rules["red"]["from_birth_pct"]:
        keys.append("under_birth_four_percent" if after_first_day else _early(pct_birth))
    if below_birth and hours >= rules["red_lines"]["back_to_birth_hours"]:
        keys.append("not_back_to_birth_weight")
    # The next morning's round, a little after the hour of the first one, still tells of the first day.
    past_round = hours >= rules["amber"]["after_hours"] + rules["amber"]["round_hours"]
    small_dip = not past_round and (pct_birth or since_last) > rules["amber"]["small_dip_pct"]
    if after_first_day and since_last < 0 and not small_dip:
        lost_before = len(grams) > 2 and grams[-2].grams < grams[-3].grams
        keys.append("lost_twice" if lost_before else "lost")
    elif after_first_day and past_round:
        if below_birth:
            keys.append("below_birth_weight")
        day_before = [g for g in grams if last.at - g.at >= timedelta(hours=rules["amber"]["no_gain_hours"] - 2)]
        if day_before and last.grams <= day_before[-1].grams:
            keys.append("no_gain_for_a_day")
    if birth is not None and doubled is None and weighed_day >= rules["amber"]["doubled_by_day"]:
        keys.append("not_doubled")
    return keys


def _early(pct_birth: float) -> str:
    """A loss on the first day: up to 5 % can be normal by common teaching, more is for the vet to hear of."""
    return "early_dip" if pct_birth >= facts("newborn")["amber"]["early_dip_pct"] else "early_loss"


def heat_keys(celsius: float | None, age_days: int) -> list[str]:
    """What the body heat in °C says at an age: `cold`, `hot` (red), `cool`, `warm` (amber), or nothing."""
    if celsius is None or not 0 <= age_days < NEWBORN_DAYS:
        return []
    found = heat.band(celsius, age_days)
    return [_HEAT[found]] if found else []


def watch_reasons(dog: Dog, births: Mapping[str, float]) -> tuple[str, ...]:
    """Why the pup is on the watch list from its birth weight."""
    mine = births.get(dog.name)
    if mine is None:
        return ()
    rule = facts("newborn")["watch"]
    why = []
    if len(births) >= 3:
        lightest = sorted(births.values())[: max(1, floor(len(births) * rule["lightest_share"] + 0.5))]
        if mine <= lightest[-1]:
            why.append("lightest_quarter")
        others = sum(births.values()) / len(births)
        if mine <= others * (1 - rule["below_mean_pct"] / 100):
            why.append("quarter_below_mean")
    by_breed = birth_class(dog.breed, mine)
    if by_breed in ("low", "very_low"):
        why.append(f"{by_breed}_for_breed")
    return tuple(why)


def level_of(keys: Sequence[str]) -> str:
    """The worst level of these keys; `clear` for none."""
    levels = {LEVEL[k] for k in keys}
    return RED if RED in levels else AMBER if AMBER in levels else CLEAR
