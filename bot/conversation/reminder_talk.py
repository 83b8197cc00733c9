"""Reminders set and changed where the family writes: "remind Tom to brush Moss every Saturday", "no nail reminders".

The breeder's own words count at once; a helper may set a reminder for themselves, and asks the breeder for the rest.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from bot.conversation import once
from bot.conversation.doubts import ANSWERS
from bot.conversation.heard import yes_or_no
from bot.conversation.hearing import Hearing
from bot.enrolment import Asking, own_ways, rota_change
from core.roster import BREEDER, Kennel
from core.turns import Asked
from core.undoable import difference
from shared.texts import text

HELPERS = ("partner", "family", "gran", "breeder")


def answer(hearing: Hearing) -> bool:
    """True where the message set, moved or stopped a reminder, or said how its sender weighs or reads the clock."""
    if hearing.message.pressed or not hearing.message.text or hearing.person.role not in HELPERS:
        return False
    if once.answer(hearing):
        return True
    asking = Asking.of(hearing.message, hearing.scene)
    if own_ways(asking):
        if asking.kennel != hearing.scene.kennel:
            hearing.change(asking.kennel)
        hearing.mark()
        return True
    if not rota_change(asking):
        return False
    said = " ".join(asking.told)
    if asking.kennel == hearing.scene.kennel:
        if hearing.is_breeder:
            hearing.tell_breeder(said, about="answer")
        return True
    if not hearing.is_breeder and not _for_oneself(asking.kennel, hearing):
        return _ask(hearing, said)
    _set(hearing, asking.kennel, said)
    hearing.mark()
    if hearing.is_breeder:
        hearing.tell_breeder(said, about="answer")
    else:
        hearing.tell_breeder(text("reminders.set_by", who=hearing.person.name, said=said))
    return True


def _for_oneself(new: Kennel, hearing: Hearing) -> bool:
    """True where nothing but lines of the sender's own were added."""
    old = hearing.scene.kennel.duties
    more = [d for d in new.duties if d not in old]
    return all(d in new.duties for d in old) and all(d.who == hearing.person.name for d in more)


def _set(hearing: Hearing, new: Kennel, said: str) -> None:
    told = {
        "at": hearing.at.isoformat(), "by": hearing.person.name, "setup": difference(hearing.house, new), "said": said,
    }  # fmt: skip
    hearing.change(new)
    hearing.keep(BREEDER, changed=told)


def _ask(hearing: Hearing, said: str) -> bool:
    """A helper would change the rota: the breeder decides. Their words are kept, for the rota as it stands then."""
    breeder = hearing.scene.kennel.breeder
    if breeder is None:
        return False
    hearing.say(text("reminders.only_breeder", breeder=breeder.name))
    facts = {
        "text": hearing.message.text, "by": hearing.person.name, "sent_at": hearing.at.isoformat(), "said": said,
    }  # fmt: skip
    asked = text("reminders.ask_rota", who=hearing.person.name, said=said)
    choices = (text("doubts.yes"), text("doubts.no"))
    hearing.ask("rota", asked, choices, facts, room=BREEDER, person=breeder.name)
    return True


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    if meant is None or not hearing.is_breeder:
        return False
    if meant:
        asking = _of_now(hearing, asked)
        if not rota_change(asking):
            return False
        _set(hearing, asking.kennel, " ".join(asking.told))
        hearing.mark()
    else:
        hearing.say(text("reminders.rota_kept"))
    return True


def _of_now(hearing: Hearing, asked: Asked) -> Asking:
    """The helper's words to the rota of today: what was changed since they were said stays changed."""
    at = datetime.fromisoformat(asked.facts["sent_at"])
    message = replace(hearing.message, text=asked.facts["text"], pressed="", sender=asked.facts["by"], sent_at=at)
    return Asking.of(message, replace(hearing.scene, kennel=hearing.house))


ANSWERS["rota"] = _answered
