"""The house at a glance: who is ill, losing, not weighed, over the line; who lives here; who does what when."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from bot.replies import newborns, say_units, sitter
from bot.replies.answers import charts, growing
from bot.replies.answers.asker import Asker
from core import breeding, care, growth, newborn
from core.agenda import Due
from core.changes import GROWN_NOISE
from core.entries import Sign
from core.roster import Dog
from core.rota import DOSES, MEALS
from shared.texts import listed, text

SIGN_DAYS = 7
SMALL_KG = 0.05  # what a bathroom scale does not show


def ill(asker: Asker) -> list[str]:
    """Each dog at home of which a sign was written in the last week, newborns in trouble first."""
    lines = [text("overview.ill", dog=n.dog.upper(), what=newborns.figures(n, asker.unit)) for n in _red(asker)]
    since = asker.on - timedelta(days=SIGN_DAYS - 1)
    for dog in asker.kennel.at_home():
        days: dict[str, set[date]] = {}
        for s in asker.ledger.entries(dog.name, Sign, since=since, until=asker.on):
            days.setdefault(s.sign, set()).add(s.on)
        said = [_sign(name, seen, asker) for name, seen in days.items()]
        if said:
            lines.append(text("overview.ill", dog=dog.name, what=", ".join(said)))
    return lines or [text("overview.nobody_ill", days=SIGN_DAYS)]


def losing(asker: Asker) -> list[str]:
    """Who weighed less than the time before; of grown dogs, small moves apart."""
    lines, little = [], []
    for dog in asker.kennel.at_home():
        if dog.is_newborn(asker.on):
            pup = newborn.assess(dog, asker.ledger, asker.kennel, asker.at)
            if (pup.g_since_last or 0) < 0 or (pup.pct_since_birth or 0) < 0:
                lines.append(text("overview.ill", dog=dog.name, what=newborns.figures(pup, asker.unit)))
            continue
        found = growth.assess(dog, asker.ledger, asker.kennel, asker.on)
        if found.last is None or found.previous is None:
            continue
        change = found.last[0] - found.previous[0]
        if change > -SMALL_KG:
            continue
        shown = say_units.signed(change, asker.unit)
        if not dog.is_pup(asker.on) and -change < GROWN_NOISE * found.previous[0]:
            little.append(text("overview.losing_little_one", dog=dog.name, change=shown))
            continue
        day = say_units.day(found.previous[1], asker.on, asker.kennel)
        weight = say_units.weight(found.last[0], asker.unit)
        lines.append(text("overview.losing", dog=dog.name, weight=weight, change=shown, day=day))
    lines = lines or [text("overview.losing_none")]
    return [*lines, text("overview.losing_little", dogs=", ".join(little))] if little else lines


def unweighed(asker: Asker) -> list[str]:
    """Whose weighing is due, by the day of the last one."""
    due = [d for d in care.due(asker.kennel, asker.ledger, asker.on) if d.what == care.WEIGH and d.is_due]
    groups: dict[date | None, list[str]] = {}
    for d in due:
        groups.setdefault(d.last, []).append(d.dog)
    lines = []
    for last in sorted(groups, key=lambda on: on or date.min):
        if last is None:
            head = text("overview.unweighed_never")
        else:
            head = text("overview.unweighed_since", day=say_units.day(last, asker.on, asker.kennel))
        lines.append(text("overview.unweighed", day=head, dogs=listed(groups[last])))
    return lines or [text("overview.unweighed_none")]


def off_the_line(asker: Asker, under: bool, dogs: Sequence[Dog] = ()) -> list[str]:
    """Who is over (or under) the lean line by the last weight, most first, with what the hands said."""
    found = []
    for dog in dogs or asker.kennel.at_home():
        if dog.is_newborn(asker.on):
            continue
        grown = growth.assess(dog, asker.ledger, asker.kennel, asker.on)
        wanted = ("under_line",) if under else ("over_line", "far_over_line")
        if grown.over_kg is not None and set(wanted) & set(grown.warnings):
            what = [growing.on_the_line(grown, asker), growing.hands(dog, asker)]
            said = text("overview.over", dog=dog.name, what=", ".join(filter(None, what)))
            found.append((-abs(grown.over_kg), said))
    return [said for _, said in sorted(found)] or [text("overview.under_none" if under else "overview.over_none")]


def everybody(asker: Asker) -> list[str]:
    """The dogs on the list: the grown ones, then each litter with its age."""
    dogs = asker.kennel.living()
    grown = [d for d in dogs if not d.is_pup(asker.on)]
    lines = [_group(text("overview.grown"), grown)] if grown else []
    litters: dict[tuple[str | None, date], list[Dog]] = {}
    for d in dogs:
        if d.is_pup(asker.on):
            litters.setdefault((d.litter, d.born), []).append(d)
    for (dam, _), pups in sorted(litters.items(), key=lambda x: x[0][1]):
        age = say_units.age(pups[0], asker.on)
        name = text("overview.pups_of", dam=dam, age=age) if dam else age
        lines.append(_group(name, pups))
    return lines or [text("overview.none")]


def litter(dogs: Sequence[Dog], asker: Asker) -> list[str]:
    """How a litter does: newborns by their gains, older pups each in a line."""
    young = [d for d in dogs if d.is_newborn(asker.on)]
    dam = asker.kennel.dog(young[0].litter) if young else None
    if dam is not None:
        return [charts.of_litter(dam, asker).text]
    lines = []
    for dog in dogs:
        found = growth.assess(dog, asker.ledger, asker.kennel, asker.on)
        what = ", ".join(filter(None, (*growing.short(dog, found, asker, brief=True), growing.hands(dog, asker))))
        lines.append(text("answers.growth.line", dog=dog.name, what=what))
    return lines


def together(one: Dog, other: Dog, asker: Asker) -> str:
    """Whether two must be apart: her season, or the breeder's list; "" where nothing is written down."""
    her, him = (one, other) if one.sex == "f" else (other, one)
    if her.sex == "f" and him.sex == "m" and not her.neutered:
        status = breeding.status(her, asker.ledger, asker.kennel, asker.on)
        if status.season_day is not None:
            return text("overview.season", dog=her.name, n=status.season_day, him=him.name)
    if other.name in one.apart_from or one.name in other.apart_from:
        return text("overview.apart", one=one.name, other=other.name)
    return ""


