"""What a helper would change and only the breeder may: they are told so, and she is asked."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bot.conversation.hearing import Hearing
from core.roster import BREEDER
from shared.texts import text


def put_to_breeder(hearing: Hearing, about: str, told: str, asked: str, facts: Mapping[str, Any]) -> bool:
    """Tell the helper whose it is to change, and ask the breeder; False where the kennel has no breeder yet.

    Args:
        about: the kind of question, under which its answer is found. told: the text for the helper, with {breeder}.
        asked: the question's words. facts: what its answer needs.
    """
    breeder = hearing.scene.kennel.breeder
    if breeder is None:
        return False
    hearing.say(text(told, breeder=breeder.name))
    choices = (text("doubts.yes"), text("doubts.no"))
    hearing.ask(about, asked, choices, dict(facts), room=BREEDER, person=breeder.name)
    return True
