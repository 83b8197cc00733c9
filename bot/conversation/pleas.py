"""Kind, short, safe refusals: more food, a bite of something, tape, calcium. The breeder decides and hears of it."""

from __future__ import annotations

from bot.conversation.about import dog_meant, every, found
from bot.conversation.hearing import Hearing
from bot.replies import pleas as words
from core import fed, feeding, intake
from core.entries import Treat
from core.ledger import Posted
from core.roster import Dog
from core.urgent import alarm
from shared.tables import table

QUOTE = 120  # letters of a plea that the breeder is shown


def answer(hearing: Hearing) -> bool:
    """True where somebody asked for what only the breeder may give; buyers' pleas are worries of their own."""
    if _calcium(hearing):
        return True
    if hearing.person.role == "buyer":
        return _danger(hearing)
    return _tape(hearing) or _more(hearing) or _danger(hearing) or _bite(hearing)


# Tape and glue


def _tape(hearing: Hearing) -> bool:
    done, asked = found("plea.taped", hearing), found("plea.tape", hearing)
    if not done and not asked:
        return False
    hearing.took(done, asked)
    dog = dog_meant(hearing)
    if done:
        hearing.tell_breeder(words.taped(dog))
        if not hearing.is_breeder:
            hearing.tell_breeder(words.told(hearing.person.name, _quote(hearing)))
        return True
    apart = (dog.name, *dog.apart_from) if dog else ()
    loose = [d for d in hearing.kennel.at_home() if d.name not in apart]
    if hearing.is_breeder:
        hearing.say(words.tape_breeder(dog, bool(loose)))
        return True
    hearing.say(words.tape(dog, bool(loose), _breeder(hearing)))
    hearing.tell_breeder(words.told(hearing.person.name, _quote(hearing)))
    return True


# Calcium


def _calcium(hearing: Hearing) -> bool:
    """True where somebody would give calcium: never without the vet, to a dam, to a pup, or for ears."""
    asked = found("plea.calcium", hearing)
    if asked is None or found("plea.no_calcium", hearing) is not None:
        return False
    hearing.took(asked)
    hearing.say(words.calcium())
    if not hearing.is_breeder:
        hearing.tell_breeder(words.told(hearing.person.name, _quote(hearing)))
    return True


# More food


def _more(hearing: Hearing) -> bool:
    asked = found("plea.more", hearing)
    if hearing.is_breeder or hearing.scene.kennel.breeder is None or asked is None:
        return False
    hearing.took(*every("plea.more", hearing))
    dog = dog_meant(hearing)
    board = fed.today(hearing.ledger, hearing.kennel, hearing.at)
    bowls = board.of(dog.name) if dog else ()
    hearing.say(words.more(dog, bowls, _breeder(hearing), hearing.kennel))
    hearing.tell_breeder(words.told(hearing.person.name, _quote(hearing)))
    return True


# What no dog may have


def _danger(hearing: Hearing) -> bool:
    """True where somebody asked for what would ring the vet if it were eaten: refused at once, in every room."""
    for name in ("bite", "what_about", "danger"):
        asked = found(f"plea.{name}", hearing)
        if asked is not None and _is_dangerous(asked["what"], hearing, name == "bite"):
            hearing.took(asked)
            hearing.say(words.danger_asked() if name == "danger" else words.danger())
            if hearing.person.role == "buyer":
                hearing.tell_breeder(words.told(hearing.person.name, _quote(hearing)))
            return True
    return False


def _is_dangerous(what: str, hearing: Hearing, asked_to_eat: bool) -> bool:
    """True for what rings the vet once it is eaten; a ball or a sock only where somebody asks to give it."""
    dog = dog_meant(hearing)
    name = dog.name if dog else next((d.name for d in hearing.kennel.living()), "")
    danger = alarm(f"{name} ate {' '.join(what.split())}", hearing.kennel, hearing.on)
    return danger is not None and (asked_to_eat or danger.text_key != "urgent.object")


# A bite of something


def _bite(hearing: Hearing) -> bool:
    asked = found("plea.bite", hearing)
    if asked is None:
        return False
    dog = dog_meant(hearing)
    low = " ".join(asked["what"].split()).casefold()
    if not any(row["word"] in low for row in table("treats") if row["word"] != "piece"):
        return False
    hearing.took(asked)
    hearing.say(words.bite(dog, _jars(dog, low, hearing), "" if hearing.is_breeder else _breeder(hearing)))
    return True


def _jars(dog: Dog | None, what: str, hearing: Hearing) -> float | None:
    """How many days' treat jars one of these is; None where the dog or its jar is not known."""
    if dog is None or dog.is_newborn(hearing.on):
        return None
    plan = feeding.assess(dog, hearing.ledger, hearing.kennel, hearing.on)
    one = Posted(id=0, entry=Treat(dog=dog.name, on=hearing.on, said=what), at=hearing.at)
    kcal, _ = intake.treat_kcal(one, intake.food_on(dog, hearing.kennel, hearing.on))
    return kcal / plan.treat_pot_kcal if plan.treat_pot_kcal else None


def _breeder(hearing: Hearing) -> str:
    breeder = hearing.scene.kennel.breeder
    return breeder.name if breeder else ""


def _quote(hearing: Hearing) -> str:
    return " ".join(hearing.message.text.split())[:QUOTE]
