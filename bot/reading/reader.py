"""The whole way from a message to its reading."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from bot.reading import amounts as _amounts
from bot.reading import breeding, care, clauses, dates, dogs, ears, feeding, questions, tokens, weights
from bot.reading.clauses import Clause
from bot.reading.context import Context, Request, asked, correct, named_in_answer, same_for
from bot.reading.work import Work
from core.entries import Doubt, Ears, Entry, Meal, Question, Reading
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
    return lines + work.notes


def _read(
    text: str, sender: str, sent_at: datetime, kennel: Kennel, before: Sequence[Message]
) -> tuple[Reading, Work | None]:
    work = _prepare(text, sent_at, kennel)
    if work is None:
        return Reading(), None
    context = Context(before, sender, sent_at, kennel, lambda m: _alone(m, kennel))
    request = None
    if before or len(kennel.living()) == 1:
        work.before_dogs = context.dogs
    if before:
        request = _answering(work, context)
    if before and request is None:
        last = context.earlier()[0] if context.earlier() else None
        work.after_other_talk = (
            last is not None and not last.entries and not any(c.named or c.newborns for c in last.work.clauses)
        )
    if request is not None:
        work.topic = request.topic
        if isinstance(request.entry, Meal):
            work.asked_meal = request.entry.meal
        _hand_over(work, request)
    found = questions.read(work)
    if any(q.about == "undo" for q in found):
        return Reading(questions=tuple(found)), work
    answer = _answer(work, request) if request is not None else None
    if answer is None:
        for reader in READERS:
            reader(work)
        entries = [e for e, _ in work.found]
    else:
        entries = answer
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
                work.doubts = [d for d in work.doubts if d.entry is not None and d.entry.replaces]
    entries, doubts = _settle(work, entries)
    return Reading(entries=tuple(entries), questions=tuple(found), doubts=tuple(doubts)), work


def _prepare(text: str, sent_at: datetime, kennel: Kennel) -> Work | None:
    words = tokens.cut(text)
    if not len(words):
        return None
    roster = dogs.roster_of(kennel)
    today = kennel.day_of(sent_at)
    dogs.mark(words, roster)
    dogs.slips(words, roster)
    found = _amounts.find(words)
    whens = dates.find(words, found, today, kennel.day_first)
    mentions = dogs.mentions(words, roster, today)
    cut = clauses.cut(words, roster, mentions, found, whens)
    if not cut:
        return None  # marks and joining words alone say nothing
    return Work(words, cut, roster, kennel, today)


def _alone(message: Message, kennel: Kennel) -> tuple[Work, tuple[Entry, ...]]:
    """An earlier message read by itself."""
    work = _prepare(message.text, message.sent_at, kennel)
    if work is None:
        empty = tokens.cut("")
        return Work(empty, [Clause(0, 0)], dogs.roster_of(kennel), kennel, kennel.day_of(message.sent_at)), ()
    for reader in READERS:
        reader(work)
    entries, _ = _settle(work, [e for e, _ in work.found])
    return work, tuple(entries)


# --- bare answers ---------------------------------------------------------------------------------------------


def _answering(work: Work, context: Context) -> Request | None:
    """What an earlier message asked, where this one is short enough to be its answer."""
    words = work.words
    if any(c.named for c in work.clauses) or any(c.ask for c in work.clauses):
        return None
    said = [w for w, k in zip(words.w, words.kind, strict=True) if k in "wnf"]
    if len(said) > 14:
        return None
    return asked(context)


def _hand_over(work: Work, request: Request) -> None:
    """Gives the dogs that were asked about to the clauses of the answer."""
    if len(request.dogs) == 1:
        for c in work.clauses:
            if not c.dogs and not (
                c.human and c.pronoun is None and request.topic not in ("weight", "ears", "task", "meal", "temperature")
            ):
                c.dogs, c.how = request.dogs, "carried"
    elif request.topic == "mating" and len(request.dogs) == 2:
        for c in work.clauses:
            if not c.dogs and c.saying:
                c.dogs, c.how = request.dogs, "carried"
    elif request.topic == "weight":
        work.topic = "weight?"


def _answer(work: Work, request: Request) -> list[Entry] | None:
    """'done', 'yep gave it her at 5' after "please do her nails" or "has Moss had her dinner yet?"."""
    words = work.words
    first = next((i for i in range(len(words)) if words.kind[i] == "w"), -1)
    if first < 0:
        return None
    tags = words.tags[first]
    if request.topic in ("task", "meal", "treat") and request.entry is not None and request.dogs:
        yes = "fix yes" in tags or any(w in ("✅", "👍", "✔", "☑") for w in words.w)
        if not yes or any(c.plan_at >= 0 or c.neg_at >= 0 for c in work.clauses):
            return None
        clock = dates.clock_in(words, 0, len(words), [a for c in work.clauses for a in c.amounts])
        entry = request.entry
        if isinstance(entry, Meal):
            given = next(
                (a for c in work.clauses for a in c.amounts if a.unit in _amounts.CUPS or a.unit in ("g", "can")), None
            )
            if given is not None:
                amount, unit = feeding.food_amount(given)
                entry = replace(entry, amount=amount, unit=unit)
        base = replace(entry, on=work.day(work.clauses[0]), said=words.text.strip(), clock=clock)
        return [replace(base, dog=d) for d in request.dogs]
    return None


# --- the last look --------------------------------------------------------------------------------------------


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


__all__ = ["Question", "explain", "read"]
