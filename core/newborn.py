"""Newborns to the gram: gain and loss since birth and since last, rank in the litter, and the lines that mean a call.

Every warning is ready in the minute a weight is posted: `assess` looks at the records up to one instant.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from math import exp, log

from core.entries import Temperature, Weight
from core.ledger import Ledger
from core.newborn_lines import (
    AMBER,
    CLEAR,
    LEVEL,
    RED,
    SOURCE,
    Gram,
    expected_pace,
    fastest_ratio,
    heat_keys,
    level_of,
    watch_reasons,
    weight_keys,
)
from core.roster import NEWBORN_DAYS, Dog, Kennel
from core.weighings import instant
from shared.tables import facts

__all__ = [
    "AMBER", "CLEAR", "LEVEL", "RED", "LitterDay", "Newborn", "assess", "birth_of", "fastest_ratio", "grams_of",
    "litter",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Newborn:
    """One newborn at one instant. Weights in grams, changes in percent, paces in percent of body weight a day.

    Attributes:
        age_hours, age_days: since the first weighing of the day of birth (else since that day began); whole days.
        grams, weighed_at: the newest weighing. birth_g: at birth (`birth_known` false: the first weight there is).
        previous_g, previous_at: the weighing before the newest.
        g_since_birth, pct_since_birth, g_since_last, pct_since_last: changes to the newest weighing.
        pace_pct: gain a day in percent of body weight since the last weighing at least eight hours before, and
            expected_pct, what is typical of the age. g_per_day: the same in grams.
        rank, rank_of: place by weight, 1 the heaviest, among littermates weighed in these 36 hours.
        level: `red`, `amber`, `clear`, or `unknown` without a weight. warnings: keys, the most pressing first.
        watch: why the pup is on the watch list from hour 0: `lightest_quarter`, `quarter_below_mean`,
            `low_for_breed`, `very_low_for_breed`; empty where it is not.
        times_birth: weight over birth weight. doubled_on: day of age when it had doubled.
        fastest_g: the fastest growth known at this age (Alves 2020); being under it is no fault.
        celsius: body heat taken in the last 12 hours.
    """

    dog: str
    at: datetime
    age_hours: float
    age_days: int
    grams: float | None = None
    weighed_at: datetime | None = None
    birth_g: float | None = None
    birth_known: bool = False
    previous_g: float | None = None
    previous_at: datetime | None = None
    g_since_birth: float | None = None
    pct_since_birth: float | None = None
    g_since_last: float | None = None
    pct_since_last: float | None = None
    g_per_day: float | None = None
    pace_pct: float | None = None
    expected_pct: float | None = None
    rank: int | None = None
    rank_of: int | None = None
    level: str = "unknown"
    warnings: tuple[str, ...] = ()
    watch: tuple[str, ...] = ()
    times_birth: float | None = None
    doubled_on: int | None = None
    fastest_g: float | None = None
    celsius: float | None = None
    source: tuple[str, ...] = ()
    caution: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LitterDay:
    """A litter at one instant, the pup in most trouble first.

    Attributes:
        born: day of birth, None where the dam has no litter. age_days: whole days since.
        pups: every followed pup. slow: those under half of the expected gain since last.
        litter_slow: at least two thirds of those with a pace are slow: look at the dam, the box, an illness.
        weighed_today, not_weighed: names by local day. mean_pace_pct: mean gain in percent a day.
        smallest: the lightest pup of those weighed. watch: names on the watch list.
        level: the worst of the pups'. warnings: keys that hold for the litter.
    """

    dam: str
    at: datetime
    born: date | None = None
    age_days: int | None = None
    pups: tuple[Newborn, ...] = ()
    slow: tuple[str, ...] = ()
    litter_slow: bool = False
    weighed_today: tuple[str, ...] = ()
    not_weighed: tuple[str, ...] = ()
    mean_pace_pct: float | None = None
    smallest: str | None = None
    watch: tuple[str, ...] = ()
    level: str = "unknown"
    warnings: tuple[str, ...] = ()
    source: tuple[str, ...] = ()
    caution: tuple[str, ...] = ()


def assess(dog: Dog, ledger: Ledger, kennel: Kennel, at: datetime) -> Newborn:
    """How one newborn stands at an instant, by the weighings up to then (lines: Mila 2015 and shared/reference)."""
    at = at.astimezone(UTC)  # elapsed hours are real hours, on the night when clocks change too
    found = _alone(dog, ledger, kennel, at)
    mates = [d for d in kennel.dogs if dog.litter and d.litter == dog.litter and d.born == dog.born]
    return _among(found, dog, mates, ledger, kennel, at)


def litter(dam: Dog, ledger: Ledger, kennel: Kennel, at: datetime) -> LitterDay:
    """The dam's newest litter at an instant; a LitterDay without pups where she has none."""
    at = at.astimezone(UTC)
    today = kennel.day_of(at)
    births = [d.born for d in kennel.dogs if d.litter == dam.name and d.born <= today]
    if not births:
        return LitterDay(dam=dam.name, at=at, caution=("no_litter",))
    born = max(births)
    pups = kennel.pups_of(dam.name, born)
    order = {RED: 0, AMBER: 1, "unknown": 2, CLEAR: 3}
    rows = sorted(
        (assess(p, ledger, kennel, at) for p in pups),
        key=lambda n: (order[n.level], n.pct_since_birth if n.pct_since_birth is not None else 0.0, n.dog),
    )
    rule = facts("newborn")["litter"]
    paced = [n for n in rows if n.pace_pct is not None and n.expected_pct and _recent(n, at)]
    slow = [n for n in paced if (n.pace_pct or 0.0) < rule["slow_below"] * (n.expected_pct or 0.0)]
    all_slow = len(paced) >= 2 and len(slow) >= rule["slow_share"] * len(paced) - 1e-9
    weighed = [n for n in rows if n.weighed_at is not None and kennel.day_of(n.weighed_at) == today]
    with_weight = [n for n in rows if n.grams is not None]
    warnings = []
    if all_slow:
        warnings.append("litter_slow")
    elif slow:
        warnings.append("some_slow")
    if weighed and len(weighed) < len(rows):
        warnings.append("some_not_weighed")
    elif rows and not weighed and (today - born).days <= rule["daily_until_day"]:
        warnings.append("none_weighed")
    return LitterDay(
        dam=dam.name,
        at=at,
        born=born,
        age_days=(today - born).days,
        pups=tuple(rows),
        slow=tuple(n.dog for n in slow),
        litter_slow=all_slow,
        weighed_today=tuple(n.dog for n in weighed),
        not_weighed=tuple(n.dog for n in rows if n not in weighed),
        mean_pace_pct=sum(n.pace_pct or 0.0 for n in paced) / len(paced) if paced else None,
        smallest=min(with_weight, key=lambda n: (n.grams or 0.0, n.dog)).dog if with_weight else None,
        watch=tuple(n.dog for n in rows if n.watch),
        level=rows[0].level if rows else "unknown",
        warnings=tuple(warnings),
        source=tuple(dict.fromkeys(s for n in rows for s in n.source)),
        caution=() if rows else ("no_pups_followed",),
    )


