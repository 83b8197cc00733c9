"""Which earlier entry a correction takes the place of."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from bot.conversation.about import dogs_named
from bot.conversation.heard import speaks_of
from bot.conversation.hearing import Hearing
from core.entries import Ears, Entry, Height, Weight, as_fields
from core.ledger import Ledger, Posted

ONE_A_DAY = (Weight, Ears, Height)  # a dog has one of these a day: two of them clash
BACK = timedelta(days=7)  # no correction without a reply reaches further back than a week


def said_the_same(one: Entry, two: Entry) -> bool:
    """True where both say the same, whoever the dog and whatever the day and the words."""
    return one.kind == two.kind and _value(one) == _value(two)


def same(one: Entry, two: Entry) -> bool:
    """True where both say the same of the same dog on the same day."""
    return said_the_same(one, two) and (one.dog, one.on) == (two.dog, two.on)


def target(entry: Entry, hearing: Hearing, taken: frozenset[int] = frozenset(), moves: bool = False) -> Posted | None:
    """The entry in the book that this correction replaces, None where there is none to replace.

    Looked for in the message replied to, then in what the sender said last in this room, then in the dog's newest
    entry of that kind. Where the same value stands under another dog and this dog has none there, the dog is what
    was wrong ("meant Juniper"); otherwise the value is. `moves`: the words name a dog and no value.
    """
    candidates = [
        p
        for p in sorted(hearing.ledger, key=lambda p: (p.at, p.id), reverse=True)
        if p.entry.kind == entry.kind and p.id not in taken and hearing.at - p.at <= BACK
    ]
    here = [p for p in candidates if p.room == hearing.message.room]
    for group in (_replied_to(hearing, here), _last_said(hearing, here)):
        found = _among(entry, group, moves)
        if found:
            return found
    return next((p for p in candidates if p.entry.dog == entry.dog), None)


def clash(entry: Entry, old: Posted, hearing: Hearing) -> Posted | None:
    """Where the dog is what is corrected: another value of that day that the right dog already has; else None."""
    if old.entry.dog == entry.dog or not isinstance(entry, ONE_A_DAY):
        return None
    return next(
        (
            p
            for p in reversed(hearing.ledger.of(entry.dog, type(entry), since=old.entry.on, until=old.entry.on))
            if not said_the_same(p.entry, entry)
        ),
        None,
    )


def with_older(found: Iterable[Posted], ledger: Ledger) -> tuple[int, ...]:
    """The numbers of these entries and of what the same messages said before an edit: taken back together, so that
    no earlier wording of the same message counts again."""
    gone = {p.id: p for p in found}
    for posted in reversed(ledger.history()):
        if posted.replaced_by in gone and not posted.withdrawn:
            later = gone[posted.replaced_by]
            if (later.room, later.message) == (posted.room, posted.message):
                gone[posted.id] = posted
    return tuple(sorted(gone))


def apply(entries: list[Entry], hearing: Hearing) -> list[tuple[Entry, Posted, Posted]]:
    """Post each correction in the place of what it corrects; a plain entry where nothing is found to correct.

    What gives a dog a second value of the day is not posted but handed back, each with the entry that it would
    move and the one that it clashes with: it is asked about first.
    """
    taken: set[int] = set()
    found = []
    moves = len(entries) == 1 and not speaks_of("value", hearing.message.text)
    day_alone = moves and not dogs_named(hearing.message.text, hearing)
    for entry in entries:
        old = _of_day_alone(entry, hearing) if day_alone else None
        if old is not None:
            entry = replace(entry, dog=old.entry.dog)  # "and it was yesterday" moves what stands now, not what stood
        else:
            old = target(entry, hearing, frozenset(taken), moves)
        if old is None:
            hearing.post(replace(entry, replaces=False))
            continue
        taken.add(old.id)
        found.append((entry, old))
    moved = {old.id for _, old in found}
    clashes = []
    for entry, old in found:
        other = clash(entry, old, hearing)
        if other is not None and other.id not in moved:  # two that are swapped do not clash
            clashes.append((entry, old, other))
        else:
            hearing.post(entry, replaces=old.id)
    return clashes


def _of_day_alone(entry: Entry, hearing: Hearing) -> Posted | None:
    """What the sender said last in this room, where the correction says the same of it on another day."""
    here = [
        p for p in sorted(hearing.ledger, key=lambda p: (p.at, p.id), reverse=True)
        if p.room == hearing.message.room and p.entry.kind == entry.kind and hearing.at - p.at <= BACK
    ]  # fmt: skip
    same_value = [p for p in _last_said(hearing, here) if said_the_same(p.entry, entry) and p.entry.on != entry.on]
    return same_value[0] if len(same_value) == 1 else None


def _value(entry: Entry) -> dict[str, object]:
    return {k: v for k, v in as_fields(entry).items() if k not in ("dog", "on", "replaces", "said", "clock")}


def _replied_to(hearing: Hearing, here: list[Posted]) -> list[Posted]:
    return [p for p in here if hearing.message.reply_to and p.message == hearing.message.reply_to]


def _last_said(hearing: Hearing, here: list[Posted]) -> list[Posted]:
    own = [p for p in here if p.by == hearing.person.name]
    return [p for p in own if p.message == own[0].message] if own else []


def _among(entry: Entry, group: list[Posted], moves: bool) -> Posted | None:
    own = [p for p in group if p.entry.dog == entry.dog]
    others = [p for p in group if p.entry.dog != entry.dog and said_the_same(p.entry, entry)]
    if others and moves:
        return others[0]
    if others and not any(not said_the_same(p.entry, entry) for p in own):
        return others[0]
    if own:
        return own[0]
    return others[0] if others else None
