"""Published values for energy, dams, dates, classes and poisons beside what this project computes.

Each check names its source; `seen` says how far the value was seen when it was taken (checked, memory). The page
`feeding_checks.md` is this list as a table: `python -m tests.outside.feeding_checks` prints it.
"""

from __future__ import annotations

from datetime import date, timedelta

from core import energy
from core.classes import on_the_day
from core.gestation import expected
from core.pedigree import kinship
from core.units import KG_PER_LB, NMOL_PER_NG_PROGESTERONE
from shared.tables import facts, number, table
from tests.outside.check import Check

PRINT = 0.005  # printed figures are rounded early


def _puppy_factor(share: float) -> float:
    """Our NRC figure over 130 · kg^0.75 at this share of adult weight."""
    return energy.puppy_nrc(10, share) / (130 * energy.metabolic(10))


def _nutro(lb: float, coefficient: float) -> float:
    return coefficient * energy.metabolic(lb * KG_PER_LB)


def _due(basis: str) -> float:
    start = date(2026, 9, 1)
    before = start - timedelta(days=2)
    tests = {"ovulation": [(before, 2.5), (start, 6.0)], "peak": [(before, 1.0), (start, 2.0)], "mating": []}[basis]
    return (expected([start], tests).on - start).days


def _cell(name: str, substance: str, threshold: str) -> float:
    row = next(r for r in table(name) if r["substance"] == substance and r["threshold"] == threshold)
    return number(row, "value") or 0.0


MRODE_PEDIGREE = {"3": ("1", "2"), "4": ("1", None), "5": ("4", "3"), "6": ("5", "2")}  # calf: sire, dam
UNCLE = {"C": ("A", "B"), "D": ("A", "B"), "F": ("E", "D")}  # C is the uncle of F
SIBS = {"5": ("1", "2"), "6": ("1", "2")}

SACN, AAHA = "SACN 5th ed.", "AAHA 2021 Box 1 (aaha.org)"
NUTRO = "manufacturer's table, nutro.ca; coefficient inferred"
MRODE = "Mrode 2014, Linear Models, 3rd ed., p. 48"
VNJ = "Vet Nursing Journal Sept 2022 p. 28 Table 2"
IASRI = "IASRI e-course 75405"

