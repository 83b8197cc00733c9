"""Questions about how the house runs: whose turn it is, the cups tonight, the rota, what is left in a treat jar, and
which buyers need a call."""

from __future__ import annotations

from datetime import datetime, time, timedelta

from bot.conversation import once, questions, stand_ins
from bot.conversation.about import dog_meant, found, took
from bot.conversation.heard import patterns
from bot.conversation.hearing import Hearing
from bot.enrolment import rota_shown
from bot.replies import say_units, treats
from bot.replies.answers import rations
from bot.replies.digest import quiet_buyers
from core.agenda import MEAL, REMIND, due
from core.roster import BREEDER, Dog
from core.rota import MEALS
from core.times import instant
from shared.texts import text

WORRIES, LOSSES, KEPT_FOR = "worries", "losses", timedelta(days=14)


def answer(hearing: Hearing) -> bool:
    """True where the message asked one of these."""
    if hearing.person.role == "buyer" or not hearing.message.text:
        return False
    return _turn(hearing) or _cups(hearing) or _rota(hearing) or _jar(hearing) or _buyers(hearing)


def worried(hearing: Hearing) -> None:
    """Keep in mind that this buyer worried, for "which buyers need me?"."""
    before = hearing.mind(BREEDER).facts.get(WORRIES) or {}
    young = {w: at for w, at in before.items() if hearing.at - datetime.fromisoformat(at) <= KEPT_FOR}
    hearing.keep(BREEDER, **{WORRIES: {**young, hearing.person.name: hearing.at.isoformat()}})


def lost(hearing: Hearing, dog: Dog) -> None:
    """Keep in mind that this buyer lost their dog: nobody needs a ring more."""
    before = hearing.mind(BREEDER).facts.get(LOSSES) or {}
    told = {"dog": dog.name, "at": hearing.at.isoformat()}
    hearing.keep(BREEDER, **{LOSSES: {**before, hearing.person.name: told}})


def _bereaved(hearing: Hearing) -> list[str]:
    told = hearing.mind(BREEDER).facts.get(LOSSES) or {}
    recent = {w: t for w, t in told.items() if hearing.at - datetime.fromisoformat(t["at"]) <= KEPT_FOR}
    return [
        text("house.lost", who=who, dog=t["dog"], day=_day_of(datetime.fromisoformat(t["at"]), hearing))
        for who, t in sorted(recent.items(), key=lambda x: str(x[1]["at"]), reverse=True)
    ]


def _day_of(at: datetime, hearing: Hearing) -> str:
    return say_units.day(hearing.kennel.day_of(at), hearing.on, hearing.kennel)


def _turn(hearing: Hearing) -> bool:
    if (match := took("house.turn", hearing)) is None:
        return False
    house, memory = hearing.scene.kennel, {**hearing.scene.memory, **hearing.memory}
    start, end = hearing.at - timedelta(hours=1), hearing.at + timedelta(hours=48)
    if "tomorrow" in match[0].casefold():
        start = instant(hearing.on + timedelta(days=1), time.min, house.tz)
    items = [i for i in due(house, hearing.scene.ledger, start, end) if i.kind == MEAL]
    named = _meals(match[0])
    nearest = next((i for i in items if i.step == REMIND and (not named or i.what in named)), None)
    if nearest is None:
        hearing.say(text("answers.ration.none_left"))
        return True
    meant = stand_ins.stood_in(nearest, memory, house)
    who = meant.person or (house.breeder.name if house.breeder else "")
    meal = text(f"kept.meal.{nearest.what}")
    at = say_units.clock(nearest.at, hearing.kennel)
    hearing.say(text("house.turn", meal=meal[0].upper() + meal[1:], who=who, time=at))
    return True


def _meals(said: str) -> tuple[str, ...]:
    """The meals that a time of day can mean: dinner or bedtime tonight; empty where none is said."""
    return tuple(m for m in MEALS if any(p.search(said) for p in patterns(f"house.meals.{m}")))


def _cups(hearing: Hearing) -> bool:
    if (match := took("house.cups", hearing)) is None:
        return False
    asker = questions.asker_of(hearing)
    questions.say([rations.next_meal(asker, _meals(match[0]))], hearing)
    return True


def _rota(hearing: Hearing) -> bool:
    if took("house.rota", hearing) is None:
        return False
    lines = [rota_shown(d, hearing.kennel) for d in sorted(hearing.kennel.duties, key=lambda d: d.at)]
    lines += [once.in_rota(one, hearing) for one in once.ahead(hearing.mind(BREEDER), hearing.at)]
    hearing.say("\n".join(line[0].upper() + line[1:] for line in lines) or text("house.no_rota"))
    return True


def _jar(hearing: Hearing) -> bool:
    match = found("house.jar", hearing)
    dog = dog_meant(hearing) if match else None
    if match is None or dog is None:
        return False
    hearing.took(match)
    hearing.say(treats.left_in_jar(dog, hearing.ledger, hearing.kennel, hearing.on))
    return True


def _buyers(hearing: Hearing) -> bool:
    """Who worried lately, then who has been quiet for long: in her own line."""
    match = found("house.buyers", hearing) if hearing.is_breeder else None
    if match is None:
        return False
    hearing.took(match)
    told = hearing.mind(BREEDER).facts.get(WORRIES) or {}
    lines = _bereaved(hearing)
    bereaved = set(hearing.mind(BREEDER).facts.get(LOSSES) or {})
    lines += [
        text("house.worried", who=who, day=_day_of(at, hearing))
        for who, when in sorted(told.items(), key=lambda w: w[1], reverse=True)
        if hearing.at - (at := datetime.fromisoformat(when)) <= KEPT_FOR and who not in bereaved
    ]
    lines += quiet_buyers(hearing.scene.kennel, hearing.scene.ledger, hearing.at)
    hearing.tell_breeder("\n".join(lines) or text("house.no_buyer"), about="answer")
    return True
