"""What is kept of people, and erasing a person or the whole kennel: by the breeder, in her own line, asked once.

What can't be undone takes more than a yes: the button that names what goes, or the same words written again, as the
very next message in that line.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from bot.conversation.doubts import ANSWERS
from bot.conversation.heard import LONGEST, means, patterns, phrases, plain, yes_or_no
from bot.conversation.hearing import Hearing
from bot.enrolment import rota_shown
from core.roster import BREEDER, Dog, Duty, Kennel, Person
from core.turns import Asked
from shared.texts import text

QUOTE = 200  # letters of a wish that the breeder is shown
SURE_WITHIN = timedelta(minutes=10)  # how long the question of what can't be undone stands; own choice


def answer(hearing: Hearing) -> bool:
    """True where it was asked what is kept, or the breeder asked to erase something."""
    said = _plain(hearing.message.text)
    if means("what_is_kept", said):
        breeder = hearing.scene.kennel.breeder
        kept = text("erase.keeps", breeder=breeder.name if breeder else "")
        hearing.say(f"{kept} {text('erase.keeps_how')}" if hearing.is_breeder else kept)
        return True
    if not said or len(said) > LONGEST:
        return False
    who = _who(said)
    if any(p.fullmatch(said) for p in patterns("erase.own")) or hearing.house.person(who) == hearing.person:
        return _ask_of_oneself(hearing)
    if not hearing.is_breeder:
        return False
    if any(p.fullmatch(said) for p in patterns("erase.kennel")) or _is_kennel(who, hearing.house):
        return _ask_kennel(hearing)
    person = hearing.house.person(who)
    return person is not None and _ask_person(hearing, person)


def _ask_of_oneself(hearing: Hearing) -> bool:
    """Somebody wants to be forgotten: it is the breeder's to do, who hears of it."""
    breeder = hearing.scene.kennel.breeder
    if hearing.is_breeder or breeder is None:
        hearing.say(text("erase.not_you"))
        return True
    hearing.say(text("erase.own_passed_on", breeder=breeder.name))
    quote = " ".join(hearing.message.text.split())[:QUOTE]
    hearing.tell_breeder(text("erase.own_told", who=hearing.person.name, said=quote))
    return True


def _plain(said: str) -> str:
    return " ".join(said.replace("’", "'").split()).rstrip(" .!?")


def _who(said: str) -> str:
    """Whom (or which kennel) the words would erase, "" where they are no such words."""
    match = next((m for p in patterns("erase.person") if (m := p.fullmatch(said))), None)
    return match["who"].strip() if match else ""


def _is_kennel(who: str, house: Kennel) -> bool:
    return who.casefold() == house.name.casefold()


def _ask_kennel(hearing: Hearing) -> bool:
    house = hearing.house
    asked = text("erase.ask_kennel", dogs=len(house.dogs), people=len(house.people))
    return _ask(hearing, asked, house.name, {"who": ""})


def _ask_person(hearing: Hearing, person: Person) -> bool:
    if person.role == "breeder":
        hearing.say(text("erase.not_you"))
        return True
    asked = text("erase.ask_person", who=person.name)
    if jobs := _jobs(hearing.house, person):
        asked += " " + text("erase.ask_jobs", who=person.name, jobs="; ".join(jobs))
    return _ask(hearing, asked, person.name, {"who": person.name})


def _ask(hearing: Hearing, words: str, name: str, facts: dict[str, str]) -> bool:
    if hearing.message.room != BREEDER:
        hearing.say(text("erase.only_private"))
    else:
        words = f"{words} {text('erase.if_sure', what=name)}"
        hearing.ask("erase", words, (text("erase.sure", what=name), text("erase.keep")), facts)
    return True


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    who = str(asked.facts["who"])
    person = hearing.house.person(who) if who else None
    if not _is_sure(hearing, asked, said) or (who and person is None):
        if not hearing.message.pressed and yes_or_no(said) is None and not _holds_back(said):
            hearing.settle(asked)  # another thing was said: nothing is erased, and that goes its way
            return False
        hearing.say(text("erase.kept"))
    elif person is None:
        hearing.erase_kennel = True
    else:
        jobs = _jobs(hearing.house, person)
        hearing.change(_without(hearing.house, person))
        hearing.keep(BREEDER, changed=None)  # taking back an earlier change would bring the person back
        hearing.erase = person
        done = text("erase.done")
        hearing.say(f"{done} {text('erase.done_jobs', jobs='; '.join(jobs))}" if jobs else done)
    return True


def _is_sure(hearing: Hearing, asked: Asked, said: str) -> bool:
    """True where the button was pressed, or its words written, right after the question."""
    newest = hearing.scene.recent[-1].key if hearing.scene.recent else asked.message
    if not hearing.is_breeder or newest != asked.message or hearing.at - asked.at > SURE_WITHIN:
        return False
    who = _who(_plain(said))
    person = hearing.house.person(who) if asked.facts["who"] else None
    if person is not None:
        return person.name == str(asked.facts["who"])
    return not asked.facts["who"] and _is_kennel(who, hearing.house)


def _holds_back(said: str) -> bool:
    """True for words to the question that are neither: "ok leave it"."""
    return any(w in phrases()["held_back"] for w in plain(said).split())


def _without(kennel: Kennel, person: Person) -> Kennel:
    """The roster without that person; a dog that lives with them lives with somebody, their jobs are the breeder's."""
    people = tuple(p for p in kennel.people if p.name != person.name)
    duties = tuple(dict.fromkeys(_handed_over(d, kennel) if d.who == person.name else d for d in kennel.duties))

    def elsewhere(dog: Dog) -> Dog:
        return replace(dog, home=text("erase.somebody")) if dog.home == person.name else dog

    return replace(kennel, people=people, duties=duties, dogs=tuple(elsewhere(d) for d in kennel.dogs))


def _jobs(kennel: Kennel, person: Person) -> list[str]:
    """What of the rota was theirs, as the breeder has it from then on."""
    return [rota_shown(_handed_over(d, kennel), kennel) for d in kennel.duties if d.who == person.name]


def _handed_over(duty: Duty, kennel: Kennel) -> Duty:
    return replace(duty, who=kennel.breeder.name) if kennel.breeder else duty


ANSWERS["erase"] = _answered
