"""What is due for each dog: weighing, grooming, wormer, vaccine; with when it was last done and what to mind.

Published windows stand in only where the vet's plan is not known: the vet's plan decides. Never a dose, never a
product. A weight that is too old means "weigh first".
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import pairwise

from core.classes import birthday
from core.entries import Dose, Ears, Groom, Sign
from core.gestation import whelped_on
from core.ledger import Ledger, Posted
from core.roster import Dog, Duty, Kennel, months_between
from core.weighings import daily
from shared.tables import facts

WEIGH, EARS, WORMER, VACCINE, MEDICINE = "weigh", "ears", "wormer", "vaccine", "medicine"


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One thing to be done for one dog.

    Attributes:
        what: `weigh`, `ears`, a grooming task, `wormer` or `vaccine`. on: the day it is due (the first of its window).
        until: the last day of its window, None where it has none. last: the day it was last done, None for never.
        overdue_days: days past `on` (past `until` where there is one); 0 on the day, negative while it lies ahead.
        number: which vaccination of a pup's course it is, None otherwise. asked: the day for which it was asked.
    """

    dog: str
    what: str
    on: date
    until: date | None = None
    last: date | None = None
    overdue_days: int
    asked: date
    number: int | None = None
    source: tuple[str, ...] = ()
    caution: tuple[str, ...] = ()

    @property
    def is_due(self) -> bool:
        """True from the first day of its window on."""
        return self.asked >= self.on


def due(kennel: Kennel, ledger: Ledger, on: date) -> tuple[Due, ...]:
    """The next of everything that is to be done for each dog, soonest first; ahead of time too (`Due.is_due`)."""
    found = [d for dog in kennel.living() if dog.born <= on for d in of_dog(dog, ledger, kennel, on)]
    return tuple(sorted(found, key=lambda d: (d.on, d.dog, d.what)))


