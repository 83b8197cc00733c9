"""The care tips for buyers: the breeder reads, words and lets them go; a buyer stops them with one word."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from bot.conversation.about import found
from bot.conversation.doubts import ANSWERS
from bot.conversation.heard import means, patterns, speaks_of
from bot.conversation.hearing import PRESSED_FOR, Hearing
from bot.replies import reminders
from bot.replies.tips import age, called, tip, tips
from core.agenda import TIP_AT, TIP_OF_AGE, due
from core.messages import DIGEST, TIP, Say
from core.roster import BREEDER, Dog, Kennel, OwnTip
from core.times import days_between, instant
from core.tips import Tip, of_ages
from core.turns import Asked, Memory
from shared.texts import text

MOST_WORDS = 60  # of one tip; a longer one is not read
STILL_OF_USE = timedelta(days=3)  # a tip that waited for the breeder's word
ASKED = "tips"  # the question whether they may go, among those that wait for an answer


def answer(hearing: Hearing) -> bool:
    """True where the message was about the tips."""
    if hearing.person.role == "buyer":
        return _buyers(hearing)
    return hearing.is_breeder and hearing.message.room == BREEDER and _breeders(hearing)


def let_go(kennel: Kennel, start: datetime, end: datetime) -> Iterator[Say]:
    """Once a month at most, while a tip would be of use and the breeder has not let them go: the question whether."""
    if kennel.tips_ok or kennel.breeder is None or any(t.key == "" for t in kennel.own_tips):
        return
    for on in days_between(start, end, kennel.tz):
        at = instant(on, TIP_AT, kennel.tz)
        ready = of_ages(kennel, tips(), on) if start < at <= end else ()
        if ready:
            who, dog, one = ready[0]
            asked = text("tip_talk.ask", who=who.name, dog=dog.name, said=tip(one.key, dog, kennel))
            yield Say(
                key=f"{ASKED}:{on:%Y-%m}", room=BREEDER, text=asked, about="doubt", priority=DIGEST, buttons=_buttons(),
                not_after=at + STILL_OF_USE,
            )


def in_mind(said: Sequence[Say], memory: Mapping[str, Memory], kennel: Kennel, at: datetime) -> dict[str, Memory]:
    """What is in mind once these went out: `let_go`'s question waits for its answer."""
    if kennel.breeder is None or not any(s.key.startswith(f"{ASKED}:") for s in said):
        return {}
    mind = memory.get(BREEDER) or Memory()
    open_ = tuple(a for a in mind.asked if a.about != ASKED and at - a.at <= PRESSED_FOR)
    asked = Asked(about=ASKED, person=kennel.breeder.name, at=at, choices=_buttons())
    return {BREEDER: replace(mind, asked=(*open_, asked))}


# A buyer

def _buyers(hearing: Hearing) -> bool:
    """Stopped or wanted again; what is said beside it may be of the pup's health, so it goes on its way."""
    among = found("tips_no_more", hearing) if found("tips_no_more_unless", hearing) is None else None
    whole = means("tips_stop", hearing.message.text)
    if not (whole or among) and not means("tips_again", hearing.message.text):
        return False
    stop = bool(whole or among)
    _wanted(hearing, not stop)
    hearing.say(text("tip_talk.stopped" if stop else "tip_talk.again"))
    hearing.tell_breeder(text("tip_talk.told_stop" if stop else "tip_talk.told_again", who=hearing.person.name))
    return among is None


def _wanted(hearing: Hearing, wanted: bool) -> None:
    people = tuple(replace(p, tips=wanted) if p.name == hearing.person.name else p for p in hearing.house.people)
    hearing.change(replace(hearing.house, people=people))


# The breeder

