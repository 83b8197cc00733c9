"""What changed in a week: of each dog only what moved more than its usual noise, and how much was written down.

What was not written down is told as that; no silence is taken for "all well".
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from core import care, condition, ears, growth, rota
from core.ears import EarTrend
from core.entries import Concern, Condition, Ears, Entry, Meal, Sign, Tooth, Weight
from core.growth import Growth
from core.ledger import Ledger
from core.portions import meals_of_day
from core.roster import Dog, Kennel
from core.weighings import daily

DAYS = 7
# A grown dog's weight moves by water and bowls: less than so much is noise. Common practice, no source.
GROWN_NOISE = 0.03
# A pup's gain over what was expected: between these it grows as it should. `growth.toml` warns by the same lines.
SLOW, FAST = 0.5, 1.3
SCALE_SE = 2.0  # and by more than so many standard errors of two readings
HANDS_STEP = 1.0  # points of five that hands must move by


@dataclass(frozen=True, slots=True, kw_only=True)
class DogWeek:
    """What moved with one dog.

    Attributes:
        growth: its growth where it has a weight. weighed: days of the week with a weight. moved: true where the weight
            moved out of the usual; as_expected: true where it was weighed and did not.
        gain_kg, since: change to the weighing before the week (of a grown dog), and that day; None where there is none.
        ears: how they go, only where they go up or down; ears_scored: days of the week with ears written down.
        hands: the score of five before and now, only where it moved. signs, concerns: each one and on how many days.
        teeth: days with a tooth. cups: a day's cups before and now, where the order changed.
        new, gone: born or added, or gone within the week. silent: what was due and was not written down all week.
    """

    dog: str
    growth: Growth | None = None
    weighed: int = 0
    moved: bool = False
    as_expected: bool = False
    gain_kg: float | None = None
    since: date | None = None
    ears: EarTrend | None = None
    ears_scored: int = 0
    hands: tuple[float, float] | None = None
    signs: tuple[tuple[str, int], ...] = ()
    concerns: tuple[tuple[str, int], ...] = ()
    teeth: int = 0
    cups: tuple[float, float] | None = None
    new: bool = False
    gone: str = ""
    silent: tuple[str, ...] = ()

    @property
    def changed(self) -> bool:
        """True where there is something to tell of it."""
        return bool(
            self.moved or self.ears or self.hands or self.signs or self.concerns or self.cups or self.new or self.gone
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """A week of the house: seven local days up to and with `on`.

    Attributes:
        dogs: every dog at home past four weeks, in roster order. bowls, bowls_planned: of the seven whole days before
            `on`, those written down out of those by order and rota.
    """

    since: date
    on: date
    dogs: tuple[DogWeek, ...] = ()
    bowls: int = 0
    bowls_planned: int = 0


def week(kennel: Kennel, ledger: Ledger, on: date, dogs: Iterable[Dog] | None = None) -> Week:
    """What changed in the seven days up to `on`, of the dogs at home or of those given."""
    since = on - timedelta(days=DAYS - 1)
    own = [d for d in (kennel.at_home() if dogs is None else dogs) if d.born <= on]
    told = tuple(_dog(d, kennel, ledger, since, on) for d in own if not d.is_newborn(on))
    had, planned = _bowls(own, kennel, ledger, on)
    return Week(since=since, on=on, dogs=told, bowls=had, bowls_planned=planned)


def _dog(dog: Dog, kennel: Kennel, ledger: Ledger, since: date, on: date) -> DogWeek:
    grown = growth.assess(dog, ledger, kennel, on)
    weighed = len({w.on for w in ledger.entries(dog.name, Weight, since=since, until=on)})
    moved, gain, start = _moved(dog, grown, ledger, since, on) if weighed else (False, None, None)
    trend = ears.assess(dog, ledger, kennel, on) if dog.ear_watch else None
    return DogWeek(
        dog=dog.name,
        growth=grown if grown.last else None,
        weighed=weighed,
        moved=moved,
        as_expected=bool(weighed) and not moved,
        gain_kg=gain,
        since=start,
        ears=trend if trend and trend.trend in (ears.UP, ears.DOWN) else None,
        ears_scored=len({e.on for e in ledger.entries(dog.name, Ears, since=since, until=on)}),
        hands=_hands(dog, ledger, since, on),
        signs=_days_of((s.sign, s.on) for s in ledger.entries(dog.name, Sign, since=since, until=on)),
        concerns=_days_of((c.about, c.on) for c in ledger.entries(dog.name, Concern, since=since, until=on)),
        teeth=len({t.on for t in ledger.entries(dog.name, Tooth, since=since, until=on)}),
        cups=_cups(dog, since),
        new=dog.born >= since,
        gone=dog.gone,
        silent=_silent(dog, kennel, ledger, since, on),
    )


def _moved(
    dog: Dog, grown: Growth, ledger: Ledger, since: date, on: date
) -> tuple[bool, float | None, date | None]:
    """Whether the weight moved out of the usual, by how many kg, and since when."""
    if dog.is_pup(on):
        if grown.last is None or grown.gain_g_per_day is None or grown.gain_since is None:
            return False, None, None
        days = (grown.last[1] - grown.gain_since).days
        gain = grown.gain_g_per_day * days / 1000
        expected = grown.expected_gain_g_per_day or 0.0
        noise = SCALE_SE * (grown.gain_se_g_per_day or 0.0)
        odd = not SLOW * expected <= grown.gain_g_per_day <= FAST * expected
        return odd and abs(grown.gain_g_per_day - expected) > noise, gain, grown.gain_since
    weighings = daily(dog, ledger, on)
    before = [w for w in weighings if w.on < since]
    if not before or before[-1].carrying or weighings[-1].carrying:
        return False, None, None
    gain = weighings[-1].kg - before[-1].kg
    return abs(gain) > GROWN_NOISE * before[-1].kg, gain, before[-1].on


def _hands(dog: Dog, ledger: Ledger, since: date, on: date) -> tuple[float, float] | None:
    if not ledger.of(dog.name, Condition, since=since, until=on):
        return None
    now = condition.latest(dog, ledger, on)
    if now is None or now.previous_hands is None or abs(now.hands - now.previous_hands) < HANDS_STEP:
        return None
    return now.previous_hands, now.hands


def _days_of(seen: Iterable[tuple[str, date]]) -> tuple[tuple[str, int], ...]:
    """Each name and on how many days it was seen."""
    days: dict[str, set[date]] = {}
    for name, on in seen:
        days.setdefault(name, set()).add(on)
    return tuple((name, len(on)) for name, on in days.items())


def _cups(dog: Dog, since: date) -> tuple[float, float] | None:
    """A day's cups as ordered before the week and now, where that differs."""
    before = next((b.ration for b in dog.before if b.until >= since - timedelta(days=1) and b.ration), None)
    if before is None or not dog.ration:
        return None
    then, now = (sum(r.cups for r in order) for order in (before, dog.ration))
    return (then, now) if then != now else None


def _silent(dog: Dog, kennel: Kennel, ledger: Ledger, since: date, on: date) -> tuple[str, ...]:
    """What is due at least weekly at this age and was not written down in the week."""
    out = []
    if care.weigh_every(dog.age_days(on)) <= DAYS and not _any(ledger, dog, Weight, since, on):
        out.append("weigh")
    if dog.ear_watch and not _any(ledger, dog, Ears, since, on):
        out.append("ears")
    return tuple(out)


def _any(ledger: Ledger, dog: Dog, kind: type[Entry], since: date, on: date) -> bool:
    return bool(ledger.of(dog.name, kind, since=since, until=on))


def _bowls(dogs: Iterable[Dog], kennel: Kennel, ledger: Ledger, on: date) -> tuple[int, int]:
    had = planned = 0
    for dog in dogs:
        for ago in range(1, DAYS + 1):
            day = on - timedelta(days=ago)
            if day < dog.born or dog.is_newborn(day):
                continue
            meals = meals_of_day(dog, kennel, day)
            told = {rota.meal_of(p, kennel) for p in ledger.of(dog.name, Meal, since=day, until=day)}
            planned += len(meals)
            had += sum(m in told for m in meals)
    return had, planned
