"""The parts that several papers share: who the dog is, what it weighs, eats, was given, and showed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from bot.replies import kept, say_units
from bot.replies.papers.desk import Desk
from bot.replies.papers.model import Facts, Heading, Part, Table, Words
from bot.replies.tips import called
from core import feeding
from core.condition import nine_points
from core.entries import Concern, Condition, Dose, Entry, Sign, Temperature, Weight
from core.ledger import Posted
from core.ration_plan import RationPlan
from core.roster import Dog
from shared.texts import text

FOREVER = date.min
YEAR = 365


def who(dog: Dog, desk: Desk, chip: bool = True) -> Facts:
    """Breed, sex, birth, chip, newest weight, hands."""
    rows = [("breed", dog.breed or text("papers.not_logged")), ("sex", _sex(dog, desk.on))]
    rows.append(("birth", text("papers.born", day=desk.day(dog.born), age=desk.age(dog, desk.on))))
    if chip:
        rows.append(("chip", text("papers.chip")))
    if not desk.outside:
        for name, value in (("dam", dog.litter), ("sire", dog.sire)):
            if value:
                rows.append((name, value))
    rows += [("weight", newest_weight(dog, desk)), *_hands(dog, desk)]
    return Facts(tuple((text(f"papers.row.{name}"), value) for name, value in rows))


def newest_weight(dog: Dog, desk: Desk) -> str:
    """The newest weight with its day."""
    last = desk.ledger.last(dog.name, Weight, until=desk.on)
    if last is not None and isinstance(last.entry, Weight):
        kg, on = last.entry.kg, last.entry.on
    elif dog.last_weight is not None and dog.last_weight.on <= desk.on:
        kg, on = dog.last_weight.kg, dog.last_weight.on
    else:
        return text("papers.not_logged")
    return text("papers.on_day", what=desk.weight(dog, kg, on), day=desk.day(on))


def weights(dog: Dog, desk: Desk, most: int = 0) -> list[Part]:
    """The weighings, oldest first, each with its change; the newest of them where there are more than `most`."""
    found = [p for p in desk.ledger.of(dog.name, Weight, until=desk.on) if isinstance(p.entry, Weight)]
    out: list[Part] = [Heading(text("papers.part.weights"))]
    if not found:
        return [*out, Words(text("papers.nothing.weights"))]
    rows = []
    for n, p in enumerate(found):
        assert isinstance(p.entry, Weight)
        before = found[n - 1].entry if n else None
        change = ""
        if isinstance(before, Weight):
            young = dog.is_newborn(before.on)
            change = desk.change(p.entry.kg - before.kg, young)
        age = text("papers.at_birth") if p.entry.on == dog.born else desk.age(dog, p.entry.on)
        rows.append((desk.day(p.entry.on), age, desk.weight(dog, p.entry.kg, p.entry.on), change, desk.by(p)))
    head = tuple(text(f"papers.column.{c}") for c in ("day", "age", "weight", "change", "by"))
    out.append(Table(head, tuple(rows[-most:]), widths=(34, 24, 22, 22, 28), right=(2, 3)))
    if most and len(rows) > most:
        out.append(Words(text("papers.last_of", n=most, all=len(rows))))
    return out


def doses(dog: Dog, desk: Desk, since: date = FOREVER) -> Table | None:
    """What was given, and by whom; None where nothing was written down."""
    return _told(desk.ledger.of(dog.name, Dose, since=since, until=desk.on), desk, "given")


def signs(dog: Dog, desk: Desk, since: date = FOREVER) -> Table | None:
    """The signs and worrying words that were told; None where nothing was written down."""
    return _told(desk.ledger.of(dog.name, Sign, Concern, since=since, until=desk.on), desk, "sign")


def temperatures(dog: Dog, desk: Desk, since: date = FOREVER) -> Table | None:
    """The body temperatures; None where nothing was written down."""
    return plain(desk.ledger.of(dog.name, Temperature, since=since, until=desk.on), desk, "temperature")


def plain(found: Sequence[Posted], desk: Desk, column: str, clock: bool = True) -> Table | None:
    """A table of entries: when (by day alone without `clock`), what, who wrote it; None for none."""
    if not found:
        return None
    head = tuple(text(f"papers.column.{c}") for c in ("when" if clock else "day", column, "by"))
    when = desk.moment if clock else lambda p: desk.day(p.entry.on)
    return Table(head, tuple((when(p), desk.fact(p.entry), desk.by(p)) for p in found), widths=(44, 60, 28))


def given(dog: Dog, desk: Desk, dose: str) -> Table | None:
    """The days on which one kind of dose was given, and who wrote it; None where nothing was written down."""
    found = [p for p in of_kinds(dog, desk, Dose) if isinstance(p.entry, Dose) and p.entry.dose == dose]
    head = tuple(text(f"papers.column.{c}") for c in ("when", "age", "by"))
    rows = tuple((desk.moment(p), desk.age(dog, p.entry.on), desk.by(p)) for p in found)
    return Table(head, rows, widths=(44, 60, 28)) if rows else None


def _told(found: Sequence[Posted], desk: Desk, column: str) -> Table | None:
    """The same with the sender's own words beside it, where any are shown."""
    if not any(desk.own_words(p) for p in found):
        return plain(found, desk, column)
    head = tuple(text(f"papers.column.{c}") for c in ("when", column, "words", "by"))
    rows = tuple((desk.moment(p), desk.fact(p.entry), desk.own_words(p), desk.by(p)) for p in found)
    return Table(head, rows, widths=(40, 30, 40, 20))


