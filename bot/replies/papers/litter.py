"""A litter's sheet: the pups side by side, their weights day by day, worming and vaccines. Never for a buyer."""

from __future__ import annotations

from datetime import date

from bot.replies import say_units
from bot.replies.papers import pieces
from bot.replies.papers.desk import Desk
from bot.replies.papers.model import Facts, Heading, Paper, Part, Table, Words
from core import care
from core.entries import Dose, Weight
from core.gestation import whelped_on
from core.roster import Dog
from shared.texts import text

MOST_PUPS = 9  # side by side on one table; a larger litter goes on in a second one


def born_on(dam: Dog, desk: Desk) -> date | None:
    """The birth day of her newest litter with pups on the roster; None where there is none."""
    return max((d.born for d in desk.kennel.dogs if d.litter == dam.name and d.born <= desk.on), default=None)


def sheet(dam: Dog, desk: Desk) -> Paper:
    """The newest litter of the dam; without pups on the roster it says so."""
    born = born_on(dam, desk) or whelped_on(dam, desk.ledger, desk.kennel, desk.on)
    pups = [d for d in desk.kennel.dogs if d.litter == dam.name and d.born == born]
    parts: list[Part] = [_head(dam, born, pups, desk)]
    if not pups:
        parts.append(Words(text("papers.litter.no_pups", dam=dam.name)))
    else:
        parts += [Heading(text("papers.part.pups")), _pups(pups, desk), *_grid(pups, desk)]
        parts += [Heading(text("papers.part.wormed_and_vaccines")), _care(pups, desk), Words(text("papers.ask_vet"))]
    return Paper(
        title=text("papers.litter.title", dam=dam.name),
        under=text("papers.under", kennel=desk.kennel.name, day=desk.day(desk.on)),
        foot=desk.foot, parts=tuple(parts), author=desk.kennel.name,
    )


def _head(dam: Dog, born: date | None, pups: list[Dog], desk: Desk) -> Facts:
    litter = next((x for x in desk.kennel.litters if x.dam == dam.name and x.born == born), None)
    missing = text("papers.not_logged")
    sire = (litter.sire if litter else None) or next((p.sire for p in pups if p.sire), None)
    here = text("papers.litter.here", n=len(pups), m=_count(pups, "m"), f=_count(pups, "f"))
    counted = text("papers.litter.counted", n=litter.counted) if litter and litter.counted is not None else missing
    age = desk.age(pups[0], desk.on) if pups else ""
    birth = text("papers.born", day=desk.day(born), age=age) if born and age else desk.day(born) if born else missing
    rows = [
        ("dam", dam.name), ("sire", sire or missing), ("birth", birth), ("counted", counted), ("on_roster", here),
        ("dam_weight", pieces.newest_weight(dam, desk)),
    ]  # fmt: skip
    return Facts(tuple((text(f"papers.row.{name}"), value) for name, value in rows))


def _count(pups: list[Dog], sex: str) -> int:
    return sum(p.sex == sex for p in pups)


def _pups(pups: list[Dog], desk: Desk) -> Table:
    rows = []
    for pup in pups:
        found = desk.ledger.entries(pup.name, Weight, since=pup.born, until=desk.on)
        at_birth = next((w for w in found if w.on == pup.born), None)
        first = desk.weight(pup, at_birth.kg, at_birth.on) if at_birth else text("papers.not_logged")
        gained = ""
        if at_birth and found[-1].on > at_birth.on:
            gained = desk.change(found[-1].kg - at_birth.kg, newborn=pup.is_newborn(found[-1].on))
        where = text(f"papers.gone.{pup.gone}") if pup.gone else pup.home or text("papers.at_home")
        sex = text(f"papers.sex.{pup.sex or 'any'}")
        rows.append((pup.name, sex, first, pieces.newest_weight(pup, desk), gained, where))
    head = tuple(text(f"papers.column.{c}") for c in ("pup", "sex", "at_birth", "newest", "since_birth", "lives"))
    return Table(head, tuple(rows), widths=(24, 18, 22, 46, 28, 28), right=(2, 4))


def _grid(pups: list[Dog], desk: Desk) -> list[Part]:
    """A row for each day on which any pup was weighed, a column for each pup."""
    by_day: dict[date, dict[str, float]] = {}
    for pup in pups:
        for w in desk.ledger.entries(pup.name, Weight, since=pup.born, until=desk.on):
            by_day.setdefault(w.on, {})[pup.name] = w.kg
    if not by_day:
        return [Heading(text("papers.part.weights")), Words(text("papers.nothing.weights"))]
    out: list[Part] = [Heading(text("papers.part.weights_by_day"))]
    for n in range(0, len(pups), MOST_PUPS):
        some = pups[n : n + MOST_PUPS]
        rows = tuple(
            (desk.day(on), *(desk.weight(p, kgs[p.name], on) if p.name in kgs else "–" for p in some))
            for on, kgs in sorted(by_day.items())
        )
        head = (text("papers.column.day"), *(p.name for p in some))
        out.append(Table(head, rows, widths=(36, *[20] * len(some)), right=tuple(range(1, len(some) + 1))))
    return [*out, Words(text("papers.litter.dash"))]


def _care(pups: list[Dog], desk: Desk) -> Table:
    head = tuple(text(f"papers.column.{c}") for c in ("pup", "wormed", "vaccinated"))
    rows = tuple((p.name, *(_given(p, what, desk) for what in (care.WORMER, care.VACCINE))) for p in pups)
    return Table(head, rows, widths=(22, 64, 64))


def _given(pup: Dog, what: str, desk: Desk) -> str:
    days = [d.on for d in desk.ledger.entries(pup.name, Dose, until=desk.on) if d.dose == what]
    return ", ".join(say_units.calendar_day(on, desk.kennel, pup.born) for on in days) or text("papers.not_logged")
