"""What is an order for the rota, what is an errand, and how spoken times of day are read."""

from __future__ import annotations

from datetime import time

import pytest

from bot.enrolment import as_figures
from bot.enrolment.rota_lines import order_said
from core import rota
from core.roster import Duty
from tests.dialogue_house import House


@pytest.mark.parametrize(
    ("said", "figures"),
    [
        ("at half five", "at 5:30"), ("at quarter past twelve", "at 12:15"), ("a quarter to seven", "6:45"),
        ("quarter to one", "12:45"), ("at seven", "at 7"), ("at noon", "at 12:00"), ("ten past 6", "6:10"),
        ("twenty-five to nine", "8:35"), ("eight o'clock", "8"), ("half six", "6:30"),
        ("half 2 cups", "half 2 cups"), ("one and a half", "one and a half"), ("at six weeks", "at six weeks"),
        ("half the bowl", "half the bowl"), ("five to seven days", "five to seven days"),
    ],
)  # fmt: skip
def test_spoken_times_of_day_become_figures(said: str, figures: str) -> None:
    """British and American speech; "half five" is half past (common practice, no source)."""
    assert as_figures(said) == figures


@pytest.mark.parametrize(
    "said",
    [
        "buy worming tablets at 12", "shut the gate every evening at 9", "walk Moss every evening at 8",
        "every morning at 8 to open the run", "take ear photos every Sunday", "order the tablets for Moss at 10",
        "give tablets at 12", "wash the brush at 9", "dinner with the neighbours at 8", "ring about the nails at 5",
        "how much will nugget weigh at 6 months",
    ],
)  # fmt: skip
def test_an_errand_is_no_line_of_the_rota(said: str) -> None:
    """One word that belongs to no meal, task, dog or time is enough."""
    assert order_said(said, House.of_demo().kennel) is None


@pytest.mark.parametrize(
    ("said", "what", "at"),
    [
        ("give Moss her heart tablets at 9", "medicine", time(9)), ("brush Moss every Saturday", "brush", None),
        ("feed the dogs every evening at 6", "dinner", time(18)), ("the nails every 3 weeks", "nails", None),
        ("check the ears every evening at 6", "ears", time(18)),
        ("weigh all the pups at 8:30 on Sundays", "weigh", time(8, 30)),
        ("dinner at 6", "dinner", time(18)), ("do Nugget's teeth every day at 19:00", "teeth", time(19)),
    ],
)  # fmt: skip
def test_a_task_with_its_dogs_and_times_is_one(said: str, what: str, at: time | None) -> None:
    """Nothing but the task, whom it is for, and when."""
    line = order_said(said, House.of_demo().kennel)
    assert line is not None and (line.what, line.at) == (what, at)


def test_a_line_of_medicine_without_a_dog_is_for_nobody() -> None:
    """What one dog's is never becomes every dog's, whatever stands on the rota."""
    kennel = House.of_demo().kennel
    on = kennel.day_of(House.of_demo().now)
    assert rota.dogs_of(Duty(what="medicine", at=time(12), who="Tom"), kennel, on) == ()
    named = Duty(what="medicine", at=time(12), who="Tom", dogs=("Moss",))
    assert [d.name for d in rota.dogs_of(named, kennel, on)] == ["Moss"]
