"""The breeder's morning lines: at most six, the worst first, nothing where there is nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from bot.replies import newborns, say_units
from bot.replies.answers import ears as ears_words
from bot.replies.answers import growing, rations
from bot.replies.answers.asker import Asker
from core import bile, breeding, care, ear_steps, ears, feeding, growth, newborn
from core.entries import Ears, Sign, Weight
from core.gestation import nursing
from core.growth import Growth
from core.ledger import Ledger
from core.newborn import AMBER, RED, LitterDay
from core.ration_plan import RationPlan
from core.roster import BREEDER, Dog, Kennel
from shared.tables import facts
from shared.texts import listed, text

MOST_LINES = 6

# How pressing: lower comes first.
RED_NEWBORN, VET, AMBER_NEWBORN, POORLY, LOOK, DUE, QUIET_LITTER, GAP = range(8)

# Growth warnings by how pressing they are; the others are answers, not alerts.
PRESSING = {
    "losing": VET, "flat_vet": VET, "flat_twice": POORLY, "slow_twice": POORLY, "two_lines_down": POORLY,
    "lost_in_month": VET, "lost_in_half_year": VET, "slow": LOOK, "flat": LOOK, "fast_twice": LOOK,
    "two_lines_up": LOOK, "creeping_up": LOOK, "creeping_down": LOOK, "odd_reading": LOOK, "far_over_line": LOOK,
    "over_line": LOOK, "under_line": LOOK,
}  # fmt: skip
# Nobody is told each morning what they know: a weighing is news for so long, by how pressing the warning is.
NEWS = {VET: timedelta(days=10), POORLY: timedelta(days=5), LOOK: timedelta(days=2)}
SIGN_DAYS, OFTEN = 10, 2  # a sign seen so often in so many days is told
STALE_DAYS = 2  # a newborn's weight of so many days ago tells nothing of today
WEIGHED_DAILY = 21  # days of age; common practice, no source
EARS_QUIET_DAYS = (4, 8, 15)  # watched ears that were not scored for so many days


@dataclass(frozen=True, slots=True, order=True)
class Line:
    """One line of the alert and how pressing it is."""

    rank: int
    text: str


def morning_alert(kennel: Kennel, ledger: Ledger, at: datetime) -> str:
    """The breeder's lines of this morning, "" where there is nothing to say."""
    if kennel.breeder is None:
        return ""
    asker = Asker(person=kennel.breeder, room=BREEDER, kennel=kennel, ledger=ledger, at=at)
    each = list(_each_dog(asker))
    found = [*_litters(asker), *_dogs(each), *_gaps(asker)]
    lines = [line.text for line in sorted(found, key=lambda line: line.rank)]
    step = _step(each, asker)
    if step is not None:
        mine = next((n for n, line in enumerate(lines) if line.startswith(step[0].name)), None)
        if mine is not None:
            lines[mine] = f"{lines[mine]} {rations.step_words(step[1])}"
    if len(lines) > MOST_LINES:
        lines = [*lines[: MOST_LINES - 1], text("alert.more", n=len(lines) - MOST_LINES + 1)]
    return "\n".join(lines)


def suggestion(kennel: Kennel, ledger: Ledger, at: datetime) -> tuple[Dog, RationPlan] | None:
    """The one step that this morning's lines suggest, on the morning after a weighing; None where they suggest none.

    The dog is the first in the alert whose weighing is new and whose records suggest another ration or the jar.
    """
    if kennel.breeder is None:
        return None
    asker = Asker(person=kennel.breeder, room=BREEDER, kennel=kennel, ledger=ledger, at=at)
    return _step(list(_each_dog(asker)), asker)


def _step(each: Sequence[tuple[str, list[Line]]], asker: Asker) -> tuple[Dog, RationPlan] | None:
    for _, _, name in sorted((parts[0].rank, n, name) for n, (name, parts) in enumerate(each)):
        dog = asker.kennel.dog(name)
        last = asker.ledger.last(name, Weight, until=asker.on)
        if dog is None or last is None or (asker.on - last.entry.on).days > 1 or dog.is_newborn(asker.on):
            continue
        plan = feeding.assess(dog, asker.ledger, asker.kennel, asker.on)
        if plan.step is not None and plan.step.key in ("jar", "less", "more") and rations.step_words(plan):
            return dog, plan
    return None


# Newborns


def newborn_lines(asker: Asker) -> list[str]:
    """How each litter under four weeks stands: the pups in trouble, or that all is well."""
    return [line.text for line in sorted(_litters(asker), key=lambda line: line.rank)]


