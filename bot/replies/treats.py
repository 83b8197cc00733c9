"""The week's treats in words, by dog and by whoever wrote them down; for the breeder alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from bot.replies import say_units
from core import feeding, intake
from core.entries import Treat
from core.ledger import Ledger
from core.roster import Dog, Kennel
from shared.texts import listed, text

MOST_DOGS, MOST_PEOPLE = 4, 3
# A share of the treats up to so much is called so (key in the texts).
SHARES = ((0.15, "little"), (0.29, "quarter"), (0.42, "third"), (0.58, "half"), (0.71, "two_thirds"), (0.9, "most"))

# Of the jar so much is left at least (key in the texts).
LEFT = ((0.95, "full"), (0.65, "most"), (0.35, "half"), (0.05, "little"), (float("-inf"), "empty"))


def by_whom(dogs: Iterable[Dog], ledger: Ledger, kennel: Kennel, on: date) -> str:
    """Treats a day of the last week beside the jar, the dog most over it first, with each person's share."""
    told = []
    for dog in dogs:
        if dog.is_newborn(on):
            continue
        plan = feeding.assess(dog, ledger, kennel, on)
        if plan.eaten is None or not plan.eaten.treats_by or not plan.treat_pot_kcal:
            continue
        kcal, jar = plan.eaten.treat_kcal, plan.treat_pot_kcal
        who = _shares(plan.eaten.treats_by)
        line = text(
            "treats.dog", dog=dog.name, kcal=say_units.number(kcal, 0), jar=say_units.number(jar, 0), who=who
        )
        told.append((kcal / jar, line))
    if not told:
        return text("treats.none")
    lines = [line for _, line in sorted(told, key=lambda t: -t[0])[:MOST_DOGS]]
    return "\n".join([*lines, text("treats.only_logged")])


def shares(by_person: Mapping[str, float]) -> str:
    """Who gave how much of the treats in words, and that only what was written down counts; for the breeder alone."""
    return f"{text('treats.by', who=_shares(by_person))} {text('treats.only_logged')}"


def _shares(by_person: Mapping[str, float]) -> str:
    kcal = sum(by_person.values())
    most = sorted(by_person.items(), key=lambda s: -s[1])[:MOST_PEOPLE]
    return listed([text("treats.share", who=name, share=_share(part / kcal)) for name, part in most if kcal])


def left_in_jar(dog: Dog, ledger: Ledger, kennel: Kennel, on: date) -> str:
    """How full the day's treat jar still is, by what was written down: no figures, nobody named."""
    pot = None if dog.is_newborn(on) else feeding.assess(dog, ledger, kennel, on).treat_pot_kcal
    if not pot:
        return text("treats.jar.unknown", dog=dog.name)
    food = intake.food_on(dog, kennel, on)
    given = sum(intake.treat_kcal(p, food)[0] for p in ledger.of(dog.name, Treat, since=on, until=on))
    name = next(name for least, name in LEFT if 1 - given / pot >= least)
    return text(f"treats.jar.{name}", dog=dog.name)


def _share(part: float) -> str:
    name = next((name for most, name in SHARES if part <= most), "all")
    return text(f"treats.shares.{name}")
