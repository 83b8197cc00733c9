"""Papers asked for in plain words: "vet page for Nugget", "sitter sheet", "going-home record for Blue".

Each goes into the room in which it was asked for; a buyer has those of their own dog.
"""

from __future__ import annotations

from bot.conversation.about import dog_meant, dogs_named, found, took
from bot.conversation.doubts import ANSWERS, MOST_BUTTONS, dog_asked_for
from bot.conversation.hearing import Hearing
from bot.replies import due_calendar, papers, say_units, sitter
from core import leaving
from core.roster import Dog
from core.turns import Asked
from shared.texts import listed, text

LONGEST = 14  # words of a message that asks for a paper
MOST = 4  # papers of one message
LITTER_DAYS = 84  # a litter is thought of first until it is so old; own choice


def answer(hearing: Hearing) -> bool:
    """True where the message asked for a paper: it is sent, or the dog is asked for, or it is declined."""
    if len(hearing.message.text.split()) > LONGEST or found("paper.not", hearing):
        return False
    if _calendar(hearing):
        return True
    kind = next((k for k in papers.KINDS if found(f"paper.{k}", hearing)), None)
    if kind is None:
        return False
    hearing.took(found(f"paper.{kind}", hearing), found("paper.text", hearing))
    form = papers.TXT if found("paper.text", hearing) else papers.PDF
    if not papers.may_have(hearing.person, kind) or _of_others(hearing):
        hearing.say(text("papers.not_for_you", breeder=_breeder(hearing)))
        return True
    if kind not in papers.OF_DOG:
        _send_sheet(hearing, form)
        return True
    dogs = _dogs(kind, hearing)
    if not dogs:
        choices = _likely(kind, hearing)[:MOST_BUTTONS]
        if not choices:
            return False
        hearing.ask("paper", text("papers.which"), choices, {"kind": kind, "form": form})
        return True
    for dog in dogs[:MOST]:
        _send(kind, dog, form, hearing)
    return True


def _calendar(hearing: Hearing) -> bool:
    if took("paper.calendar", hearing) is None:
        return False
    if hearing.message.room in due_calendar.ROOMS:
        hearing.say(text("papers.caption.calendar"), document=due_calendar.spec(hearing.on))
    else:
        hearing.say(text("papers.not_for_you", breeder=_breeder(hearing)))
    return True


def _of_others(hearing: Hearing) -> bool:
    """True where a buyer asks for a paper of a dog that is not theirs, whether there is such a dog or not."""
    if hearing.person.role != "buyer" or dogs_named(hearing.message.text, hearing, gone=True):
        return False
    return found("paper.others", hearing) is not None


def _dogs(kind: str, hearing: Hearing) -> tuple[Dog, ...]:
    """Whom the paper is about: named, else meant; for a litter its dam."""
    named = dogs_named(hearing.message.text, hearing, gone=True)
    if kind == papers.LITTER:
        dams = [_dam(d, hearing) for d in named] or _young_dams(hearing)
        known = tuple(dict.fromkeys(d for d in dams if d is not None))
        return known if named or len(known) == 1 else ()
    if named:
        return named
    own = hearing.kennel.dogs if hearing.person.role == "buyer" else ()
    meant = own[0] if len(own) == 1 else dog_meant(hearing) if found("paper.pronoun", hearing) else None
    return (meant,) if meant is not None else ()


def _dam(dog: Dog, hearing: Hearing) -> Dog | None:
    """The dog where it has pups on the roster, else its dam."""
    kennel = hearing.kennel
    return dog if any(d.litter == dog.name for d in kennel.dogs) else kennel.dog(dog.litter)


def _young_dams(hearing: Hearing) -> list[Dog | None]:
    young = [d for d in hearing.kennel.living() if d.litter and 0 <= d.age_days(hearing.on) < LITTER_DAYS]
    return [hearing.kennel.dog(name) for name in dict.fromkeys(d.litter for d in young)]


def _likely(kind: str, hearing: Hearing) -> tuple[str, ...]:
    """The dogs that are likeliest meant, for buttons."""
    if kind == papers.LITTER:
        return tuple(d.name for d in _young_dams(hearing) if d is not None)
    here = hearing.kennel.living() if hearing.person.role == "buyer" else hearing.kennel.at_home()
    pups = [d.name for d in here if d.is_pup(hearing.on) and not d.is_newborn(hearing.on)]
    rest = [d.name for d in here if d.name not in pups and not d.is_newborn(hearing.on)]
    return tuple(pups if kind == papers.HOME else [*pups, *rest])


def _send(kind: str, dog: Dog, form: str, hearing: Hearing) -> None:
    buyer = hearing.person.role == "buyer"
    name = "papers.caption.own_home" if buyer and kind == papers.HOME else f"papers.caption.{kind}"
    hearing.say(text(name, dog=dog.name), document=papers.spec(kind, hearing.on, dog.name, form))
    if kind == papers.HOME and not buyer and not dog.home and not dog.gone:
        if lacks := _lacks(dog, hearing):
            hearing.tell_breeder(lacks)


def _send_sheet(hearing: Hearing, form: str) -> None:
    """The sitter's sheet: to the breeder with its words to read at once, to anybody else the paper alone."""
    alone = not hearing.is_breeder
    said = text("papers.caption.sitter") if alone else sitter.sheet(hearing.house, hearing.on)
    hearing.say(said, document=papers.spec(papers.SITTER, hearing.on, form=form))


def _lacks(dog: Dog, hearing: Hearing) -> str:
    """What the book still lacks before the pup may go, and from when its age allows it; "" for nothing."""
    ready = leaving.ready(dog, hearing.book(whole=True), hearing.house, hearing.at)
    missing = [text(f"leaving.item.{m.replace(' ', '_')}") for m in ready.missing]
    said = []
    if ready.too_young:
        day = say_units.calendar_day(ready.from_on, hearing.kennel, hearing.on)
        said.append(text("papers.too_young", dog=dog.name, day=day))
    if missing:
        said.append(text("papers.missing", dog=dog.name, what=listed(missing)))
    return " ".join(said)


def _breeder(hearing: Hearing) -> str:
    breeder = hearing.scene.kennel.breeder
    return breeder.name if breeder else text("urgent.the_breeder")


def _which_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    kind, form = asked.facts.get("kind", ""), asked.facts.get("form", papers.PDF)
    dog = dog_asked_for(hearing, asked, said)
    if dog is None or kind not in papers.OF_DOG or not papers.may_have(hearing.person, kind):
        return False
    if kind == papers.LITTER:
        dog = _dam(dog, hearing) or dog
    _send(kind, dog, form, hearing)
    return True


ANSWERS["paper"] = _which_answered