CHECKS: tuple[Check, ...] = (
    Check("resting need, 4.5 kg, kcal", lambda: energy.resting(4.5), 216, PRINT, AAHA),
    Check("neutered 10 lb dog at 1.4 times, kcal", lambda: 1.4 * energy.resting(4.5), 302, PRINT, AAHA),
    Check("resting need, 34 kg, kcal", lambda: energy.resting(34), 988, PRINT, "a textbook's worked case, rounded"),
    Check("linear form at 10 kg beside the power, kcal", lambda: energy.resting(10), 30 * 10 + 70, 0.08,
          f"{SACN} Table 5-2 p. 61: 30·kg + 70 for 2–45 kg"),
    Check("1.9 times resting need of a 65 kg dam, kcal", lambda: 1.9 * energy.resting(65), 3000, 0.02,
          f"{SACN} p. 289; rounded hard in print"),
    Check("grown dog, 15 kg, moderate activity, kcal", lambda: energy.adult_activity(15), 838, 0.001,
          "FEDIAF 2019 Table VII-12"),
    Check("grown dog, 15 kg, low activity, kcal", lambda: energy.adult_activity(15, "inactive"), 724, 0.001,
          "FEDIAF 2019 Table VII-12"),
    Check("inactive grown dog, 10 kg, kcal", lambda: energy.adult_activity(10, "inactive"), 534, 0.001, IASRI),
    *(
        Check(f"{lb} lb dog at {c} kcal/kg^0.75", lambda lb=lb, c=c: _nutro(lb, c), kcal, PRINT, NUTRO)  # type: ignore[misc]
        for lb, c, kcal in (
            (10, 95, 296), (10, 110, 342), (10, 125, 389), (10, 175, 545),
            (50, 95, 989), (50, 110, 1145), (50, 125, 1301), (50, 175, 1822),
            (70, 95, 1272), (70, 110, 1474), (70, 125, 1675), (70, 175, 2344),
        )
    ),
    *(
        Check(f"growth factor at {p} % of adult weight", lambda p=p: round(_puppy_factor(p / 100), 1), f, 1e-9, VNJ)  # type: ignore[misc]
        for p, f in ((15, 2.5), (30, 2.1), (43, 1.9), (60, 1.6), (71, 1.4), (80, 1.3), (100, 1.0))
    ),
    Check("growing, under half of adult weight, kcal/kg^0.75", lambda: energy.puppy_fediaf(1, 0.3), 210, 1e-9,
          f"FEDIAF 2021 in {VNJ}"),
    Check("growing, half to four fifths, kcal/kg^0.75", lambda: energy.puppy_fediaf(1, 0.65), 175, 1e-9,
          f"FEDIAF 2021 in {VNJ}"),
    Check("growing, over four fifths, kcal/kg^0.75", lambda: energy.puppy_fediaf(1, 0.9), 140, 1e-9,
          f"FEDIAF 2021 in {VNJ}"),
    Check("pup under four months, times resting need", lambda: energy.puppy_stepwise(5, 60) / energy.resting(5), 3.0,
          1e-9, f"{SACN} p. 63; {AAHA}"),
    Check("pup over four months, times resting need", lambda: energy.puppy_stepwise(9, 140) / energy.resting(9), 2.0,
          1e-9, f"{SACN} p. 63; {AAHA}"),
    Check("share of a pup's food for growth at 80 % of adult weight", lambda: energy.growth_share(0.8), 0.09, 0.12,
          f"{SACN} p. 306: 8–10 %"),
    Check("neutered grown dog, times resting need", lambda: energy.adult_times(20, True) / energy.resting(20), 1.6,
          1e-9, f"{SACN} Table 33-7 p. 660"),
    Check("entire grown dog, times resting need", lambda: energy.adult_times(20, False) / energy.resting(20), 1.8,
          1e-9, f"{SACN} Table 33-7 p. 660"),
    Check("newborn, kcal for 100 g", lambda: energy.newborn(0.1), 25, 1e-9, f"{VNJ}; WikiVet citing NRC 2006"),
    Check("dam, 1 pup, times resting need", lambda: energy.lactation_times(20, 1) / energy.resting(20), 3.0, 1e-9,
          f"{SACN} Table 5-2 p. 61"),
    Check("dam, 2 pups, times resting need", lambda: energy.lactation_times(20, 2) / energy.resting(20), 3.5, 1e-9,
          f"{SACN} Table 5-2 p. 61"),
    Check("dam, 4 pups, times resting need", lambda: energy.lactation_times(20, 4) / energy.resting(20), 4.0, 1e-9,
          f"{SACN} Table 5-2 p. 61"),
    Check("nursing dam without milk, kcal/kg^0.75",
          lambda: facts("energy")["lactation"]["maintenance"], 145, 1e-9, f"{SACN} p. 280 (Meyer 1985)"),
    Check("dam late in pregnancy, times resting need", lambda: facts("energy")["gestation"]["times_last"], 3.0, 1e-9,
          AAHA),
    Check("spread of grown dogs' need (SD over mean)", lambda: facts("energy")["learned"]["prior_sd"], 55.3 / 142.8,
          0.05, "Bermingham et al. 2014, PLoS ONE 9(10):e109681"),
    Check("treats, share of the day", lambda: facts("feeding")["treats"]["share"], 0.10, 1e-9,
          "Clinician's Brief, obesity management sheet"),
    # ---- breeding
    Check("pregnancy from ovulation, days", lambda: _due("ovulation"), 63.1, 0.01,
          "Mir et al. 2011, 162 pregnancies (insights.ovid.com)"),
    Check("pregnancy from the hormone peak, days", lambda: _due("peak"), 65, 1e-9,
          "Kutzler et al. 2003, Theriogenology 60:1187–96: 64–66"),
    Check("pregnancy from a single mating, middle, days", lambda: _due("mating"), 63, 1e-9,
          "page quoting Concannon: 56–68"),
    Check("ovulation after the hormone surge, days", lambda: facts("reproduction")["due"]["peak_to_ovulation"], 2,
          1e-9, "page quoting Concannon: 48–60 h"),
    Check("shortest interval between seasons that is usual, days",
          lambda: facts("reproduction")["season"]["short_interval"], 130, 1e-9, "newlib.net nw_rd870373"),
    Check("progesterone, nmol/l in 1 ng/ml", lambda: NMOL_PER_NG_PROGESTERONE, 1000 / 314.46, 0.001,
          "molar mass 314.46 g/mol, PubChem CID 5994"),
    # ---- shows
    Check("international puppy class on 12 Sept for a pup of 8 March, months",
          lambda: on_the_day(date(2026, 3, 8), date(2026, 9, 12), "fci").classes[0].from_months, 6, 1e-9,  # type: ignore[union-attr]
          "eds2023.dk: puppy 6–9 months"),
    Check("international veteran class, months",
          lambda: on_the_day(date(2016, 3, 8), date(2026, 9, 12), "fci").classes[-1].from_months, 96, 1e-9,  # type: ignore[union-attr]
          "eds2023.dk: from 8 years"),
    # ---- care
    Check("first worming, days of age", lambda: facts("schedule")["worm"]["from_day"], 14, 1e-9, "ESCCAP guideline 1"),
    Check("worming of pups, days between", lambda: facts("schedule")["worm"]["every_pup"], 14, 1e-9,
          "ESCCAP guideline 1"),
    Check("last puppy vaccine, weeks at the least",
          lambda: facts("schedule")["vaccine"]["last_at_least_day"] / 7, 16, 1e-9, "WSAVA 2017 congress p. 308"),
    Check("booster, weeks", lambda: facts("schedule")["vaccine"]["booster_day"] / 7, 26, 1e-9,
          "WSAVA 2017 congress p. 308"),
    Check("leaving the dam, weeks", lambda: facts("reproduction")["leave"]["days"] / 7, 8, 1e-9,
          "Licensing Regulations (England) 2018, Sch. 6 para 1(5)"),
    # ---- pedigrees
    Check("Mrode's calf 5, 1 + F", lambda: 2 * kinship("5", "5", MRODE_PEDIGREE), 1.125, 1e-9, MRODE),
    Check("Mrode's calves 4 and 5, relationship", lambda: 2 * kinship("4", "5", MRODE_PEDIGREE), 0.625, 1e-9, MRODE),
    Check("Mrode's calves 1 and 5, relationship", lambda: 2 * kinship("1", "5", MRODE_PEDIGREE), 0.5, 1e-9, MRODE),
    Check("Mrode's calf 6, 1 + F", lambda: 2 * kinship("6", "6", MRODE_PEDIGREE), 1.125, 1e-9,
          "the same book, chapter 2", "memory"),
    Check("uncle to niece, F of the pup", lambda: kinship("C", "F", UNCLE), 0.125, 1e-9,
          "worked pedigree at tickerdossier.com, inbreeding coefficient"),
    Check("brother to sister, F of the pup", lambda: kinship("5", "6", SIBS), 0.25, 1e-9,
          "relationship matrix at ihh.kvl.dk, population genetics 7.5: 1.25 on the diagonal"),
    # ---- poisons (no answer weighs a dose)
    Check("chocolate, mild signs, mg/kg", lambda: _cell("toxins", "methylxanthines", "mild"), 20, 1e-9,
          "IASRI e-course 156315"),
    Check("milk chocolate, mg/g from 64 mg an ounce", lambda: _cell("toxins", "milk chocolate", "content"),
          64 / 28.3495, 0.02, "copy of a toxicology text: 64 mg/oz"),
    Check("baking chocolate, mg/g from 450 mg an ounce", lambda: _cell("toxins", "baking chocolate", "content"),
          450 / 28.3495, 0.01, "IASRI e-course 156315: 450 mg/oz"),
    Check("xylitol, low blood sugar, g/kg (not mg)", lambda: _cell("toxins", "xylitol", "low blood sugar"), 0.1, 1e-9,
          "Compendium 2010;32(2):E1–4, PubMed 20473849"),
    Check("xylitol, liver, g/kg (not mg)", lambda: _cell("toxins", "xylitol", "liver"), 0.5, 1e-9,
          "Compendium 2010;32(2):E1–4, PubMed 20473849"),
    Check("raisins, lowest reported, g/kg", lambda: _cell("toxins", "raisins", "lowest reported"), 2.8, 1e-9,
          "veteriankey.com ch. 46"),
    Check("ibuprofen, vomiting, mg/kg", lambda: _cell("toxins", "ibuprofen", "vomiting"), 25, 1e-9,
          "dvm360 Toxicology Brief"),
)  # fmt: skip


def page() -> str:
    """The checks as a table in Markdown."""
    lines = [
        "# Outside checks: energy, dams, dates, classes, care, pedigrees, poisons",
        "",
        "Every figure is recomputed by `test_feeding_published.py`; `python -m tests.outside.feeding_checks` prints"
        " this page.",
        "*Copied* means that a reference file holds the printed figure; *computed* that a formula of ours gave it.",
        "",
        "| what | ours | published | difference | kind | source | seen |",
        "| --- | ---: | ---: | ---: | --- | --- | --- |",
    ]
    for c in CHECKS:
        ours = c.ours()
        difference = (ours / c.published - 1) * 100
        cells = (c.what, f"{ours:.5g}", f"{c.published:.5g}", f"{difference:+.2f} %", c.kind, c.source, c.seen)
        lines.append(f"| {' | '.join(cells)} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(page(), end="")
