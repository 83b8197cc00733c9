"""Refusals in words: short, kind, nobody blamed, the reason in one clause."""

from __future__ import annotations

from collections.abc import Sequence

from bot.replies import say_units
from core import fed
from core.fed import Bowl
from core.roster import Dog, Kennel
from shared.texts import text

DAYS_FROM, WHOLE_FROM = 1.5, 0.5  # from so many treat jars on it is told in days, or as the whole jar


def more(dog: Dog | None, bowls: Sequence[Bowl], breeder: str, kennel: Kennel) -> str:
    """More food than ordered: what is next or still open today, and who decides."""
    if dog is None:
        return text("pleas.more.nobody", breeder=breeder)
    open_ = next((b for b in bowls if b.state == fed.OPEN), None)
    if open_ is not None:
        return text("pleas.more.open", dog=dog.name, meal=text(f"kept.meal.{open_.meal}"), breeder=breeder)
    ahead = next((b for b in bowls if b.state == fed.LATER and b.due), None)
    if ahead is not None and ahead.due is not None:
        meal, time = text(f"kept.meal.{ahead.meal}"), say_units.clock(ahead.due, kennel)
        return text("pleas.more.next", dog=dog.name, meal=meal, time=time, breeder=breeder)
    return text("pleas.more.done", dog=dog.name, breeder=breeder)


def danger() -> str:
    """A bite of what harms dogs."""
    return text("pleas.bite.danger")


def danger_asked() -> str:
    """The same, asked of the thing alone: "are grapes ok for dogs?"."""
    return text("pleas.bite.danger_asked")


def bite(dog: Dog | None, jars: float | None, breeder: str) -> str:
    """A bite of something harmless, beside the day's treat jar; `breeder` is "" where she asks herself."""
    if dog is None or jars is None:
        return text("pleas.bite.ask", breeder=breeder) if breeder else text("pleas.bite.own_jar")
    his = text(f"units.pronoun.his.{dog.sex or 'any'}")
    if jars >= DAYS_FROM:
        said = text("pleas.bite.days", dog=dog.name, n=round(jars))
    elif jars >= WHOLE_FROM:
        said = text("pleas.bite.whole", dog=dog.name)
    else:
        return text("pleas.bite.little", his=his)
    return text("pleas.bite.ask_first", breeder=breeder, said=said) if breeder else _capital(said) + "."


def calcium() -> str:
    """Calcium is the vet's."""
    return text("pleas.calcium")


def tape(dog: Dog | None, loose: bool, breeder: str) -> str:
    """Tape or glue on ears, asked by a helper."""
    if not loose and dog is not None:
        return text("pleas.tape.alone", breeder=breeder)
    if dog is None:
        return text("pleas.tape.nobody", breeder=breeder)
    he = text(f"pleas.tape.while.{dog.sex or 'any'}")
    return text("pleas.tape.loose", he=he, breeder=breeder)


def tape_breeder(dog: Dog | None, loose: bool) -> str:
    """The same, asked by the breeder herself."""
    return text("pleas.tape.breeder_loose" if loose else "pleas.tape.breeder")


def taped(dog: Dog | None) -> str:
    """Ears that were taped: what to look for every day."""
    return text("pleas.tape.done_dog", dog=dog.name) if dog else text("pleas.tape.done")


def told(who: str, said: str) -> str:
    """What somebody asked, for the breeder alone."""
    return text("pleas.told", who=who, said=said)


def _capital(said: str) -> str:
    return said[:1].upper() + said[1:]
