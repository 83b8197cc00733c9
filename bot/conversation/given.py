"""What was last done: "has Moss had her wormer?", "when was Linnet last in season?", "who bathed Nugget?".

A wormer given twice can harm, so the question is answered from the book, with who wrote it and when.
"""

from __future__ import annotations

from datetime import date, timedelta

from bot.conversation.about import dog_of_pronoun, found
from bot.conversation.doubts import ANSWERS, dog_asked_for
from bot.conversation.heard import phrases
from bot.conversation.hearing import Hearing
from bot.reading import tokens
from bot.reading.dogs import mark, mentions, roster_of
from bot.reading.tokens import Words
from bot.replies import given as words
from core import breeding
from core.entries import Dose, Entry, Groom, Season
from core.ledger import Posted
from core.roster import Dog
from core.turns import Asked
from shared.texts import text

LATELY = timedelta(days=1)
# What the words of the question can mean: the tag that stands for it, and the entries that answer it.
SUBJECTS: dict[str, type[Entry]] = {"dose": Dose, "groom": Groom, "season": Season}


def answer(hearing: Hearing) -> bool:
    """True where the message asked what was last done to a dog, or when her next season is; it is then told."""
    opened = found("given.asked", hearing)
    if opened is None or found("given.not", hearing):
        return False
    cut = tokens.cut(hearing.message.text)
    subject = _subject(cut, done=bool(opened.groupdict().get("state")))
    if subject is None:
        return False
    kind, name = subject
    ahead = found("given.next", hearing) is not None
    if ahead and kind is not Season:
        return False  # what is due is a question of its own
    meant = dog_of_pronoun(hearing)
    named = _dogs(cut, hearing) or ((meant,) if meant is not None else ())
    dogs = tuple(d for d in named if kind is not Season or d.sex != "m")
    if _says_more(hearing):
        return False
    if not dogs:
        return kind is Dose and _ask_whose(name, hearing)
    hearing.took(opened)
    hearing.say(_seasons_ahead(dogs, hearing) if ahead else _last_of(dogs, kind, name, hearing))
    return True


def _ask_whose(name: str, hearing: Hearing) -> bool:
    """"Has she had her wormer?" with nobody named before: what is at stake is worth one question."""
    if found("given.whose", hearing) is None:
        return False
    hearing.ask("whose dose", text("doubts.which_dog"), (), {"dose": name})
    return True


def _whose_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    dog = dog_asked_for(hearing, asked, said)
    if dog is None:
        return False
    hearing.say(_last_of((dog,), Dose, str(asked.facts["dose"]), hearing))
    return True


def _says_more(hearing: Hearing) -> bool:
    """True where the message tells something, or asks for another thing."""
    reading = hearing.read(hearing.message.text, hearing.person.name, hearing.at, hearing.kennel, hearing.scene.recent)
    return bool(reading.entries or reading.doubts or any(q.about != "due" for q in reading.questions))


def _subject(cut: Words, done: bool) -> tuple[type[Entry], str] | None:
    """What is asked about: the kind of entry, and which dose or task; a named product beats the bare "tablet".

    With `done`, only what is named as done counts: "is he vaccinated?", not "is it bath time?".
    """
    heard: list[tuple[type[Entry], str]] = []
    for tags in cut.tags:
        for tag, kind in SUBJECTS.items():
            if tag in tags and (not done or (tag != "season" and tags[tag][0][1] == "did")):
                heard.append((kind, "season" if kind is Season else str(tags[tag][0][0])))
    if not heard and not done:
        stems = phrases()["given"]["stems"].items()
        heard = [(Dose, dose) for dose, parts in stems for w in cut.w if w.startswith(tuple(parts))]
    return min(heard, key=lambda h: h[1] == "medicine", default=None)


def _dogs(cut: Words, hearing: Hearing) -> tuple[Dog, ...]:
    """The dogs that the question names, by name or as a group."""
    roster = roster_of(hearing.kennel)
    mark(cut, roster)
    named = [n for m in mentions(cut, roster, hearing.on) for n in m.names]
    known = (hearing.kennel.dog(n) for n in dict.fromkeys(named))
    return tuple(d for d in known if d is not None and not d.gone)


def _seasons_ahead(dogs: tuple[Dog, ...], hearing: Hearing) -> str:
    windows = {d.name: breeding.status(d, hearing.ledger, hearing.house, hearing.on).next_season for d in dogs}
    return "\n".join(words.season_ahead(dog, when, hearing.kennel, hearing.on) for dog, when in windows.items())


def _last_of(dogs: tuple[Dog, ...], kind: type[Entry], name: str, hearing: Hearing) -> str:
    return words.last(name, {d.name: _last(d, kind, name, hearing) for d in dogs}, hearing.kennel, hearing.on)


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


ANSWERS["whose dose"] = _whose_answered
