"""Temperatures and heights."""

from __future__ import annotations

from bot.reading import clocks
from bot.reading.amounts import LENGTH, Amount
from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.work import Work
from core import plausible
from core.entries import Height, Temperature
from core.units import KG_PER_LB, KG_PER_OZ

_BODY_HEAT = words_of("body_heat")

_OTHER_LENGTHS = words_of("cues", "other_lengths")
_TALL = words_of("cues", "tall")
_WARM_PLACES = words_of("cues", "warm_places")
_WARMED_BOXES = words_of("cues", "warmed_boxes")
_WITHERS = words_of("cues", "withers")


def temperature(work: Work, c: Clause) -> None:
    """Keeps a body temperature, or asks back where no dog can have it."""
    if not c.amounts:
        return
    words = work.words
    named = work.where(c, "temp") >= 0
    header = c.topic == "temperature" or (c.topic == "" and work.is_under(c, "temp", told=True))
    for a in c.amounts:
        if a.other not in (None, "things", "speed", "duration"):
            continue
        unit = {"degc": "c", "degf": "f", "deg": None, None: None}.get(a.unit, "")
        if unit == "":
            continue
        degree = a.unit in ("degc", "degf", "deg") or _body_heat(work, c, a)
        after = words.w[a.end] if a.end < len(words) else ""
        if not degree and after in ("c", "f", "°"):
            degree, unit = True, None if after == "°" else after
        if not (named or degree or header or work.topic == "temperature"):
            continue
        if not named and _height_before(work, c):
            continue
        value = plausible.celsius_of(a.value, unit)
        listed = c.topic == "temperature" and not a.whole
        if not (named or work.topic == "temperature" or listed) and (c.elsewhere or value is None):
            continue
        if not named and header and a.whole and not degree:
            continue
        if (a.whole and a.value <= 24 and not degree) or (a.clock and value is None):
            continue
        if work.shut(c, a.i) or c.joke:
            continue
        if _box_heat(work, c) or (
            c.human and not c.named and c.how != "carried" and c.pronoun is None and (work.topic != "temperature")
        ):
            continue
        c.topic = "temperature"
        on = work.day(c)
        clock = clocks.clock_in(words, c.lo, c.hi, [x for x in c.amounts if x is not a])
        dogs = work.whom(c, "temperature")
        if value is None:
            if dogs and (named or (c.topic == "temperature" and not c.elsewhere)):
                work.doubt("value", Temperature(dog=dogs[0], on=on, celsius=a.value), c)
            continue
        value = round(value, 3)
        if not dogs:
            if named:
                work.no_dog(c, Temperature(dog="", on=on, celsius=value), sure=not c.human)
            continue
        if len(dogs) > 1 and not (len(c.amounts) == 1 and c.group):
            near = [m for m in c.mentions if m.kind == "name" and m.i < a.i]
            dogs = near[-1].names if near else dogs[:1]
        for name in dogs:
            work.put(Temperature(dog=name, on=on, celsius=value, clock=clock), c)
        return


def _body_heat(work: Work, c: Clause, a: Amount) -> bool:
    """'104.6 on Sunny': a figure with its decimal that no weight of the dog can be and every body temperature is."""
    if a.unit is not None or a.whole or a.other is not None or a.of is not None or c.elsewhere or a.form != "digits":
        return False
    if not (34.0 <= a.value <= 42.0 or 93.0 <= a.value <= 108.0) or work.where(c, "weigh") >= 0:
        return False
    dogs = work.dogs(c, "temperature")
    if len(dogs) != 1 or dogs[0].last_weight is None:
        return False
    on, unit = work.day(c), work.kennel.weight_unit
    own = {"kg": (1.0, 0.001), "lb": (KG_PER_LB, KG_PER_OZ)}[unit]
    if any(plausible.weight_fits(dogs[0], a.value * f, on) for f in own):
        return False
    said = {w for o in work.clauses if abs(o.sentence - c.sentence) <= 1 for w in work.words.w[o.lo : o.hi]}
    if said & _BODY_HEAT:
        return True
    if plausible.read_weight(dogs[0], a.value, on, unit) is not None:
        return False
    return not any(plausible.weight_fits(dogs[0], a.value * f * own[0], on) for f in (0.1, 10.0))


def _box_heat(work: Work, c: Clause) -> bool:
    days = {i for w in c.whens for i in range(w.i, w.end)}  # "Sun 39.3"
    warm = any(work.words.w[i] in _WARM_PLACES and i not in days for i in range(c.lo, c.hi))
    return (warm and work.where(c, "temp") < 0) or work.says(c, _WARMED_BOXES)


def height(work: Work, c: Clause) -> None:
    """Keeps a height at the withers, or asks back where no dog can have it."""
    i = work.where(c, "height")
    listed = i < 0 and (c.topic == "height" or _height_before(work, c))
    for a in c.amounts:
        if a.unit not in LENGTH:
            withers = i >= 0 and _wither(work, c)
            if not (a.unit is None and a.other is None and (withers or listed) and not a.clock):
                continue
        if a.unit is None and "earw" in c.meanings:
            continue  # "only one ear that stands"
        if i < 0 and not (work.topic == "height" or work.is_under(c, "height") or listed):
            continue
        if work.shut(c, a.i) or c.joke:
            continue
        if i >= 0 and not _wither(work, c) and not work.says(c, _TALL) and work.says(c, _OTHER_LENGTHS):
            continue
        unit = a.unit or ("inch" if work.kennel.weight_unit == "lb" and a.value < 40 else "cm")
        cm = round(a.value * LENGTH[unit], 3)
        on = work.day(c)
        dogs = work.whom(c, "height")
        if not dogs:
            work.no_dog(c, Height(dog="", on=on, cm=cm), sure=_wither(work, c))
            return
        if len(dogs) > 1:
            near = [m for m in c.mentions if m.kind == "name" and m.i < a.i]
            dogs = near[-1].names if near else dogs[:1]
        c.topic = "height"
        for name in dogs:
            if plausible.height_fits(cm):
                work.put(Height(dog=name, on=on, cm=cm), c)
            else:
                work.doubt("value", Height(dog=name, on=on, cm=cm), c)
        return


def _height_before(work: Work, c: Clause) -> bool:
    """'Height at withers: Pip 38 cm, Rosie 36.5': the next of a list that began with a height."""
    return c.how == "own" and any(isinstance(e, Height) and k.sentence == c.sentence for e, k in work.found)


def _wither(work: Work, c: Clause) -> bool:
    return work.says(c, _WITHERS)
