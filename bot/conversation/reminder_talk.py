"""Reminders set and changed where the family writes: "remind Tom to brush Moss every Saturday", "no nail reminders".

The breeder's own words count at once; a helper may set a reminder for themselves, and asks the breeder for the rest.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from bot.conversation import once, once_changes, parts
from bot.conversation.doubts import ANSWERS
from bot.conversation.heard import yes_or_no
from bot.conversation.hearing import Hearing
from bot.conversation.wishes import put_to_breeder
from bot.enrolment import Asking, own_ways, rota_change
from core.roster import BREEDER, Kennel
from core.turns import Asked
from core.undoable import difference
from shared.texts import listed, text

# Where a wish to be reminded begins: with the message, or with a clause of it.
_WISH = re.compile(
    r"(?:^|[.,;:!?\n–-]\s*|\b(?:and|also|then|so|but)\s+)(?P<wish>(?:(?:please|pls|can\s+you|could\s+you|fettle),?\s+)*"
    r"remind\b)",
    re.IGNORECASE,
)
_COMMA = re.compile(r"[,;](?!\d)|\s[–-]\s")

HELPERS = ("partner", "family", "gran", "breeder")


def answer(hearing: Hearing) -> bool:
    """True where the message set, moved or stopped a reminder, or said how its sender weighs or reads the clock."""
    said = hearing.message.text
    if hearing.message.pressed or not said:
        return False
    heard = _heard if hearing.person.role in HELPERS else once.answer
    span = next((s for s in _spans(said, hearing) if heard(said[s[0] : s[1]], hearing)), None)
    if span is not None:
        hearing.took_exactly(span)
    return span is not None


def edited(hearing: Hearing) -> bool:
    """True where an edited message asks for reminders of one moment; those that it asked for before are dropped."""
    said = hearing.message.text
    if hearing.message.pressed or hearing.person.role not in HELPERS:
        return False
    gone = once.drop(hearing)
    spans = _spans(said, hearing) if said else ()
    span = next((s for s in spans if _reminds(said[s[0] : s[1]], hearing)), None)
    if span is not None:
        hearing.took_exactly(span)
    elif gone:
        hearing.say(text("changes.taken_back", what=listed([text("reminders.once_named", what=w) for w in gone])))
    return span is not None


def _reminds(words: str, hearing: Hearing) -> bool:
    return once.answer(words, hearing) or once.standing(words, hearing)


def _spans(said: str, hearing: Hearing) -> Iterator[parts.Span]:
    """Where a reminder or a change of the rota may stand: beside a note first, then in the whole message."""
    wish = _WISH.search(said)
    first = wish.start("wish") if wish else 0
    near = [(a, b) for a, b in parts.sentences(said) if b > first]
    near = [(max(a, first), b) for a, b in (near[:1] if wish else near)]
    commas = [(a, a + m.start()) for a, b in near for m in _COMMA.finditer(said[a:b])]
    tried = (*commas[: parts.MOST], *near[: parts.MOST])
    beside = [s for s in tried if s != (0, len(said)) and _stands_alone(said, s, hearing)]
    yield from beside
    if not (wish and beside):  # a wish without its time takes no note into its words
        yield first, len(said)
        yield from near


def _stands_alone(said: str, span: parts.Span, hearing: Hearing) -> bool:
    """True where the part can be one, and what stands beside it is a note, another wish or a change by itself."""
    part, left = said[span[0] : span[1]], parts.without(said, span)
    if not left or not (_WISH.match(part) or rota_change(_asking(part, hearing)) or own_ways(_asking(part, hearing))):
        return False
    return parts.reads(said, span, hearing) or _WISH.search(left) is not None or rota_change(_asking(left, hearing))


def is_wish(hearing: Hearing) -> bool:
    """True where the message holds a wish to be reminded, whatever was made of it."""
    return hearing.person.role in HELPERS and _WISH.search(hearing.message.text) is not None


def _asking(said: str, hearing: Hearing) -> Asking:
    return Asking.of(replace(hearing.message, text=said), replace(hearing.scene, kennel=hearing.house))


def _heard(said: str, hearing: Hearing) -> bool:
    """True where these words of the message set, moved or stopped a reminder, or told its sender's own ways."""
    if once_changes.answer(said, hearing) or once.answer(said, hearing):
        return True
    asking = _asking(said, hearing)
    if own_ways(asking):
        if asking.kennel != hearing.house:
            hearing.change(asking.kennel)
        hearing.mark()
        return True
    if not rota_change(asking):
        return once.standing(said, hearing)
    told = " ".join(asking.told)
    if asking.kennel == hearing.house:
        if hearing.is_breeder:
            hearing.tell_breeder(told, about="answer")
        return True
    if not hearing.is_breeder and not _for_oneself(asking.kennel, hearing):
        return _ask(hearing, said, told)
    _set(hearing, asking.kennel, told)
    hearing.mark()
    if hearing.is_breeder:
        hearing.tell_breeder(told, about="answer")
    else:
        hearing.tell_breeder(text("reminders.set_by", who=hearing.person.name, said=told))
    return True


def _for_oneself(new: Kennel, hearing: Hearing) -> bool:
    """True where nothing but lines of the sender's own were added."""
    old = hearing.house.duties
    more = [d for d in new.duties if d not in old]
    return all(d in new.duties for d in old) and all(d.who == hearing.person.name for d in more)


def _set(hearing: Hearing, new: Kennel, said: str) -> None:
    at, old = hearing.at.isoformat(), hearing.scene.kennel
    before = hearing.mind(BREEDER).facts.get("changed") or {}
    if hearing.changed is not None and before.get("at") == at and "setup" in before:
        said = f"{before['said']} {said}"  # another change of the same message: taken back together
    told = {"at": at, "by": hearing.person.name, "setup": difference(old, new), "said": said}
    hearing.change(new)
    hearing.keep(BREEDER, changed=told)


def _ask(hearing: Hearing, words: str, said: str) -> bool:
    """A helper would change the rota: the breeder decides. Their words are kept, for the rota as it stands then."""
    facts = {"text": words, "by": hearing.person.name, "sent_at": hearing.at.isoformat(), "said": said}
    asked = text("reminders.ask_rota", who=hearing.person.name, said=said)
    return put_to_breeder(hearing, "rota", "reminders.only_breeder", asked, facts)


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