def _litters(asker: Asker) -> Iterator[Line]:
    for litter in asker.kennel.litters:
        dam = asker.kennel.dog(litter.dam)
        if dam is None or litter.born is None:
            continue
        if not 0 <= (asker.on - litter.born).days < 28 or not asker.kennel.pups_of(dam.name, litter.born):
            continue
        found = newborn.litter(dam, asker.ledger, asker.kennel, asker.at)
        yield from _litter(found, asker)


def _litter(found: LitterDay, asker: Asker) -> Iterator[Line]:
    bad = [p for p in found.pups if p.level in (RED, AMBER)]
    for pup in bad:
        name = pup.dog.upper() if pup.level == RED else pup.dog
        do = newborns.do_in_the_morning(pup)
        rank = RED_NEWBORN if pup.level == RED else AMBER_NEWBORN
        on = asker.kennel.day_of(pup.weighed_at) if pup.weighed_at else asker.on
        if (asker.on - on).days < STALE_DAYS:
            yield Line(rank, text("alert.newborn.line", dog=name, figures=newborns.figures(pup, asker.unit), do=do))
            continue
        day = say_units.day(on, asker.on, asker.kennel)
        figures = newborns.figures(pup, asker.unit, (asker.on - on).days)
        yield Line(rank, text("alert.newborn.stale", dog=name, figures=figures, day=day, do=do))
    gap = _not_weighed(found, asker)
    if gap is not None:
        yield gap
    slow = [n for n in found.slow if n not in {p.dog for p in bad}]
    if found.litter_slow:
        yield Line(AMBER_NEWBORN, text("alert.newborn.litter_slow", dam=found.dam))
    elif slow:
        # The figure is the charts': since birth.
        gains = {p.dog: p.pct_since_birth for p in found.pups if p.pct_since_birth is not None}
        shown = [f"{n} {say_units.percent(gains[n] / 100, sign=True)}" for n in slow if n in gains] or slow
        yield Line(POORLY, text("alert.newborn.slow", dogs=listed(shown)))
    elif not bad and gap is None and found.mean_pace_pct is not None and found.smallest:
        mean = say_units.percent(found.mean_pace_pct / 100, 0, sign=True)
        yield Line(QUIET_LITTER, text("alert.newborn.well", dam=found.dam, mean=mean, smallest=found.smallest))


def _not_weighed(found: LitterDay, asker: Asker) -> Line | None:
    """Newborns that were not on the scale yesterday either: silence is never taken for all well."""
    if found.age_days is None or not 2 <= found.age_days <= WEIGHED_DAILY:
        return None
    last = {p.dog: asker.kennel.day_of(p.weighed_at) if p.weighed_at else None for p in found.pups}
    late = sorted(n for n, on in last.items() if on is None or on < asker.on - timedelta(days=1))
    if not late:
        return None
    newest = max((on for n in late if (on := last[n]) is not None), default=None)
    if newest is None:
        return Line(POORLY, text("alert.newborn.never_weighed", dogs=listed(late)))
    day = say_units.day(newest, asker.on, asker.kennel)
    return Line(POORLY, text("alert.newborn.not_weighed", dogs=listed(late), day=day))


# Every dog past four weeks


def _dogs(each: Sequence[tuple[str, list[Line]]]) -> Iterator[Line]:
    for name, parts in each:
        what = ", ".join(p.text for p in parts)
        yield Line(parts[0].rank, text("alert.dog", dog=name, what=what))


def _each_dog(asker: Asker) -> Iterator[tuple[str, list[Line]]]:
    for dog in asker.kennel.at_home():
        if dog.is_newborn(asker.on):
            continue
        parts = [*_growth(dog, asker), *_milk(dog, asker), *_breeding(dog, asker)]
        parts += [*_ears(dog, asker), *_signs(dog, asker)]
        if parts:
            parts.sort(key=lambda p: p.rank)
            yield dog.name, parts


def _growth(dog: Dog, asker: Asker) -> Iterator[Line]:
    found = growth.assess(dog, asker.ledger, asker.kennel, asker.on)
    if found.last is None:
        return
    old = asker.on - found.last[1]
    warned = [w for w in found.warnings if w in PRESSING and old <= NEWS[PRESSING[w]]]
    if not warned or (warned[0] in growing.ON_LINE and not _hands_agree(dog, found, asker)):
        return
    rank = min(PRESSING[w] for w in warned)
    said = [w for w in warned if w not in growing.ON_LINE][:1]
    if said:
        yield Line(rank, text(f"alert.growth.{said[0]}"))
    if found.gain_g_per_day is not None and found.gain_since and dog.is_pup(asker.on) and said:
        yield Line(rank, growing.gain(found, asker))
    if growing.ON_LINE & set(warned):
        yield Line(rank, growing.on_the_line(found, asker))
        felt = growing.hands(dog, asker)
        if felt:
            yield Line(rank, felt)


