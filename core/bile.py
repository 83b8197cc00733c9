"""Yellow bile in the morning beside the snack of the night before: put side by side, cause never claimed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from core import rota
from core.bowls import bowls_of
from core.entries import Entry, Meal, Sign
from core.intake import order_on
from core.ledger import Ledger, Posted
from core.roster import Dog, Kennel
from core.weighings import instant
from shared.tables import facts


@dataclass(frozen=True, slots=True, kw_only=True)
class BileMornings:
    """Bile against snacks over the last days.

    Attributes:
        days: how many days are looked at. mornings: days with bile.
        after_snack, after_short, after_none, not_known: how many of them followed a night with the whole snack
            logged, one with a smaller snack than in the four weeks before, one on which it was refused or left out
            while dinner was logged, and one of which the book says neither.
        snack_nights, short_nights, bare_nights: nights of each of the first three kinds.
        hours_empty: hours from the last bowl of the evening to bile, the longest; None where no clock tells.
        keep_snack: true where bile followed short and bare nights more often than those with the whole snack.
    """

    dog: str
    days: int
    mornings: tuple[date, ...]
    after_snack: int
    after_none: int
    not_known: int
    snack_nights: int
    bare_nights: int
    after_short: int = 0
    short_nights: int = 0
    hours_empty: float | None = None
    keep_snack: bool = False
    warnings: tuple[str, ...] = ()
    source: tuple[str, ...] = ("feeding-lines",)
    caution: tuple[str, ...] = ("no_cause_claimed", "vomits_over_two_vet")

    @property
    def each_after_none(self) -> bool:
        """True where every one of several mornings followed a night without the snack in the book."""
        return len(self.mornings) > 1 and self.after_none == len(self.mornings)

    @property
    def beside(self) -> str:
        """What each of several mornings followed: `none`, no snack; `short`, a smaller one or none; "" otherwise."""
        return "none" if self.each_after_none else "short" if self.each_after_short else ""

    @property
    def each_after_short(self) -> bool:
        """True where every one of several mornings followed a night without the snack, or with a smaller one."""
        return len(self.mornings) > 1 and self.after_none + self.after_short == len(self.mornings)


def mornings(dog: Dog, ledger: Ledger, kennel: Kennel, on: date, days: int | None = None) -> BileMornings | None:
    """Bile of the last fortnight beside the night before; None where there was none."""
    rule = facts("feeding")["bile"]
    span = days or int(rule["days"])
    since = on - timedelta(days=span - 1)
    seen = [s.on for s in ledger.entries(dog.name, Sign, since=since, until=on) if s.sign == "bile"]
    if not seen:
        return None
    nights = {since - timedelta(days=1) + timedelta(days=i): "" for i in range(span)}
    for night in nights:
        nights[night] = _night(dog, ledger, kennel, night)
    days_seen = tuple(dict.fromkeys(seen))
    before = [nights.get(d - timedelta(days=1), "") for d in days_seen]
    snack, short, bare = (list(nights.values()).count(kind) for kind in ("snack", "short", "none"))
    after_snack, after_short, after_none = (before.count(kind) for kind in ("snack", "short", "none"))
    empty = [h for d in days_seen if (h := _hours_empty(dog, ledger, kennel, d)) is not None]
    vomits = [s for s in ledger.entries(dog.name, Sign, since=on, until=on) if s.sign in {"vomit", "bile"}]
    often = (after_none + after_short) / (bare + short) if bare + short else 0.0
    seldom = after_snack / snack if snack else 0.0
    return BileMornings(
        dog=dog.name,
        days=span,
        mornings=days_seen,
        after_snack=after_snack,
        after_none=after_none,
        not_known=before.count(""),
        snack_nights=snack,
        bare_nights=bare,
        after_short=after_short,
        short_nights=short,
        hours_empty=max(empty, default=None),
        keep_snack=len(days_seen) >= int(rule["fewest_mornings"]) and often > seldom,
        warnings=("many_vomits",) if len(vomits) > int(rule["vomits_a_day"]) else (),
    )


def _night(dog: Dog, ledger: Ledger, kennel: Kennel, night: date) -> str:
    """`snack`, `short`, `none` or "" (not logged) for the night after that day."""
    snack = facts("feeding")["meals"]["snack"]
    # "Snack given" and a later "he left it" are one bowl, refused.
    logged = bowls_of(ledger.of(dog.name, Meal, since=night, until=night), kennel)
    late = [p.entry for p in logged if rota.meal_of(p, kennel) == snack]
    if late:
        if all(isinstance(m, Meal) and m.eaten == "none" for m in late):
            return "none"
        return "short" if _is_short(dog, night, late) else "snack"
    return "none" if _had_dinner(logged, kennel) else ""


def _is_short(dog: Dog, night: date, late: Sequence[Entry]) -> bool:
    """True where the snack, as told or as ordered, was smaller than an order of the four weeks before."""
    snack = facts("feeding")["meals"]["snack"]
    told = [m.amount for m in late if isinstance(m, Meal) and m.amount is not None and m.unit in (None, "cup")]
    standing = [r.cups for r in order_on(dog, night) if r.meal == snack]
    since = night - timedelta(days=int(facts("feeding")["step"]["four_weeks_days"]))
    earlier = [r.cups for b in dog.before if since <= b.until < night for r in b.ration if r.meal == snack]
    size = sum(told) if told else sum(standing)
    return bool(earlier) and 0 < size < max(earlier) - 1e-9


def _had_dinner(logged: Iterable[Posted], kennel: Kennel) -> bool:
    """True where the evening's bowl is in the book; without it nothing is known of the night."""
    return any(rota.meal_of(p, kennel) == "dinner" for p in logged)


def _hours_empty(dog: Dog, ledger: Ledger, kennel: Kennel, morning: date) -> float | None:
    """Hours from the last bowl before it that was eaten to the bile; None where a moment is not known."""
    evening = morning - timedelta(days=1)
    bile = (p for p in ledger.of(dog.name, Sign, since=morning, until=morning))
    sign = next((p for p in bile if isinstance(p.entry, Sign) and p.entry.sign == "bile"), None)
    logged = bowls_of(ledger.of(dog.name, Meal, since=evening, until=morning), kennel)
    eaten = [p for p in logged if isinstance(p.entry, Meal) and p.entry.eaten != "none"]
    before = [p for p in logged if p.entry.on == evening]
    if sign is None or not _had_dinner(before, kennel) or not all(_has_moment(p, kennel) for p in (sign, *eaten)):
        return None
    seen = instant(sign, kennel)
    bowls = [at for p in eaten if (at := instant(p, kennel)) < seen]
    return (seen - max(bowls)).total_seconds() / 3600 if bowls else None


def _has_moment(posted: Posted, kennel: Kennel) -> bool:
    """True where the time of day was said, or the message was sent on the very day."""
    return posted.entry.clock is not None or kennel.day_of(posted.at) == posted.entry.on
