"""What is known of a dog's growth before it was ever weighed: sex, breed, parents, and the kennel's own line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import exp, hypot, log, sqrt

from core.curve import Shape, reference
from core.fitted import Prior
from core.ledger import Ledger
from core.roster import Dog, Kennel
from core.weighings import Weighing, daily, grown_kg
from shared.tables import facts, number, table


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """The prior of one dog's curve, and what it rests on.

    Attributes:
        prior: of (ln adult kg, ln pace, shift). shape: the reference shape.
        basis: `breeder_expects`, `parents`, `own_line`, `breed`, `no_breed`: what was used, in that order.
        own_line_dogs: how many grown dogs made the own line; 0 where it was not used. source: keys of SOURCES.md.
    """

    prior: Prior
    shape: Shape
    basis: tuple[str, ...]
    own_line_dogs: int = 0
    source: tuple[str, ...] = ()

    def u(self, day: float) -> float:
        """Straightened age on a day of age, the axis stretched for the dog's size."""
        return self.shape.u(day / self.prior.stretch)

    def fraction(self, day: float) -> float:
        """Share of adult weight on a day of age by the line's own middle curve, before this dog's weights."""
        _, ln_s, d = self.prior.mean
        return exp(-exp(-(exp(ln_s) * self.u(day) + d)))


@dataclass(frozen=True, slots=True, kw_only=True)
class GrownDog:
    """One grown dog of the line: adult weight in kg, pace and shift of its growth (None: not weighed then)."""

    dog: str
    adult_kg: float
    ln_pace: float | None = None
    shift: float | None = None


