"""A reminder set before is dropped, moved, taken back or told: "cancel the one about Ana", "make it 7"."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from bot.conversation import once, when_said
from bot.conversation.heard import patterns, phrases, plain
from bot.conversation.hearing import Hearing
from bot.enrolment import as_figures
from core.roster import BREEDER
from core.times import instant
from shared.texts import text

JUST_SET = timedelta(minutes=30)  # "make it 7" is about a reminder set no longer ago
BACK = timedelta(hours=12)  # an undo reaches no further back


def answer(words: str, hearing: Hearing) -> bool:
    """True where these words dropped or moved a reminder."""
    said = as_figures(" ".join(words.split()))
    return "?" not in said and (_dropped(said, hearing) or _moved(said, hearing))


def last_set(hearing: Hearing) -> Mapping[str, Any] | None:
    """The reminder that the sender set last in this room, not longer ago than an undo reaches; None for none."""
    own = [
        t
        for t in once.kept(hearing)
        if (made := t.get("set"))
        and made["by"] == hearing.person.name
        and made["room"] == hearing.message.room
        and hearing.at - datetime.fromisoformat(made["at"]) <= BACK
    ]
    return max(own, key=lambda t: str(t["set"]["at"]), default=None)


def _dropped(said: str, hearing: Hearing) -> bool:
    match = next((m for p in patterns("remind_drop") if (m := p.match(said))), None)
    last = any(p.match(said) for p in patterns("remind_drop_last"))
    told = _about(match["what"], hearing) if match else _just_set(hearing) if last else None
    if told is None:
        return False
    once.forget(hearing, [told["key"]])
    once.remember(hearing, None, told)
    hearing.say(text("reminders.dropped", what=told["what"]))
    return True


def _moved(said: str, hearing: Hearing) -> bool:
    match = next((m for p in patterns("remind_move") if (m := p.match(said))), None)
    if match is None:
        return False
    what = match.groupdict().get("what")
    told = _about(what, hearing) if what else _just_set(hearing)
    if told is None:
        return False
    to = match["when"]
    when, left = when_said.taken(f"at {to}" if to[:1].isdigit() else to, hearing)
    at = _moved_to(when, told, hearing)
    if at is None or once.errand(left) or at <= hearing.at:
        return False
    new = {
        **told, "at": at.isoformat(), "key": f"{hearing.message.room}:{hearing.message.key}",
        "set": {"at": hearing.at.isoformat(), "by": hearing.person.name, "room": hearing.message.room},
    }  # fmt: skip
    once.forget(hearing, [told["key"]])
    once.put(hearing, new)
    once.remember(hearing, new, told)
    hearing.mark()
    if hearing.message.room == BREEDER:
        hearing.say(once.shown(new, hearing))
    return True


def _moved_to(when: when_said.WhenSaid, told: Mapping[str, Any], hearing: Hearing) -> datetime | None:
    """The new moment: what is not said of it stays as it was, and a bare hour is the one nearest to the old."""
    old, kennel = datetime.fromisoformat(told["at"]), hearing.kennel
    if when.says_nothing:
        return None
    if when.after is not None:
        return hearing.at + when.after
    on = when.on or kennel.day_of(old)
    if when.clock is None and not when.part:
        return instant(on, kennel.local(old).time().replace(second=0, microsecond=0), kennel.tz)
    near = instant(on, kennel.local(old).time(), kennel.tz)
    found = [instant(on, clock, kennel.tz) for clock in when_said.clocks(when)]
    if told.get("every"):
        return min(found, key=lambda at: abs(at - near)) if on == kennel.day_of(old) else None
    ahead = [at for at in found if at > hearing.at]
    if not ahead and when.on is None:
        return when_said.moment(replace(when, on=None), hearing)
    awake = [at for at in ahead if when.sure or not when_said.is_quiet(at, kennel)]
    return min(awake or ahead, key=lambda at: abs(at - near), default=None)


def _about(what: str, hearing: Hearing) -> Mapping[str, Any] | None:
    """The one reminder that has all these words; one's own before another's."""
    wanted = _words(what)
    found = [t for t in once.kept(hearing) if wanted and wanted <= _words(f"{t['what']} {t['who']}")]
    mine = [t for t in found if hearing.is_breeder or hearing.person.name in (t["who"], (t.get("set") or {}).get("by"))]
    return mine[0] if len(mine) == 1 else None


def _words(said: str) -> set[str]:
    words = {w.strip(".,!?'’").removesuffix("'s") for w in plain(said).split()}
    return words - set(phrases()["remind_small"]) - {""}


def _just_set(hearing: Hearing) -> Mapping[str, Any] | None:
    told = last_set(hearing)
    if told is None or hearing.at - datetime.fromisoformat(told["set"]["at"]) > JUST_SET:
        return None
    # A note written since is what "it" is about.
    since = datetime.fromisoformat(told["set"]["at"])
    own = (p for p in hearing.ledger if p.by == hearing.person.name and p.room == hearing.message.room)
    return None if any(p.at > since for p in own) else told


