"""A fortnight in a house with a litter: how often Fettle starts to speak in the family room, counted.

The measure is the kennel's own: two posts a day besides the rota of bowls, one reminder and one nudge to the same
person, nothing in the quiet hours, and a mark for an answer (own choice of this project, argued in the texts).
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest

from bot.chat.script import MOVES, WRITES, Step
from tests.dialogue_house import House

DAYS = 14
FIRST = date(2026, 3, 15)
MEALS = ("breakfast", "lunch", "dinner", "bedtime")
# What the family writes on an ordinary day; every third day dinner is forgotten, and nobody brushes.
DAY = (
    (time(7, 6), "Tom", "fed everyone"),
    (time(7, 40), "Wren", "morning all"),
    (time(8, 35), "Maya", "red {g} blue {g} green {g} yellow {g} white {g}"),
    (time(12, 36), "Ida", "lunch done"),
    (time(17, 38), "Wren", "fed everyone dinner"),
    (time(17, 50), "Wren", "Nugget ears half up"),
    (time(21, 47), "Maya", "snacks done"),
)


def played(logging: bool) -> list[tuple[datetime, str, str]]:
    """What Fettle says by itself in the fortnight: when, in which room, what."""
    house = House.of_demo(datetime.combine(FIRST, time(6, 30)).replace(tzinfo=House.of_demo().kennel.tz))
    # The fortnight has a line of every kind on its rota, newborn rounds too.
    rounds = replace(house.kennel.duties[4], what="newborn round", at=time(0), dogs=(), every_hours=3)
    house.kennel = replace(house.kennel, duties=(*house.kennel.duties, rounds))
    said = []
    for n in range(DAYS):
        on = FIRST + timedelta(days=n)
        for at, who, words in DAY:
            moment = datetime.combine(on, at)
            said += house.take(Step(does=MOVES, at=moment))
            if logging and not (n % 3 == 2 and "dinner" in words):
                grams = 470 + 30 * n
                house.take(Step(does=WRITES, at=moment, who=who, text=words.format(g=grams)))
    found = []
    for line in said:
        m = re.fullmatch(r"\[([\d-]+ [\d:]+)\] Fettle to (\w+): (.*)", line)
        if m:
            found.append((datetime.fromisoformat(m[1]), m[2], m[3]))
    return found


@pytest.mark.parametrize("logging", [True, False], ids=["a family that writes", "a family that never answers"])
def test_two_posts_a_day_besides_the_rota(logging: bool) -> None:
    said = [(at, text) for at, room, text in played(logging) if room == "family"]
    besides = [(at, text) for at, text in said if not any(meal in text for meal in MEALS)]
    a_day = Counter(at.date() for at, _ in besides)
    assert a_day and max(a_day.values()) <= 2, a_day
    # One reminder and one nudge of each bowl.
    bowls = Counter((at.date(), meal) for at, text in said for meal in MEALS if meal in text)
    assert max(bowls.values()) <= 2, bowls
    # Nothing in the quiet hours: 21:45 to 06:45.
    assert not [at for at, _ in said if at.time() < time(6, 45) or at.time() >= time(21, 45)]
    # Nobody is named twice for the same thing on a day, but in a nudge.
    asked = Counter((at.date(), text.rstrip("?. ").removesuffix(" [done | later | skip]")) for at, text in said)
    assert max(asked.values()) <= 2


def test_a_bowl_that_was_written_down_has_no_nudge() -> None:
    """Dinner was forgotten on four evenings of the fourteen: those alone are asked about."""
    nudges = [text for _, room, text in played(True) if room == "family" and "? [done]" in text]
    assert nudges == ["Wren, dinner? [done]"] * 4
