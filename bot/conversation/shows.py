"""Which class on a day of a show?"""

from __future__ import annotations

from bot.conversation.about import dog_meant, dog_of_pronoun, dogs_named, found
from bot.conversation.days import day_ahead
from bot.conversation.hearing import Hearing
from bot.replies import shows
from core.classes import on_the_day
from core.roster import Dog
from shared.texts import text

MOST_DOGS = 4
SHOWN_MONTHS = 24  # without a name: pups and youngsters


def answer(hearing: Hearing) -> bool:
    """True where a class was asked for; the schedule of the show stands above every table."""
    asked = found("which_class", hearing)
    ours = dogs_named(hearing.message.text, hearing) or dog_of_pronoun(hearing) or found("class_of", hearing)
    if asked is None or not ours:
        return False  # there are classes at school too
    hearing.took(asked)
    said = hearing.message.text
    on = day_ahead(said[asked.start() :], hearing.on, hearing.kennel) or day_ahead(said, hearing.on, hearing.kennel)
    body = hearing.scene.kennel.show_rules
    if not body:
        hearing.say(text("shows.whose_rules"))
        return True
    if on is None:
        hearing.say(text("shows.which_day"))
        return True
    told = [(dog, seen) for dog in _dogs(hearing) if (seen := on_the_day(dog.born, on, body))]
    if not told:
        return False
    hearing.say(shows.classes(told, hearing.kennel, hearing.on))
    hearing.because(shows.why([seen for _, seen in told]))
    return True


def _dogs(hearing: Hearing) -> list[Dog]:
    named = dogs_named(hearing.message.text, hearing)
    if named:
        return list(named[:MOST_DOGS])
    meant = dog_meant(hearing)
    if meant is not None:
        return [meant]
    young = [
        d
        for d in hearing.kennel.living()
        if not d.is_newborn(hearing.on) and d.age_days(hearing.on) < SHOWN_MONTHS * 30
    ]
    watched = [d for d in young if d.ear_watch and (not d.home or hearing.person.role == "buyer")]
    return (watched or young)[:MOST_DOGS]
