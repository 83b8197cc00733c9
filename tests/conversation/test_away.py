"""Who is away, and what of the rota is theirs then: a word for every kind of line that the rota can hold."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest

from bot.enrolment.heard import phrases
from bot.replies import sitter
from core import rota
from core.roster import Duty
from tests.dialogue_house import House

KINDS = sorted({*rota.MEALS, *map(str, phrases()["tasks"]), rota.ROUND})


@pytest.mark.parametrize("what", KINDS)
def test_every_kind_of_line_has_its_word(what: str) -> None:
    """Whatever stands on somebody's rota is named when they are away."""
    kennel = House.of_demo().kennel
    maya = kennel.breeder
    assert maya is not None
    alone = replace(kennel, duties=(Duty(what=what, at=time(9), who="Maya", dogs=("Moss",)),))
    said = sitter.away([maya], (date(2026, 3, 15), date(2026, 3, 16)), alone, date(2026, 3, 14))
    assert said.startswith("Maya is away 15 March to 16 March. Somebody else does ")
