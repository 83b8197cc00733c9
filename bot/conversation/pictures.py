"""Charts of more than a weight, asked in plain words: ears, a litter, food and treats; and light or dark ones.

Only a whole message made of known words is taken for such a wish; everything else is left to the reader.
"""

from __future__ import annotations

import re
from dataclasses import replace

from bot.conversation import questions
from bot.conversation.about import dog_meant, dogs_named
from bot.conversation.doubts import ANSWERS, MOST_BUTTONS, dog_asked_for
from bot.conversation.heard import LONGEST, phrases, plain
from bot.conversation.hearing import Hearing
from bot.replies.answers import charts
from bot.replies.answers.asker import Answer, Asker
from core.entries import Weight
from core.gains import of_litter
from core.roster import Dog
from core.turns import Asked
from shared.texts import text

MOST_PICTURES = 4  # of one answer
_WORDS = 14  # a longer message is talk
_WORD = re.compile(r"[a-z0-9']+")
TOPICS = ("food", "ears", "litter", "weight")  # "the pups' food" is of food
ASKED, MOST_NAME_WORDS = "chart of", 3
_SINCE = re.compile(r"\b(?:since|from|back\s+to|starting)\s+\S.*$")  # a longer look back than beside the ears
_OVER_TIME = re.compile(r"\bover\s+(?:the\s+)?(?:time|last\s+\w+|weeks|months)\b|\bthrough\s+time\b")
LOOKS = ("dark", "light")


def answer(hearing: Hearing) -> bool:
    """True where a chart of ears, of a litter, of food or of the weights alone was asked for, or how charts look."""
    said = _said(hearing)
    if said is None:
        return False
    since = _SINCE.search(plain(hearing.message.text)) is not None
    look = next((k for k in LOOKS if said & set(phrases()["charts"][k])), None)
    topic = next((k for k in TOPICS if said & set(phrases()["charts"][k])), None)
    if since and topic is None and look is None:
        topic = "weight"
    if (look is None) == (topic is None):
        return False
    if look is not None:
        return _set_look(look, bool(said & set(phrases()["charts"]["everybody"])), hearing)
    asker = questions.asker_of(hearing)
    found = _answers(topic or "", asker, hearing)
    of_pups = not found and topic in ("food", "ears") and said & set(phrases()["charts"]["litter"])
    if not found and not of_pups:
        return False
    hearing.took(re.search(r"(?s).+", hearing.message.text))
    if not found:
        pups = [d.name for d in asker.here() if d.is_pup(asker.on) and not d.is_newborn(asker.on)]
        hearing.ask(ASKED, text("doubts.which_dog"), tuple(pups) if len(pups) <= MOST_BUTTONS else (), {"topic": topic})
        return True
    questions.say(found, hearing)
    return True


def _asked(hearing: Hearing, asked: Asked, said: str) -> bool:
    """The dog of which the chart is, where that was asked."""
    dog = dog_asked_for(hearing, asked, said)
    if dog is None:
        return False  # "Ash 3.4 kg" is a weight
    questions.say([_of_dog(str(asked.facts["topic"]), dog, questions.asker_of(hearing))], hearing)
    return True


def _said(hearing: Hearing) -> set[str] | None:
    """The words of a message that says nothing but a chart, dogs and known words; None for any other."""
    said = plain(hearing.message.text)
    if not said or len(hearing.message.text) > LONGEST:
        return None
    said = _SINCE.sub(" ", _OVER_TIME.sub(" chart ", said))
    for dog in hearing.kennel.living():
        for name in sorted((dog.name, *dog.also), key=len, reverse=True):
            said = re.sub(rf"\b{re.escape(name.casefold())}(?:'?s)?(?![a-z0-9'])", " ", said)
    words = [w.removesuffix("'s") for w in _WORD.findall(said)]
    known = {w for listed in phrases()["charts"].values() for w in listed}
    if not words or len(words) > _WORDS or not set(words) <= known:
        return None
    return set(words) if set(words) & set(phrases()["charts"]["chart"]) else None


def _answers(topic: str, asker: Asker, hearing: Hearing) -> list[Answer]:
    if topic == "litter":
        dam = _dam(asker, hearing)
        return _litter(dam, asker) if dam is not None else []
    meant = dog_meant(hearing)
    dogs = dogs_named(hearing.message.text, hearing)[:MOST_PICTURES] or ((meant,) if meant is not None else ())
    return [_of_dog(topic, dog, asker) for dog in dogs]


def _litter(dam: Dog, asker: Asker) -> list[Answer]:
    """The newborn weeks of her newest litter; where nobody weighed it then, the weights of each pup that is here."""
    found = charts.of_litter(dam, asker)
    if found.picture:
        return [found]
    pups = [p for p in asker.kennel.pups_of(dam.name) if not p.home and p.is_pup(asker.on)]
    weighed = [p for p in pups if asker.ledger.last(p.name, Weight, until=asker.on)]
    return [charts.weights(p, asker, alone=True) for p in weighed[:MOST_PICTURES]] or [found]


def _of_dog(topic: str, dog: Dog, asker: Asker) -> Answer:
    if topic == "ears":
        return charts.of_ears(dog, asker)
    return charts.of_food(dog, asker) if topic == "food" else charts.weights(dog, asker, alone=True)


def _dam(asker: Asker, hearing: Hearing) -> Dog | None:
    """The dam that the words name, herself, by a pup of hers or by the sire; else that of the newest litter here.

    A dog that is named and has no litter is its own answer.
    """
    named = dogs_named(hearing.message.text, hearing)
    for dog in named:
        by = [d.litter for d in reversed(asker.kennel.dogs) if d.sire == dog.name and d.litter]
        for name in (dog.name, dog.litter, *by):
            dam = asker.kennel.dog(name)
            if dam is not None and of_litter(dam, asker.ledger, asker.kennel, asker.at).pups:
                return dam
    if named:
        return named[0]
    young = sorted((d for d in asker.here() if d.litter and d.is_pup(asker.on)), key=lambda d: d.born)
    return asker.kennel.dog(young[-1].litter) if young else None


def _set_look(look: str, everybody: bool, hearing: Hearing) -> bool:
    """Keep how charts are drawn: for the sender, or by the breeder for everybody who has not chosen."""
    house, breeder = hearing.house, hearing.scene.kennel.breeder
    hearing.took(re.search(r"(?s).+", hearing.message.text))
    if everybody and hearing.is_breeder:
        people = tuple(replace(p, charts=None) if p.role == "breeder" else p for p in house.people)
        hearing.change(replace(house, charts=look, people=people))
        hearing.mark()
        return True
    people = tuple(replace(p, charts=look) if p.name == hearing.person.name else p for p in house.people)
    hearing.change(replace(house, people=people))
    if everybody and breeder is not None:
        hearing.say(text(f"answers.chart.only_yours.{look}", breeder=breeder.name))
    elif hearing.person.role == "buyer":
        hearing.say(text(f"answers.chart.yours.{look}"))
    else:
        hearing.mark()
    return True


ANSWERS[ASKED] = _asked
