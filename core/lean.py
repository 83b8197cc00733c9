"""The lean line: the weight at which hands last said right, carried along the growth curve to another day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.condition import hands, is_ideal, weight_near
from core.entries import Condition
from core.ledger import Ledger
from core.line import Expected
from core.roster import Dog
from shared.tables import facts


@dataclass(frozen=True, slots=True, kw_only=True)
class LeanLine:
    """The lean line of one dog, from `kg` on day `on`, when hands said right; flat for a `grown` dog."""

    dog: Dog
    expected: Expected
    kg: float
    on: date
    grown: bool = False

    def kg_on(self, on: date) -> float:
        """The lean weight in kg on a day: kg · share of adult weight that day / share on the first day.

        Worked example (breeders' curve): 7.9 kg at 15 weeks is 7.9 · 51 / 44.75 = 9.0 kg at 17 weeks.
        """
        if self.grown:
            return self.kg
        then = self.expected.fraction(self.dog.age_days(self.on))
        return self.kg * self.expected.fraction(self.dog.age_days(on)) / then


def lean_line(dog: Dog, ledger: Ledger, expected: Expected, on: date) -> LeanLine | None:
    """The dog's lean line as of a day; None while hands never said right beside a weight.

    A grown dog's is the weight that the breeder called right, where she gave one.
    """
    rules = facts("growth")
    grown = dog.age_days(on) >= rules["curve"]["grown_day"]
    if grown and dog.ideal_kg:
        return LeanLine(dog=dog, expected=expected, kg=dog.ideal_kg, on=on, grown=True)
    for said in reversed(ledger.entries(dog.name, Condition, until=on)):
        score = hands(said)
        if score is None or not is_ideal(score) or dog.age_days(said.on) < rules["curve"]["fit_from_day"]:
            continue
        kg = weight_near(dog, ledger, said.on, until=on, days=rules["lean"]["hands_days"])
        if kg is not None:
            return LeanLine(dog=dog, expected=expected, kg=kg, on=said.on)
    return None
