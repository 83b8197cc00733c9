"""What a message holds besides the part that was an aside, a plea or an order: it is kept all the same."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.conversation import concerns, doubts, newborn_watch, questions, red_words, remarks
from bot.conversation.hearing import Hearing
from bot.conversation.keeping import keep, of_only_dog
from core.entries import Meal, Photo, Sign
from core.messages import Mark, Say
from shared.texts import text

_CUT = re.compile(r"[,;:!?\n]+|(?<!\d)\.|\.(?!\d)|\band\b|&", re.IGNORECASE)  # where one thing said ends


def of_message(hearing: Hearing) -> None:
    """Read and keep what stands beside the words that were taken; no mark where any of it is left in doubt."""
    taken, left = _parted(hearing)
    if not any(ch.isalnum() for ch in left):
        return
    said = [o for o in hearing.out if isinstance(o, Say) and o.room == hearing.message.room]
    asked = any(o.about == "doubt" for o in said)
    before = (*hearing.scene.recent, replace(hearing.message, text=taken))
    reading = hearing.read(left, hearing.person.name, hearing.at, hearing.kennel, before)
    reading = of_only_dog(reading, hearing)
    if not reading:
        return
    red_words.of_notes(reading.entries, hearing)
    whole = keep(reading, hearing)
    newborn_watch.look(hearing)
    if hearing.only_keep:
        return
    remarks.make(hearing)
    concerns.tell(reading.entries, hearing)
    if reading.doubts:
        whole = False
        doubts.ask(reading.doubts, hearing, whole=False)
    if reading.questions and not said:
        questions.answer(reading.questions, hearing)
    if reading.doubts or (reading.entries and not whole) or asked:
        hearing.out = [o for o in hearing.out if not isinstance(o, Mark)]
    elif whole:
        acknowledge(hearing)


def acknowledge(hearing: Hearing, worried: bool = False) -> None:
    """Say that everything was written down: a mark, or in a buyer's own line a word with whatever else is said.

    To somebody who is `worried` the answer comes first, and signs or bowls left alone are not thanked for.
    """
    if hearing.person.role != "buyer":
        hearing.mark()
    elif not worried:
        only_photo = all(isinstance(p.entry, Photo) for p in hearing.posts)
        hearing.say_with(text("buyers.photo" if only_photo and hearing.posts else "buyers.noted"))
    elif any(not isinstance(p.entry, Sign | Meal | Photo) for p in hearing.posts):
        hearing.say_with(text("buyers.noted_too"), after=True)


def _parted(hearing: Hearing) -> tuple[str, str]:
    """The words that were taken, out to where their clauses end, and the words that are left."""
    said = hearing.message.text
    cuts = [m.span() for m in _CUT.finditer(said)]
    if not hearing.taken:
        return said, ""
    first, last = min(a for a, _ in hearing.taken), max(b for _, b in hearing.taken)
    last = first + len(said[first:last].rstrip(" ,;:.!?\n"))
    start = max((b for _, b in cuts if b <= first), default=0)
    end = min((a for a, _ in cuts if a >= last), default=len(said))
    return said[start:end], f"{said[:start].rstrip(' ,;:&')}. {said[end:].lstrip(' ,;:&.!?')}".strip(" .")
