"""Who lives in the kennel: kennel, dogs, litters, people, foods and the rota."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, time
from functools import cached_property
from zoneinfo import ZoneInfo

NEWBORN_DAYS = 28  # newborns are under 4 weeks (the reading format)
PUP_MONTHS = 12  # pups are under 12 months (the reading format)

FAMILY = "family"  # the room of all helpers
BREEDER = "breeder"  # the breeder's private line


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownWeight:
    """A weight on the roster: kilograms and the local day of the weighing."""

    kg: float
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Ration:
    """One meal of a standing ration: `meal` is breakfast, lunch, dinner or bedtime; `cups` are level house cups."""

    meal: str
    cups: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Food:
    """A food with what its bag says: kilocalories and grams in a level house cup; None where not yet known."""

    name: str
    kcal_per_cup: float | None = None
    g_per_cup: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What a dog was fed until it changed: the last such day, the standing order then and the food then (None: as now).

    What was eaten in those weeks is counted by these, so that a new order or a new bag does not rewrite the past.
    """

    until: date
    ration: tuple[Ration, ...] = ()
    food: Food | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Dog:
    """One dog on the roster.

    Attributes:
        name: the call name, unique in the kennel. also: nicknames, collar colour, a buyer's new name.
        sex: `m` or `f`. born: local day of birth. breed: in words. litter: the dam's name, None where unknown.
        sire: the sire's name, None where unknown.
        last_weight: the newest weighing that counts, for plausibility.
        home: "" for the kennel, else the buyer's name.
        food: name of the food it eats; None for the kennel's first food.
        ration: the breeder's standing order by meal; empty where none was given.
        ideal_kg: the weight at which the breeder's hands said it was right; None where unknown.
        adult_kg: the grown lean weight that the breeder expects; None where unknown.
        neutered: None where unknown. ear_watch: whether its ears are still being watched.
        show_home: for a buyer's dog, true for a show or breeding-terms home.
        gone: why it is no longer followed (`died`, `returned`, `left`); "" while it is.
        notes: oddities for the sitter. apart_from: whom it must not be loose or fed with.
        before: earlier orders and foods, oldest first; see `core.feeding.reordered`.
    """

    name: str
    also: tuple[str, ...] = ()
    sex: str = ""
    born: date
    breed: str = ""
    litter: str | None = None
    sire: str | None = None
    last_weight: KnownWeight | None = None
    home: str = ""
    food: str | None = None
    ration: tuple[Ration, ...] = ()
    ideal_kg: float | None = None
    adult_kg: float | None = None
    neutered: bool | None = None
    ear_watch: bool = False
    show_home: bool = False
    gone: str = ""
    notes: str = ""
    apart_from: tuple[str, ...] = ()
    before: tuple[Before, ...] = ()

    def age_days(self, on: date) -> int:
        """Days since birth; the day of birth is day 0; negative before it."""
        return (on - self.born).days

    def is_newborn(self, on: date) -> bool:
        """True under 4 weeks of age."""
        return 0 <= self.age_days(on) < NEWBORN_DAYS

    def is_pup(self, on: date) -> bool:
        """True under 12 calendar months of age (newborns too)."""
        return months_between(self.born, on) < PUP_MONTHS


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """One person who writes.

    Attributes:
        role: `breeder`, `partner`, `family`, `child`, `gran`, `sitter`, `mentor` or `buyer`.
        also: other names. unit: own weight unit (`kg` or `lb`), None for the kennel's.
        clock_24: how this person reads the time (see `Kennel`), None for the kennel's way.
        dogs: for a buyer, the dogs that are theirs. tips: whether care tips are wanted.
        since, until: first and last day of a sitter's stay; None where it has no such bound.
        charts: `light` or `dark`, how pictures are drawn for this person; None for the kennel's way.
    """

    name: str
    role: str = "family"
    also: tuple[str, ...] = ()
    unit: str | None = None
    clock_24: bool | None = None
    dogs: tuple[str, ...] = ()
    tips: bool = True
    since: date | None = None
    until: date | None = None
    charts: str | None = None

    def is_here(self, on: date | None) -> bool:
        """True on a day within the stay; always for somebody whose stay has no bounds, or where no day is asked."""
        if on is None:
            return True
        return (self.since is None or self.since <= on) and (self.until is None or on <= self.until)


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """One line of the rota: what is to be done, at what wall-clock time, by whom, on which weekdays.

    Attributes:
        what: a meal (`breakfast` … `bedtime`), `weigh`, `ears`, or a grooming task.
        days: weekdays, Monday is 0; empty for every day. dogs: empty for all it fits.
        every_days: for a task that recurs by interval since last done; None where weekdays rule.
        every_hours: for rounds that go on through the night, in elapsed hours; None for once a day.
        until: the last day, as of medicine by the vet's plan; None for no end.
    """

    what: str
    at: time
    who: str
    days: tuple[int, ...] = ()
    dogs: tuple[str, ...] = ()
    every_days: int | None = None
    every_hours: int | None = None
    until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Vet:
    """The breeder's own vet: day and night phone numbers; "" where not given."""

    name: str = ""
    day: str = ""
    night: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Litter:
    """A litter: dam, sire, day 0 and how many were counted (by X-ray, then born)."""

    dam: str
    sire: str | None = None
    born: date | None = None
    counted: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ancestor:
    """A dog of the pedigree: its sire and dam by name, None where unknown. It need not live here, or live at all."""

    name: str
    sire: str | None = None
    dam: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnTip:
    """A care tip in the breeder's own words; "" where it is never to be sent."""

    key: str
    words: str = ""


