"""What a message can record, ask, or leave in doubt: one small frozen dataclass each.

The reader makes these, the storage keeps them, the assessments eat them: the same objects all the
way. Field names and values are those of the reading format (DEVELOPERS.md, "The reading format").
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import date, time
from typing import Any, ClassVar


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing that happened to one dog on one local day.

    Attributes:
        dog: the dog's name on the roster.
        on: the local day on which it happened.
        replaces: true where this entry takes the place of an earlier one.
        clock: the wall-clock time at which it happened, where one was said ("at 04:10").
        said: the sender's own words, for "why?".
    """

    kind: ClassVar[str] = ""
    dog: str
    on: date
    replaces: bool = False
    clock: time | None = None
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight(Entry):
    """A weighing, in kilograms whatever unit was said."""

    kind: ClassVar[str] = "weight"
    kg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Ears(Entry):
    """Ear positions: `down`, `half` or `up`; left and right are the dog's own.

    `one` and `other` stand in where no side was named.
    """

    kind: ClassVar[str] = "ears"
    left: str | None = None
    right: str | None = None
    one: str | None = None
    other: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition(Entry):
    """Body condition: a score on a 9- or 5-point scale, how the ribs feel (`sharp`, `easy`, `hard`), or both."""

    kind: ClassVar[str] = "condition"
    score: float | None = None
    scale: int | None = None
    ribs: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Meal(Entry):
    """A bowl: which meal, how much was given (`cup`, `g`, `can`, `piece`), how much was eaten.

    Of a newborn, a top-up by hand; `times` where it was told how often.
    """

    kind: ClassVar[str] = "meal"
    meal: str | None = None
    amount: float | None = None
    unit: str | None = None
    eaten: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Treat(Entry):
    """Something outside the bowl."""

    kind: ClassVar[str] = "treat"
    amount: float | None = None
    unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Groom(Entry):
    """A grooming task done: brush, bath, nails, ear trim, feet trim, coat trim, teeth, ears cleaned; or ear hair back.

    Of an ear trim: `cm`, the length that was said, and `cut`, what it is: `off` (taken off) or `left` (left on).
    """

    kind: ClassVar[str] = "groom"
    task: str
    cm: float | None = None
    cut: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign(Entry):
    """A sign of illness or an accident seen: vomit, bile, diarrhoea, limp, cough, itch, lethargy, wound, seizure,
    swallowed."""

    kind: ClassVar[str] = "sign"
    sign: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dose(Entry):
    """A dose given: wormer, vaccine, flea and tick, medicine. Never how much."""

    kind: ClassVar[str] = "dose"
    dose: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperature(Entry):
    """Body temperature in degrees Celsius."""

    kind: ClassVar[str] = "temperature"
    celsius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Height(Entry):
    """Height at the withers in centimetres."""

    kind: ClassVar[str] = "height"
    cm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Season(Entry):
    """A bitch has come into heat."""

    kind: ClassVar[str] = "season"


@dataclass(frozen=True, slots=True, kw_only=True)
class Progesterone(Entry):
    """A blood test's progesterone, in `ng/ml` or `nmol/l` (None where not said: to be asked)."""

    kind: ClassVar[str] = "progesterone"
    value: float
    unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mating(Entry):
    """The bitch (`dog`) was mated; `with_` is the roster's name of the dog, None for one from elsewhere."""

    kind: ClassVar[str] = "mating"
    with_: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Whelping(Entry):
    """The dam (`dog`) whelped; `pups` where the count was said."""

    kind: ClassVar[str] = "whelping"
    pups: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tooth(Entry):
    """A milk tooth lost, or adult teeth coming."""

    kind: ClassVar[str] = "tooth"


