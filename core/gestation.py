"""When a bitch is due: from the best evidence in the book, and whether she is carrying on a day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from math import log

from core.entries import Mating, Progesterone, Season, Whelping
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel
from core.units import ng_per_ml
from shared.tables import facts

OVULATION, PEAK, MATING = "ovulation", "hormone_peak", "mating"


@dataclass(frozen=True, slots=True, kw_only=True)
class DueDate:
    """When whelping is expected.

    Attributes:
        on, earliest, latest: local days. basis: `ovulation`, `hormone_peak` or `mating`, the best there was.
        counted_from: the day of it. vet_after: past this day, still without pups, ring the vet.
        first_look, xray_from, food_up_from, temperatures_from, scan_from, scan_to, box_by: days worth knowing.
    """

    on: date
    earliest: date
    latest: date
    basis: str
    counted_from: date
    vet_after: date
    first_look: date
    scan_from: date
    scan_to: date
    box_by: date
    xray_from: date
    food_up_from: date
    temperatures_from: date
    source: tuple[str, ...] = ("mir-2011", "kutzler-2003", "concannon-1983", "pregnancy-custom")
    caution: tuple[str, ...] = ("vet_confirms",)


def whelped_on(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> date | None:
    """The day of her newest litter up to a day, from the book or the roster; None where there is none."""
    days = [p.entry.on for p in ledger.of(dog.name, Whelping, until=on)]
    days += [litter.born for litter in kennel.litters if litter.dam == dog.name and litter.born and litter.born <= on]
    days += [d.born for d in kennel.dogs if d.litter == dog.name and d.born <= on]
    return max(days, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Nursing:
    """A dam with pups that are not weaned: their day of birth, and how many; None where nobody counted."""

    born: date
    pups: int | None


def nursing(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> Nursing | None:
    """Her unweaned litter (under eight weeks) on a day, by the roster, the litters and the book; None where none lives.

    Pups on the roster count as far as they live; of others the number that was told stands, and a whelping of which
    no number was told counts as one with pups.
    """
    rule = facts("reproduction")["litter"]
    born = whelped_on(dog, ledger, kennel, on) if dog.sex != "m" else None
    if born is None or (on - born).days >= int(rule["milk_days"]):
        return None
    # Pups born over midnight: the breeder sets one day for them, the note of the whelping may have the other.
    near = int(rule["same_litter_days"])
    here = [d for d in kennel.dogs if d.litter == dog.name and d.born <= on and abs((d.born - born).days) <= near]
    if here:
        pups: int | None = sum(not d.gone for d in here)
    else:
        told = [w.pups for w in ledger.entries(dog.name, Whelping, since=born, until=on) if w.pups is not None]
        told += [x.counted for x in kennel.litters if x.dam == dog.name and x.born == born and x.counted is not None]
        pups = told[0] if told else None
    return None if pups == 0 else Nursing(born=born, pups=pups)


def season_starts(dog: Dog, ledger: Ledger, on: date) -> tuple[date, ...]:
    """First days of her seasons up to a day; days of colour within one season count once, its first."""
    same = facts("reproduction")["season"]["same_season"]
    starts: list[date] = []
    for p in ledger.of(dog.name, Season, until=on):
        if not starts or (p.entry.on - starts[-1]).days > same:
            starts.append(p.entry.on)
    return tuple(starts)


def tests(dog: Dog, ledger: Ledger, since: date, on: date) -> tuple[tuple[date, float], ...]:
    """Progesterone by day in ng/ml from `since` on; those without a unit are left out (they are to be asked)."""
    found = ledger.entries(dog.name, Progesterone, since=since, until=on)
    return tuple((p.on, ng_per_ml(p.value, p.unit)) for p in found if p.unit)


def crossing(values: Sequence[tuple[date, float]], level: float) -> date | None:
    """The day on which a rising value reaches a level, read between two tests on a log scale; None where it can't be.

    A first test that is already over the level says nothing of the day.
    """
    for (day_a, a), (day_b, b) in pairwise(values):
        if a < level <= b and a > 0:
            share = log(level / a) / log(b / a)
            return day_a + timedelta(days=round(share * (day_b - day_a).days))
    return None


def ovulation(values: Sequence[tuple[date, float]]) -> date | None:
    """The day of ovulation: a test within 5–8 ng/ml, else where the tests cross 6 ng/ml (Mir et al. 2011); or None."""
    rule = facts("reproduction")["progesterone"]
    inside = next((on for on, v in values if rule["ovulation_from"] <= v <= rule["ovulation_to"]), None)
    return inside or crossing(values, rule["ovulation"])


def due(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> DueDate | None:
    """When she is due, from ovulation, else the hormone peak, else her matings; None without a mating since her litter.

    Ovulation + 63 (63.1 ± 2.1, Mir et al. 2011), peak + 65 (64–66, Kutzler 2003), first mating + 63 (57–72,
    Concannon 1983).
    """
    since = _since(dog, ledger, kennel, on)
    matings = [p.entry.on for p in ledger.of(dog.name, Mating, since=since, until=on)]
    if not matings:
        return None
    return expected(matings, tests(dog, ledger, since, on))


def expected(matings: Sequence[date], values: Sequence[tuple[date, float]]) -> DueDate:
    """The due date by the best of these: progesterone in ng/ml by day, and days of mating (at least one)."""
    rule = facts("reproduction")["due"]
    day_of_ovulation = ovulation(values)
    peak = crossing(values, facts("reproduction")["progesterone"]["peak"])
    if day_of_ovulation is not None:
        start, basis, vet_after = day_of_ovulation, OVULATION, rule["vet_after_ovulation"]
        middle, low, high = rule["from_ovulation"], rule["from_ovulation_low"], rule["from_ovulation_high"]
        conceived = start
    elif peak is not None:
        start, basis = peak, PEAK
        middle, low, high = rule["from_peak"], rule["from_peak_low"], rule["from_peak_high"]
        conceived = start + timedelta(days=rule["peak_to_ovulation"])
        vet_after = rule["vet_after_ovulation"] + rule["peak_to_ovulation"]
    else:
        start, basis, vet_after = min(matings), MATING, rule["vet_after_mating"]
        middle, low, high = rule["from_mating"], rule["from_mating_low"], rule["from_mating_high"]
        conceived = start
    when = start + timedelta(days=middle)
    days = facts("reproduction")["pregnancy"]

    def after(name: str) -> date:
        return conceived + timedelta(days=int(days[name]))

    latest = max(matings) if basis == MATING else start
    return DueDate(
        on=when,
        earliest=start + timedelta(days=low),
        latest=latest + timedelta(days=high),
        basis=basis,
        counted_from=start,
        vet_after=start + timedelta(days=vet_after),
        first_look=when - timedelta(days=days["first_look_before"]),
        scan_from=after("scan_from"),
        scan_to=after("scan_to"),
        box_by=after("box_by"),
        xray_from=after("xray_from"),
        food_up_from=after("food_up_from"),
        temperatures_from=after("temperature_from"),
        caution=("vet_confirms", *(("only_matings",) if basis == MATING else ())),
    )


def day_of_pregnancy(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> int | None:
    """Days since ovulation (or the mating it is counted from) while she may be carrying; None where she is not."""
    when = due(dog, ledger, kennel, on)
    if when is None or on > when.latest + timedelta(days=7):
        return None
    shift = facts("reproduction")["due"]["peak_to_ovulation"] if when.basis == PEAK else 0
    return max(0, (on - when.counted_from).days - shift)


def _since(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> date:
    """From when on evidence is of this pregnancy: after her last litter, from her last season on, at most 80 days."""
    starts = season_starts(dog, ledger, on)
    born = whelped_on(dog, ledger, kennel, on)
    since = max([*starts[-1:], on - timedelta(days=80)])
    return max(since, born + timedelta(days=1)) if born else since


def unitless(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> tuple[Posted, ...]:
    """Her blood tests of this season whose unit was not said."""
    since = _since(dog, ledger, kennel, on)
    return tuple(
        p for p in ledger.of(dog.name, Progesterone, since=since, until=on)
        if isinstance(p.entry, Progesterone) and not p.entry.unit
    )