def season_end(dog: Dog, asker: Asker) -> str:
    """The day of her season and about when it is over; never a day that is safe."""
    status = breeding.status(dog, asker.ledger, asker.kennel, asker.on)
    if status.season_day is not None and status.apart_to is not None:
        day = say_units.calendar_day(status.apart_to, asker.kennel, asker.on)
        return text("overview.season_end", dog=dog.name, n=status.season_day, day=day)
    if status.season_on is None:
        return text("overview.season_never", dog=dog.name)
    day = say_units.calendar_day(status.season_on, asker.kennel, asker.on)
    return text("overview.season_not", dog=dog.name, day=day)


# What the house does when


def job(item: Due, asker: Asker) -> str:
    """One line of somebody's day: "17:30 dinner"."""
    what = sitter.duty(item.what)
    time = say_units.clock(item.at, asker.kennel)
    if item.what in MEALS or not item.dogs:
        return text("overview.job", time=time, what=what)
    return text("overview.job_dogs", time=time, what=what, dogs=listed(list(item.dogs)))


def turn(meal: str, who: str, item: Due, asker: Asker) -> str:
    """Whose turn a meal is, and when."""
    day = say_units.day(item.on, asker.on, asker.kennel)
    return text("overview.turn", meal=_meal(meal), day=day, who=who, time=say_units.clock(item.at, asker.kennel))


def no_turn(meal: str) -> str:
    """Nobody has that meal on the rota."""
    return text("overview.turn_none", meal=_meal(meal))


def meal_times(meal: str, asker: Asker) -> list[str]:
    """When the meals are, or the one asked for."""
    times = {d.what: d.at for d in asker.kennel.duties if d.what in MEALS and meal in ("", d.what)}
    return [
        text("overview.meal_time", meal=_meal(m), time=say_units.clock(times[m], asker.kennel))
        for m in MEALS
        if m in times
    ]


def kept_apart(asker: Asker) -> list[str]:
    """Who must not be loose or fed together, and bitches in season."""
    dogs = asker.kennel.at_home()
    lines = [text("overview.apart_pair", dogs=listed(pair)) for pair in sitter.pairs(dogs, asker.kennel)]
    return lines or [text("overview.apart_none")]


def medicine(asker: Asker) -> list[str]:
    """The medicine on the rota, by time; never a dose."""
    lines = [
        text("overview.medicine", time=say_units.clock(d.at, asker.kennel), dogs=listed(list(d.dogs)), who=d.who)
        for d in sorted(asker.kennel.duties, key=lambda d: d.at)
        if d.what in DOSES and (d.until is None or d.until >= asker.on) and (not d.days or asker.on.weekday() in d.days)
    ]
    breeder = asker.kennel.breeder.name if asker.kennel.breeder else text("urgent.the_breeder")
    if asker.is_breeder:
        return lines or [text("overview.medicine_none")]
    lines = lines or [text("overview.medicine_none")]
    return [*lines[:-1], text("overview.ask_first", said=lines[-1], breeder=breeder)]


def bowls(asker: Asker) -> list[str]:
    """The bowls of each dog past four weeks, those alike together."""
    return sitter.bowls([d for d in asker.kennel.at_home() if not d.is_newborn(asker.on)])


def _red(asker: Asker) -> Iterable[newborn.Newborn]:
    for dog in asker.kennel.at_home():
        if dog.is_newborn(asker.on):
            found = newborn.assess(dog, asker.ledger, asker.kennel, asker.at)
            if found.level == newborn.RED:
                yield found


def _sign(name: str, seen: set[date], asker: Asker) -> str:
    shown = {"sign": text(f"kept.sign.{name}"), "day": say_units.day(max(seen), asker.on, asker.kennel)}
    return (
        text("overview.ill_signs", **shown, n=len(seen), days=SIGN_DAYS)
        if len(seen) > 1
        else text("overview.ill_sign", **shown)
    )


def _group(name: str, dogs: Sequence[Dog]) -> str:
    shown = [text("overview.with_buyer", dog=d.name, who=d.home) if d.home else d.name for d in dogs]
    return text("overview.group", name=name, dogs=listed(shown))


def _meal(meal: str) -> str:
    name = text(f"kept.meal.{meal}")
    return name[0].upper() + name[1:]