def _alone(dog: Dog, ledger: Ledger, kennel: Kennel, at: datetime) -> Newborn:
    """The pup by its own weights."""
    age_days = dog.age_days(kennel.day_of(at))
    grams = grams_of(dog, ledger, kennel, at)
    birth_at = birth_of(dog, grams, kennel)
    age_hours = (at - birth_at).total_seconds() / 3600
    caution = []
    if age_days < 0:
        caution.append("not_born")
    elif age_days >= NEWBORN_DAYS:
        caution.append("past_newborn")
    celsius = _heat(dog, ledger, kennel, at)
    if not grams or age_days < 0:
        warnings = heat_keys(celsius, age_days)
        return Newborn(
            dog=dog.name,
            at=at,
            age_hours=age_hours,
            age_days=age_days,
            level=level_of(warnings) if warnings else "unknown",
            warnings=tuple(warnings),
            celsius=celsius,
            caution=(*caution, "no_weights"),
        )
    last = grams[-1]
    birth = grams[0] if (grams[0].on - dog.born).days <= 1 else None
    birth_known = grams[0].on == dog.born
    if not birth_known:
        caution.append("no_birth_weight")
    previous = grams[-2] if len(grams) > 1 else None
    basis = _basis_of_pace(grams)
    days = (last.at - basis.at).total_seconds() / 86400 if basis else None
    pct_birth = round(100 * (last.grams / birth.grams - 1), 6) if birth and previous else None
    # From the middle of the span, in percent of body weight a day, so that 8 % a day doubles a pup in nine days.
    pace = 100 * (exp(log(last.grams / basis.grams) / days) - 1) if basis and days else None
    doubled = next((dog.age_days(g.on) for g in grams if birth and g.grams >= 2 * birth.grams), None)
    hours_then = (last.at - birth_at).total_seconds() / 3600
    warnings = heat_keys(celsius, age_days)
    if age_days < NEWBORN_DAYS:
        warnings += weight_keys(grams, birth, birth_at, pct_birth, doubled, dog.age_days(last.on))
    daily = facts("newborn")["litter"]
    if age_days <= daily["daily_until_day"] and at - last.at > timedelta(hours=daily["weigh_due_hours"]):
        caution.append("weigh_due")
    if any(LEVEL[k] == RED for k in warnings):
        caution.append("check_tare_after_warning")
    ratio = fastest_ratio(hours_then / 24)
    warnings.sort(key=list(LEVEL).index)
    return Newborn(
        dog=dog.name,
        at=at,
        age_hours=age_hours,
        age_days=age_days,
        grams=last.grams,
        weighed_at=last.at,
        birth_g=birth.grams if birth else None,
        birth_known=birth_known,
        previous_g=previous.grams if previous else None,
        previous_at=previous.at if previous else None,
        g_since_birth=last.grams - birth.grams if birth and previous else None,
        pct_since_birth=pct_birth,
        g_since_last=last.grams - previous.grams if previous else None,
        pct_since_last=100 * (last.grams / previous.grams - 1) if previous else None,
        g_per_day=(last.grams - basis.grams) / days if basis and days else None,
        pace_pct=pace,
        expected_pct=expected_pace(hours_then / 24),
        level=level_of(warnings),
        warnings=tuple(warnings),
        times_birth=last.grams / birth.grams if birth else None,
        doubled_on=doubled,
        fastest_g=ratio * birth.grams if ratio is not None and birth and birth_known else None,
        celsius=celsius,
        source=tuple(dict.fromkeys(["sacn5-growth", *(SOURCE.get(k, "kennel-lines") for k in warnings)])),
        caution=tuple(caution),
    )


