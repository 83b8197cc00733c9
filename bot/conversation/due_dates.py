"""When does she whelp? The due date by the best evidence in the book."""

from __future__ import annotations

from bot.conversation.about import dog_meant, found
from bot.conversation.hearing import Hearing
from bot.replies import bitches
from core import breeding
from shared.texts import text


def answer(hearing: Hearing) -> bool:
    """True where it was asked when a bitch whelps."""
    asked = found("whelps", hearing) if hearing.person.role != "buyer" else None
    dog = dog_meant(hearing) if asked else None
    if asked is None or dog is None or dog.sex == "m":
        return False
    hearing.took(asked)
    status = breeding.status(dog, hearing.book(), hearing.house, hearing.on)
    said = bitches.stands(status, hearing.kennel, hearing.on) if status.due else ""
    hearing.say(said or text("bitches.not_mated", dog=dog.name))
    hearing.because(bitches.why(status, hearing.kennel, hearing.on))
    return True