def _breeders(hearing: Hearing) -> bool:
    said = " ".join(hearing.message.text.split())
    if means("tips_send", said):
        return _send(hearing)
    if means("tips_never", said):
        return _never(hearing)
    if means("tips_hold", said):
        _set(hearing, False, _worded(hearing.house))
        hearing.mark()
        return True
    if means("tips_show", said):
        hearing.say(_all_shown(hearing.house))
        return True
    match = next((m for p in patterns("tip_words") if (m := p.match(said))), None)
    if match is not None and 1 <= int(match["n"]) <= len(tips()):
        return _reword(int(match["n"]), match, hearing)
    # A button works for a day, so a plain "yes" does too.
    open_ = next((a for a in hearing.mind().asked if a.about == ASKED and hearing.at - a.at <= PRESSED_FOR), None)
    return open_ is not None and _answered(hearing, open_, said)


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    """The answer to `let_go`: a button, or the same in a few plain words."""
    if said == text("tip_talk.show") or means("tips_show", said):
        hearing.ask(ASKED, _all_shown(hearing.house), asked.choices)
        return True
    if said == text("tip_talk.send") or means("tips_send", said) or speaks_of("tips_yes", said):
        return _send(hearing)
    if said == text("tip_talk.never") or means("tips_never", said) or speaks_of("tips_no", said):
        return _never(hearing)
    return False


def _buttons() -> tuple[str, ...]:
    return text("tip_talk.send"), text("tip_talk.show"), text("tip_talk.never")


def _never(hearing: Hearing) -> bool:
    _set(hearing, False, (*_worded(hearing.house), OwnTip(key="")))
    hearing.say(text("tip_talk.none_go"))
    return True


def _send(hearing: Hearing) -> bool:
    _set(hearing, True, _worded(hearing.house))
    hearing.mark()
    start = hearing.at - STILL_OF_USE
    book = hearing.scene.ledger
    for item in due(hearing.house, book, start, hearing.at, tips()):
        say = reminders.words(item, hearing.house, book, hearing.at) if item.kind == TIP_OF_AGE else None
        if say is not None:
            hearing.say(say.text, room=item.room, about="tip", priority=TIP, key=item.key)
    return True


def _reword(number: int, match: re.Match[str], hearing: Hearing) -> bool:
    one = tips()[number - 1]
    others = tuple(t for t in hearing.house.own_tips if t.key != one.key)
    if match.groupdict().get("drop"):
        _set(hearing, hearing.house.tips_ok, (*others, OwnTip(key=one.key)))
    elif match.groupdict().get("back"):
        _set(hearing, hearing.house.tips_ok, others)
    elif words := (match.groupdict().get("words") or "").strip():
        if len(words.split()) > MOST_WORDS:
            hearing.say(text("tip_talk.too_long", n=MOST_WORDS))
            return True
        _set(hearing, hearing.house.tips_ok, (*others, OwnTip(key=one.key, words=words)))
        hearing.mark()
        return True
    hearing.say(_shown(number, hearing.house))
    return True


def _set(hearing: Hearing, ok: bool, own: tuple[OwnTip, ...]) -> None:
    for asked in hearing.mind().asked:
        if asked.about == ASKED:
            hearing.settle(asked)
    hearing.change(replace(hearing.house, tips_ok=ok, own_tips=own))


def _worded(kennel: Kennel) -> tuple[OwnTip, ...]:
    return tuple(t for t in kennel.own_tips if t.key)


def _all_shown(kennel: Kennel) -> str:
    return "\n".join(_shown(n, kennel) for n in range(1, len(tips()) + 1))


def _shown(number: int, kennel: Kennel) -> str:
    """One tip as a buyer would read it, with its number and age."""
    one: Tip = tips()[number - 1]
    if kennel.own_tip(one.key) == "":
        return text("tip_talk.dropped", n=number, age=age(one))
    return text("tip_talk.line", n=number, age=age(one), said=tip(one.key, _anybody(one, kennel), kennel))


def _anybody(one: Tip, kennel: Kennel) -> Dog:
    """A buyer's dog for the words of a tip, or one of no name."""
    fitting = (d for d in kennel.living() if d.home and one.sex in ("", d.sex))
    own = next(fitting, None)
    if own is not None:
        return replace(own, name=called(own))
    return Dog(name=text("tip_talk.your_pup"), sex=one.sex, born=date.min)


ANSWERS[ASKED] = _answered