def _among(found: Newborn, dog: Dog, mates: list[Dog], ledger: Ledger, kennel: Kennel, at: datetime) -> Newborn:
    """The same pup with its rank in the litter and its reasons to be watched."""
    if found.grams is None:
        return found
    now, births = {}, {}
    hours = facts("newborn")["litter"]["recent_hours"]
    for mate in mates:
        grams = grams_of(mate, ledger, kennel, at)
        if not grams:
            continue
        if grams[0].on == mate.born:
            births[mate.name] = grams[0].grams
        if (at - grams[-1].at) <= timedelta(hours=hours) and not mate.gone:
            now[mate.name] = grams[-1].grams
    rank = 1 + sum(g > found.grams for g in now.values()) if dog.name in now and len(now) > 1 else None
    watch = watch_reasons(dog, births)
    return replace(
        found,
        rank=rank,
        rank_of=len(now) if rank else None,
        watch=watch,
        source=found.source
        + (("mugnier-2020",) if any("breed" in w for w in watch) else ())
        + (("vet-handbook",) if "quarter_below_mean" in watch and "vet-handbook" not in found.source else ()),
    )


def grams_of(dog: Dog, ledger: Ledger, kennel: Kennel, at: datetime) -> list[Gram]:
    """The pup's weighings up to an instant, in the order in which they happened."""
    today = kennel.day_of(at)
    found = []
    for p in ledger.of(dog.name, Weight, until=today):
        assert isinstance(p.entry, Weight)
        when = instant(p, kennel)
        if p.entry.kg > 0 and p.entry.on >= dog.born and (when <= at or p.at <= at):
            found.append((when, p.at, p.id, Gram(at=when, on=p.entry.on, grams=round(p.entry.kg * 1000, 4))))
    grams = [g for *_, g in sorted(found, key=lambda f: f[:3])]
    known = dog.last_weight
    if not grams and known is not None and known.kg > 0 and dog.born <= known.on <= today:
        noon = datetime.combine(known.on, datetime.min.time(), kennel.tz) + timedelta(hours=12)
        grams = [Gram(at=min(noon.astimezone(UTC), at), on=known.on, grams=round(known.kg * 1000, 4))]
    return grams


def birth_of(dog: Dog, grams: list[Gram], kennel: Kennel) -> datetime:
    """The moment from which hours count: the first weighing of the day of birth, else that day's beginning."""
    if grams and grams[0].on == dog.born:
        return grams[0].at
    return datetime.combine(dog.born, datetime.min.time(), kennel.tz).astimezone(UTC)


def _basis_of_pace(grams: list[Gram]) -> Gram | None:
    """The newest weighing at least eight hours before the last."""
    least = timedelta(hours=facts("newborn")["gain"]["least_hours"])
    return next((g for g in reversed(grams[:-1]) if grams[-1].at - g.at >= least), None)


def _heat(dog: Dog, ledger: Ledger, kennel: Kennel, at: datetime) -> float | None:
    """Body heat in °C taken in the last 12 hours."""
    hours = facts("newborn")["heat"]["hours"]
    taken = [
        (instant(p, kennel), p.id, p.entry.celsius)
        for p in ledger.of(dog.name, Temperature, until=kennel.day_of(at))
        if isinstance(p.entry, Temperature)
    ]
    recent = [t for t in taken if timedelta(0) <= at - t[0] <= timedelta(hours=hours)]
    return max(recent)[2] if recent else None


def _recent(n: Newborn, at: datetime) -> bool:
    hours = facts("newborn")["litter"]["recent_hours"]
    return n.weighed_at is not None and at - n.weighed_at <= timedelta(hours=hours)
