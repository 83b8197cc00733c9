"""Words to Fettle itself: why, what did you write, help, quiet."""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.conversation import record, undoing
from bot.conversation.about import dogs_named, found
from bot.conversation.heard import means, plain
from bot.conversation.hearing import Hearing
from bot.replies import changed, say_units
from bot.replies.answers import Asker
from core.entries import Weight
from core.roster import BREEDER, FAMILY
from core.turns import Memory
from shared.texts import text

WHY_FOR = timedelta(minutes=30)  # "why?" later than this is talk between people


def answer(hearing: Hearing) -> bool:
    """True where the message was a word to Fettle itself, now answered."""
    said = hearing.message.text
    if means("why", said):
        return _why(hearing)
    if means("wrote", said):
        undoing.wrote(hearing)
        return True
    if means("help", said):
        hearing.say(_help(hearing))
        return True
    if hearing.message.room != FAMILY and (who := found("who_are_you", hearing)) is not None:
        hearing.took(who)
        breeder = hearing.kennel.breeder.name if hearing.kennel.breeder else text("urgent.the_breeder")
        name = "help.who_i_am_buyer" if hearing.person.role == "buyer" else "help.who_i_am"
        hearing.say(text(name, breeder=breeder))
        return True
    dose = found("dose", hearing)
    if dose is not None:
        hearing.took(dose)
        hearing.say(_no_dose(hearing))
        return True
    changed_asked = found("what_changed", hearing) if hearing.is_breeder else None
    if changed_asked is not None:
        hearing.took(changed_asked)
        _changed(hearing)
        return True
    if hearing.is_breeder and means("quiet", said):
        until = _morning(hearing)
        for room in (FAMILY, BREEDER):
            hearing.keep(room, quiet_until=until.isoformat())
        hearing.mark()
        return True
    if hearing.is_breeder and means("loud", said):
        for room in (FAMILY, BREEDER):
            hearing.keep(room, quiet_until=None)
        hearing.mark()
        return True
    return False


def _changed(hearing: Hearing) -> None:
    """What moved since last week: in her own line, as it names everybody's gaps."""
    if record.changed_since(hearing):
        return
    asker = Asker(person=hearing.person, room=BREEDER, kennel=hearing.kennel, ledger=hearing.ledger, at=hearing.at)
    told, why = changed.answer(asker, tuple(d for d in dogs_named(hearing.message.text, hearing) if not d.home))
    hearing.say(told)
    hearing.because(why)


def quiet_until(memory: Memory | None) -> datetime | None:
    """Until when the breeder wants nothing but emergencies in that room; None where she asked for no quiet."""
    told = memory.facts.get("quiet_until") if memory else None
    return datetime.fromisoformat(told) if told else None


def _why(hearing: Hearing) -> bool:
    mind = hearing.mind()
    when = mind.facts.get("why_at")
    if not mind.why or not when or hearing.at - datetime.fromisoformat(when) > WHY_FOR:
        return False
    hearing.say(mind.why)
    return True


def _no_dose(hearing: Hearing) -> str:
    """No amounts from here; the newest weight, which the vet will ask for, where one dog is named."""
    words = set(plain(hearing.message.text).split())
    dogs = [d for d in hearing.kennel.living() if words & {n.casefold() for n in (d.name, *d.also)}]
    weight = hearing.ledger.last(dogs[0].name, Weight) if len(dogs) == 1 else None
    if weight is None or not isinstance(weight.entry, Weight):
        return text("answers.no_dose_bare")
    shown = say_units.weight(weight.entry.kg, hearing.unit, dogs[0].is_newborn(weight.entry.on))
    day = say_units.on_day(weight.entry.on, hearing.on, hearing.kennel)
    return text("answers.no_dose", dog=dogs[0].name, weight=shown, day=day)


def _morning(hearing: Hearing) -> datetime:
    """The next end of the quiet hours: a wall-clock time in the kennel's zone."""
    kennel = hearing.scene.kennel
    local = kennel.local(hearing.at)
    end = local.replace(hour=kennel.quiet_to.hour, minute=kennel.quiet_to.minute, second=0, microsecond=0)
    return end if end > local else end + timedelta(days=1)


def _help(hearing: Hearing) -> str:
    """Three examples that fit what this person may do, with a dog that they know."""
    kennel, on = hearing.kennel, hearing.on
    own = [d for d in kennel.living() if d.is_pup(on) and not d.is_newborn(on)] or list(kennel.living())
    if not own:
        return text("help.no_dogs")
    dog = own[0].name
    role = hearing.person.role
    name = role if role in ("breeder", "buyer", "sitter", "mentor") else "family"
    shown = say_units.weight(own[0].last_weight.kg if own[0].last_weight else 9.4, hearing.unit)
    return text(f"help.{name}", dog=dog, weight=shown)
