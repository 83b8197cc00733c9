"""One sheet for whoever minds the dogs: cups, meals, oddities, who must be apart, the vet."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bot.replies import say_units
from core import rota
from core.access import HELPERS
from core.roster import Dog, Kennel, Person
from shared.texts import listed, text


def away(people: Sequence[Person], span: tuple[date, date], kennel: Kennel, today: date) -> str:
    """Who is away when, and what of the rota is theirs in those days."""
    first, last = (say_units.calendar_day(on, kennel, today) for on in span)
    when = first if span[0] == span[1] else text("away.span", first=first, last=last)
    who = [p.name for p in people]
    lines = dict.fromkeys(duty(d.what) for d in kennel.duties if d.who in who)
    here = next((p.name for p in kennel.people if p.role == "sitter" and p.is_here(span[0])), None)
    if here and not any(p.role in ("breeder", *HELPERS) and p.name not in who for p in kennel.people):
        return text("away.with_sitter", who=listed(who), when=when, sitter=here)
    several = "all_" if len(who) > 1 else ""
    if not lines:
        return text(f"away.{several}nothing", who=listed(who), when=when)
    return text(f"away.{several}lines", who=listed(who), when=when, lines=listed(list(lines)))


def sheet(kennel: Kennel, on: date) -> str:
    """The sheet as of a day: no buyer, no dog that lives elsewhere."""
    dogs = [d for d in kennel.at_home() if not d.is_newborn(on)]
    told = [text("away.sheet_head")]
    told += bowls(dogs)
    times = {d.what: d.at for d in kennel.duties if d.what in rota.MEALS}
    if times:
        shown = [
            text("away.at", meal=text(f"kept.meal.{m}"), time=say_units.clock(times[m], kennel))
            for m in rota.MEALS
            if m in times
        ]
        told.append(text("away.times", times=listed(shown)))
    told += [text("away.apart", dogs=listed(pair)) for pair in pairs(dogs, kennel)]
    told += [text("away.note", dog=d.name, note=d.notes.rstrip(".")) for d in dogs if d.notes]
    if kennel.vet.day or kennel.vet.night:
        numbers = list(dict.fromkeys(n for n in (kennel.vet.day, kennel.vet.night) if n))
        told.append(text("away.vet", name=kennel.vet.name or text("away.the_vet"), numbers=listed(numbers)))
    if kennel.breeder is not None:
        told.append(text("away.last", breeder=kennel.breeder.name))
    return "\n".join(told)


def bowls(dogs: Sequence[Dog]) -> list[str]:
    """The bowls of these dogs, those that get the same in one line."""
    alike: dict[str, list[str]] = {}
    for dog in dogs:
        alike.setdefault(_bowls(dog), []).append(dog.name)
    return [text("away.bowls", dogs=listed(names), bowls=shown) for shown, names in alike.items()]


def pairs(dogs: Sequence[Dog], kennel: Kennel) -> list[list[str]]:
    """Who must not be loose or fed together, each pair once."""
    found = {frozenset((d.name, other)) for d in dogs for other in d.apart_from if kennel.dog(other)}
    return sorted(sorted(pair) for pair in found)


def _bowls(dog: Dog) -> str:
    if not dog.ration:
        return text("away.ask")
    return ", ".join(
        text("answers.ration.bowl", cups=say_units.eighths(r.cups), meal=text(f"kept.meal.{r.meal}"))
        for r in dog.ration
    )


def duty(what: str) -> str:
    """A line of the rota in a word or two."""
    if what in rota.MEALS:
        return text(f"kept.meal.{what}")
    if what == rota.ROUND:
        return text("reminders.short.round")
    if what == "weigh":
        return text("reminders.short.weigh")
    return text(f"answers.due.what.{what.replace(' ', '_')}")
