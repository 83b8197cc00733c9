"""Published values of growth, newborns and condition beside what this project computes.

The page `growth_checks.md` is this list as a table: `python -m tests.outside.growth_checks` prints it. Checks of
lines and classes that are yes or no stand in the tests alone.
"""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from math import e, exp, log

from core import line
from core.centiles import at_z, z_score
from core.condition import ideal_kg, over_ideal_pct
from core.curve import reference
from core.fitted import Fit
from core.ledger import Ledger
from core.newborn import fastest_ratio
from core.newborn_lines import expected_pace
from core.roster import Dog, Kennel
from tests.bench import growth as bench
from tests.outside.check import Check

MONTH = 365.25 / 12
NOTHING = ((0.0, 0.0, 0.0),) * 3
BORN = date(2026, 3, 1)


def gompertz(adult_kg: float, per_day: float, shift: float = -1.0) -> Fit:
    """Helmink's curve by the project's own: W = A·exp(−exp(−(t−c)/b)), s = 1/b, d = −c/b, with u(t) = t."""
    return Fit(at=(log(adult_kg), log(per_day), shift), covariance=NOTHING)  # type: ignore[arg-type]


def labrador_kg(sex: str) -> float:
    """Grown weight that is expected of a Labrador of that sex of whom nothing else is known."""
    dog = Dog(name="Pup", sex=sex, born=BORN, breed="Labrador Retriever")
    return exp(line.expect(dog, Ledger(), Kennel(name="k", dogs=(dog,)), date(2026, 4, 1)).prior.mean[0])


def months_at(share: float, adult_kg: float) -> float:
    """Age in months at which a dog of that adult weight is expected to have that share of it."""
    old = date(2020, 1, 1)
    dog = Dog(name="Pup", born=BORN, litter="Dam", sire="Sire", adult_kg=adult_kg)
    parents = (Dog(name="Dam", born=old, ideal_kg=adult_kg), Dog(name="Sire", born=old, ideal_kg=adult_kg))
    expected = line.expect(dog, Ledger(), Kennel(name="k", dogs=(dog, *parents)), date(2026, 4, 1))
    return next(d / 10 for d in range(7000) if expected.fraction(d / 10) >= share) / MONTH


def dane_peak() -> tuple[float, float]:
    """Steepest gain in kg a day and the weight in kg at which it falls, of the published Great Dane curve."""
    curve = gompertz(55.0, 0.0167)
    kgs = [exp(curve.ln_weight(d / 10)) for d in range(4001)]
    gains = [(b - a) * 10 for a, b in pairwise(kgs)]
    top = max(range(len(gains)), key=gains.__getitem__)
    return gains[top], kgs[top]


def chick_1(name: str) -> float:
    """One parameter of chick 1's logistic, by the project's own solver."""
    found = bench.least_squares(*bench.chick(1), (500.0, 0.1, -2.0), "logistic")
    return {"Asym": found["A"], "xmid": -found["d"] / found["s"], "scal": 1 / found["s"], "rse": found["rse"]}[name]


def dnase(name: str) -> float:
    """One parameter of run 1's Gompertz, by the project's own solver."""
    found = bench.least_squares(*bench.dnase_run_1(), (5.0, 0.3, -0.8), "gompertz")
    return {"Asym": found["A"], "b2": exp(-found["d"]), "b3": exp(-found["s"]), "rse": found["rse"]}[name]


def gain_g_per_kg(first_day: int, last_day: int) -> float:
    """Mean gain of the reference shape in grams a day for each kg of adult weight."""
    shape = reference()
    return (shape.fraction(last_day) - shape.fraction(first_day)) / (last_day - first_day) * 1000


