"""A question or an order of the breeder's, in her own line, to which nothing came: it is never left in silence.

A sitter's question in their line is sent on to the breeder's person; talk gets no answer.
"""

from __future__ import annotations

from bot.conversation.heard import LONGEST, patterns, phrases, plain
from bot.conversation.hearing import Hearing
from core.roster import BREEDER
from shared.texts import text

SHORT_ORDER = 14  # words; a longer one that begins like an order tells a story


def answer(hearing: Hearing) -> None:
    """Say once that it was not understood, where nothing else came of the message."""
    message = hearing.message
    if hearing.out or hearing.posts or hearing.withdrawn or hearing.changed or hearing.memory:
        return
    if hearing.only_keep or message.edit or message.quoted or message.pressed or not message.text:
        return
    if hearing.is_breeder and message.room == BREEDER:
        if _asks(message.text) or _orders(message.text):
            hearing.say(text("overview.unheard"))
    elif hearing.person.role == "sitter" and message.room == hearing.person.name and _asks(message.text):
        breeder = hearing.scene.kennel.breeder
        if breeder is not None:
            hearing.say(text("overview.unheard_sitter", breeder=breeder.name))


def _asks(said: str) -> bool:
    """True for a question: by its mark, or by its first word where it is not cried out."""
    if "?" in said:
        return True
    if len(said) > LONGEST or said.rstrip().endswith("!"):
        return False
    low = plain(said)
    if any(p.search(low) for p in patterns("record.no_question")):
        return False
    return low.split(" ")[0].replace("'", "") in phrases()["record"]["opens"] and " " in low


def _orders(said: str) -> bool:
    """True for an order: a short message that begins with what is to be done, or names a change of the house."""
    words = plain(said).split(" ")
    if len(words) > SHORT_ORDER:
        return False
    low = plain(said)
    return (words[0] in phrases()["record"]["orders"] and len(words) > 1) or any(
        p.search(low) for p in patterns("record.house_orders")
    )
