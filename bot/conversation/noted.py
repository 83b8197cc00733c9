"""What comes of words that are read as a note: the same for a whole message and for what stands beside a step's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bot.conversation import (
    bare_figures,
    concerns,
    doubts,
    edits,
    newborn_watch,
    odds,
    photos,
    questions,
    red_words,
    remarks,
    sitting,
    worries,
)
from bot.conversation.hearing import Hearing
from bot.conversation.keeping import keep, of_only_dog
from bot.conversation.sifted import of_another, sift
from core.entries import Entry, Reading, Sign
from core.messages import Message, Say


@dataclass(frozen=True, slots=True)
class Noted:
    """What came of it.

    Attributes:
        reading: what was read. whole: true where something was read and every item of it is stored and clear.
        worried: true where a buyer's worry was answered.
    """

    reading: Reading
    whole: bool = False
    worried: bool = False


def note(
    said: str, before: Sequence[Message], hearing: Hearing, beside: bool = False, made: tuple[Entry, ...] = ()
) -> Noted:
    """Read the words, keep what they tell, and say what is to be said about it.

    Args:
        beside: true for what stands beside words that a step has seen to: nothing comes of it where nothing is read,
            and a question is left where that step has answered already.
        made: of an edit, what a step has made of the rest of the message.
    """
    read = of_only_dog(hearing.read(said, hearing.person.name, hearing.at, hearing.kennel, before), hearing)
    told = odds.added(read, hearing)
    told = told if beside else concerns.added(told, hearing)  # beside a step's part `concerns.tell` sees to it
    reading = photos.added(sift(told, hearing), hearing)
    if beside and not read and not reading and not hearing.message.edit:
        return Noted(reading)
    reading, other_unit, held = bare_figures.split(reading, hearing)
    answered = beside and any(isinstance(o, Say) and o.room == hearing.message.room for o in hearing.out)
    edit = bool(hearing.message.edit)
    if edit:
        entries = (*made, *reading.entries)
        whole = edits.apply(entries, hearing) and bool(entries)
    else:
        red_words.of_notes(reading.entries, hearing)
        whole = keep(reading, hearing)
    newborn_watch.look(hearing)
    if hearing.only_keep:
        return Noted(reading)
    if reading.doubts:
        doubts.ask(reading.doubts, hearing, whole=not reading.entries and not beside)
        whole = False
    if odds.ask(reading, hearing) or bare_figures.ask(other_unit, held, hearing):
        whole = False
    signed = any(isinstance(e, Sign) for e in reading.entries)
    worried = (signed or not answered) and worries.answer(reading, hearing)
    if reading.questions and not edit and not worried and not answered:
        questions.answer(reading.questions, hearing)
    worries.pass_on(reading, hearing, of_another(read, hearing))
    photos.pass_on(hearing)
    remarks.make(hearing)
    odds.tell(hearing)
    concerns.tell(reading.entries, hearing)
    sitting.pass_on(hearing)
    return Noted(reading, whole, worried)