HELMINK = "Helmink et al. 2000, J Anim Sci 78:27–32"
POSADA = "Posada et al., Rev MVZ Córdoba 121"
SACN = "SACN 5th ed. Table 16-1, Box 16-3"
R = "wch/r-source, stats-Ex.Rout.save"
WHO = "rcpchgrowth 4.6.5 (arithmetic only)"
ALVES = "Alves 2020, Vet Med Sci, vms3.322"
CUSTOM = "breeders' custom, no source"
CHECKS: tuple[Check, ...] = (
    Check("curve at 4b + c, % of adult", lambda: 100 * exp(gompertz(31.4, 1 / 60, -79 / 60).ln_weight(319)) / 31.4,
          98.185, 1e-5, HELMINK, "form checked, value computed"),
    Check("male Labrador grown, kg", lambda: labrador_kg("m"), 31.4, 0.01, HELMINK),
    Check("male over female Labrador, kg", lambda: labrador_kg("m") - labrador_kg("f"), 4.7, 0.05, HELMINK),
    Check("Great Dane, steepest gain, g a day", lambda: 1000 * dane_peak()[0], 1000 * 55 * 0.0167 / e, 0.001,
          "Parks 1982 in PMC7149552", "parameters checked, value computed"),
    Check("Great Dane, weight at the steepest gain, kg", lambda: dane_peak()[1], 55 / e, 0.002,
          "Parks 1982 in PMC7149552", "parameters checked, value computed"),
    Check("half weight, medium dog, months (SD 0.42)", lambda: months_at(0.5, 15), 4.21, 0.1, POSADA),
    Check("half weight, large dog, months (SD 0.86)", lambda: months_at(0.5, 32), 5.27, 0.16, POSADA),
    Check("half weight, small dog, months (SD 0.03)", lambda: months_at(0.5, 5), 3.49, 0.10, POSADA),
    Check("99 %, small dog, months (SD 1.63)", lambda: months_at(0.99, 5), 9.46, 0.17, POSADA),
    Check("99 %, large dog, months (SD 1.79)", lambda: months_at(0.99, 32), 14.37, 0.12, POSADA),
    Check("half weight up to 25 kg, months", lambda: months_at(0.5, 18), 4.0, 0.06, SACN),
    Check("gain weeks 10–30, g a day for each kg adult (2–4)", lambda: gain_g_per_kg(70, 210), 3.0, 0.33, SACN),
    Check("pup's adult over birth weight (40–50)", lambda: 1 / reference().fraction(0), 45, 0.11,
          "Hemmings 2018, Vet Nurse 9:458"),
    Check("typical gain week 1, % a day", lambda: expected_pace(3), 8, 1e-9, SACN),
    Check("typical gain weeks 2–4, % a day", lambda: expected_pace(10), 5, 1e-9, SACN),
    Check("days to double at week 1's pace (8–10)", lambda: log(2) / log(1 + expected_pace(3) / 100), 9, 0.12, SACN),
    Check("fastest growth, day 7 over birth", lambda: fastest_ratio(7) or 0.0, 2.309, 5e-4, ALVES),
    Check("fastest growth, day 14 over birth", lambda: fastest_ratio(14) or 0.0, 4.550, 5e-4, ALVES),
    Check("fastest growth, day 21 over birth", lambda: fastest_ratio(21) or 0.0, 7.652, 5e-4, ALVES),
    Check("chick 1, SSlogis Asym", lambda: chick_1("Asym"), 937.03, 1e-3, "R documentation", "memory"),
    Check("chick 1, SSlogis xmid", lambda: chick_1("xmid"), 35.223, 1e-3, "R documentation", "memory"),
    Check("chick 1, SSlogis scal", lambda: chick_1("scal"), 11.405, 1e-3, "R documentation", "memory"),
    Check("DNase run 1, SSgompertz Asym", lambda: dnase("Asym"), 4.60333, 1e-4, R),
    Check("DNase run 1, SSgompertz b2", lambda: dnase("b2"), 2.27134, 1e-4, R),
    Check("DNase run 1, SSgompertz b3", lambda: dnase("b3"), 0.71647, 1e-4, R),
    Check("DNase run 1, residual SE", lambda: dnase("rse"), 0.02684, 1e-3, R),
    Check("LMS, −2 SD of L 0.0645 M 9.6479 S 0.10925", lambda: at_z(-2, 0.0645, 9.6479, 0.10925) or 0.0, 7.7422006,
          1e-6, WHO),
    Check("LMS, z of 10 there", lambda: z_score(10, 0.0645, 9.6479, 0.10925), 0.3284786, 1e-5, WHO),
    Check("LMS, L 0, +1 SD", lambda: at_z(1, 0, 10, 0.1) or 0.0, 11.051709180756477, 1e-12, WHO),
    Check("ideal weight, 30 kg at 7 of 9", lambda: ideal_kg(30, 7) or 0.0, 25, 1e-9, "MVMA 2023 proceedings"),
    Check("over ideal at 6 of 9, %", lambda: over_ideal_pct(6) or 0.0, 10, 1e-9, "MVMA 2023 proceedings"),
    Check("lean line, 7.9 kg from week 15 to 17, kg",
          lambda: 7.9 * reference().fraction(119) / reference().fraction(105), 7.9 * 51 / 44.75, 0.003, CUSTOM,
          "common practice"),
    Check("9.4 kg at 17 weeks, grown, kg", lambda: 9.4 / reference().fraction(119), 18.4, 0.003, CUSTOM,
          "common practice"),
)  # fmt: skip


def page() -> str:
    """The checks as a table in Markdown."""
    lines = [
        "# Outside checks: growth, newborns, condition",
        "",
        "Every figure is recomputed by `test_growth_page.py`; `python -m tests.outside.growth_checks` prints it.",
        "Lines that are yes or no (a red newborn, low birth weights of ten breeds, teeth, plates) are in the tests.",
        "",
        "| what | ours | published | difference | source | seen |",
        "| --- | ---: | ---: | ---: | --- | --- |",
    ]
    for c in CHECKS:
        ours = c.ours()
        difference = f"{(ours / c.published - 1) * 100 + 0.0:+.2f} %".replace("-0.00", "+0.00")
        lines.append(
            f"| {' | '.join((c.what, f'{ours:.4g}', f'{c.published:.4g}', difference, c.source, c.seen))} |"
        )
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(page(), end="")
