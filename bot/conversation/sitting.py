"""What a sitter sees on a dog reaches the breeder at once: nobody else of the house is there to see it."""

from __future__ import annotations

from bot.conversation.hearing import Hearing
from core.entries import Sign
from core.messages import URGENT, Say
from core.roster import BREEDER
from shared.texts import text

QUOTE = 200  # letters of what was said that the breeder is shown


def pass_on(hearing: Hearing) -> None:
    """Tell the breeder of a sign that the sitter wrote, where she has heard nothing of the message yet."""
    if hearing.person.role != "sitter" or hearing.message.edit or hearing.only_keep:
        return
    signs = any(isinstance(p.entry, Sign) and p.replaces is None for p in hearing.posts)
    if signs and not any(isinstance(o, Say) and o.room == BREEDER for o in hearing.out):
        quote = " ".join(hearing.message.text.split())[:QUOTE]
        hearing.tell_breeder(text("away.sitter_says", who=hearing.person.name, said=quote), priority=URGENT)
