"""A bare weight that only fits in another unit than the writer's own: kept as it was read, and said with what was
written; of a dam near her time or nursing, a figure that is a body heat is asked about before it is kept."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bot.conversation.doubts import ANSWERS, pack, unpack
from bot.conversation.heard import LONGEST, plain, yes_or_no
from bot.conversation.hearing import Hearing
from bot.reading import amounts, tokens
from bot.replies import kept, say_units
from core import breeding
from core.entries import Entry, Reading, Temperature, Weight
from core.turns import Asked
from core.units import KG_PER_LB
from shared.texts import text

SAME = 0.006  # kg; the reader rounds to the gram, a person's figure has one place or two
BODY_HEAT = (37.0, 41.0)  # °C of a dam that is worth a question; common practice, no source


@dataclass(frozen=True, slots=True)
class Bare:
    """A weight that was read from a bare figure in the unit that is not the writer's."""

    entry: Weight
    figure: float


def split(reading: Reading, hearing: Hearing) -> tuple[Reading, list[Bare], list[Bare]]:
    """The reading without what is asked before it is kept, the weights read in another unit, and those held back."""
    if hearing.message.edit or hearing.only_keep:
        return reading, [], []
    bare = [b for e in reading.entries if isinstance(e, Weight) and (b := _bare(e, hearing)) is not None]
    held = [b for b in bare if _may_be_heat(b, hearing)]
    entries = tuple(e for e in reading.entries if not any(e is b.entry for b in held))
    # A weight in the writer's own unit is only asked about where it may be a heat.
    return replace(reading, entries=entries), [b for b in bare if b not in held and _is_other(b, hearing)], held


def ask(other: list[Bare], held: list[Bare], hearing: Hearing) -> bool:
    """True where something was said or asked: the message is not marked before it is answered."""
    for one in held:
        heat = Temperature(dog=one.entry.dog, on=one.entry.on, clock=one.entry.clock, said=one.entry.said,
                           celsius=one.figure)  # fmt: skip
        weighed = replace(one.entry, replaces=False)
        choices = tuple(kept.fact(e, hearing.kennel, hearing.unit) for e in (heat, weighed))
        facts = {"heat": pack(heat), "weight": pack(weighed)}
        hearing.ask("heat or weight", text("doubts.heat_or_weight", dog=one.entry.dog), choices, facts)
    for one in other:
        weight = say_units.weight(one.entry.kg, hearing.unit)
        asked = text("doubts.other_unit", dog=one.entry.dog, weight=weight, figure=say_units.number(one.figure))
        hearing.ask("other unit", asked, (text("doubts.yes"), text("doubts.no")), {"entry": pack(one.entry)})
    return bool(other or held)


def _bare(entry: Weight, hearing: Hearing) -> Bare | None:
    dog, said = hearing.kennel.dog(entry.dog), hearing.message.text
    if dog is None or dog.is_newborn(entry.on) or not said or len(said) > LONGEST:
        return None
    found = amounts.find(tokens.cut(said))
    if any(a.unit in amounts.MASS for a in found):
        return None  # a unit was said somewhere: the figures beside it follow it
    figures = [a.value for a in found if a.unit is None and a.other is None and a.of is None]
    near = (n for n in figures for kg in (n, n * KG_PER_LB) if abs(kg - entry.kg) < SAME)
    figure = next(near, None)
    return None if figure is None else Bare(entry, figure)


def _is_other(bare: Bare, hearing: Hearing) -> bool:
    own = bare.figure if hearing.unit == "kg" else bare.figure * KG_PER_LB
    return abs(own - bare.entry.kg) >= SAME


def _may_be_heat(bare: Bare, hearing: Hearing) -> bool:
    """True for a figure that is a dam's body heat, of one near her time or nursing; a whole one only where it does not
    fit as a weight in the writer's own unit."""
    low, high = BODY_HEAT
    dog = hearing.kennel.dog(bare.entry.dog)
    if dog is None or dog.sex == "m" or not low <= bare.figure <= high:
        return False
    if bare.figure == int(bare.figure) and not _is_other(bare, hearing):
        return False
    status = breeding.status(dog, hearing.ledger, hearing.kennel, hearing.on)
    return status.phase in (breeding.NEAR, breeding.NURSING)


def _other_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    if meant is None:
        return False
    if meant:
        hearing.mark()
        return True
    entry = unpack(asked.facts["entry"])
    gone = [p for p in hearing.ledger.of_message(hearing.message.room, asked.message) if _same(p.entry, entry)]
    hearing.withdrawn.extend(p.id for p in gone)
    hearing.say(text("doubts.taken_out"), about="left out")
    return True


def _same(one: Entry, other: Entry) -> bool:
    return one.kind == other.kind and (one.dog, one.on) == (other.dog, other.on)


def _heat_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    heat, weight = unpack(asked.facts["heat"]), unpack(asked.facts["weight"])
    low = plain(said)
    shown = {plain(c): e for c, e in zip(asked.choices, (heat, weight), strict=True)}
    words = {text("doubts.kind.temperature"): heat, text("doubts.kind.plain_weight"): weight}
    entry = shown.get(low) or next((e for word, e in words.items() if word in low.split()), None)
    if entry is None:
        if yes_or_no(said) is False:
            hearing.say(text("doubts.left_out"), about="left out")
            return True
        return False
    hearing.post(entry)
    hearing.mark()
    return True


ANSWERS["other unit"] = _other_answered
ANSWERS["heat or weight"] = _heat_answered
