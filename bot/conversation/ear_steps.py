"""Ears that do not hold: "too heavy for his ears?", "which step are we on?", "how long have we got?"."""

from __future__ import annotations

from bot.conversation import questions
from bot.conversation.about import dog_meant, found
from bot.conversation.hearing import Hearing
from core.entries import Question


def answer(hearing: Hearing) -> bool:
    """True where the breeder asked where a dog stands in the order of steps; the ears answer then tells."""
    asked = found("ear_steps", hearing) if hearing.is_breeder else None
    dog = dog_meant(hearing) if asked else None
    if asked is None or dog is None or not dog.ear_watch:
        return False
    hearing.took(asked)
    questions.answer((Question(about="ears", dog=dog.name),), hearing)
    return True
