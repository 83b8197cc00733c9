"""Whom the message before was about, told after it: "he was sick", then "nugget i mean"."""

from __future__ import annotations

import re
from datetime import timedelta

from bot.conversation import concerns, newborn_watch, remarks
from bot.conversation.about import only_named
from bot.conversation.hearing import Hearing
from bot.conversation.keeping import keep

AT_ONCE = timedelta(minutes=3)  # own choice; later a bare name is talk
_PRONOUN = re.compile(r"\b(?:he|she|it)(?:['’]?s)?\b|\b(?:him|her)\b", re.IGNORECASE)


def answer(hearing: Hearing) -> bool:
    """True where the message named the dog of the sender's own message just before, which gave nothing without it."""
    if hearing.message.edit or hearing.message.picture or hearing.person.role == "buyer":
        return False
    dogs = only_named(hearing, "i_mean")
    own = [m for m in hearing.scene.recent if m.sender == hearing.message.sender and not m.pressed]
    if len(dogs) != 1 or not own or hearing.at - own[-1].sent_at > AT_ONCE or own[-1].picture:
        return False
    before = own[-1]
    if hearing.ledger.of_message(hearing.message.room, before.key) or not _PRONOUN.search(before.text):
        return False
    said = _PRONOUN.sub(dogs[0].name, before.text, count=1)
    reading = hearing.read(said, hearing.person.name, before.sent_at, hearing.kennel, ())
    if not reading.entries or reading.doubts or {e.dog for e in reading.entries} != {dogs[0].name}:
        return False
    if keep(reading, hearing):
        hearing.mark()
    newborn_watch.look(hearing)
    remarks.make(hearing)
    concerns.tell(reading.entries, hearing)
    return True
