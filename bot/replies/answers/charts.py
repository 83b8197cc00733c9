"""Show a picture, with the point of it in words: weights, ears, a litter's newborn gains, food by week."""

from __future__ import annotations

from bot.replies import newborns, say_units, treats
from bot.replies.answers import ears as ears_words
from bot.replies.answers import growing
from bot.replies.answers.asker import Answer, Asker
from bot.replies.charts.food import WEEKS
from bot.replies.charts.litter import missing
from bot.replies.charts.spec import EARS, FOOD, GROWTH, LITTER, WEIGHT, Spec
from core import ears, feeding, gains, growth, newborn, weekly
from core.entries import Ears, Question, Weight
from core.gains import LitterGains
from core.roster import BREEDER, Dog
from shared.texts import text

LEAST = 2  # weighings that a picture is worth
MOST_TOLD = 3  # pups in trouble named under a litter's sheet


def answer(question: Question, asker: Asker) -> Answer:
    """The dog's weight chart with one line under it; without a dog, the only pup's or a question back."""
    dog = asker.kennel.dog(question.dog)
    if dog is None:
        return Answer(text=text("doubts.which_dog"), which=tuple(d.name for d in asker.pups()))
    return weights(dog, asker)


def weights(dog: Dog, asker: Asker, alone: bool = False) -> Answer:
    """The dog's weights in their band, its ears under them while they are watched, unless `alone`."""
    if len(asker.ledger.entries(dog.name, Weight, until=asker.on)) < LEAST:
        return Answer(text=text("answers.chart.too_few", dog=dog.name))
    if dog.is_newborn(asker.on):
        young = newborn.assess(dog, asker.ledger, asker.kennel, asker.at)
        return Answer(
            text=newborns.stands(young, asker.unit), why=newborns.why(young, asker.unit),
            picture=_spec(WEIGHT, dog, asker),
        )  # fmt: skip
    found = growth.assess(dog, asker.ledger, asker.kennel, asker.on)
    caption = text("answers.growth.line", dog=dog.name, what=", ".join(growing.short(dog, found, asker)))
    if dog.ear_watch and not alone:
        seen = ears.assess(dog, asker.ledger, asker.kennel, asker.on)
        if seen.days_scored:
            caption = text("answers.chart.with_ears", said=caption, counts=ears_words.counts(seen))
    return Answer(text=caption, why=growing.why(found, asker), picture=_spec(GROWTH if alone else WEIGHT, dog, asker))


def of_ears(dog: Dog, asker: Asker) -> Answer:
    """The dog's ears as strips under its weights, and which way they are going."""
    found = ears.assess(dog, asker.ledger, asker.kennel, asker.on)
    scored = asker.ledger.entries(dog.name, Ears, until=asker.on)
    picture = _spec(EARS, dog, asker) if scored else ""
    return Answer(text=ears_words.long(found, asker), why=ears_words.why(dog, found, asker), picture=picture)


def of_litter(dam: Dog, asker: Asker) -> Answer:
    """The newborn gains of the dam's newest litter, whoever loses first."""
    told = gains.of_litter(dam, asker.ledger, asker.kennel, asker.at)
    if not any(p.gains for p in told.pups):
        return Answer(text=text("answers.chart.no_gains", dam=dam.name))
    return Answer(text=" ".join(_litter_words(told, asker)), picture=_spec(LITTER, dam, asker))


def _litter_words(told: LitterGains, asker: Asker) -> list[str]:
    said = [text("answers.chart.litter", dam=told.dam, n=told.age_days)]
    bad = [p for p in told.pups if p.watched]
    for pup in bad[:MOST_TOLD]:
        red = pup.stands.level == newborn.RED
        name = pup.dog.upper() if red else pup.dog
        line = text("answers.chart.pup", dog=name, figures=newborns.figures(pup.stands, asker.unit))
        do = newborns.do_in_the_morning(pup.stands)
        said.append(line if told.past else text("answers.chart.do", said=line, do=do))
    if len(bad) > MOST_TOLD:
        said.append(text("answers.chart.more", n=len(bad) - MOST_TOLD))
    well = sorted(p.gains[-1].pct for p in told.pups if p not in bad and len(p.gains) > 1)
    if well:
        low, high = (say_units.percent(pct / 100, 0, sign=True) for pct in (well[0], well[-1]))
        name = "answers.chart.others" if bad else "answers.chart.all"
        said.append(text(name, gains=low if low == high else text("answers.chart.range", low=low, high=high)))
    return [*said, *missing(told)]


def of_food(dog: Dog, asker: Asker) -> Answer:
    """The dog's food by week and its treats beside the jar; by person in the breeder's own line alone."""
    weeks = weekly.weeks(dog, asker.ledger, asker.kennel, asker.on, WEEKS)
    if not weeks:
        return Answer(text=text("answers.chart.no_food", dog=dog.name))
    last, number = weeks[-1], say_units.number
    jar = feeding.assess(dog, asker.ledger, asker.kennel, asker.on).treat_pot_kcal
    treat = number(last.treat_kcal, 0)
    if last.bowl_kcal is None:
        said = [text("answers.chart.few_bowls", dog=dog.name, treats=treat)]
    else:
        every = number(last.bowl_kcal + last.treat_kcal, 0)
        said = [text("answers.chart.food", dog=dog.name, kcal=every, treats=treat)]
    if jar:
        said.append(text("answers.chart.jar", jar=number(jar, 0)))
    people = asker.room == BREEDER
    if people and last.treats_by:
        said.append(treats.shares(last.treats_by))
    return Answer(text=" ".join(said), picture=_spec(FOOD, dog, asker, people=people))


def _spec(kind: str, dog: Dog, asker: Asker, people: bool = False) -> str:
    kennel, chosen = asker.kennel, asker.person.charts
    return str(
        Spec(
            kind=kind, dog=dog.name, on=asker.on, people=people,
            unit=asker.unit if asker.unit != kennel.weight_unit else "",
            look=chosen if chosen and chosen != kennel.charts else "",
        )
    )  # fmt: skip
