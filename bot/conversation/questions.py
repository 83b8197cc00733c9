"""Questions answered: the words, the picture, and the reasons kept for "why?"."""

from __future__ import annotations

from bot.conversation import undoing
from bot.conversation.hearing import Hearing
from bot.replies import answers
from core.entries import Question

MOST = 4  # more questions than this in one message are not answered one by one


def answer(questions: tuple[Question, ...], hearing: Hearing) -> None:
    """Answer what was asked, in one message; the book and roster are those after what the message itself told."""
    if any(q.about == "undo" for q in questions):
        undoing.undo(hearing)
    asker = answers.Asker(
        person=hearing.person, room=hearing.message.room, kennel=hearing.kennel, ledger=hearing.book(), at=hearing.at
    )
    found = [a for q in dict.fromkeys(questions[:MOST]) if q.about != "undo" and (a := answers.answer(q, asker))]
    if not found:
        return
    hearing.say("\n".join(a.text for a in found), picture=next((a.picture for a in found if a.picture), ""))
    hearing.because("\n".join(a.why for a in found if a.why))
    for a in found:
        if a.breeder:
            hearing.tell_breeder(a.breeder)
