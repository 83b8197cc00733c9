"""Questions answered: the words, the picture, and the reasons kept for "why?"."""

from __future__ import annotations

from dataclasses import replace

from bot.conversation import orders, photos, undoing
from bot.conversation.doubts import ANSWERS, MOST_BUTTONS, dog_asked_for
from bot.conversation.heard import phrases, plain
from bot.conversation.hearing import Hearing
from bot.replies import answers, say_units
from core.entries import Question
from core.roster import BREEDER
from core.turns import Asked
from shared.texts import text

MOST = 4  # more questions than this in one message are not answered one by one


def answer(questions: tuple[Question, ...], hearing: Hearing) -> None:
    """Answer what was asked, in one message; the book and roster are those after what the message itself told."""
    if any(q.about == "undo" for q in questions):
        undoing.undo(hearing)
    asker = asker_of(hearing, hearing.message.text)
    asked = [q for q in dict.fromkeys(questions) if q.about != "undo"][:MOST]
    found = [a for q in asked if (a := _answer(q, asker, hearing))]
    if not found:
        return
    which = next((a for a in found if a.which is not None), None)
    if which is not None and len(found) == 1:
        choices = (which.which or ())[:MOST_BUTTONS]
        hearing.ask("which", which.text, choices, {"about": asked[0].about})
        return
    say(found, hearing)
    dog = hearing.kennel.dog(asked[0].dog) if len(asked) == 1 and asked[0].about == "ears" else None
    if dog is not None:
        photos.show(dog, hearing)


def _answer(question: Question, asker: answers.Asker, hearing: Hearing) -> answers.Answer | None:
    """The answer; a ration asked for a day ahead is the one that an order waiting for that day will have set."""
    on = orders.day_asked(hearing.message.text, hearing) if question.about == "ration" and question.dog else None
    ahead = orders.due(asker.kennel, hearing.mind(BREEDER), on) if on and on > hearing.on else None
    if ahead is None or on is None:
        return answers.answer(question, asker)
    told = answers.answer(question, replace(asker, kennel=ahead, at=asker.at + (on - hearing.on)))
    if told is None:
        return None
    day = say_units.day(on, hearing.on, hearing.kennel)
    return replace(told, text=text("answers.ration.ahead", said=told.text, day=day))


def say(found: list[answers.Answer], hearing: Hearing) -> None:
    """Say the answers in one message with the first picture of them, and keep their reasons."""
    if sum(bool(a.picture) for a in found) > 1:  # each picture under its own words
        for a in found:
            hearing.say(a.text, picture=a.picture)
    else:
        hearing.say("\n".join(a.text for a in found), picture=next((a.picture for a in found if a.picture), ""))
    hearing.because("\n".join(a.why for a in found if a.why))
    for a in found:
        if a.breeder:
            hearing.tell_breeder(a.breeder)


def asker_of(hearing: Hearing, said: str = "") -> answers.Asker:
    """The sender as one who asks; `said` names what is asked of things that are due."""
    low = plain(said)
    only = tuple(what for what, words in phrases()["due"].items() if any(w in low for w in words))
    return answers.Asker(
        person=hearing.person,
        room=hearing.message.room,
        kennel=hearing.kennel,
        ledger=hearing.book(),
        at=hearing.at,
        only=only,
    )


def _which_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    dog = dog_asked_for(hearing, asked, said)
    if dog is None:
        return False
    found = answers.answer(Question(about=asked.facts["about"], dog=dog.name), asker_of(hearing))
    if found is None:
        return False
    say([found], hearing)
    return True


ANSWERS["which"] = _which_answered
