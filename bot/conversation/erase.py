"""What is kept of people, and erasing a person or the whole kennel: by the breeder, in her own line, asked once."""

from __future__ import annotations

from dataclasses import replace

from bot.conversation.doubts import ANSWERS
from bot.conversation.heard import LONGEST, means, patterns, yes_or_no
from bot.conversation.hearing import Hearing
from bot.enrolment import rota_shown
from core.roster import BREEDER, Dog, Duty, Kennel, Person
from core.turns import Asked
from shared.texts import text


def answer(hearing: Hearing) -> bool:
    """True where it was asked what is kept, or the breeder asked to erase something."""
    said = " ".join(hearing.message.text.replace("’", "'").split()).rstrip(" .!")
    if means("what_is_kept", said):
        breeder = hearing.scene.kennel.breeder
        kept = text("erase.keeps", breeder=breeder.name if breeder else "")
        hearing.say(f"{kept} {text('erase.keeps_how')}" if hearing.is_breeder else kept)
        return True
    if not hearing.is_breeder or not said or len(said) > LONGEST:
        return False
    if any(p.fullmatch(said) for p in patterns("erase.kennel")):
        return _ask_kennel(hearing)
    match = next((m for p in patterns("erase.person") if (m := p.fullmatch(said))), None)
    person = hearing.house.person(match["who"].strip()) if match else None
    return person is not None and _ask_person(hearing, person)


def _ask_kennel(hearing: Hearing) -> bool:
    house = hearing.house
    return _ask(hearing, text("erase.ask_kennel", dogs=len(house.dogs), people=len(house.people)), "")


def _ask_person(hearing: Hearing, person: Person) -> bool:
    if person.role == "breeder":
        hearing.say(text("erase.not_you"))
        return True
    asked = text("erase.ask_person", who=person.name)
    if jobs := _jobs(hearing.house, person):
        asked += " " + text("erase.ask_jobs", who=person.name, jobs="; ".join(jobs))
    return _ask(hearing, asked, person.name)


def _ask(hearing: Hearing, words: str, who: str) -> bool:
    if hearing.message.room != BREEDER:
        hearing.say(text("erase.only_private"))
    else:
        hearing.ask("erase", words, (text("doubts.yes"), text("doubts.no")), {"who": who})
    return True


def _answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    if meant is None or not hearing.is_breeder:
        return False
    who = str(asked.facts["who"])
    person = hearing.house.person(who) if who else None
    if not meant or (who and person is None):
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
