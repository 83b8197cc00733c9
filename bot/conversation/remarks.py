"""What the breeder alone hears about a note: signs that add up, a dose given again, where a bitch stands."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from bot.conversation import hair, night_kept, off_food, red_words
from bot.conversation.hearing import Hearing
from bot.conversation.red_words import vet
from bot.replies import remarks as words
from core import bile, breeding, care, ears, feeding, growth, heat
from core.entries import Dose, Entry, Mating, Progesterone, Season, Sign, Temperature, Weight
from core.messages import URGENT
from core.roster import Dog
from core.swallowed import is_harmless

VETS = ("losing", "flat_vet", "lost_in_month", "lost_in_half_year")  # warnings of growth that are the vet's
SIGN_DAYS = 21  # a sign seen again within three weeks is told; common practice, no source


def make(hearing: Hearing) -> None:
    """Ring for what is the vet's at once; tell the breeder what this message's notes add up to."""
    red_words.of_posts(hearing)
    asked = hair.look(hearing)
    off_food.look(hearing)
    if hearing.scene.kennel.breeder is None:
        return
    told = [*_signs(hearing), *_doses(hearing), *_bitches(hearing), *_temperatures(hearing), *_losses(hearing)]
    for line in dict.fromkeys(told):
        hearing.tell_breeder(line)
    if not asked:
        hair.tell(hearing)


def _new(hearing: Hearing, *kinds: type[Entry]) -> list[Entry]:
    """What this message posted anew of these kinds, the day's own first; corrections are no news."""
    return [p.entry for p in hearing.posts if isinstance(p.entry, kinds) and p.replaces is None]


def _dog(hearing: Hearing, name: str) -> Dog | None:
    return hearing.kennel.dog(name)


def _signs(hearing: Hearing) -> Iterable[str]:
    for entry in _new(hearing, Sign):
        assert isinstance(entry, Sign)
        dog = _dog(hearing, entry.dog)
        if dog is None or hearing.only_keep:
            continue
        ledger = hearing.book()
        if entry in ears.assess(dog, ledger, hearing.kennel, hearing.on).ear_signs:
            yield words.ear_sign(entry, vet(hearing.scene.kennel, hearing.at))
            continue
        watch = next((w for w in care.signs(dog, ledger, hearing.on) if w.sign == entry.sign), None)
        if entry.sign == "swallowed" and is_harmless(hearing.message.text):
            continue
        if watch is not None:
            yield words.vet_line(watch, hearing.kennel, hearing.on, vet(hearing.scene.kennel, hearing.at))
            continue
        since = hearing.on - timedelta(days=SIGN_DAYS - 1)
        days = {s.on for s in ledger.entries(entry.dog, Sign, since=since) if s.sign == entry.sign}
        if len(days) > 1:
            yield words.again(entry, len(days), _beside_snack(dog, entry, hearing), SIGN_DAYS)


def _beside_snack(dog: Dog, entry: Sign, hearing: Hearing) -> str:
    """`none` or `short` for bile on several mornings, each after a night with no snack or a short one; "" otherwise."""
    if entry.sign != "bile":
        return ""
    found = bile.mornings(dog, hearing.book(), hearing.kennel, hearing.on, SIGN_DAYS)
    return found.beside if found is not None else ""


def _doses(hearing: Hearing) -> Iterable[str]:
    given: dict[str, list[str]] = {}
    for entry in _new(hearing, Dose):
        assert isinstance(entry, Dose)
        given.setdefault(entry.dose, []).append(entry.dog)
    for dose in ("wormer", "vaccine"):
        dogs = [d for n in given.get(dose, ()) if (d := _dog(hearing, n))]
        nexts: dict[tuple[date, bool], list[str]] = {}
        for dog in dogs:
            soon = care.of_dog(dog, hearing.book(), hearing.kennel, hearing.on)
            due = next((d for d in soon if d.what == dose), None)
            if due is not None and due.on > hearing.on:
                nexts.setdefault((due.on, "core_not_every_year" in due.caution), []).append(dog.name)
        for (on, yearly), names in nexts.items():
            yield words.next_dose(dose, names, on, hearing.kennel, hearing.on, yearly=yearly)


def _bitches(hearing: Hearing) -> Iterable[str]:
    units = [p.entry for p in hearing.posts if isinstance(p.entry, Progesterone) and p.replaces is not None]
    for entry in [*_new(hearing, Season, Progesterone, Mating), *units]:
        dog = _dog(hearing, entry.dog)
        if dog is None:
            continue
        status = breeding.status(dog, hearing.book(), hearing.kennel, hearing.on)
        line = words.bitch(entry, status, hearing.kennel, hearing.on)
        if line:
            yield line


def _temperatures(hearing: Hearing) -> Iterable[str]:
    for entry in _new(hearing, Temperature):
        assert isinstance(entry, Temperature)
        dog = _dog(hearing, entry.dog)
        if dog is None or dog.is_newborn(hearing.on):
            continue
        ledger = hearing.book()
        status = breeding.status(dog, ledger, hearing.kennel, hearing.on)
        if status.dropped is not None:
            on = night_kept.on_now(hearing)
            if on is None or on.dam != dog.name:
                night_kept.begin(hearing, dog, dropped=hearing.at)
            yield words.dropped(entry, status, hearing.unit)
            continue
        key = heat.band(entry.celsius, dog.age_days(entry.on))
        if key in (heat.HOT, heat.COLD):
            line = words.temperature(entry, key, hearing.unit, vet(hearing.scene.kennel, hearing.at))
            hearing.say(line, about="urgent", priority=URGENT)
            if not hearing.is_breeder:
                yield line


def _losses(hearing: Hearing) -> Iterable[str]:
    """A weight that says the vet: lost without a plan, or a young pup that stands still. Newborns have their own."""
    for entry in _new(hearing, Weight):
        dog = _dog(hearing, entry.dog)
        if dog is None or dog.home or hearing.only_keep or dog.is_newborn(hearing.on):
            continue
        if entry.on != hearing.on:
            continue  # a weight of another day, entered late
        found = growth.assess(dog, hearing.book(), hearing.kennel, hearing.on)
        key = next((w for w in found.warnings if w in VETS), None)
        if key is not None and "odd_reading" not in found.warnings:
            yield words.lost(entry, key, hearing.unit, vet(hearing.scene.kennel, hearing.at))


def of_order(dog: Dog, hearing: Hearing) -> str:
    """What a standing order comes to: cups, kcal, the floor, when to weigh; for the breeder alone."""
    kennel = hearing.house
    plan = feeding.assess(dog, hearing.book(whole=True), kennel, hearing.on)
    return words.order(dog, plan, kennel, hearing.on, hearing.unit)