@dataclass(frozen=True, kw_only=True)
class Kennel:
    """The kennel as it is set up.

    Attributes:
        zone: IANA name of the time zone; every local day is a day there.
        weight_unit: `kg` or `lb`: what the family means when it says none (newborns: grams or ounces).
        day_first: true where 3/4 is 3 April. clock_24: true for 19:30, false for 7:30 pm.
        quiet_from, quiet_to: quiet hours (wall clock), emergencies apart.
        alert_at: wall-clock time of the morning alert.
        show_rules: the show body whose class table counts; "" where none was chosen.
        charts: `light` or `dark`, how pictures are drawn where a person has not chosen.
        trim_means: what the breeder means by a length of ear hair: `off` (taken off), `left` (on), "" unknown.
        pedigree: ancestors that are not on the roster, as far as they were told.
        tips_ok: true once the breeder has read the care tips for buyers and lets them go out in her name.
        own_tips: the tips that she worded anew or dropped.
        revision: rises with each change of the roster.
    """

    name: str
    zone: str = "UTC"
    weight_unit: str = "kg"
    day_first: bool = True
    clock_24: bool = True
    people: tuple[Person, ...] = ()
    dogs: tuple[Dog, ...] = ()
    litters: tuple[Litter, ...] = ()
    foods: tuple[Food, ...] = ()
    duties: tuple[Duty, ...] = ()
    vet: Vet = field(default_factory=Vet)
    quiet_from: time = time(21, 45)
    quiet_to: time = time(6, 45)
    alert_at: time = time(6, 45)
    show_rules: str = ""
    charts: str = "light"
    trim_means: str = ""
    pedigree: tuple[Ancestor, ...] = ()
    tips_ok: bool = False
    own_tips: tuple[OwnTip, ...] = ()
    revision: int = 0

    @cached_property
    def tz(self) -> ZoneInfo:
        """The time zone."""
        return ZoneInfo(self.zone)

    @cached_property
    def breeder(self) -> Person | None:
        """The person with the last word, None while nobody is."""
        return next((p for p in self.people if p.role == "breeder"), None)

    @cached_property
    def by_name(self) -> dict[str, Dog]:
        """Dogs by call name."""
        return {d.name: d for d in self.dogs}

    def dog(self, name: str | None) -> Dog | None:
        """The dog of that call name, None where there is none."""
        return self.by_name.get(name or "")

    def person(self, name: str) -> Person | None:
        """The person of that name (or other name), whatever the letter case; None where there is none."""
        low = name.casefold()
        return next((p for p in self.people if low in {p.name.casefold(), *(a.casefold() for a in p.also)}), None)

    def local(self, at: datetime) -> datetime:
        """An instant as wall-clock time in the kennel's zone."""
        return at.astimezone(self.tz)

    def own_tip(self, key: str) -> str | None:
        """The breeder's own words for that care tip, "" where it is dropped; None where it stands as it came."""
        return next((t.words for t in self.own_tips if t.key == key), None)

    def day_of(self, at: datetime) -> date:
        """The local day of an instant."""
        return at.astimezone(self.tz).date()

    def living(self) -> tuple[Dog, ...]:
        """The dogs still followed, buyers' dogs too."""
        return tuple(d for d in self.dogs if not d.gone)

    def at_home(self) -> tuple[Dog, ...]:
        """The dogs still followed that live in the kennel."""
        return tuple(d for d in self.dogs if not d.gone and not d.home)

    def pups_of(self, dam: str, born: date | None = None) -> tuple[Dog, ...]:
        """The followed pups of that dam; of that day of birth where one is given."""
        return tuple(d for d in self.living() if d.litter == dam and (born is None or d.born == born))

    def food_of(self, dog: Dog) -> Food | None:
        """The food the dog eats: its own, else the kennel's first; None where none is known."""
        if dog.food:
            return next((f for f in self.foods if f.name == dog.food), None)
        return self.foods[0] if self.foods else None


def months_between(start: date, end: date) -> int:
    """Whole calendar months from start to end.

    A birthday on a day that the month lacks (31st, 29 February) is reached on the month's last day.
    """
    months = (end.year - start.year) * 12 + end.month - start.month
    if end.day < start.day and not _is_month_end(end):
        months -= 1
    return months


def _is_month_end(day: date) -> bool:
    following = date.fromordinal(day.toordinal() + 1) if day != date.max else day
    return following.month != day.month


def names(dogs: Iterable[Dog]) -> tuple[str, ...]:
    """The call names of these dogs, in order."""
    return tuple(d.name for d in dogs)
