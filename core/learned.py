"""What this dog needs by its own record: intake and gain so far give its factor on the tables, with an interval.

Bayes on the logarithm of the factor: before any record it is 1 with the spread that dogs have among themselves
(Bermingham et al. 2014); every week between two weighings with logged bowls is one more piece of evidence, worth
more the fewer bowls were missing. The figure takes over from the table by itself as evidence grows.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import exp, log, sqrt

from core.energy import growth_share
from core.intake import Intake, measured
from core.ledger import Ledger
from core.roster import Dog, Kennel
from core.weighings import Weighing, daily
from shared.tables import facts

Z80 = 1.2816  # standard deviations to each side of an 80 % interval of a normal distribution


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """The dog's own need.

    Attributes:
        factor, low, high: times the tables' middle, with its 80 % interval.
        kcal_day, low_kcal, high_kcal: the same in kcal a day at today's weight.
        weeks: pieces of evidence. weight: how much of the answer is the dog's own record (0–1), the rest the table.
    """

    factor: float
    low: float
    high: float
    kcal_day: float
    low_kcal: float
    high_kcal: float
    weeks: int
    weight: float
    source: tuple[str, ...] = ("bermingham-2014", "german-2011")

    @property
    def counts(self) -> bool:
        """True where the dog's own record outweighs the table."""
        return self.weight >= float(facts("energy")["learned"]["own_from"])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Week:
    a: Weighing
    b: Weighing
    intake: Intake


def learn(
    dog: Dog,
    ledger: Ledger,
    kennel: Kennel,
    on: date,
    *,
    table_kcal: float,
    share_of_adult: float | None,
    expected_gain_g_per_day: float | None,
    treats: bool = True,
) -> Learned:
    """The dog's factor on the tables' middle (`table_kcal` a day at today's weight), from the last weeks' records.

    For a pup a week's food is compared with what the table gives for the gain it really had: intake over
    table · (1 − s + s · gain ÷ expected gain), s the share that goes into growth (SACN 5th ed. p. 306). For a grown
    dog weight won or lost counts as tissue (about 7 kcal a gram; from memory). Without records: the table, as wide
    as dogs differ. Without `treats`, what it needs from its bowls where treats go on as they were: more treats in the
    book can then never ask for a fuller bowl.
    """
    rule = facts("energy")["learned"]
    prior = float(rule["prior_sd"])
    mean, precision, weeks = 0.0, 0.0, 0
    kg_now = _kg(dog, ledger, on)
    for week in _weeks(dog, ledger, kennel, on):
        days = (week.b.on - week.a.on).days
        gain = (week.b.kg - week.a.kg) / days * 1000
        gain_sd = float(rule["scale_sd"]) * week.b.kg * sqrt(2) / days * 1000
        # The table moves with weight as kg^0.75 does.
        table = table_kcal * (((week.a.kg + week.b.kg) / 2 / kg_now) ** 0.75 if kg_now else 1.0)
        kcal = week.intake.kcal_day if treats else week.intake.bowl_kcal
        found = _factor(kcal, table, gain, gain_sd, share_of_adult, expected_gain_g_per_day)
        if found is None:
            continue
        ln_factor, sd = found
        missing = 1 - week.intake.logged_share
        variance = float(rule["week_sd"]) ** 2 + sd**2 + (float(rule["gap_sd"]) * missing) ** 2
        mean, precision, weeks = mean + ln_factor / variance, precision + 1 / variance, weeks + 1
    if not weeks:
        return _learned(0.0, prior, 0, 0.0, table_kcal)
    own_variance = float(rule["cup_sd"]) ** 2 + 1 / precision
    weight = (1 / own_variance) / (1 / own_variance + 1 / prior**2)
    return _learned(weight * mean / precision, sqrt(1 / (1 / own_variance + 1 / prior**2)), weeks, weight, table_kcal)


def _learned(ln_factor: float, sd: float, weeks: int, weight: float, table_kcal: float) -> Learned:
    factor, low, high = exp(ln_factor), exp(ln_factor - Z80 * sd), exp(ln_factor + Z80 * sd)
    return Learned(
        factor=factor,
        low=low,
        high=high,
        kcal_day=factor * table_kcal,
        low_kcal=low * table_kcal,
        high_kcal=high * table_kcal,
        weeks=weeks,
        weight=weight,
    )


def _factor(
    kcal: float, table: float, gain: float, gain_sd: float, share: float | None, expected: float | None
) -> tuple[float, float] | None:
    """ln of intake over the table's figure for that gain, and the SD that the scale's error adds; None: no sense."""
    if kcal <= 0 or table <= 0:
        return None
    into_growth = growth_share(share) if share is not None else 0.0
    if into_growth > 0 and expected and expected > 0.5:
        needed = 1 - into_growth + into_growth * gain / expected
        return (log(kcal / (table * needed)), into_growth * gain_sd / expected / needed) if needed > 0.2 else None
    tissue = float(facts("energy")["learned"]["tissue_kcal_per_g"])
    upkeep = kcal - tissue * gain
    return (log(upkeep / table), tissue * gain_sd / upkeep) if upkeep > 0.2 * table else None


def _weeks(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> list[_Week]:
    """The last stretches between two weighings that have enough bowls logged, newest first; none of pregnancy."""
    rule = facts("energy")["learned"]
    weighings = [w for w in daily(dog, ledger, on) if not w.carrying]
    found: list[_Week] = []
    end = len(weighings) - 1
    while end > 0 and len(found) < int(rule["weeks"]):
        b = weighings[end]
        start = next(
            (i for i in range(end - 1, -1, -1) if (b.on - weighings[i].on).days >= int(rule["shortest_days"])), None
        )
        if start is None:
            break
        a = weighings[start]
        if (b.on - a.on).days <= int(rule["longest_days"]):
            until = b.on - timedelta(days=1)
            intake = measured(dog, ledger, kennel, a.on, until, int(rule["fewest_days_logged"]))
            if intake is not None:
                found.append(_Week(a=a, b=b, intake=intake))
        end = start
    return found


def _kg(dog: Dog, ledger: Ledger, on: date) -> float | None:
    weighings = daily(dog, ledger, on)
    return weighings[-1].kg if weighings else None
