"""May this pair be mated on this date? Each rule with its figure and source; never a verdict on the match.

Tests, ages, litters, rest and kin are put side by side. What a breed club asks, what the law where you live says, and
what the vet finds are not in any table here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from operator import ge, le, lt

from core.breeding import next_season
from core.entries import HealthTest, Whelping
from core.gestation import season_starts
from core.ledger import Ledger
from core.pedigree import Kin, kin, parents_of
from core.roster import Dog, Kennel, months_between
from shared.tables import facts, number, table

GENERATIONS = 5  # of the pups' pedigree, as most certificates print them; common practice
DAYS_CARRIED = 63

# How a pair's figure keeps the limit of each rule of `mating_rules.csv`.
KEEPS: Mapping[str, Callable[[int, int], bool]] = {
    "dam_youngest_at_mating": ge, "dam_oldest_at_whelping": lt, "dam_litters": lt, "months_between_litters": ge,
    "close_kin": le,
}  # fmt: skip

VALID, RUN_OUT, NO_END, LATER = "valid", "run_out", "no_end", "later"


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """The newest result of one test of one dog, as of the date: `valid`, `run_out`, `no_end` (no last day was told)
    or `later` (tested only after it)."""

    dog: str
    test: str
    on: date
    result: str
    until: date | None
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule of a body's table with the pair's figure: `met` is False where the figure breaks it, None where the
    figure is not known."""

    what: str
    limit: int
    figure: int | None
    met: bool | None
    source: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairing:
    """A bitch and a dog on the date of a mating.

    Attributes:
        dam_months, sire_months: ages in whole calendar months on the date. litters: hers that the book or the roster
            knows of. last_litter: the day of the newest; months_since: whole months from it to whelping day.
        season_from, season_to: when her next season is likely, where the date was taken from it.
        tests: of both, by dog and test. rules: of the body whose table counts. kin: of the pups, None where the
            pedigree contradicts itself.
        stops: `sire_not_male`, `dam_not_female`, `neutered`, `gone`, `nursing`: no date changes these.
    """

    dam: str
    sire: str
    on: date
    dam_months: int
    sire_months: int
    litters: int
    last_litter: date | None = None
    months_since: int | None = None
    season_from: date | None = None
    season_to: date | None = None
    tests: tuple[Certificate, ...] = ()
    rules: tuple[Rule, ...] = ()
    kin: Kin | None = None
    stops: tuple[str, ...] = ()
    source: tuple[str, ...] = ()
    caution: tuple[str, ...] = ("check_your_law", "check_breed_club", "breeder_decides", "no_match_claimed")


def check(
    dam: Dog, sire: Dog, ledger: Ledger, kennel: Kennel, today: date, on: date | None = None,
    generations: int = GENERATIONS,
) -> Pairing:  # fmt: skip
    """The pair on the date of a mating; without a date, on the last likely day of her next season, else today.

    Raises:
        core.pedigree.PedigreeError: the pedigree goes round in a circle.
    """
    season = next_season(season_starts(dam, ledger, today), today) if on is None else None
    if season is not None and season.latest < today:
        season = None
    on = on or (season.latest if season else today)
    born = litters_of(dam, ledger, kennel, on)
    whelps = on + timedelta(days=DAYS_CARRIED)
    since = months_between(born[-1], whelps) if born else None
    found = kin(sire, dam, kennel, generations)
    rules = _rules(
        kennel,
        {
            "dam_youngest_at_mating": months_between(dam.born, on),
            "dam_oldest_at_whelping": months_between(dam.born, whelps),
            "dam_litters": len(born),
            "months_between_litters": since,
            "close_kin": int(_is_close(dam, sire, kennel)),
        },
    )
    return Pairing(
        dam=dam.name,
        sire=sire.name,
        on=on,
        dam_months=months_between(dam.born, on),
        sire_months=months_between(sire.born, on),
        litters=len(born),
        last_litter=born[-1] if born else None,
        months_since=since,
        season_from=season.earliest if season else None,
        season_to=season.latest if season else None,
        tests=tuple(t for d in (dam, sire) for t in certificates(d, ledger, on)),
        rules=rules,
        kin=found,
        stops=_stops(dam, sire, born, on),
        source=tuple(dict.fromkeys(s for r in rules for s in r.source)) + found.source,
    )


def litters_of(dam: Dog, ledger: Ledger, kennel: Kennel, on: date) -> tuple[date, ...]:
    """The days of her litters up to a day, from the book and the roster; days of one whelping count once."""
    days = [w.on for w in ledger.entries(dam.name, Whelping, until=on)]
    days += [x.born for x in kennel.litters if x.dam == dam.name and x.born and x.born <= on]
    days += [d.born for d in kennel.dogs if d.litter == dam.name and d.born <= on]
    apart = int(facts("reproduction")["season"]["same_season"])
    found: list[date] = []
    for day in sorted(days):
        if not found or (day - found[-1]).days > apart:
            found.append(day)
    return tuple(found)


def certificates(dog: Dog, ledger: Ledger, on: date) -> tuple[Certificate, ...]:
    """The dog's newest result of each test as of a date (of one tested only later, that one), by name."""
    newest: dict[str, HealthTest] = {}
    for t in ledger.entries(dog.name, HealthTest):
        old = newest.get(t.test)
        if old is None or t.on <= on or old.on > on:
            newest[t.test] = t
    return tuple(
        Certificate(dog=dog.name, test=t.test, on=t.on, result=t.result, until=t.until, state=_state(t, on))
        for t in sorted(newest.values(), key=lambda t: t.test)
    )


def _state(test: HealthTest, on: date) -> str:
    if test.on > on:
        return LATER
    if test.until is None:
        return NO_END
    return VALID if on <= test.until else RUN_OUT


def _stops(dam: Dog, sire: Dog, born: tuple[date, ...], on: date) -> tuple[str, ...]:
    nursing = bool(born) and (on - born[-1]).days < int(facts("reproduction")["litter"]["milk_days"])
    found = {
        "dam_not_female": dam.sex == "m",
        "sire_not_male": sire.sex == "f",
        "neutered": bool(dam.neutered or sire.neutered),
        "gone": bool(dam.gone or sire.gone),
        "nursing": nursing,
    }
    return tuple(key for key, there in found.items() if there)


def _rules(kennel: Kennel, figures: Mapping[str, int | None]) -> tuple[Rule, ...]:
    """The rows of the body whose show rules count; none for another body."""
    out = []
    for row in table("mating_rules"):
        if row["body"] != kennel.show_rules:
            continue
        limit, what = int(number(row, "limit") or 0), row["what"]
        figure = figures[what]
        met = None if figure is None else bool(KEEPS[what](figure, limit))
        out.append(Rule(what=what, limit=limit, figure=figure, met=met, source=(row["source"],)))
    return tuple(out)


def _is_close(dam: Dog, sire: Dog, kennel: Kennel) -> bool:
    """Parent and child, or brother and sister of the same two parents."""
    parents = parents_of(kennel)
    hers, his = parents.get(dam.name, (None, None)), parents.get(sire.name, (None, None))
    return sire.name in hers or dam.name in his or (None not in hers and hers == his)
