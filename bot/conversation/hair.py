"""The hair of the ears: how much came off, when it is back, and what the breeder means by a centimetre."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.conversation.about import dog_meant, dogs_named, found
from bot.conversation.days import day_ahead
from bot.conversation.doubts import ANSWERS
from bot.conversation.heard import patterns, plain
from bot.conversation.hearing import Hearing
from bot.replies import hair
from core import regrowth
from core.entries import Groom
from core.regrowth import BACK, LEFT, OFF, TRIM
from core.roster import BREEDER, Dog
from core.turns import Asked, Post
from core.units import CM_PER_INCH
from shared.texts import text

CM = (0.1, 6.0)  # a length of ear hair; anything else is another measure
ASKED = "trim asked"  # in mind of the breeder's line once she was asked: she is asked once in a lifetime


def look(hearing: Hearing) -> bool:
    """Add the length that was said to the ear trims just kept; true where the breeder was asked what she means by it.

    She is asked once, ever: her answer holds for every length after it.
    """
    trims = [n for n, p in enumerate(hearing.posts) if isinstance(p.entry, Groom) and p.entry.task == TRIM]
    cm, cut = _length(hearing.message.text) if trims else (None, "")
    if cm is None:
        return False
    for n in trims:
        post = hearing.posts[n]
        assert isinstance(post.entry, Groom)
        hearing.posts[n] = Post(entry=replace(post.entry, cm=cm, cut=cut or None), replaces=post.replaces)
    breeder = hearing.scene.kennel.breeder
    if cut or hearing.house.trim_means or breeder is None or hearing.mind(BREEDER).facts.get(ASKED):
        return False
    hearing.keep(BREEDER, **{ASKED: True})
    said = [*(_when_back(n, hearing) for n in _trimmed(hearing)), text("hair.ask")]
    choices = (text("hair.off"), text("hair.left"))
    hearing.ask("trim means", " ".join(said), choices, room=BREEDER, person=breeder.name)
    return True


def tell(hearing: Hearing) -> None:
    """Tell the breeder when the hair that was trimmed is about back."""
    for name in _trimmed(hearing):
        hearing.tell_breeder(_when_back(name, hearing))


def _trimmed(hearing: Hearing) -> list[str]:
    new = [p.entry for p in hearing.posts if p.replaces is None and isinstance(p.entry, Groom) and p.entry.task == TRIM]
    return [name for name in dict.fromkeys(e.dog for e in new) if hearing.kennel.dog(name)]


def _when_back(name: str, hearing: Hearing) -> str:
    dog = hearing.kennel.by_name[name]
    seen = regrowth.assess(dog, hearing.book(), hearing.house, hearing.on)
    return hair.trimmed(dog, seen, hearing.kennel, hearing.on, hearing.unit) if seen else ""


def answer(hearing: Hearing) -> bool:
    """True where ear hair was told to be back, or asked about."""
    return _asked(hearing) or _back(hearing) or _taken_off(hearing)


def _asked(hearing: Hearing) -> bool:
    asked = found("hair.asked", hearing)
    dogs = _dogs(hearing) if asked else []
    if asked is None or not dogs:
        return False
    hearing.took(asked)
    show = day_ahead(hearing.message.text, hearing.on, hearing.kennel)
    trims = [(d, regrowth.assess(d, hearing.book(), hearing.kennel, hearing.on)) for d in dogs]
    hearing.say("\n".join(hair.stands(d, seen, show, hearing.kennel, hearing.on, hearing.unit) for d, seen in trims))
    hearing.because(hair.why([seen for _, seen in trims if seen]))
    return True


def _back(hearing: Hearing) -> bool:
    told = found("hair.back", hearing)
    if told is None or "?" in hearing.message.text or any(p.search(hearing.message.text) for p in patterns("hair.not")):
        return False
    dogs = [d for d in _dogs(hearing) if regrowth.assess(d, hearing.book(), hearing.kennel, hearing.on)]
    if not dogs:
        return False
    hearing.took(told)
    for dog in dogs:
        hearing.post(Groom(dog=dog.name, on=hearing.on, task=BACK, said=hearing.message.text))
    hearing.mark()
    return True


def _taken_off(hearing: Hearing) -> bool:
    """ "Took a centimetre off his ears": a trim."""
    told = found("hair.took_off", hearing)
    if told is None or "?" in hearing.message.text:
        return False
    dogs = dogs_named(told[0], hearing) or _dogs(hearing)
    if not dogs:
        return False
    hearing.took(told)
    for dog in dogs:
        hearing.post(Groom(dog=dog.name, on=hearing.on, task=TRIM, said=hearing.message.text))
    look(hearing)
    tell(hearing)
    hearing.mark()
    return True


def _dogs(hearing: Hearing) -> list[Dog]:
    named = dogs_named(hearing.message.text, hearing)
    meant = dog_meant(hearing)
    return list(named) or ([meant] if meant else [])


def _length(said: str) -> tuple[float | None, str]:
    """The length in cm that the words name, None for none; and whether it was taken `off` or `left` on, where said."""
    for name, cut in (("hair.length_off", OFF), ("hair.length_left", LEFT), ("hair.length", "")):
        for pattern in patterns(name):
            if m := pattern.search(said):
                cm = _cm(m)
                return (cm, cut) if CM[0] <= cm <= CM[1] else (None, "")
    return None, ""


def _cm(m: re.Match[str]) -> float:
    word = " ".join(m["n"].casefold().split())
    number = {"a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "half a": 0.5, "half an": 0.5}.get(word)
    number = float(word.replace(",", ".")) if number is None else number
    unit = m["unit"].casefold()
    return number / 10 if unit.startswith("m") else number * CM_PER_INCH if unit.startswith("i") else number


def _means(hearing: Hearing, asked: Asked, said: str) -> bool:
    low = plain(said)
    off = low == text("hair.off") or any(p.search(low) for p in patterns("hair.answer_off"))
    left = low == text("hair.left") or any(p.search(low) for p in patterns("hair.answer_left"))
    if off == left:
        return False
    hearing.change(replace(hearing.house, trim_means=OFF if off else LEFT))
    hearing.say(text("hair.means_off" if off else "hair.means_left"))
    return True


ANSWERS["trim means"] = _means
