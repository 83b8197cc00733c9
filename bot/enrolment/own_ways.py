"""How somebody weighs or reads the clock, said of themselves: "I think in pounds", "12 hour clock for me"."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

from bot.enrolment import heard
from bot.enrolment.asking import Asking, put_person
from bot.enrolment.changes import LONGEST
from bot.enrolment.heard import phrases


def own_ways(asking: Asking) -> bool:
    """True where a person of the house said how they themselves weigh or read the clock."""
    said = " ".join(asking.said.split())
    if asking.me is None or not 0 < len(said) <= LONGEST:
        return False
    hit = next((m for p in _own_patterns() if (m := p.match(said))), None)
    if hit is not None:
        told = hit.groupdict()
        if told.get("hours"):
            new = replace(asking.me, clock_24=told["hours"] == "24")
        else:
            new = replace(asking.me, unit=heard.found("units", told["unit"]) or asking.me.unit)
        if new != asking.me:
            put_person(asking, asking.me, new)
        return True
    return False


@cache
def _own_patterns() -> tuple[re.Pattern[str], ...]:
    return tuple(re.compile(p, re.IGNORECASE) for p in phrases()["own_ways"])
