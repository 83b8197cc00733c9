"""The sitter's sheet: cups and grams for each dog and meal, oddities, who must be apart, the vet, then the breeder."""

from __future__ import annotations

from bot.replies import say_units, sitter
from bot.replies.papers import pieces
from bot.replies.papers.desk import Desk
from bot.replies.papers.model import Facts, Heading, Paper, Part, Points, Table, Words
from core import rota
from core.portions import MealPlan
from core.roster import Dog
from shared.texts import listed, text

DANGERS = ("food", "swallowed", "belly", "breath", "pup", "dam", "heat")  # of `shared/reference/urgent.toml`, in brief


def sheet(desk: Desk) -> Paper:
    """The sheet as of a day: no buyer, no dog that lives elsewhere."""
    dogs = [d for d in desk.kennel.at_home() if d.born <= desk.on]
    fed = [d for d in dogs if not d.is_newborn(desk.on)]
    parts: list[Part] = [Words(text("papers.sitter.head", breeder=desk.breeder()))]
    parts += [Heading(text("papers.part.vet")), _vet(desk)]
    parts += [Heading(text("papers.part.bowls")), _bowls(fed, desk), Words(text("papers.sitter.cups"))]
    if young := [d.name for d in dogs if d.is_newborn(desk.on)]:
        parts.append(Words(text("papers.sitter.newborns", dogs=listed(young))))
    parts.append(Heading(text("papers.part.apart")))
    pairs = sitter.pairs(dogs, desk.kennel)
    parts.append(
        Points(tuple(text("papers.sitter.apart", dogs=listed(pair)) for pair in pairs))
        if pairs else Words(text("papers.nothing.apart"))
    )
    parts.append(Heading(text("papers.part.notes")))
    notes = tuple(text("away.note", dog=d.name, note=d.notes.rstrip(".")) for d in dogs if d.notes)
    parts.append(Points(notes) if notes else Words(text("papers.nothing.notes")))
    parts += [
        Heading(text("papers.part.danger")),
        Points(tuple(text(f"papers.danger.{n}") for n in DANGERS)),
        Words(text("papers.sitter.never")),
    ]
    return Paper(
        title=text("papers.sitter.title"),
        under=text("papers.sitter.under", kennel=desk.kennel.name, day=desk.day(desk.on)),
        foot=desk.foot, parts=tuple(parts), author=desk.kennel.name,
    )


def _vet(desk: Desk) -> Facts:
    vet = desk.kennel.vet
    missing = text("papers.not_given")
    rows = [
        ("vet", vet.name or missing), ("vet_day", vet.day or missing), ("vet_night", vet.night or missing),
        ("breeder", text("papers.sitter.any_hour", breeder=desk.breeder())),
    ]
    return Facts(tuple((text(f"papers.row.{name}"), value) for name, value in rows))


def _bowls(dogs: list[Dog], desk: Desk) -> Table:
    """A row for each dog, a column for each meal that any of them has."""
    orders = {d.name: {m.meal: m for m in plan.meals} if (plan := pieces.ration(d, desk)).ordered else {} for d in dogs}
    meals = [m for m in rota.MEALS if any(m in order for order in orders.values())]
    head = [text("papers.column.dog"), *(_with_time(m, desk) for m in meals), text("papers.column.food")]
    rows = []
    for dog in dogs:
        order = orders[dog.name]
        cells = [_bowl(order[m]) if m in order else "–" for m in meals] if order else [text("away.ask")] * len(meals)
        food = desk.kennel.food_of(dog)
        rows.append((dog.name, *cells, food.name if food else text("papers.not_logged")))
    return Table(tuple(head), tuple(rows), widths=(22, *[29] * len(meals), 32), tight=True)


def _bowl(meal: MealPlan) -> str:
    cups = say_units.cups(meal.cups_eighths / 8)
    return cups if meal.grams is None else text("papers.cups_grams", cups=cups, grams=say_units.grams(meal.grams))


def _with_time(meal: str, desk: Desk) -> str:
    name = text(f"kept.meal.{meal}")
    name = name[0].upper() + name[1:]
    at = next((d.at for d in desk.kennel.duties if d.what == meal), None)
    return name if at is None else f"{name} {say_units.clock(at, desk.kennel)}"
