"""What the breeder says beside the question of a set-up: somebody or a meal that she forgot, a dog's cups."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.enrolment import heard, rota_lines
from bot.enrolment.asking import Asking, taken
from core.roster import Person
from core.rota import MEALS

LATE_STEPS = ("food", "rota", "vet")  # where people have been asked for already


def forgotten_people(asking: Asking) -> bool:
    """ "Our daughter Isla, she's 9" after the question for people: she is added all the same."""
    facts = asking.facts or {}
    if facts.get("step") not in LATE_STEPS or heard.found("roles", asking.said) is None:
        return False
    if heard.clock_said(heard.without_age(asking.said)) or heard.food_said(asking.said).kcal:
        return False
    people = heard.people_said(asking.said, asking.kennel)
    new: list[Person] = [p for p in people if not taken(asking.kennel, p.name)]
    if not new or len(new) != len(people):
        return False
    asking.kennel = replace(asking.kennel, people=(*asking.kennel.people, *new))
    for person in new:
        asking.tell("changed.person", who=person.name)
    return True


def forgotten_meals(asking: Asking) -> bool:
    """ "Dinner 17:30 me" after the question for the rota: it is put on it all the same."""
    if (asking.facts or {}).get("step") != "vet" or heard.phones_said(asking.said):
        return False
    lines = [x for x in rota_lines.lines_said(asking.said, asking.kennel) if x.what in MEALS]
    if not lines or heard.is_note(asking.said):
        return False
    told = []
    for line in lines:
        asking.kennel, duty = rota_lines.with_line(asking.kennel, line)
        told.append(rota_lines.shown(duty, asking.kennel))
    asking.tell("got.rota", lines="; ".join(told))
    return True


def is_of_cups(asking: Asking) -> bool:
    """True for what a dog on the list gets: an order of cups, which the conversation takes."""
    low = heard.plain(asking.said)
    names = [n.casefold() for d in asking.kennel.dogs for n in (d.name, *d.also)]
    named = any(re.match(rf"{re.escape(n)}(?:'s)?\b", low) for n in names)
    return named and any(re.search(p, low) for p in heard.phrases()["of_cups"])
