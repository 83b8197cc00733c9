"""A buyer who worries: a calm, safe answer at once, and the breeder hears of it first. Never a diagnosis."""

from __future__ import annotations

from bot.conversation import buyer_news, concerns, house_talk
from bot.conversation.about import found
from bot.conversation.hearing import Hearing
from bot.replies import say_units
from core.entries import Reading, Sign
from core.messages import Say
from core.roster import Dog
from shared.tables import facts
from shared.texts import listed, text

YOUNG_DAYS = 112  # under 16 weeks a pup that is ill is for the vet the same day; the red words' own line
QUOTE = 300  # letters of a worry that the breeder is shown


def answer(reading: Reading, hearing: Hearing) -> bool:
    """True where a buyer's message was a worry, now answered; the breeder has it."""
    if hearing.person.role != "buyer" or hearing.message.edit:
        return False
    dog = _own(hearing)
    sick_ear = found("concern.ears", hearing) is not None
    ill = is_ill(hearing)
    breeder, level = _breeder(hearing), buyer_news.WORRIES
    if found("worry.tape", hearing):
        hearing.say_with(text("buyers.tape", breeder=breeder))
    elif sick_ear:
        level = buyer_news.ILL
        hearing.say_with(text("buyers.ears_ill", breeder=breeder))
    elif ill or any(isinstance(e, Sign) for e in reading.entries):
        young = dog is not None and dog.age_days(hearing.on) < YOUNG_DAYS and ill
        today = young or found("worry.ill_twice", hearing) or _as_cautioned(hearing)
        level = buyer_news.TODAY if today else buyer_news.ILL
        name = dog.name if dog else text("buyers.your_dog")
        hearing.say_with(text("buyers.ill_today" if today else "buyers.ill", breeder=breeder, dog=name))
    elif found("worry.words", hearing):
        ears = dog is not None and found("worry.ears", hearing) and _teething(dog, hearing)
        name = "worry" if not ears else "ears_seen" if hearing.message.picture else "ears"
        hearing.say_with(text(f"buyers.{name}", breeder=breeder))
    else:
        return False
    _tell(hearing, dog, "worries", level)
    house_talk.worried(hearing)
    return True


def is_ill(hearing: Hearing) -> bool:
    """True where the words tell of something that a vet should look at."""
    return bool(found("concern.ears", hearing) or found("worry.ill", hearing)) or any(concerns.heard(hearing))


def _as_cautioned(hearing: Hearing) -> bool:
    """True where what the answer would warn of is told already: dull and eating nothing, or worse."""
    dull_and_empty = found("worry.dull", hearing) and found("worry.wont_eat", hearing)
    return bool(dull_and_empty or found("worry.worse", hearing))


def pass_on(reading: Reading, hearing: Hearing, of_another: bool = False) -> None:
    """A buyer's question to which nothing was said goes to the breeder, and what they said of a dog not theirs."""
    if hearing.person.role != "buyer" or hearing.message.edit:
        return
    unsaid = of_another and not any(isinstance(o, Say) and o.room == hearing.message.room for o in hearing.out)
    if not unsaid and not _open_question(reading, hearing):
        if not reading.entries:
            buyer_news.pass_on(hearing)
        return
    hearing.say(text("buyers.passed_on", breeder=_breeder(hearing)))
    _tell(hearing, _own(hearing), "asks", buyer_news.ASKS)


def _tell(hearing: Hearing, dog: Dog | None, name: str, level: int) -> None:
    quote = " ".join(hearing.message.text.split())[:QUOTE]
    dogs = [dog.name] if dog else [d.name for d in hearing.kennel.living()]
    if not dogs:
        said = text("buyers.writes", who=hearing.person.name, said=quote)
        buyer_news.tell(hearing, said, quote, level)
        return
    about = listed(dogs)
    if dog:
        about = text("buyers.aged", dog=dog.name, age=say_units.age(dog, hearing.on))
    buyer_news.tell(hearing, text(f"buyers.{name}", who=hearing.person.name, about=about, said=quote), quote, level)


def _own(hearing: Hearing) -> Dog | None:
    dogs = hearing.kennel.living()
    return dogs[0] if len(dogs) == 1 else None


def _open_question(reading: Reading, hearing: Hearing) -> bool:
    """A question to which nothing was said."""
    asks = "?" in hearing.message.text or found("worry.asks", hearing) is not None
    return asks and not reading.entries and not any(isinstance(o, Say) for o in hearing.out)


def _teething(dog: Dog, hearing: Hearing) -> bool:
    weeks = facts("ears")["age"]
    return int(weeks["teething_from_week"]) <= dog.age_days(hearing.on) // 7 <= int(weeks["teething_to_week"])


def _breeder(hearing: Hearing) -> str:
    return hearing.kennel.breeder.name if hearing.kennel.breeder else text("urgent.the_breeder")
