"""Who gives the treats: told to the breeder alone, in her own line, and never in the family room."""

from __future__ import annotations

from bot.conversation.about import dogs_named, took
from bot.conversation.hearing import Hearing
from bot.replies import treats


def answer(hearing: Hearing) -> bool:
    """True where it was asked; others than the breeder hear nothing of it."""
    if took("who_treats", hearing) is None:
        return False
    if not hearing.is_breeder:
        return hearing.person.role != "buyer"
    named = dogs_named(hearing.message.text, hearing)
    scene = hearing.scene
    told = treats.by_whom(named or scene.kennel.at_home(), scene.ledger, scene.kennel, hearing.on)
    hearing.tell_breeder(told, about="answer")
    return True
