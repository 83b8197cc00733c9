"""Which way each ear is going, beside teeth, hands and the calendar: never whether it will stand, never why."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from core import regrowth
from core.classes import birthday
from core.condition import ConditionNow, latest
from core.ear_steps import cut_on, next_step
from core.entries import Concern, Ears, Sign, Tooth
from core.ledger import Ledger
from core.roster import Dog, Kennel, names
from shared.tables import facts

UP, DOWN, STILL, TOO_FEW = "going_up", "going_down", "no_change", "too_few_scored"


@dataclass(frozen=True, slots=True, kw_only=True)
class EarSide:
    """One ear (the dog's own side): position now and its days up of days scored, these seven days and those before.

    Attributes:
        now, on: `down`, `half` or `up`, and the day it was seen. best, best_on: highest score ever (0 to 3), first day.
    """

    now: str | None = None
    on: date | None = None
    days_up: int = 0
    days_scored: int = 0
    days_up_before: int = 0
    days_scored_before: int = 0
    best: int | None = None
    best_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class EarTrend:
    """The ears of one dog as of a day.

    Attributes:
        left, right: each ear where sides were named. last: the newest record of any kind, None where there is none.
        days_both_up, days_scored: days with both ears up out of days scored, these seven days; `_before`: the seven
            days before those. A day with only one ear named counts as scored when that ear was not up.
        trend: `going_up`, `going_down`, `no_change`, or `too_few_scored` (under three days in either week).
        best, best_on: the best score of the lower ear on any day (3 is up), and when first.
        last_both_up: the day; days_since_both_up. streak: days scored in a row, up to the last, with both up.
        uneven_days: days of these seven on which the ears differed; lower: the ear that was lower on all of them.
        teething: within weeks 14 to 26. tooth_on: newest tooth logged; tooth_days_ago. dropped_near_tooth: the
            trend is down and a tooth was logged within a week of the first day down.
        ear_signs: signs and worrying words told of the ears in the last week: the vet, whatever else is known.
        trimmed_on: newest ear trim; grown_back_from, grown_back_to: when the hair is about back.
        cut_on: since when a smaller ration stands; None where the last change was none.
        hands: newest condition where it still counts. loose_with: dogs at home that it runs with.
        days_to_six_months, days_to_nine_months: negative once past. alert_week: 20, 22, 24 or 26 in that week while
            the ears have never been up. next_step: key of the step in order, None while they hold or are too young.
        warnings: keys. source, caution: keys.
    """

    dog: str
    on: date
    age_days: int
    watched: bool = False
    last: Ears | None = None
    left: EarSide = EarSide()
    right: EarSide = EarSide()
    days_both_up: int = 0
    days_scored: int = 0
    days_both_up_before: int = 0
    days_scored_before: int = 0
    trend: str = TOO_FEW
    best: int | None = None
    best_on: date | None = None
    last_both_up: date | None = None
    days_since_both_up: int | None = None
    streak: int = 0
    uneven_days: int = 0
    lower: str | None = None
    teething: bool = False
    tooth_on: date | None = None
    tooth_days_ago: int | None = None
    dropped_near_tooth: bool = False
    ear_signs: tuple[Sign | Concern, ...] = ()
    trimmed_on: date | None = None
    grown_back_from: date | None = None
    grown_back_to: date | None = None
    cut_on: date | None = None
    hands: ConditionNow | None = None
    loose_with: tuple[str, ...] = ()
    six_months_on: date | None = None
    nine_months_on: date | None = None
    days_to_six_months: int | None = None
    days_to_nine_months: int | None = None
    alert_week: int | None = None
    next_step: str | None = None
    warnings: tuple[str, ...] = ()
    source: tuple[str, ...] = ("ear-custom", "ear-columns")
    caution: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class EarDay:
    """The ears of one day: scores by side (`down` to `up` of the reference), and of ears whose side was not named."""

    on: date
    sides: dict[str, int]
    unnamed: tuple[int, ...]

    @property
    def scores(self) -> list[int]:
        return [*self.sides.values(), *self.unnamed]

    @property
    def lower(self) -> int | None:
        """Score of the lower ear; None where only one is known and it is up (the other might not be)."""
        known = self.scores
        if len(known) >= 2 or (known and min(known) < facts("ears")["score"]["up"]):
            return min(known)
        return None


def assess(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> EarTrend:
    """Which way the ears are going as of a day, by the records up to it; the words are never "will" or "won't"."""
    rules = facts("ears")
    age = dog.age_days(on)
    if age < 0:
        return EarTrend(dog=dog.name, on=on, age_days=age, watched=dog.ear_watch, caution=("not_born",))
    said = ledger.entries(dog.name, Ears, until=on)
    days = by_day(said)
    span = timedelta(days=rules["trend"]["span_days"])
    now = [d for d in days if d.on > on - span and d.lower is not None]
    before = [d for d in days if on - 2 * span < d.on <= on - span and d.lower is not None]
    full = [d for d in days if d.lower is not None]
    up = rules["score"]["up"]
    both = [d.on for d in full if (d.lower or 0) >= up]
    best = max((d.lower or 0 for d in full), default=None)
    trend = _trend(now, before)
    uneven, lower = _uneven([d for d in days if d.on > on - span])
    tooth = [t.on for t in ledger.entries(dog.name, Tooth, until=on)]
    trim = regrowth.assess(dog, ledger, kennel, on)
    six, nine = (birthday(dog.born, m) for m in rules["age"]["window_months"])
    hands = latest(dog, ledger, on)
    signs = _ear_signs(dog, ledger, on)
    teething = rules["age"]["teething_from_week"] * 7 <= age < (rules["age"]["teething_to_week"] + 1) * 7
    week = age // 7
    alert = week in rules["age"]["alert_weeks"] and best is not None and best < rules["age"]["alert_below_score"]
    found = EarTrend(
        dog=dog.name,
        on=on,
        age_days=age,
        watched=dog.ear_watch,
        last=said[-1] if said else None,
        left=_side("left", days, on, span),
        right=_side("right", days, on, span),
        days_both_up=sum((d.lower or 0) >= up for d in now),
        days_scored=len(now),
        days_both_up_before=sum((d.lower or 0) >= up for d in before),
        days_scored_before=len(before),
        trend=trend,
        best=best,
        best_on=next((d.on for d in full if d.lower == best), None),
        last_both_up=both[-1] if both else None,
        days_since_both_up=(on - both[-1]).days if both else None,
        streak=_streak(full),
        uneven_days=uneven,
        lower=lower,
        teething=teething,
        tooth_on=tooth[-1] if tooth else None,
        tooth_days_ago=(on - tooth[-1]).days if tooth else None,
        dropped_near_tooth=trend == DOWN and teething and _near_tooth(now, tooth),
        ear_signs=signs,
        trimmed_on=trim.trimmed_on if trim else None,
        grown_back_from=(trim.back_on or trim.back_from) if trim else None,
        grown_back_to=(trim.back_on or trim.back_to) if trim else None,
        cut_on=cut_on(dog, kennel, on),
        hands=hands if hands and hands.fresh else None,
        loose_with=names(d for d in kennel.at_home() if d.name not in (dog.name, *dog.apart_from)),
        six_months_on=six,
        nine_months_on=nine,
        days_to_six_months=(six - on).days,
        days_to_nine_months=(nine - on).days,
        alert_week=week if alert else None,
    )
    return _advised(found, full)


def _advised(e: EarTrend, full: Sequence[EarDay]) -> EarTrend:
    """The same with its warnings, the next step in order, and its cautions."""
    rules = facts("ears")
    warnings, caution = [], []
    if e.ear_signs:
        warnings.append("ear_sign_vet")
    if e.trend == DOWN:
        warnings.append("sliding")
    if e.alert_week is not None:
        warnings.append("never_up_yet")
    if e.streak >= rules["trend"]["holding_days"] and e.trend != DOWN:
        warnings.append("holding")
    if _may_close(e, full):
        warnings.append("may_close_watch")
    if e.last is None:
        caution.append("no_scores")
    elif e.trend == TOO_FEW:
        caution.append("too_few_scored")
    elif (e.on - e.last.on).days >= 3:
        caution.append("scores_old")
    caution += ["own_left_and_right", "no_promise", "hands_off_ears", "no_calcium"]
    if e.loose_with:
        caution.append("no_tape_while_loose")
    return replace(e, warnings=tuple(warnings), next_step=next_step(e), caution=tuple(caution))


def position(score: int) -> str:
    """The word of a score: `down`, `half` or `up`."""
    words: dict[int, str] = {n: word for word, n in facts("ears")["score"].items() if word != "source"}
    return words[score]


def by_day(said: Sequence[Ears]) -> list[EarDay]:
    """The records folded by day: of one ear, the last word of the day counts; unnamed ears are those last told."""
    score = facts("ears")["score"]
    folded: dict[date, EarDay] = {}
    for e in said:
        old = folded.get(e.on)
        sides = dict(old.sides) if old else {}
        for side, position in (("left", e.left), ("right", e.right)):
            if position in score:
                sides[side] = score[position]
        unnamed = tuple(score[p] for p in (e.one, e.other) if p in score) or (old.unnamed if old else ())
        # Once both sides are named, ears told of without a side that day add nothing.
        folded[e.on] = EarDay(e.on, sides, () if len(sides) == 2 and (e.left or e.right) else unnamed)
    return [folded[d] for d in sorted(folded)]


def _side(side: str, days: Sequence[EarDay], on: date, span: timedelta) -> EarSide:
    up = facts("ears")["score"]["up"]
    mine = [(d.on, d.sides[side]) for d in days if side in d.sides]
    if not mine:
        return EarSide()
    now = [s for day, s in mine if day > on - span]
    before = [s for day, s in mine if on - 2 * span < day <= on - span]
    best = max(s for _, s in mine)
    return EarSide(
        now=position(mine[-1][1]),
        on=mine[-1][0],
        days_up=sum(s >= up for s in now),
        days_scored=len(now),
        days_up_before=sum(s >= up for s in before),
        days_scored_before=len(before),
        best=best,
        best_on=next(day for day, s in mine if s == best),
    )


def _trend(now: Sequence[EarDay], before: Sequence[EarDay]) -> str:
    """Which way, by the share of days with both up, else by the mean score of the ears."""
    rule, up = facts("ears")["trend"], facts("ears")["score"]["up"]
    if min(len(now), len(before)) < rule["least_scored"]:
        return TOO_FEW

    def share(days: Sequence[EarDay]) -> float:
        return float(sum((d.lower or 0) >= up for d in days)) / len(days)

    def mean(days: Sequence[EarDay]) -> float:
        return float(sum(sum(d.scores) / len(d.scores) for d in days) / len(days))

    for moved, enough in (
        (share(now) - share(before), rule["share_moved"]),
        (mean(now) - mean(before), rule["score_moved"]),
    ):
        if abs(moved) >= enough - 1e-9:
            return UP if moved > 0 else DOWN
    return STILL


def _uneven(days: Sequence[EarDay]) -> tuple[int, str | None]:
    """On how many days the ears differed, and which was the lower on all of them (None: unnamed or both ways)."""
    differed = [d for d in days if len(set(d.scores)) > 1]
    lower = {min(d.sides, key=lambda s: d.sides[s]) if len(d.sides) == 2 else None for d in differed}
    return len(differed), lower.pop() if len(lower) == 1 else None


def _streak(full: Sequence[EarDay]) -> int:
    """Days scored in a row, counted back from the newest, with both ears up."""
    up = facts("ears")["score"]["up"]
    count = 0
    for day in reversed(full):
        if (day.lower or 0) < up:
            break
        count += 1
    return count


def _may_close(e: EarTrend, full: Sequence[EarDay]) -> bool:
    """True from six months on where both ears were up on every day scored in a fortnight, at least six of them."""
    rule, up = facts("ears")["trend"], facts("ears")["score"]["up"]
    recent = [d for d in full if d.on > e.on - timedelta(days=rule["closing_days"])]
    old_enough = e.days_to_six_months is not None and e.days_to_six_months <= 0
    return old_enough and len(recent) >= rule["closing_scored"] and all((d.lower or 0) >= up for d in recent)


def _near_tooth(now: Sequence[EarDay], teeth: Sequence[date]) -> bool:
    """True where a tooth was logged within a week of the first day of these seven on which an ear was not up."""
    up, near = facts("ears")["score"]["up"], facts("ears")["teeth"]["near_days"]
    dropped = next((d.on for d in now if (d.lower or 0) < up), None)
    return dropped is not None and any(abs((t - dropped).days) <= near for t in teeth)


def _ear_signs(dog: Dog, ledger: Ledger, on: date) -> tuple[Sign | Concern, ...]:
    """Signs of the last week that were told of the ears, and worrying words about them that no sign fits."""
    rule = facts("ears")["signs"]
    heard = {w for words in rule["heard"].values() for w in words}
    since = on - timedelta(days=rule["days"])
    signs = (
        s
        for s in ledger.entries(dog.name, Sign, since=since, until=on)
        if s.sign in rule["kinds"] and heard & set(re.findall(r"\w+", s.said.casefold()))
    )
    worries = (c for c in ledger.entries(dog.name, Concern, since=since, until=on) if c.about == rule["concern"])
    return (*signs, *worries)
