"""Posting what was read: the sure entries at once, a second bowl or dose and a clash only when they are answered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from bot.conversation import clashes, corrections, doses, doubts, likely, meals
from bot.conversation.hearing import Hearing
from core.entries import Dose, Entry, Meal, Progesterone, Reading
from core.ledger import Posted


def keep(reading: Reading, hearing: Hearing) -> bool:
    """Post what was read; true where something was read and every item of it is stored and clear."""
    already = {} if hearing.only_keep else meals.second(reading.entries, hearing)
    given = {} if hearing.only_keep else doses.second(reading.entries, hearing)
    clash = corrections.apply([e for e in reading.entries if e.replaces], hearing)
    unitless = None
    for entry in reading.entries:
        if entry.replaces or _waits(entry, already, given):
            continue
        hearing.post(entry)
        if isinstance(entry, Progesterone) and entry.unit is None:
            unitless = entry
    # One question is asked now; the others wait for its answer.
    if clash and not hearing.only_keep:
        clashes.ask(*clash[0], hearing)
    if given:
        doses.ask(reading.entries, given, hearing)
    if already:
        meals.ask(reading.entries, already, hearing)
    if unitless and not hearing.only_keep:
        doubts.ask_unit(unitless, hearing)
    return bool(reading.entries) and not (clash or already or given or unitless)


def of_only_dog(reading: Reading, hearing: Hearing) -> Reading:
    """The reading where only one dog can be meant, so nothing is asked: the one that the sender knows, else the one
    that such a record can be of."""
    dogs = hearing.kennel.living()
    if len(dogs) != 1:
        return _of_one_that_fits(reading, hearing)
    if not (reading.doubts or reading.questions):
        return reading
    name = dogs[0].name
    found = [d for d in reading.doubts if d.about == "dog" and d.entry is not None]
    theirs = tuple(replace(d.entry, dog=name, said=d.entry.said or d.said) for d in found if d.entry is not None)
    return replace(
        reading,
        entries=(*reading.entries, *theirs),
        questions=tuple(replace(q, dog=q.dog or name) for q in reading.questions),
        doubts=tuple(d for d in reading.doubts if d not in found),
    )


def _of_one_that_fits(reading: Reading, hearing: Hearing) -> Reading:
    if hearing.person.role in ("buyer", "sitter") or hearing.message.quoted:
        return reading
    entries, left = list(reading.entries), []
    for doubt in reading.doubts:
        name = likely.only(doubt.entry, hearing) if doubt.about == "dog" and doubt.entry is not None else None
        if name is None or doubt.entry is None:
            left.append(doubt)
        else:
            entries.append(replace(doubt.entry, dog=name))
    return replace(reading, entries=tuple(entries), doubts=tuple(left))


def _waits(entry: Entry, already: Mapping[str, Posted], given: Mapping[str, Posted]) -> bool:
    """True for the bowl or dose that is asked about; how much of a bowl was eaten is kept at once."""
    if isinstance(entry, Meal):
        return entry.eaten is None and entry.dog in already
    return isinstance(entry, Dose) and entry.dog in given
