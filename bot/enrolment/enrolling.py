"""The one door of the set-up: a message of the breeder's in her own line, taken or left to the conversation."""

from __future__ import annotations

from bot.enrolment import changes, setup
from bot.enrolment.asking import Asking
from bot.enrolment.heard import means
from core import urgent
from core.messages import Message
from core.roster import BREEDER
from core.turns import Scene, Turn


def enrol(message: Message, scene: Scene) -> Turn | None:
    """What comes of a message that sets the kennel up or changes it; None for everything else.

    Only the breeder's own words in her own line; red words and questions are never an answer to a question of ours.
    """
    person = scene.kennel.person(message.sender)
    if message.room != BREEDER or person is None or person.role != "breeder" or message.edit or message.quoted:
        return None
    asking = Asking.of(message, scene)
    if asking.said and urgent.alarm(asking.said, scene.kennel, asking.today) is not None:
        return None
    if not _take(asking):
        return None
    return asking.turn()


def _take(asking: Asking) -> bool:
    if asking.message.pressed and asking.facts is None:
        return False
    if asking.facts is not None and means("start", asking.said):
        setup.go_on(asking)
        return True
    if (not asking.kennel.name and asking.facts is None) or means("start", asking.said):
        setup.begin(asking)
        return True
    if asking.said.endswith("?"):
        return False
    if asking.facts is not None:
        # A button of another question of ours is no answer to this one.
        mine = not asking.message.pressed or setup.is_own_button(asking.message.pressed)
        if not asking.message.pressed and changes.beside_setup(asking):
            setup.go_on(asking)
            return True
        return mine and bool(asking.said) and setup.answer(asking)
    return bool(asking.said) and changes.change(asking)
