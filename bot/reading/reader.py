"""The whole way from a message to its reading."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from bot.reading import (
    also,
    amounts,
    breeding,
    care,
    clauses,
    dates,
    dogs,
    ears,
    feeding,
    no_day,
    questions,
    roster,
    tables,
    through,
    tokens,
    weights,
)
from bot.reading.answers import answer_to, besides, hand_over, named_in_answer, request_before, same_for
from bot.reading.clause import Clause
from bot.reading.context import Context, Earlier
from bot.reading.corrections import correct
from bot.reading.work import Work
from core.entries import Doubt, Ears, Entry, Meal, Reading
from core.messages import Message
from core.roster import Kennel

# Weights come last: a bare figure is a weight only where nothing else has a claim on it.
READERS = (care.read, ears.read, feeding.read, breeding.read, weights.read)


def read(text: str, sender: str, sent_at: datetime, kennel: Kennel, before: Sequence[Message] = ()) -> Reading:
    """What one message records, asks and leaves in doubt.

    Args:
        text: as it was written. sender: who wrote it. sent_at: when (aware).
        before: earlier messages of the same chat, oldest first; they may give the dog or what is corrected.
    """
    reading, _ = _read(text, sender, sent_at, kennel, before)
    return reading


def explain(text: str, sender: str, sent_at: datetime, kennel: Kennel, before: Sequence[Message] = ()) -> list[str]:
    """The reading with its reasons, one line each: the clauses, whom they are about, how they are meant."""
    reading, work = _read(text, sender, sent_at, kennel, before)
    lines: list[str] = []
    if work is None:
        return ["nothing here is about a dog, a record or a question"]
    for c in work.clauses:
        mood = [
            name for name in ("ask", "wish", "near", "quote", "joke", "human", "other", "elsewhere") if getattr(c, name)
        ]
        if c.neg_at >= 0:
            mood.append(f"denied from “{work.words.w[c.neg_at]}”")
        if c.plan_at >= 0:
            mood.append(f"planned from “{work.words.w[c.plan_at]}”")
        whom = ", ".join((*c.dogs, *c.newborns)) or "nobody"
        lines.append(f"“{work.said(c).strip()}”: {whom} ({c.how or 'no dog'}){'; ' + ', '.join(mood) if mood else ''}")
    for entry in reading.entries:
        lines.append(f"kept {entry.kind} of {entry.dog} on {entry.on}, from “{entry.said}”")
    for question in reading.questions:
        lines.append(f"asked about {question.about}{' of ' + question.dog if question.dog else ''}")
    for doubt in reading.doubts:
        lines.append(f"in doubt about the {doubt.about}, from “{doubt.said}”")
    return lines


def _read(
    text: str, sender: str, sent_at: datetime, kennel: Kennel, before: Sequence[Message]
) -> tuple[Reading, Work | None]:
    work = _prepare(text, sent_at, kennel)
    if work is None:
        return Reading(), None
    context = Context(before, sender, sent_at, kennel, lambda m: _alone(m, kennel), stranger=work.is_stranger)
    request = None
    if before or len(kennel.living()) == 1:
        work.before_dogs = context.dogs
    if before:
        request = request_before(work, context)
    if before and request is None:
        last = context.earlier()[0] if context.earlier() else None
        work.after_other_talk = (
            last is not None and not last.entries and not any(c.named or c.newborns for c in last.work.clauses)
        )
        if last is not None and _goes_on_about_ears(work, last, context):
            work.topic = "ears"
    if request is not None:
        work.topic = request.topic
        if isinstance(request.entry, Meal):
            work.asked_meal = request.entry.meal
        hand_over(work, request)
    found = questions.read(work)
    if any(q.about == "undo" for q in found):
        return Reading(questions=tuple(found)), work
    answer = answer_to(work, request) if request is not None else None
    if answer is None:
        for reader in READERS:
            reader(work)
        also.read(work)
        entries = [e for e, _ in work.found]
    else:
        entries = [*answer, *besides(work, answer)]
    if before:
        copied = same_for(work, context)
        named = named_in_answer(work, context) if not entries else None
        if named:
            entries, work.doubts = named, []
        elif copied and not entries:
            entries, work.doubts = copied, []
        else:
            fixed = correct(work, context, entries) if request is None or not entries else None
            if fixed is not None:
                entries = fixed
                asked = [] if fixed else [d for d in work.doubts if d.about == "dog"]
                work.doubts = [d for d in work.doubts if d.entry is not None and d.entry.replaces] + asked
    entries, doubts = _settle(work, entries)
    if entries and work.no_day:
        entries, doubts = [], [*doubts, Doubt(about="day", said=work.no_day)]
    return Reading(entries=tuple(entries), questions=tuple(found), doubts=tuple(doubts)), work


def _goes_on_about_ears(work: Work, last: Earlier, context: Context) -> bool:
    """'right still flat' after the same person's "Tank's ears: left up"."""
    ears_told = bool(last.entries) and all(isinstance(e, Ears) for e in last.entries)
    own = last.message.sender == context.sender
    sided = any("s left" in c.meanings or "s right" in c.meanings for c in work.clauses)
    return ears_told and own and sided and not any(c.named for c in work.clauses)


def _prepare(text: str, sent_at: datetime, kennel: Kennel) -> Work | None:
    names = roster.roster_of(kennel)
    words = tokens.cut(tables.unfold(text, names.called), names.known)
    if not len(words):
        return None
    today = kennel.day_of(sent_at)
    roster.mark(words, names)
    roster.slips(words, names)
    through.mark(words)
    found = amounts.find(words)
    whens = dates.find(words, found, today, kennel.day_first)
    missing = no_day.named(words, found, kennel.day_first)
    mentions = dogs.mentions(words, names, today)
    cut = clauses.cut(words, names, mentions, found, whens)
    if not cut:
        return None  # marks and joining words alone say nothing
    return Work(words, cut, names, kennel, today, no_day=missing)


def _alone(message: Message, kennel: Kennel) -> tuple[Work, tuple[Entry, ...]]:
    """An earlier message read by itself."""
    work = _prepare(message.text, message.sent_at, kennel)
    if work is None:
        empty = tokens.cut("")
        return Work(empty, [Clause(0, 0)], roster.roster_of(kennel), kennel, kennel.day_of(message.sent_at)), ()
    for reader in READERS:
        reader(work)
    entries, _ = _settle(work, [e for e, _ in work.found])
    return work, tuple(entries)


def _settle(work: Work, entries: list[Entry]) -> tuple[list[Entry], list[Doubt]]:
    """Takes out doubles, and entries dated after the message or before the dog was born."""
    kept: list[Entry] = []
    bares: list[Entry] = []
    for e in entries:
        dog = work.kennel.dog(e.dog)
        if dog is None or e.on > work.today or e.on < dog.born:
            continue
        if dog.gone and not e.replaces:
            continue
        bare = replace(e, said="", clock=None)
        if bare in bares and not isinstance(e, Meal):
            continue
        if isinstance(e, Ears) and any(isinstance(k, Ears) and k.dog == e.dog and k.on == e.on for k in kept):
            continue
        kept.append(e)
        bares.append(bare)
    return kept, work.doubts
