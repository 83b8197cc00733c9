"""The vet's page: weights, signs, what was given and by whom, heat, seasons, food. A dose is never told."""

from __future__ import annotations

from datetime import timedelta

from bot.replies import say_units
from bot.replies.papers import pieces
from bot.replies.papers.desk import Desk
from bot.replies.papers.model import Facts, Heading, Paper, Part, Table, Words
from core.entries import Mating, Progesterone, Season, Whelping
from core.roster import Dog, months_between
from shared.tables import facts
from shared.texts import text

# How far back the page looks, so that it stays one page; the book has the rest. Own choice.
SIGN_DAYS, DOSE_DAYS, HEAT_DAYS = 90, 365, 60
MOST_WEIGHTS, MOST_ROWS = 10, 8
SEASONS = timedelta(days=900)


def page(dog: Dog, desk: Desk) -> Paper:
    """What a vet asks first, on one page."""
    parts: list[Part] = [pieces.who(dog, desk)]
    since = pieces.back(desk, SIGN_DAYS)
    parts += pieces.section("signs", _newest(pieces.signs(dog, desk, since)), since, desk)
    since = pieces.back(desk, DOSE_DAYS)
    parts += pieces.section("doses", _newest(pieces.doses(dog, desk, since=since)), since, desk)
    parts += pieces.weights(dog, desk, MOST_WEIGHTS)
    since = pieces.back(desk, HEAT_DAYS)
    parts += pieces.section("temperatures", _newest(pieces.temperatures(dog, desk, since)), since, desk)
    found = pieces.of_kinds(dog, desk, Season, Mating, Whelping, Progesterone)
    old_enough = months_between(dog.born, desk.on) >= int(facts("urgent")["limits"]["season_months"])
    if found or (dog.sex != "m" and old_enough):
        lately = [p for p in found if desk.on - p.entry.on <= SEASONS]
        parts += pieces.section("seasons", _newest(pieces.plain(lately, desk, "what", clock=False)))
    parts += _food(dog, desk)
    parts.append(Words(text("papers.vet.note")))
    return Paper(
        title=text("papers.vet.title", dog=pieces.names(dog)),
        under=text("papers.under", kennel=desk.kennel.name, day=desk.day(desk.on)),
        foot=desk.foot, parts=tuple(parts), author=desk.kennel.name,
    )


def _newest(table: Table | None) -> Table | None:
    return None if table is None else Table(table.head, table.rows[-MOST_ROWS:], table.widths, table.right)


def _food(dog: Dog, desk: Desk) -> list[Part]:
    out: list[Part] = [Heading(text("papers.part.food"))]
    if dog.is_newborn(desk.on):
        return [*out, Words(text("papers.milk"))]
    plan = pieces.ration(dog, desk)
    if not plan.meals or not plan.ordered:
        bowls = text("papers.no_order")
    else:
        whole = sum(m.cups_eighths for m in plan.meals) / 8
        bowls = say_units.cups(whole)
        if all(m.grams is not None for m in plan.meals):
            bowls = text("papers.cups_grams", cups=bowls, grams=say_units.grams(sum(m.grams or 0 for m in plan.meals)))
    rows = [(text("papers.row.food"), pieces.food(dog, desk, plan)), (text("papers.row.a_day"), bowls)]
    if eaten := pieces.eaten(plan):
        rows.append((text("papers.row.eaten"), eaten))
    return [*out, Facts(tuple(rows))]
