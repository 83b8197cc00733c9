"""A dog's whole book, to print on any day: the records belong to the dog and its people, not to a program."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from bot.replies import say_units
from bot.replies.papers import pieces
from bot.replies.papers.desk import Desk
from bot.replies.papers.model import Facts, Heading, Paper, Part, Table, Words
from core.bowls import only_says_eaten
from core.entries import (
    Condition,
    Ears,
    Entry,
    Groom,
    Height,
    Mating,
    Meal,
    Progesterone,
    Season,
    Tooth,
    Treat,
    Whelping,
)
from core.roster import Dog, Ration
from shared.texts import listed, text

# The parts of the book that are plain lists, in order, with the name of the middle column.
LISTS: tuple[tuple[str, str, tuple[type[Entry], ...]], ...] = (
    ("conditions", "what", (Condition,)),
    ("ears", "ears", (Ears,)),
    ("teeth", "what", (Tooth,)),
    ("heights", "height", (Height,)),
    ("seasons", "what", (Season, Mating, Whelping, Progesterone)),
    ("grooming", "what", (Groom,)),
)


def book(dog: Dog, desk: Desk) -> Paper:
    """Everything that counts in the book about one dog."""
    parts: list[Part] = [pieces.who(dog, desk), *_feeding(dog, desk), *pieces.weights(dog, desk)]
    parts += pieces.section("signs", pieces.signs(dog, desk))
    parts += pieces.section("doses", pieces.doses(dog, desk))
    tables = {"temperatures": pieces.temperatures(dog, desk)}
    for name, column, kinds in LISTS:
        if name != "seasons" or dog.sex != "m":
            tables[name] = pieces.plain(pieces.of_kinds(dog, desk, *kinds), desk, column, clock=False)
    tables["bowls_by_week"] = _bowls(dog, desk)
    for name, table in tables.items():
        parts += pieces.section(name, table) if table is not None else []
    empty = [text(f"papers.part.{name}").casefold() for name, table in tables.items() if table is None]
    if empty:
        parts += [Heading(text("papers.part.not_logged")), Words(text("papers.book.empty", what=listed(empty)))]
    parts.append(Words(text("papers.book.note")))
    return Paper(
        title=text("papers.book.title", dog=pieces.names(dog)),
        under=text("papers.book.under", kennel=desk.kennel.name, day=desk.day(desk.on)),
        foot=desk.foot, parts=tuple(parts), author=desk.kennel.name,
    )


def _feeding(dog: Dog, desk: Desk) -> list[Part]:
    out: list[Part] = [Heading(text("papers.part.feeding"))]
    if dog.is_newborn(desk.on):
        return [*out, Words(text("papers.milk"))]
    plan = pieces.ration(dog, desk)
    rows = [(text("papers.row.food"), pieces.food(dog, desk, plan))]
    if eaten := pieces.eaten(plan):
        rows.append((text("papers.row.eaten"), eaten))
    out.append(Facts(tuple(rows)))
    out.append(pieces.bowls(plan) if plan.ordered and plan.meals else Words(text("papers.no_order")))
    missing = text("papers.not_logged")
    earlier = tuple((desk.day(b.until), _order(b.ration), b.food.name if b.food else missing) for b in dog.before)
    if earlier and not desk.outside:
        head = tuple(text(f"papers.column.{c}") for c in ("until", "order", "food"))
        out += [Heading(text("papers.part.earlier_orders")), Table(head, earlier, widths=(34, 76, 40))]
    return out


def _order(ration: Sequence[Ration]) -> str:
    if not ration:
        return text("papers.no_order")
    return ", ".join(
        text("papers.bowl_of", meal=text(f"kept.meal.{r.meal}"), cups=say_units.cups(r.cups)) for r in ration
    )


def _bowls(dog: Dog, desk: Desk) -> Table | None:
    """Bowls and treats counted by week, from Monday; what was not written down is not in it."""
    weeks: dict[date, list[int]] = {}
    for p in pieces.of_kinds(dog, desk, Meal, Treat):
        monday = p.entry.on - timedelta(days=p.entry.on.weekday())
        counts = weeks.setdefault(monday, [0, 0, 0])
        if isinstance(p.entry, Treat):
            counts[1] += int(p.entry.amount or 1) if p.entry.unit in (None, "piece") else 1
        else:
            counts[0] += not only_says_eaten(p)
            counts[2] += isinstance(p.entry, Meal) and p.entry.eaten in ("some", "none")
    if not weeks:
        return None
    head = tuple(text(f"papers.column.{c}") for c in ("week", "bowls", "treats", "left"))
    rows = tuple((desk.day(on), *(str(n) for n in counts)) for on, counts in sorted(weeks.items()))
    return Table(head, rows, right=(1, 2, 3))