def expect(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> Expected:
    """The prior of a dog's growth curve on a day.

    Adult weight: the line's mean (six grown dogs, else breed table, else hardly anything), moved by the parents' lean
    weights as a heritable trait, then by what the breeder expects; pace and shift: the six grown dogs, else the
    reference shape stretched for size (Posada).
    """
    rules = facts("growth")
    spread = rules["spread"]
    grown = own_line(dog, ledger, kennel, on)
    line = grown if len(grown) >= rules["curve"]["own_line_dogs"] else ()
    basis: list[str] = []
    source: list[str] = ["breeders-curve"]

    within = spread["adult_within_line"]
    if line:
        ln_kgs = [log(g.adult_kg) - _sex_offset(kennel.dog(g.dog)) for g in line]
        mean = sum(ln_kgs) / len(ln_kgs)
        within = _pooled(ln_kgs, mean, within)
        unknown = within / sqrt(len(ln_kgs))
        found = ["own_line"]
    elif breed := _breed(dog):
        mean, unknown, found = log(breed[0]), spread["adult_line_from_breed"], ["breed"]
        source.append(breed[1])
    else:
        mean, unknown, found = log(_middle_kg()), spread["adult_line_unknown"], ["no_breed"]

    variance = unknown**2 + within**2
    parents = _parents(dog, ledger, kennel, on)
    if parents:
        n, middle = len(parents), sum(parents) / len(parents)
        total = unknown**2 + (within**2 + spread["adult_parent_weighed"] ** 2) / n
        shared = unknown**2 + 0.5 * spread["heritability"] * within**2
        mean, variance = mean + shared / total * (middle - mean), variance - shared**2 / total
        found.insert(0, "parents")
    mean += _sex_offset(dog)
    if dog.sex:
        source.append("helmink-2000")
    if dog.adult_kg:
        told = spread["adult_as_breeder_expects"] ** 2
        mean = (mean * told + log(dog.adult_kg) * variance) / (told + variance)
        variance = variance * told / (told + variance)
        found.insert(0, "breeder_expects")
    basis += found

    ln_pace, shift, stretch = 0.0, 0.0, _stretch(exp(mean))
    # Off the reference class the sources disagree on timing (Posada: large dogs later; Helmink's Labradors: no later),
    # so as much as the age is stretched, so much less is known.
    pace_sd, shift_sd = hypot(spread["pace"], log(stretch)), hypot(spread["shift"], log(stretch))
    shaped = [g for g in line if g.ln_pace is not None and g.shift is not None]
    if len(shaped) >= rules["curve"]["own_line_dogs"]:
        paces = [g.ln_pace for g in shaped if g.ln_pace is not None]
        shifts = [g.shift for g in shaped if g.shift is not None]
        ln_pace, shift = sum(paces) / len(paces), sum(shifts) / len(shifts)
        pace_sd, shift_sd = _pooled(paces, ln_pace, spread["pace"]), _pooled(shifts, shift, spread["shift"])
        # The grown dogs were read against the unstretched shape, so their own timing is in the shift.
        stretch = 1.0
    elif stretch != 1.0:
        source.append("posada")
    return Expected(
        prior=Prior(mean=(mean, ln_pace, shift), sd=(sqrt(variance), pace_sd, shift_sd), stretch=stretch),
        shape=reference(),
        basis=tuple(basis),
        own_line_dogs=len(line),
        source=tuple(dict.fromkeys(source)),
    )


def own_line(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> tuple[GrownDog, ...]:
    """The kennel's grown dogs (a year and over) of the same breed with a known adult weight, by name."""
    rules = facts("growth")["curve"]
    grown = []
    for other in sorted(kennel.dogs, key=lambda d: d.name):
        if other.name == dog.name or other.breed.casefold() != dog.breed.casefold():
            continue
        if other.age_days(on) < rules["own_line_grown_day"]:
            continue
        adult = grown_kg(other, ledger, on)
        if adult is None:
            continue
        young = [
            w
            for w in daily(other, ledger, on)
            if rules["fit_from_day"] <= other.age_days(w.on) < rules["own_line_grown_day"]
            and w.middle_kg < 0.985 * adult
            and not w.carrying
        ]
        pace = _pace(other, young, adult) if len(young) >= rules["own_line_weights"] else None
        grown.append(GrownDog(dog=other.name, adult_kg=adult, ln_pace=pace and pace[0], shift=pace and pace[1]))
    return tuple(grown)


def _pace(dog: Dog, young: list[Weighing], adult_kg: float) -> tuple[float, float] | None:
    """Pace and shift of a grown dog: a straight line through its straightened weights, each weighed by how much a
    percent of weight moves it, held by the usual spread."""
    spread, noise = facts("growth")["spread"], facts("growth")["noise"]
    shape = reference()
    n = sx = sy = sxx = sxy = 0.0
    for w in young:
        x = shape.u(dog.age_days(w.on))
        part = -log(w.middle_kg / adult_kg)
        y = -log(part)
        weight = (part / (noise["reading"] + noise["drift"][1])) ** 2
        n, sx, sy, sxx, sxy = n + weight, sx + weight * x, sy + weight * y, sxx + weight * x * x, sxy + weight * x * y
    n_, sxx_ = n + 1 / spread["shift"] ** 2, sxx + 1 / spread["pace"] ** 2
    sxy += 1 / spread["pace"] ** 2
    det = n_ * sxx_ - sx * sx
    if not det > 0:
        return None
    slope, shift = (n_ * sxy - sx * sy) / det, (sxx_ * sy - sx * sxy) / det
    return (log(slope), shift) if slope > 0.3 else None


def _pooled(values: list[float], mean: float, usual: float) -> float:
    """SD of these values held by the usual one, which counts as much as five dogs; widened for the mean's own error."""
    n = len(values)
    variance = (sum((v - mean) ** 2 for v in values) + 5 * usual**2) / (n - 1 + 5)
    return sqrt(variance * (1 + 1 / n))


def _sex_offset(dog: Dog | None) -> float:
    """How far the dog's sex lies from the line's middle, in ln units: half the difference of male and female."""
    half = float(facts("growth")["sex"]["ln_male_over_female"]) / 2
    return {"m": half, "f": -half}.get(dog.sex if dog else "", 0.0)


def _parents(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> list[float]:
    """Logarithm of each known parent's lean weight, brought to the middle of the sexes."""
    found = []
    for name in (dog.litter, dog.sire):
        parent = kennel.dog(name)
        if parent is None or parent.age_days(on) < 365 or parent.name == dog.name:
            continue
        kg = grown_kg(parent, ledger, on)
        if kg:
            found.append(log(kg) - _sex_offset(parent))
    return found


def _breed(dog: Dog) -> tuple[float, str] | None:
    """Grown weight in kg at the middle of the sexes, by the breed table, with its source; None where it isn't there."""
    words = f" {dog.breed.casefold()} "
    for row in table("breeds"):
        names = [n.strip() for n in (row["breed"], *row["also"].split(";")) if n.strip()]
        if any(f" {n}" in words for n in names):
            male, female = number(row, "male_kg"), number(row, "female_kg")
            if male and female:
                return sqrt(male * female), row["source"]
    return None


def _middle_kg() -> float:
    """Adult weight in kg for a dog of whose size nothing is known: the middle of the reference class (15–22 kg)."""
    kgs = facts("growth")["timing"]["adult_kg"]
    return sqrt(float(kgs[1]) * float(kgs[2]))


def _stretch(adult_kg: float) -> float:
    """Factor on age for a dog of that size: 1 for 15–22 kg, less for small, more for large dogs (Posada)."""
    rule = facts("growth")["timing"]
    kgs, factors = [log(k) for k in rule["adult_kg"]], rule["stretch"]
    x = log(adult_kg)
    if x <= kgs[0]:
        return float(factors[0])
    for i in range(len(kgs) - 1):
        if x <= kgs[i + 1] or i == len(kgs) - 2:
            part = (x - kgs[i]) / (kgs[i + 1] - kgs[i])
            return float(min(factors[i] + part * (factors[i + 1] - factors[i]), rule["highest_stretch"]))
    return 1.0