def bowls(plan: RationPlan, kcal: bool = True) -> Table:
    """The day's meals in level cups, grams and kcal, with their sum."""
    rows = []
    for m in plan.meals:
        name = text(f"kept.meal.{m.meal}")
        grams = say_units.grams(m.grams) if m.grams is not None else text("papers.cup_not_weighed")
        rows.append((name[0].upper() + name[1:], say_units.cups(m.cups_eighths / 8), grams, _kcal(m.kcal)))
    whole = sum(m.cups_eighths for m in plan.meals) / 8
    grams_known = [m.grams for m in plan.meals if m.grams is not None]
    of_day = say_units.grams(sum(grams_known)) if len(grams_known) == len(plan.meals) else ""
    rows.append((text("papers.whole_day"), say_units.cups(whole), of_day, _kcal(sum(m.kcal for m in plan.meals))))
    columns = ("meal", "cups", "grams", "kcal") if kcal and plan.kcal_per_cup else ("meal", "cups", "grams")
    head = tuple(text(f"papers.column.{c}") for c in columns)
    return Table(head, tuple(r[: len(head)] for r in rows), right=tuple(range(1, len(head))))


def food(dog: Dog, desk: Desk, plan: RationPlan) -> str:
    """The food with what its bag and one weighed cup say."""
    if not plan.food:
        return text("papers.not_logged")
    if not plan.kcal_per_cup:
        return text("papers.food_bare", food=plan.food)
    kcal = say_units.number(plan.kcal_per_cup, 0)
    if not plan.g_per_cup:
        return text("papers.food_kcal", food=plan.food, kcal=kcal)
    return text("papers.food", food=plan.food, kcal=kcal, grams=say_units.grams(plan.g_per_cup))


def eaten(plan: RationPlan) -> str:
    """What was really eaten over the last days, "" where too little was written down."""
    if plan.eaten is None:
        return ""
    number = say_units.number
    return text(
        "papers.eaten", days=say_units.days(plan.eaten.of_days), kcal=number(plan.eaten.kcal_day, 0),
        bowls=number(plan.eaten.bowl_kcal, 0), treats=number(plan.eaten.treat_kcal, 0),
    )  # fmt: skip


def ration(dog: Dog, desk: Desk) -> RationPlan:
    """The dog's ration on the day of the paper."""
    return feeding.assess(dog, desk.ledger, desk.kennel, desk.on)


def names(dog: Dog) -> str:
    """The name that its people call it by, with the kennel's where that is another."""
    now = called(dog)
    return now if now == dog.name else text("papers.two_names", now=now, kennels=dog.name)


def section(name: str, table: Table | None, since: date | None = None, desk: Desk | None = None) -> list[Part]:
    """A part under its heading; "not logged" where there is nothing, which is not the same as "none"."""
    days = (desk.on - since).days if since is not None and desk is not None else 0
    title = text(f"papers.part.{name}")
    if days:
        title = text("papers.last_year", part=title) if days == YEAR else text("papers.last_days", part=title, n=days)
    return [Heading(title), table if table is not None else Words(text(f"papers.nothing.{name}"))]


def back(desk: Desk, days: int) -> date:
    """The day so many days before the paper's."""
    return desk.on - timedelta(days=days)


def of_kinds(dog: Dog, desk: Desk, *kinds: type[Entry]) -> tuple[Posted, ...]:
    """The dog's entries of those kinds up to the day of the paper."""
    return desk.ledger.of(dog.name, *kinds, until=desk.on)


def _kcal(value: float) -> str:
    return text("units.kcal", n=say_units.number(value, 0))


def _sex(dog: Dog, on: date) -> str:
    sex = text(f"papers.sex.{dog.sex or 'any'}")
    if dog.neutered is None and dog.is_pup(on):
        return sex
    state = {True: "neutered", False: "entire", None: "neuter_unknown"}[dog.neutered]
    return text(f"papers.{state}", sex=sex)


def _hands(dog: Dog, desk: Desk) -> list[tuple[str, str]]:
    """What the hands said last, as it was said and on the vets' nine points."""
    last = desk.ledger.last(dog.name, Condition, until=desk.on)
    if last is None or not isinstance(last.entry, Condition):
        return [("hands", text("papers.not_logged"))]
    said = text("papers.on_day", what=kept.fact(last.entry, desk.kennel, desk.unit), day=desk.day(last.entry.on))
    nine = nine_points(last.entry)
    if nine is None or last.entry.scale == 9:
        return [("hands", said)]
    return [("hands", said), ("nine", text("papers.about", n=say_units.number(nine)))]
