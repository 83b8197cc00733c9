"""A conversation small enough to foretell, for tests of the road that a message takes: not of what is understood.

    NAME N kg       an entry and a mark          how is NAME?    the newest weight, as a reply
    which?          a question with buttons      anything else   nothing
"""

from __future__ import annotations

import re

from core.entries import Weight
from core.messages import Mark, Message, Say
from core.roster import FAMILY
from core.turns import Post, Scene, Turn

_WEIGHT = re.compile(r"(\w+) (\d+(?:\.\d+)?) kg")


def hear(message: Message, scene: Scene) -> Turn:
    """What comes of the message."""
    mark = (Mark(room=message.room, message=message.key),)
    if message.text == "break":
        raise RuntimeError("broken on purpose")
    if message.pressed:
        return _say(message, f"You pressed {message.pressed}.")
    if found := _WEIGHT.fullmatch(message.text):
        name, kg = found[1], float(found[2])
        if scene.kennel.dog(name) is None:
            return Turn()
        entry = Weight(dog=name, on=scene.kennel.day_of(message.sent_at), kg=kg, said=message.text)
        given = scene.ledger.of_message(message.room, message.key)
        return Turn(posts=(Post(entry=entry, replaces=given[0].id if given else None),), out=mark)
    if message.edit and (given := scene.ledger.of_message(message.room, message.key)):
        return Turn(withdrawn=tuple(p.id for p in given))
    if found := re.fullmatch(r"how is (\w+)\?", message.text):
        last = scene.ledger.last(found[1], Weight)
        kg = f"{last.entry.kg:g} kg" if last and isinstance(last.entry, Weight) else "no weight yet"
        return _say(message, f"{found[1]}: {kg}.")
    if message.text == "which?":
        return _say(message, "Which dog?", "Nugget", "Juniper")
    if message.text.startswith("/start"):
        return _say(message, "Welcome. What is the kennel called?")
    if message.text == "tell all":
        return Turn(out=tuple(Say(key=f"{message.key} {n}", room=FAMILY, text=f"line {n}") for n in range(60)))
    return Turn()


def _say(message: Message, text: str, *buttons: str) -> Turn:
    key = f"answer {message.room} {message.key} {message.edit}"
    return Turn(out=(Say(key=key, room=message.room, text=text, buttons=buttons, reply_to=message.key),))