def _milk(dog: Dog, asker: Asker) -> Iterator[Line]:
    """A nursing dam whose order is under the least she needs, each morning until it is put back."""
    if dog.sex != "f" or not dog.ration or nursing(dog, asker.ledger, asker.kennel, asker.on) is None:
        return
    plan = feeding.assess(dog, asker.ledger, asker.kennel, asker.on)
    if "nursing_under_least" in plan.warnings and plan.kcal_day and plan.floor_kcal:
        kcal = [say_units.number(n, 0) for n in (plan.kcal_day, plan.floor_kcal)]
        yield Line(VET, text("alert.nursing_under_least", kcal=kcal[0], least=kcal[1]))


def _breeding(dog: Dog, asker: Asker) -> Iterator[Line]:
    """What a bitch's dates ask of the vet."""
    if dog.sex != "f":
        return
    status = breeding.status(dog, asker.ledger, asker.kennel, asker.on)
    warned = status.warnings
    if "watch_for_womb_infection" in warned and status.season_on is not None:
        # Told once, on the first day after her season; and whenever she is unwell in these weeks.
        if care.is_unwell(dog, asker.ledger, asker.on):
            yield Line(VET, text("alert.womb_now"))
        elif (asker.on - status.season_on).days == int(facts("reproduction")["season"]["odd_after"]):
            yield Line(LOOK, text("alert.womb_watch"))
    if "past_due_ring_vet" in warned:
        yield Line(VET, text("alert.past_due"))
    if "colour_past_28_days" in warned:
        yield Line(POORLY, text("alert.colour_long"))


def _hands_agree(dog: Dog, found: Growth, asker: Asker) -> bool:
    """Over or under the line is told only where hands don't say that all is right: hands beat the figures."""
    return growing.hands(dog, asker) != text("answers.growth.hands.right")


def _ears(dog: Dog, asker: Asker) -> Iterator[Line]:
    if not dog.ear_watch:
        return
    found = ears.assess(dog, asker.ledger, asker.kennel, asker.on)
    if found.ear_signs:
        yield Line(VET, text("alert.ears.vet"))
    elif found.trend == ears.DOWN and found.last and (asker.on - found.last.on).days <= 1:
        yield Line(LOOK, text("alert.ears.down", counts=ears_words.counts(found)))
        if found.next_step in (ear_steps.JAR_AND_HAIR, ear_steps.HAIR, ear_steps.MENTOR):
            yield Line(LOOK, text(f"alert.ears.next.{found.next_step}"))
    if found.age_days % 7:
        return  # once a week is enough
    six, nine = found.days_to_six_months, found.days_to_nine_months
    if found.alert_week is not None and six is not None and nine is not None:
        name = "alert.ears.never_up" if six > 0 else "alert.ears.never_up_nine"
        yield Line(LOOK, text(name, six=say_units.days(max(six, 0)), nine=say_units.days(nine)))
    elif "may_close_watch" in found.warnings:
        yield Line(GAP, text("alert.ears.close", dog=dog.name))


def _signs(dog: Dog, asker: Asker) -> Iterator[Line]:
    since = asker.on - timedelta(days=SIGN_DAYS - 1)
    days: dict[str, set[date]] = {}
    for sign in asker.ledger.entries(dog.name, Sign, since=since, until=asker.on):
        days.setdefault(sign.sign, set()).add(sign.on)
    for name, seen in days.items():
        if max(seen) < asker.on - NEWS[LOOK if len(seen) < OFTEN else POORLY]:
            continue
        what = text(f"kept.sign.{name}")
        if len(seen) < OFTEN:
            yield Line(LOOK, text("alert.sign", sign=what, day=say_units.day(max(seen), asker.on, asker.kennel)))
            continue
        said = text("alert.signs", sign=what, n=len(seen), days=SIGN_DAYS)
        beside = bile.mornings(dog, asker.ledger, asker.kennel, asker.on, SIGN_DAYS) if name == "bile" else None
        if beside is not None and beside.beside:
            said = text("alert.bile_no_snack", said=said, beside=text(f"remarks.snack.{beside.beside}"))
        yield Line(POORLY if name not in ("bile", "itch") else LOOK, said)


# What is not in the book


def _gaps(asker: Asker) -> Iterator[Line]:
    quiet = []
    for dog in asker.kennel.at_home():
        last = asker.ledger.last(dog.name, Ears, until=asker.on)
        if dog.ear_watch and last and (asker.on - last.entry.on).days in EARS_QUIET_DAYS:
            quiet.append((dog.name, last.entry.on))
    if quiet:
        since = max(on for _, on in quiet)
        day = say_units.day(since, asker.on, asker.kennel)
        yield Line(GAP, text("alert.ears.quiet", dogs=listed([n for n, _ in quiet]), day=day))
