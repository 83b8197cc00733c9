"""Body condition: what the hands found last, on one scale for all, and the ideal weight that follows from it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from core.entries import Condition, Weight
from core.ledger import Ledger
from core.roster import Dog
from shared.tables import facts


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionNow:
    """The newest condition of a dog.

    Attributes:
        on: day of the newest score. days_ago: days since. fresh: whether it still counts for today.
        hands: 1 bones sharp, 2 ribs bare, 3 ribs easy, 4 must press, 5 can't find (halves where scores have halves).
        nine: the same on the 9-point scale. five: on the 5-point scale. said_score, said_scale, ribs: as it was said.
        kg: the weight nearest that day (within three days), None where there is none.
        over_ideal_pct: percent over ideal by the score (0 for ideal), None for a thin dog.
        ideal_kg: kg / (1 + over / 100), None for a thin dog, a pup or a dog without weight.
        previous_hands: the score before it, None where there is none.
    """

    dog: str
    on: date
    days_ago: int
    fresh: bool
    hands: float
    nine: float
    five: float
    said_score: float | None = None
    said_scale: int | None = None
    ribs: str | None = None
    kg: float | None = None
    over_ideal_pct: float | None = None
    ideal_kg: float | None = None
    previous_hands: float | None = None
    source: tuple[str, ...] = ()
    caution: tuple[str, ...] = ()

    @property
    def is_ideal(self) -> bool:
        """True where hands said right: about 3, that is 4 to 5 of 9."""
        return is_ideal(self.hands)

    @property
    def is_thin(self) -> bool:
        """True where ribs are bare or bones sharp."""
        return self.hands <= 2

    @property
    def is_heavy(self) -> bool:
        """True where one must press for the ribs."""
        return self.hands >= 4


def latest(dog: Dog, ledger: Ledger, on: date) -> ConditionNow | None:
    """The dog's newest condition up to a day, on every scale, with the ideal weight it points to in kg; None for none.

    Ideal weight: weight / (1 + 0.10 · (score − 5)) on the 9-point scale (each point is 10 % over ideal, MVMA 2023).
    """
    found = [c for c in ledger.entries(dog.name, Condition, until=on) if hands(c) is not None]
    if not found:
        return None
    newest = found[-1]
    score, nine = hands(newest), nine_points(newest)
    assert score is not None and nine is not None
    pup = dog.is_pup(on)
    days_ago = (on - newest.on).days
    fresh = facts("condition")["fresh"]["pup_days" if pup else "adult_days"]
    kg = weight_near(dog, ledger, newest.on, until=on)
    over = over_ideal_pct(nine)
    caution = []
    if pup:
        caution.append("pup_weigh_against_curve")  # Böswald & Dobenecker 2022: no scoring alone in puppies
    if days_ago > fresh:
        caution.append("hands_old")
    if score <= 2:
        caution.append("thin_ask_vet")
    return ConditionNow(
        dog=dog.name,
        on=newest.on,
        days_ago=days_ago,
        fresh=days_ago <= fresh,
        hands=score,
        nine=nine,
        five=(nine + 1) / 2,
        said_score=newest.score,
        said_scale=newest.scale,
        ribs=newest.ribs,
        kg=kg,
        over_ideal_pct=over,
        ideal_kg=None if pup or kg is None or over is None else ideal_kg(kg, nine),
        previous_hands=hands(found[-2]) if len(found) > 1 else None,
        source=("laflamme-1997", "mvma-2023"),
        caution=tuple(caution),
    )


def hands(said: Condition) -> float | None:
    """The hands score (1 to 5) of one record: from its score where it has one, else from the ribs; None for neither.

    Hands 3 is 4 to 5 on the 9-point scale; halves there fall halfway.
    """
    rules = facts("condition")["hands"]
    if said.score is not None:
        if said.scale == 5:
            return min(max(said.score, 1.0), 5.0)
        return _between(rules["from_nine"], said.score)
    if said.ribs is not None:
        felt: float | None = rules["from_ribs"].get(said.ribs)
        return None if felt is None else float(felt)
    return None


def nine_points(said: Condition) -> float | None:
    """The record on the 9-point scale (1 to 9); None where it has neither score nor ribs."""
    rules = facts("condition")["hands"]
    if said.score is not None:
        if said.scale == 5:
            return _between(rules["nine_from_five"], said.score)
        return min(max(said.score, 1.0), 9.0)
    if said.ribs is not None:
        felt: float | None = rules["nine_from_ribs"].get(said.ribs)
        return None if felt is None else float(felt)
    return None


def is_ideal(hands_score: float) -> bool:
    """True for a hands score of about 3."""
    return abs(hands_score - float(facts("condition")["hands"]["ideal"])) < 0.5


def over_ideal_pct(nine: float) -> float | None:
    """Percent over ideal weight at a 9-point score: 10 a point above 5, 0 at 4 to 5, None below 4 (MVMA 2023)."""
    if nine < 4:
        return None
    rule = facts("condition")["ideal"]
    return float(max(nine - rule["from_score"], 0.0) * rule["pct_per_point"])


def ideal_kg(kg: float, nine: float) -> float | None:
    """Ideal weight in kg by the divide form, kg / (1 + 0.10 · (score − 5)); None for a score below 4.

    The other form in circulation, kg · (1 − 0.10 · (score − 5)), gives 24 instead of 25 kg for 30 kg at 7 and does
    not fit “each point is 10 % over ideal”.
    """
    over = over_ideal_pct(nine)
    return None if over is None else kg / (1 + over / 100)


def weight_near(dog: Dog, ledger: Ledger, on: date, *, until: date, days: int = 3) -> float | None:
    """The dog's weight in kg on the day nearest to `on`, at most so many days away, none after `until`; None for none.

    Of two days as near, the earlier.
    """
    near = [w for w in ledger.entries(dog.name, Weight, until=until) if abs((w.on - on).days) <= days and w.kg > 0]
    if not near:
        known = dog.last_weight
        fits = known is not None and known.on <= until and abs((known.on - on).days) <= days
        return known.kg if known is not None and fits else None
    nearest = min(near, key=lambda w: (abs((w.on - on).days), w.on)).on
    return [w.kg for w in near if w.on == nearest][-1]


def _between(points: tuple[float, ...], score: float) -> float:
    """The value at a score on a table whose first value stands at 1, straight between points."""
    place = min(max(score - 1, 0.0), len(points) - 1.0)
    i = min(int(place), len(points) - 2)
    return float(points[i] + (points[i + 1] - points[i]) * (place - i))
