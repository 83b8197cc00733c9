"""A pair on the day of a mating, in words: rule, figure and source, never "a good match"."""

from __future__ import annotations

from datetime import date

from bot.replies import say_units
from bot.replies.cite import because
from core.pairing import Certificate, Pairing, Rule
from core.pedigree import Kin
from core.roster import Kennel
from shared.texts import listed, text


def answer(found: Pairing, kennel: Kennel, today: date) -> str:
    """The pair's ages, litters, rules, tests and kin, one line each."""

    def day(on: date) -> str:
        return say_units.calendar_day(on, kennel, today)

    lines = [text("pairing.head", dam=found.dam, sire=found.sire, day=day(found.on))]
    if found.season_from and found.season_to:
        span = {"first": day(found.season_from), "last": day(found.season_to)}
        lines.append(text("pairing.season", dam=found.dam, day=day(found.on), **span))
    names = {"dam": found.dam, "sire": found.sire}
    lines += [text(f"pairing.stop.{stop}", **names) for stop in found.stops]
    old = [say_units.age(kennel.by_name[name], found.on) for name in (found.dam, found.sire)]
    ages = {"dam_age": old[0], "sire_age": old[1]}
    lines.append(" ".join([text("pairing.ages", **names, **ages), _litters(found, day)]))
    lines.append(_rules(found.rules))
    for dog in (found.dam, found.sire):
        lines.append(_tests(dog, [t for t in found.tests if t.dog == dog], day))
    if found.kin is not None:
        lines.append(_kin(found.kin))
    return "\n".join([*lines, text("pairing.ask")])


def why(found: Pairing) -> str:
    """Each rule with the pair's figure, how kin was reckoned, and the sources."""
    told = [
        text(
            "pairing.why_rule", what=text(f"pairing.why_name.{r.what}"), limit=r.limit,
            figure=text("pairing.unknown") if r.figure is None else r.figure,
        )
        for r in found.rules if r.what != "close_kin"
    ]  # fmt: skip
    return because(*told, text("pairing.why"), sources=found.source)


def _litters(found: Pairing, day: object) -> str:
    assert callable(day)
    if found.last_litter is None:
        return text("pairing.litters", n=found.litters)
    return text("pairing.litters_last", n=found.litters, day=day(found.last_litter))


def _rules(rules: tuple[Rule, ...]) -> str:
    if not rules:
        return text("pairing.rules_none")
    broken = [text(f"pairing.broken.{r.what}", figure=_figure(r), limit=r.limit) for r in rules if r.met is False]
    return text("pairing.rules_broken", what="; ".join(broken)) if broken else text("pairing.rules_kept")


def _figure(rule: Rule) -> str:
    """What the rule counts: litters, or months."""
    if rule.figure is None:
        return text("pairing.unknown")
    return str(rule.figure) if rule.what in ("dam_litters", "close_kin") else say_units.months_said(rule.figure)


def _tests(dog: str, tests: list[Certificate], day: object) -> str:
    assert callable(day)
    if not tests:
        return text("pairing.tests_none", dog=dog)
    shown = [
        text(
            f"pairing.test.{t.state}", what=_what(t), on=day(t.on),
            until=day(t.until) if t.until else "",
        )
        for t in tests
    ]  # fmt: skip
    return text("pairing.tests", dog=dog, tests="; ".join(shown))


def _what(found: Certificate) -> str:
    return text("pairing.with_result", test=found.test, result=found.result) if found.result else found.test


def _kin(found: Kin) -> str:
    places = {"n": found.generations, "known": found.known, "of": found.of}
    if not found.common:
        return text("pairing.kin_none", **places)
    percent = say_units.percent(found.coefficient, 1)
    return text("pairing.kin_through", percent=percent, common=listed(list(found.common)), **places)
