"""Somebody who does not belong in the room: one polite line a day, no data; the breeder is told once."""

from __future__ import annotations

from core.messages import Message, Say
from core.roster import BREEDER, FAMILY
from core.turns import Scene, Turn
from shared.texts import text

LONGEST_NAME = 40


def answer(message: Message, scene: Scene) -> Turn:
    """What is said to somebody who is not enrolled in that room; nothing of theirs is kept."""
    day = scene.kennel.day_of(message.sent_at).isoformat()
    if message.room in (FAMILY, BREEDER):
        # In a room of the house nothing is answered; the breeder hears once that somebody unknown writes there.
        if scene.kennel.breeder is None or message.room == BREEDER:
            return Turn()
        who = " ".join(message.sender.split())[:LONGEST_NAME] or text("strangers.somebody")
        known = scene.kennel.person(message.sender)
        if known is not None:
            return Turn()
        told = Say(
            key=f"stranger:{message.sender}", room=BREEDER, text=text("strangers.writes_here", who=who), about="remark"
        )
        return Turn(out=(told,))
    if scene.kennel.person(message.room) is not None or scene.kennel.person(message.sender) is not None:
        return Turn()  # somebody else's private line, or one of ours in the wrong room
    line = Say(
        key=f"stranger:{message.room}:{day}", room=message.room, text=text("strangers.one_line"), about="stranger"
    )
    return Turn(out=(line,))
