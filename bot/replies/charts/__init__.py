"""Pictures for the chat: weights with life events, ears as strips, a litter's newborn gains, food by week.

A caption carries the short description of its picture (`spec`); the picture is drawn by `render` when it is sent, as
the room it is sent to may see the kennel. One file a picture; `look` holds colours and sizes, `sheet` the paper.
Figures are Matplotlib's own, without pyplot, so that they can be drawn in a thread and looked into by tests.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from threading import Lock

from bot.replies.charts import food, litter, newborn, told, weight
from bot.replies.charts.look import look_of
from bot.replies.charts.sheet import Sheet
from bot.replies.charts.spec import EARS, FOOD, LITTER, WEIGHT, ChartError, Spec, parse
from core import feeding, gains, weekly
from core.access import view
from core.ledger import Ledger
from core.newborn import assess
from core.roster import BREEDER, FAMILY, Kennel
from core.times import instant

_ONE_AT_A_TIME = Lock()  # Matplotlib's caches of fonts are not made for two threads at once


def render(spec: str, kennel: Kennel, ledger: Ledger, room: str = FAMILY) -> bytes:
    """The picture as PNG, as that room may see it: a buyer's line only the buyer's own dogs.

    Raises:
        ChartError: no such picture, or a dog that is not on the roster as the room may see it.
    """
    with _ONE_AT_A_TIME:
        return drawn(parse(spec), kennel, ledger, room).png()


def drawn(spec: Spec, kennel: Kennel, ledger: Ledger, room: str = FAMILY) -> Sheet:
    """The sheet of a picture, whose figure can be looked into; raises as `render`."""
    if room not in (FAMILY, BREEDER):
        kennel, ledger = view(kennel, ledger, kennel.person(room), spec.on)
    dog = kennel.dog(spec.dog)
    if dog is None:
        raise ChartError(f"no such dog: {str(spec)[:60]!r}")
    unit, look = spec.unit or kennel.weight_unit, look_of(spec.look or kennel.charts)
    at = _end_of(spec.on, kennel)
    if spec.kind == LITTER:
        return litter.draw(gains.of_litter(dog, ledger, kennel, at), kennel, unit, look)
    if spec.kind == FOOD:
        weeks = weekly.weeks(dog, ledger, kennel, spec.on, food.WEEKS)
        jar = feeding.assess(dog, ledger, kennel, spec.on).treat_pot_kcal
        return food.draw(dog, kennel, weeks, jar, look, people=spec.people and room == BREEDER)
    if dog.is_newborn(spec.on):
        pup = gains.of_pup(assess(dog, ledger, kennel, at), ledger, kennel, at)
        return newborn.draw(dog, kennel, pup, at, unit, look)
    alone = spec.kind == EARS
    with_ears = alone or (dog.ear_watch and spec.kind == WEIGHT)
    tale = told.tell(dog, kennel, ledger, spec.on, with_ears=with_ears, ears_alone=alone)
    return weight.draw(dog, kennel, tale, unit, look)


def _end_of(on: date, kennel: Kennel) -> datetime:
    """The last instant of a local day: all that was written down on it counts."""
    return instant(on + timedelta(days=1), datetime.min.time(), kennel.tz) - timedelta(seconds=1)


__all__ = ["ChartError", "Sheet", "Spec", "drawn", "parse", "render"]
