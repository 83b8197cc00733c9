"""Newborns in words: the warning in the minute in which a weight is typed, and its reasons."""

from __future__ import annotations

from collections.abc import Collection

from bot.replies import say_units
from bot.replies.cite import because
from core.newborn import AMBER, LEVEL, RED, LitterDay, Newborn
from shared.texts import text

# What is said at once when a weight or a temperature is written down; the rest waits for the morning.
AT_ONCE = frozenset({"lost", "early_dip", "early_loss", "no_gain_for_a_day", "cool", "warm"}) | {
    k for k, at in LEVEL.items() if at == RED
}
HEAT = frozenset({"cold", "cool", "warm", "hot"})  # each says what to do by itself: a hot pup is not to be warmed


def warning(pup: Newborn, unit: str, vet: str) -> str:
    """One warning: the pup, the figures, what to do now; "" where nothing needs saying at once. Never an amount."""
    keys = [k for k in pup.warnings if k in AT_ONCE]
    if not keys or (pup.level == "amber" and keys[0] == "no_gain_for_a_day" and (pup.g_since_last or 0) > 0):
        return ""
    if keys[0] in HEAT and pup.celsius is not None:
        shown = say_units.temperature(pup.celsius, unit)
        return text(f"newborn.{keys[0]}", dog=_name(pup, keys[0]), temperature=shown, vet=vet)
    do = text(f"newborn.do.{'red' if pup.level == RED else 'early' if keys[0] == 'early_dip' else 'amber'}", vet=vet)
    return text("newborn.warning", dog=_name(pup, keys[0]), figures=figures(pup, unit), do=do)


def litter_level(litter: LitterDay, bad: Collection[str], *, dull: bool) -> str:
    """How pressing a slow litter is: `now` with a dull or red pup, `today` where one has lost, else `look`."""
    if dull or any(p.level == RED for p in litter.pups if p.dog in bad):
        return "now"
    return "today" if bad else "look"


def litter_warning(litter: LitterDay, bad: Collection[str], level: str, unit: str, vet: str) -> str:
    """A whole litter that is slow, said once: the pups that are worst, then the dam's milk and heat, and the box."""
    shown = [_in_litter(p, unit) for p in litter.pups if p.dog in (bad or litter.slow)]
    do = text(f"newborn.litter.{level}", vet=vet)
    return text("newborn.litter.line", dam=litter.dam, pups="; ".join(shown), do=do)


def _in_litter(pup: Newborn, unit: str) -> str:
    """One pup of it: a red one with all its figures, else what changed since the last weighing."""
    if pup.level == RED:
        return text("newborn.litter.pup", dog=pup.dog.upper(), figures=figures(pup, unit))
    since = say_units.signed((pup.g_since_last or 0.0) / 1000, unit, newborn=True)
    return text("newborn.litter.pup", dog=pup.dog, figures=since)


def do_in_the_morning(pup: Newborn) -> str:
    """What to do, in the few words of the morning alert."""
    heat = next((k for k in pup.warnings if k in ("warm", "hot")), None)
    return text(f"alert.newborn.{heat or (RED if pup.level == RED else AMBER)}")


def stands(pup: Newborn, unit: str) -> str:
    """How a newborn stands: figures, pace beside what is usual, place in the litter."""
    said = [text("newborn.stands", dog=pup.dog, figures=figures(pup, unit))]
    if pup.pace_pct is not None and pup.expected_pct:
        pace = say_units.percent(pup.pace_pct / 100, sign=True)
        said.append(text("newborn.pace", pace=pace, usual=say_units.percent(pup.expected_pct / 100, 0)))
    if pup.rank and pup.rank_of:
        said.append(text("newborn.rank", n=pup.rank, of=pup.rank_of))
    return " ".join(said)


def figures(pup: Newborn, unit: str, days_ago: int = 0) -> str:
    """The weight with what was lost or gained since last and since birth: "303 g, −15 g, −4.7% since birth, day 2".

    `days_ago` is how long ago it was weighed: the day is that of the weight.
    """
    if pup.grams is None:
        return text("newborn.not_weighed")
    said = [say_units.weight(pup.grams / 1000, unit, newborn=True)]
    if pup.g_since_last is not None:
        since = say_units.signed(pup.g_since_last / 1000, unit, newborn=True)
        said.append(text("newborn.since_last", change=since))
    if pup.pct_since_birth is not None:
        said.append(text("newborn.since_birth", change=say_units.percent(pup.pct_since_birth / 100, sign=True)))
    said.append(text("newborn.day", n=pup.age_days - days_ago))
    return ", ".join(said)


def why(pup: Newborn, unit: str) -> str:
    """The weights that the warning rests on, the lines crossed, and where they come from."""
    told = []
    if pup.grams is not None and pup.birth_g is not None and pup.previous_g is not None:
        shown = [say_units.weight(g / 1000, unit, newborn=True) for g in (pup.birth_g, pup.previous_g, pup.grams)]
        told.append(text("why.newborn", dog=pup.dog, birth=shown[0], previous=shown[1], now=shown[2]))
    for key in pup.warnings:
        heat = say_units.temperature(pup.celsius, unit) if pup.celsius is not None else ""
        told.append(text(f"why.newborn_line.{key}", celsius=heat))
    return because(*told, sources=pup.source)


def _name(pup: Newborn, key: str) -> str:
    return pup.dog.upper() if LEVEL[key] == RED else pup.dog