def of_dog(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> tuple[Due, ...]:
    """The next of everything that is to be done for one dog."""
    found = [*_weigh(dog, ledger, kennel, on), *_ears(dog, ledger, kennel, on), *_groom(dog, ledger, kennel, on)]
    found += [*_worm(dog, ledger, kennel, on), *_vaccine(dog, ledger, on)]
    return tuple(sorted(found, key=lambda d: (d.on, d.what)))


def weigh_every(age_days: int) -> int:
    """Days between weighings at an age (common practice; newborns daily, then weekly, checked in SACN Table 16-6)."""
    rule = facts("schedule")["weigh"]
    return next(int(e) for until, e in zip(rule["until_day"], rule["every"], strict=True) if age_days < until)


def weight_is_old(dog: Dog, ledger: Ledger, on: date) -> bool:
    """True where there is no weight within 7 days (pups) or 30 (grown dogs): weigh before any medicine by weight."""
    weighings = daily(dog, ledger, on)
    rule = facts("schedule")["weight_age"]
    return not weighings or (on - weighings[-1].on).days > int(rule["pup_days" if dog.is_pup(on) else "adult_days"])


def given_already(dog: str, dose: str, ledger: Ledger, at: datetime, kennel: Kennel) -> Posted | None:
    """The dose of the same kind given so lately that a second one is to be stopped and asked about; None otherwise.

    Of medicine the vet's plan says how far apart doses are, and how many a day holds; without one it is a day's.
    """
    rule = facts("schedule")["again"]
    hours = {"medicine": rule["medicine_hours"], "wormer": rule["wormer_hours"], "vaccine": rule["vaccine_hours"]}
    within = timedelta(hours=float(hours.get(dose, rule["flea_hours"])))
    given = [p for p in ledger.of(dog, Dose) if isinstance(p.entry, Dose) and p.entry.dose == dose and p.at <= at]
    plan = _times_of_medicine(dog, kennel, kennel.day_of(at)) if dose == MEDICINE else ()
    if plan:
        within = min(_apart(plan)) * float(rule["share_of_gap"])
        today = [p for p in given if p.entry.on == kennel.day_of(at)]
        if len(today) >= len(plan):
            return today[-1]
    return next((p for p in reversed(given) if at - p.at < within), None)


def _times_of_medicine(dog: str, kennel: Kennel, on: date) -> tuple[time, ...]:
    """The times of day of a dog's medicine by the vet's plan; empty where none stands on that day."""
    lines = [d for d in kennel.duties if d.what == MEDICINE and dog in d.dogs and (d.until is None or on <= d.until)]
    return tuple(sorted({d.at for d in lines}))


def _apart(times: tuple[time, ...]) -> list[timedelta]:
    """How far the times of a day are from one to the next, and from the last to the first of the day after."""
    first = datetime.combine(date.min, times[0]) + timedelta(days=1)
    moments = [*(datetime.combine(date.min, t) for t in times), first]
    return [b - a for a, b in pairwise(moments)]


@dataclass(frozen=True, slots=True, kw_only=True)
class SignWatch:
    """Signs that add up to the vet: which, how often, since when; `level` is `now` or `today`."""

    dog: str
    sign: str
    times: int
    since: date
    level: str
    source: tuple[str, ...] = ("red-words", "feeding-lines")
    caution: tuple[str, ...] = ("vet_decides",)


def signs(dog: Dog, ledger: Ledger, on: date) -> tuple[SignWatch, ...]:
    """The signs of the last days that reach the vet's line for the dog's age, the most pressing first."""
    rule = facts("schedule")["signs"]
    young = dog.age_days(on) < int(rule["pup_until_day"])
    seen = list(ledger.entries(dog.name, Sign, since=on - timedelta(days=10), until=on))
    out = []
    for sign in dict.fromkeys(s.sign for s in seen):
        line = rule.get(sign)
        if line is None:
            continue
        lately = [s for s in seen if s.sign == sign and (on - s.on).days < int(line["days"])]
        if len(lately) >= int(line["pup_count" if young else "count"]):
            now = sign in {"seizure", "swallowed"} or (young and _both(lately, seen, sign))
            out.append(SignWatch(dog=dog.name, sign=sign, times=len(lately), since=lately[0].on,
                                 level="now" if now else "today"))  # fmt: skip
    return tuple(sorted(out, key=lambda w: w.level != "now"))


def is_unwell(dog: Dog, ledger: Ledger, on: date) -> bool:
    """True where a sign of illness was seen in the last days (`feeding.toml`): the vet first, never less food."""
    rule = facts("feeding")["step"]
    since = on - timedelta(days=int(rule["unwell_days"]) - 1)
    return any(s.sign in rule["unwell_signs"] for s in ledger.entries(dog.name, Sign, since=since, until=on))


def box_warmth(age_days: int, celsius: float) -> tuple[str | None, float, float] | None:
    """`cool`, `warm` or None for the warmth at the pups' level, with the band in °C for their age; None past 21 days.

    Common practice: 29–32 °C in week 1, 26–29 in week 2, 24–26 in week 3; heaped or scattered pups stand above it.
    """
    rule = facts("reproduction")["box"]
    for until, low, high in zip(rule["until_day"], rule["low"], rule["high"], strict=True):
        if 0 <= age_days < until:
            key = "cool" if celsius < low else "warm" if celsius > high else None
            return key, float(low), float(high)
    return None


# ---- one after another -----------------------------------------------------------------------------------------------


def _make(dog: Dog, what: str, first: date, on: date, **more: object) -> Due:
    end = more.get("until") or first
    assert isinstance(end, date)
    return Due(dog=dog.name, what=what, on=first, overdue_days=(on - end).days, asked=on, **more)  # type: ignore[arg-type]


def _duty(kennel: Kennel, dog: Dog, what: str) -> Duty | None:
    return next((d for d in kennel.duties if d.what == what and (not d.dogs or dog.name in d.dogs)), None)


def _next(last: date | None, every: int, duty: Duty | None, first: date, on: date) -> date:
    """The day after `every` days, or the next weekday of the rota after the last time."""
    if duty is not None and duty.days:
        start = last + timedelta(days=1) if last is not None else max(first, on)
        while start.weekday() not in duty.days:
            start += timedelta(days=1)
        return start
    return last + timedelta(days=every) if last is not None else first


def _weigh(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> Iterator[Due]:
    if dog.home:
        return
    weighings = daily(dog, ledger, on)
    last = weighings[-1].on if weighings else None
    duty = _duty(kennel, dog, WEIGH)
    every = duty.every_days if duty and duty.every_days else weigh_every(dog.age_days(on))
    if dog.age_days(on) < 56:
        duty = None  # a litter's own rhythm stands above the weekly round
        every = weigh_every(dog.age_days(on))
    yield _make(dog, WEIGH, _next(last, every, duty, dog.born, on), on, last=last, source=("weigh-custom",))


def _ears(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> Iterator[Due]:
    if not dog.ear_watch or dog.home:
        return
    last = ledger.last(dog.name, Ears, until=on)
    duty = _duty(kennel, dog, EARS)
    day = _next(last.entry.on if last else None, 1, duty, on, on)
    yield _make(dog, EARS, day, on, last=last.entry.on if last else None, source=("ear-custom",))


def _groom(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> Iterator[Due]:
    rule = facts("schedule")["groom"]
    age = dog.age_days(on)
    done: dict[str, date] = {g.task: g.on for g in ledger.entries(dog.name, Groom, until=on)}
    if dog.home:
        return
    if age < int(rule["newborn_nails_until_day"]):
        if age >= int(rule["newborn_nails_from_day"]):
            first = dog.born + timedelta(days=int(rule["newborn_nails_from_day"]))
            day = _next(done.get("nails"), int(rule["newborn_nails_every"]), None, first, on)
            yield _make(dog, "nails", day, on, last=done.get("nails"), source=("groom-custom",))
        return
    for task, every in rule["every"].items():
        duty, last = _duty(kennel, dog, task), done.get(task)
        if last is None and duty is None and task in rule["only_if_done"]["tasks"]:
            continue
        days = duty.every_days if duty and duty.every_days else int(every)
        first = max(dog.born + timedelta(days=int(rule["from_day"])), on)
        yield _make(dog, task, _next(last, days, duty, first, on), on, last=last, source=("groom-custom",),
                    caution=() if last else ("never_logged",))  # fmt: skip


def _worm(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> Iterator[Due]:
    """From 14 days every 14 until two weeks after weaning, monthly to six months, then three-monthly (ESCCAP)."""
    rule = facts("schedule")["worm"]
    given = [d.on for d in ledger.entries(dog.name, Dose, until=on) if d.dose == WORMER]
    last = given[-1] if given else None
    first = dog.born + timedelta(days=int(rule["from_day"]))
    if last is None:
        # A grown dog of which nothing is written down: nothing is known, so it is asked, not counted as late.
        day = first if dog.is_pup(on) else on
    else:
        day = last + timedelta(days=worm_gap(dog, last))
    caution = ["vet_plan_decides", "no_dose"]
    if weight_is_old(dog, ledger, on):
        caution.append("weigh_first")
    if last is None and not dog.is_pup(on):
        caution.append("never_logged")
    born = whelped_on(dog, ledger, kennel, on) if dog.sex == "f" else None
    if born is not None and (last is None or last < born + timedelta(days=int(rule["from_day"]))):
        nursing_day = born + timedelta(days=int(rule["from_day"]))
        if on < born + timedelta(days=int(rule["weaned_day"])):
            day = nursing_day
            caution.append("dam_with_pups")
    yield _make(dog, WORMER, day, on, last=last, source=("esccap", "vet-plan"), caution=tuple(caution))


def worm_gap(dog: Dog, last: date) -> int:
    """Days from one worming to the next for a dog wormed on that day (ESCCAP; the vet's plan decides)."""
    rule = facts("schedule")["worm"]
    age = dog.age_days(last)
    if age + int(rule["every_pup"]) <= int(rule["pup_until_day"]):
        return int(rule["every_pup"])
    if months_between(dog.born, last) < int(rule["monthly_until_month"]):
        return 30
    return 30 * int(rule["every_adult_months"]) + 1


def _vaccine(dog: Dog, ledger: Ledger, on: date) -> Iterator[Due]:
    """Start at 6–8 weeks, every 2–4 weeks to 16 weeks or older, again at 26 weeks, then yearly with the vet (WSAVA)."""
    rule = facts("schedule")["vaccine"]
    given = sorted({d.on for d in ledger.entries(dog.name, Dose, until=on) if d.dose == VACCINE})
    last = given[-1] if given else None
    caution = ["vet_plan_decides"]
    number: int | None = len(given) + 1
    if last is None:
        first, until = (dog.born + timedelta(days=int(rule[k])) for k in ("first_from_day", "first_to_day"))
        if not dog.is_pup(on):
            first, until, number = on, on, None
            caution.append("never_logged")
    elif dog.age_days(last) < int(rule["last_at_least_day"]):
        first, until = last + timedelta(days=int(rule["every_low"])), last + timedelta(days=int(rule["every_high"]))
        oldest = dog.born + timedelta(days=int(rule["last_at_least_day"]))
        if first < oldest <= until:
            first = oldest
            caution.append("last_at_16_weeks_or_older")
    elif dog.age_days(last) < int(rule["booster_day"]):
        first = until = dog.born + timedelta(days=int(rule["booster_day"]))
    else:
        first = until = birthday(last, int(rule["adult_months"]))
        number = None
        caution.append("core_not_every_year")
    ill = ledger.entries(dog.name, Sign, since=on - timedelta(days=int(rule["unwell_days"])), until=on)
    if ill:
        caution.append("unwell_ring_first")
    yield _make(dog, VACCINE, first, on, until=until if until != first else None, last=last, number=number,
                source=("wsava-vaccines", "vet-plan"), caution=tuple(caution))  # fmt: skip


def _both(lately: list[Sign], seen: list[Sign], sign: str) -> bool:
    """True for vomiting and diarrhoea together in a young pup."""
    other = {"vomit": "diarrhoea", "diarrhoea": "vomit"}.get(sign)
    return any(s.sign == other and abs((s.on - lately[-1].on).days) <= 1 for s in seen)