@dataclass(frozen=True, slots=True, kw_only=True)
class HealthTest(Entry):
    """A health test for breeding: `eyes`, `hips`, `DNA` …, its result as it was said, and the last day it is good for.

    Told to the conversation, not part of the reading format.
    """

    kind: ClassVar[str] = "health test"
    test: str
    result: str = ""
    until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveItem(Entry):
    """Something of the list for a pup that leaves is done: `chip`, `vet check`, `contract`, `papers` or `food`.

    Told to the conversation, not part of the reading format.
    """

    kind: ClassVar[str] = "leave item"
    item: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Concern(Entry):
    """A worrying word that no kind of sign fits: `legs`, `stagger`, `thirst`, `lump`, `eyes`, `ears`, `skin`, `pain`,
    `discharge`, `blood`, `worms`, `slime` or `soft`; the sender's own words are what counts.

    Told to the conversation, not part of the reading format.
    """

    kind: ClassVar[str] = "concern"
    about: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo(Entry):
    """A photo of the dog: `picture` is the chat's own handle of it, `said` the caption."""

    kind: ClassVar[str] = "photo"
    picture: str = ""


KINDS: tuple[type[Entry], ...] = (
    Weight, Ears, Condition, Meal, Treat, Groom, Sign, Dose, Temperature, Height, Season, Progesterone, Mating,
    Whelping, Tooth, HealthTest, LeaveItem, Concern, Photo,
)
BY_KIND: Mapping[str, type[Entry]] = {k.kind: k for k in KINDS}


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What the sender wants to know: weight, growth, ration, fed, due, ears, chart, summary or undo."""

    about: str
    dog: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """What must be asked back before anything is kept.

    Attributes:
        about: `dog` (no dog, or several fit), `value` (can't be right beside the roster) or `day` (the calendar has
            no such day).
        entry: what would be kept, as far as it is known; the dog's name is "" where that is what is missing.
        choices: the likely answers, best first: dog names, or other values of the same field.
        said: the words in doubt.
    """

    about: str
    entry: Entry | None = None
    choices: tuple[str, ...] = ()
    said: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What was made of one message. Small talk gives three empty tuples."""

    entries: tuple[Entry, ...] = ()
    questions: tuple[Question, ...] = ()
    doubts: tuple[Doubt, ...] = ()

    def __bool__(self) -> bool:
        """True where anything at all was read."""
        return bool(self.entries or self.questions or self.doubts)


# Kept for "why?", for the clock and for the hair of the ears, not part of the reading format.
_PRIVATE = {Entry: frozenset({"clock", "said"}), Groom: frozenset({"clock", "said", "cm", "cut"})}


def as_format(item: Entry | Question | Doubt) -> dict[str, Any]:
    """The item as the reading format writes it: unsaid fields left out, dates in ISO form."""
    if isinstance(item, Doubt):
        return {"about": "value" if item.about == "day" else item.about}  # the format has no word for a day
    if isinstance(item, Question):
        return {"about": item.about} | ({"dog": item.dog} if item.dog else {})
    private = _PRIVATE.get(type(item), _PRIVATE[Entry])
    return {"kind": item.kind} | {k: v for k, v in as_fields(item).items() if k not in private}


def as_fields(entry: Entry) -> dict[str, Any]:
    """Every said field of an entry under the reading format's names, ready for JSON; `entry_from` reads it back."""
    out: dict[str, Any] = {}
    for f in fields(entry):
        value = getattr(entry, f.name)
        if value is None or value is False or value == "":
            continue
        if isinstance(value, date):
            value = value.isoformat()
        elif isinstance(value, time):
            value = value.isoformat(timespec="minutes")
        out[f.name.rstrip("_")] = value
    return out


def entry_from(kind: str, values: Mapping[str, Any]) -> Entry:
    """The entry of that kind with these fields (as `as_fields` wrote them; `on` may be a date already).

    Raises:
        KeyError: no such kind of entry.
        TypeError: a field that the kind does not have.
    """
    given: dict[str, Any] = dict(values)
    if "with" in given:
        given["with_"] = given.pop("with")
    if isinstance(given["on"], str):
        given["on"] = date.fromisoformat(given["on"])
    if given.get("clock") is not None:
        given["clock"] = time.fromisoformat(given["clock"])
    if isinstance(given.get("until"), str):
        given["until"] = date.fromisoformat(given["until"])
    return BY_KIND[kind](**given)
