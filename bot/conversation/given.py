"""What was last done: "has Moss had her wormer?", "when was Linnet last in season?", "who bathed Nugget?".

A wormer given twice can harm, so the question is answered from the book, with who wrote it and when.
"""

from __future__ import annotations

from datetime import date, timedelta

from bot.conversation.about import found
from bot.conversation.heard import phrases
from bot.conversation.hearing import Hearing
from bot.reading import tokens
from bot.reading.dogs import mark, mentions, roster_of
from bot.replies import given as words
from core import breeding
from core.entries import Dose, Entry, Groom, Season
from core.ledger import Posted
from core.roster import Dog

LATELY = timedelta(days=1)
# What the words of the question can mean: the tag that stands for it, and the entries that answer it.
SUBJECTS: dict[str, type[Entry]] = {"dose": Dose, "groom": Groom, "season": Season}


def answer(hearing: Hearing) -> bool:
    """True where the message asked what was last done to a dog, which is then told."""
    opened = found("given.asked", hearing)
    if opened is None or found("given.not", hearing):
        return False
    subject = _subject(hearing, done="state" in opened.groupdict() and bool(opened["state"]))
    dogs = _dogs(hearing)
    if subject is None or not dogs:
        return False
    reading = hearing.read(
        hearing.message.text, hearing.person.name, hearing.at, hearing.kennel, hearing.scene.recent
    )
    if reading.entries or reading.doubts or any(q.about != "due" for q in reading.questions):
        return False  # it tells something, or asks for another thing
    hearing.took(opened)
    kind, name = subject
    if kind is Season:
        dogs = tuple(d for d in dogs if d.sex != "m")
        if not dogs:
            return False
    if kind is Season and found("given.next", hearing):
        on = hearing.on
        ahead = [(d.name, breeding.status(d, hearing.ledger, hearing.house, on).next_season) for d in dogs]
        hearing.say("\n".join(words.season_ahead(dog, when, hearing.kennel, on) for dog, when in ahead))
        return True
    if found("given.next", hearing):
        return False
    hearing.say(words.last(name, {d.name: _last(d, kind, name, hearing) for d in dogs}, hearing.kennel, hearing.on))
    return True


def _subject(hearing: Hearing, done: bool) -> tuple[type[Entry], str] | None:
    """What is asked about: the kind of entry, and which dose or task; a named product beats the bare "tablet".

    With `done`, only what is named as done counts: "is he vaccinated?", not "is it bath time?".
    """
    cut = tokens.cut(hearing.message.text)
    heard: list[tuple[type[Entry], str]] = []
    for tags in cut.tags:
        for tag, kind in SUBJECTS.items():
            if tag in tags and (not done or (tag != "season" and tags[tag][0][1] == "did")):
                heard.append((kind, "season" if kind is Season else str(tags[tag][0][0])))
    if not heard and not done:
        stems = phrases()["given"]["stems"].items()
        heard = [(Dose, dose) for dose, parts in stems for w in cut.w if any(w.startswith(p) for p in parts)]
    return min(heard, key=lambda h: h[1] == "medicine", default=None)


def _dogs(hearing: Hearing) -> tuple[Dog, ...]:
    """The dogs that the question names, by name or as a group."""
    cut = tokens.cut(hearing.message.text)
    roster = roster_of(hearing.kennel)
    mark(cut, roster)
    named = [n for m in mentions(cut, roster, hearing.on) for n in m.names]
    known = (hearing.kennel.dog(n) for n in dict.fromkeys(named))
    return tuple(d for d in known if d is not None and not d.gone)


def _last(dog: Dog, kind: type[Entry], name: str, hearing: Hearing) -> Posted | None:
    until: date = hearing.on
    for p in reversed(hearing.ledger.of(dog.name, kind, until=until)):
        match p.entry:
            case Dose(dose=dose) if dose != name and (name != "medicine" or p.entry.on < until - LATELY):
                continue  # a bare "tablet" may be the flea tablet of today
            case Groom(task=task) if task != name:
                continue
        return p
    return None
