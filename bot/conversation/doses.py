"""A second dose: stopped and asked about before it is kept, so that nobody gives it twice."""

from __future__ import annotations

from collections.abc import Sequence

from bot.conversation.doubts import ANSWERS, pack, unpack
from bot.conversation.heard import yes_or_no
from bot.conversation.hearing import Hearing
from bot.conversation.red_words import vet
from bot.replies import remarks
from core.care import given_already
from core.entries import Dose, Entry
from core.ledger import Posted
from core.messages import URGENT
from core.turns import Asked
from shared.texts import listed, text


def second(entries: Sequence[Entry], hearing: Hearing) -> dict[str, Posted]:
    """Dogs that would have this dose a second time too soon, each with the one in the book."""
    found: dict[str, Posted] = {}
    for entry in entries:
        if isinstance(entry, Dose) and not entry.replaces and entry.on == hearing.on:
            earlier = given_already(entry.dog, entry.dose, hearing.ledger, hearing.at, hearing.house)
            if earlier is not None and earlier.message != hearing.message.key:
                found[entry.dog] = earlier
    return found


def ask(entries: Sequence[Entry], already: dict[str, Posted], hearing: Hearing) -> None:
    """Say who gave it and when, and ask whether it was given again; the note waits for the answer."""
    held = [e for e in entries if isinstance(e, Dose) and e.dog in already]
    asked = remarks.given_twice(already, held[0].dose, hearing.kennel, hearing.on)
    choices = (text("doubts.yes"), text("doubts.no"))
    by = listed(list(dict.fromkeys(p.by for p in already.values())))
    hearing.ask("second dose", asked, choices, {"doses": [pack(e) for e in held], "by": by})


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    if meant is None:
        return False
    if not meant:
        hearing.mark()
        return True
    entries = [unpack(f) for f in asked.facts["doses"]]
    for entry in entries:
        hearing.post(entry)
    line = remarks.given_again(
        [e.dog for e in entries], entries[0], asked.facts["by"], vet(hearing.scene.kennel, hearing.at)
    )
    hearing.say(line, about="urgent", priority=URGENT)
    if not hearing.is_breeder:
        hearing.tell_breeder(line, about="urgent", priority=URGENT)
    return True


ANSWERS["second dose"] = _answered
