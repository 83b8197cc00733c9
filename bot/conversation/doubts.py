"""Asking back: one short question with the likely answers as buttons, and what its answer brings about."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from bot.conversation import likely
from bot.conversation.about import dog_alone, dogs_named
from bot.conversation.heard import plain, yes_or_no
from bot.conversation.hearing import OPEN_FOR, PRESSED_FOR, Hearing
from bot.reading.no_day import days_in
from bot.replies import kept, say_units
from core.breeding import plausible_units
from core.entries import Doubt, Entry, Progesterone, Reading, as_fields, entry_from
from core.roster import Dog
from core.turns import Asked
from shared.texts import text

ANSWERED, MOST_KEPT = "answered", 20  # which message answered a doubt about which, in mind of the last so many
MOST_BUTTONS = 6
# "28", "the 28th", "oh sorry, the 28th": a day of the month that was meant before.
DAY_ALONE = re.compile(
    r"\W*(?:(?:oh|sorry|no|um|er|i\s+meant?|on)\W+)*(?:the\s+)?(\d{1,2})(?:st|nd|rd|th)?\s*[.!]?\s*", re.IGNORECASE
)
MEANT = re.compile(r"^\W*(?:(?:oh|oops|sorry|no|um|er|i\s+(?:mean|meant)|it.?s|should\s+be)\W+)+", re.IGNORECASE)
MOST_WORDS = 8  # a longer message is no answer to a short question

Answered = Callable[[Hearing, Asked, str], bool]


def pack(entry: Entry) -> dict[str, Any]:
    """An entry as facts that can be remembered."""
    return {"kind": entry.kind, "dog": entry.dog, **as_fields(entry)}


def unpack(facts: Mapping[str, Any]) -> Entry:
    """The entry that was remembered."""
    values = dict(facts)
    return entry_from(values.pop("kind"), values)


def ask(doubts: tuple[Doubt, ...], hearing: Hearing, whole: bool) -> None:
    """Ask the one question that settles the first doubt; `whole` where nothing else of the message was kept.

    The others are asked one by one, each when the one before it was answered.
    """
    missing = next((d for d in doubts if d.about == "day"), None)
    if missing is not None:
        _ask_day(missing, hearing)  # its answer reads the whole message again
        return
    ownerless = next((d for d in doubts if d.about == "dog"), None)
    if ownerless is not None:
        _ask_dog(ownerless, hearing, whole)
    for doubt in doubts:
        if doubt.about == "value" and (ownerless is None or not whole):
            _ask_value(doubt, hearing)


def ask_unit(entry: Progesterone, hearing: Hearing) -> None:
    """Ask in which unit a blood test was said; the figure itself is kept meanwhile."""
    hearing.ask("unit", text("doubts.which_unit"), plausible_units(entry.value), pack(entry))


def answer(hearing: Hearing) -> bool:
    """True where the message answered an open question, which is then settled."""
    said = hearing.message.pressed or hearing.message.text
    for asked in reversed(hearing.mind().asked):
        age = hearing.at - asked.at
        pressed = bool(hearing.message.pressed)
        if asked.about not in ANSWERS or age > (PRESSED_FOR if pressed else OPEN_FOR):
            continue
        if pressed and hearing.message.pressed not in asked.choices:
            continue
        if not pressed and (asked.person != hearing.person.name or len(said.split()) > MOST_WORDS):
            continue
        if ANSWERS[asked.about](hearing, asked, said):
            hearing.settle(asked)
            if hearing.posts:
                _belongs(hearing, asked)
            hearing.ask_next(asked)
            return True
    return False


def _belongs(hearing: Hearing, asked: Asked) -> None:
    """What an answer gave belongs to the message that was in doubt: editing that message corrects it."""
    known = dict(hearing.mind().facts.get(ANSWERED) or {})
    known[asked.message] = hearing.message.key
    hearing.keep(hearing.message.room, **{ANSWERED: dict(list(known.items())[-MOST_KEPT:])})


def answered_by(hearing: Hearing) -> str:
    """The key of the message that answered a doubt about this one, "" where none did."""
    return str((hearing.mind().facts.get(ANSWERED) or {}).get(hearing.message.key, ""))


# Which dog


def _ask_dog(doubt: Doubt, hearing: Hearing, whole: bool) -> None:
    choices = likely.dogs(doubt.entry, doubt.choices, hearing)[:MOST_BUTTONS]
    facts: dict[str, Any] = {}
    if whole:
        facts["text"] = hearing.message.text
        facts["at"] = hearing.at.isoformat()
    if doubt.entry is not None:
        facts["entry"] = pack(doubt.entry)
    hearing.ask("dog", text("doubts.which_dog"), choices, facts)


def _dog_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = dog_alone(said, hearing)
    if meant is None:
        if yes_or_no(said) is False:
            hearing.say(text("doubts.left_out"), about="left out")
            return True
        return False
    dog = meant.name
    entries: tuple[Entry, ...] = ()
    if asked.facts.get("text"):
        reading = hearing.read(
            f"{dog} {asked.facts['text']}", asked.person, asked.at, hearing.kennel, hearing.scene.recent
        )
        entries = tuple(e for e in reading.entries if e.dog == dog)
        odd = tuple(d for d in reading.doubts if d.about == "value" and d.entry is not None and d.entry.dog == dog)
        if odd:  # now that the dog is known, its figure can't be right
            for entry in entries:
                hearing.post(entry)
            ask(odd, hearing, whole=False)
            return True
    if not entries and asked.facts.get("entry"):
        entries = (replace(unpack(asked.facts["entry"]), dog=dog),)
    for entry in entries:
        hearing.post(entry)
        if isinstance(entry, Progesterone) and entry.unit is None:
            ask_unit(entry, hearing)
            return True
    if entries:
        hearing.mark()
    return bool(entries)


def dog_asked_for(hearing: Hearing, asked: Asked, said: str) -> Dog | None:
    """The dog that the answer to a question about a question names; it is settled where another thing is said of one.

    "Gave Moss her wormer" is no answer to "Which dog?": it is heard for itself.
    """
    dog = dog_alone(said, hearing)
    if dog is None and dogs_named(said, hearing):
        hearing.settle(asked)
    return dog


# Which value


def _ask_value(doubt: Doubt, hearing: Hearing) -> None:
    entry = doubt.entry
    facts = {"entry": pack(entry)} if entry is not None and entry.dog else {}
    likely = _with_choice(doubt) if facts else None
    if likely is not None:
        shown = kept.fact(likely, hearing.kennel, hearing.unit)
        facts["likely"] = pack(likely)
        choices = (text("doubts.yes"), text("doubts.no"))
        hearing.ask("value", text("doubts.did_you_mean", dog=likely.dog, value=shown), choices, facts)
        if entry is not None:
            _because(entry, hearing)
        return
    dog = entry.dog if entry is not None and entry.dog else ""
    asked = text("doubts.which_value_of", dog=dog) if dog else text("doubts.which_value")
    hearing.ask("value", asked, (), facts)


def _because(entry: Entry, hearing: Hearing) -> None:
    """Keep for "why?" what the figure stands beside."""
    last = hearing.ledger.last(entry.dog, type(entry), until=hearing.on)
    if last is not None:
        was, said = (kept.fact(e, hearing.kennel, hearing.unit) for e in (last.entry, entry))
        day = say_units.on_day(last.entry.on, hearing.on, hearing.kennel)
        hearing.because(text("why.value", dog=entry.dog, value=said, was=was, day=day))


def _with_choice(doubt: Doubt) -> Entry | None:
    """The entry with the likeliest other value, None where none was offered or it can't be put in."""
    if doubt.entry is None or not doubt.choices:
        return None
    fields = {"weight": "kg", "temperature": "celsius", "height": "cm", "condition": "score", "progesterone": "value"}
    name = fields.get(doubt.entry.kind)
    try:
        return unpack({**pack(doubt.entry), name: float(doubt.choices[0].split()[0])}) if name else None
    except (ValueError, IndexError):
        return None


def _value_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    meant = yes_or_no(said)
    again = _read_again(hearing, asked, said)
    if again and not hearing.message.pressed:
        for entry in again.entries:
            hearing.post(entry)
        hearing.mark()
        return True
    if meant is True and asked.facts.get("likely"):
        hearing.post(unpack(asked.facts["likely"]))
        hearing.mark()
        return True
    if meant is False:
        hearing.say(text("doubts.left_out"), about="left out")
        return True
    return False


def _read_again(hearing: Hearing, asked: Asked, said: str) -> Reading | None:
    """The answer read as the same kind of note of the same dog ("9.6"); None where it is not one."""
    if not asked.facts.get("entry") or not any(c.isdigit() for c in said):
        return None
    old = unpack(asked.facts["entry"])
    said = MEANT.sub("", said)
    for words in (said, f"{old.dog} {said}", f"{old.dog} {kind_word(old)} {said}"):
        reading = hearing.read(words, asked.person, asked.at, hearing.kennel, ())
        if any(e.kind == old.kind and e.dog == old.dog for e in reading.entries) and not reading.doubts:
            return replace(reading, entries=tuple(replace(e, replaces=False) for e in reading.entries))
    return None


def kind_word(entry: Entry) -> str:
    """The kind as a person would write it before a figure."""
    return text(f"doubts.kind.{entry.kind}") if entry.kind in ("weight", "temperature", "height") else entry.kind


# Which unit


def _unit_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    low = plain(said)
    unit = next((u for u in asked.choices if low.startswith(u.split("/")[0])), None)
    unit = unit or (asked.choices[0] if yes_or_no(said) else None)
    if unit is None:
        return False
    entry = unpack(asked.facts)
    assert isinstance(entry, Progesterone)
    old = next((p for p in reversed(hearing.ledger.of(entry.dog, Progesterone)) if p.message == asked.message), None)
    hearing.post(replace(entry, unit=unit, replaces=old is not None), replaces=old.id if old else None)
    hearing.mark()
    return True


# Which day


def _ask_day(doubt: Doubt, hearing: Hearing) -> None:
    facts = {"text": hearing.message.text, "said": doubt.said}
    hearing.ask("day", text("doubts.no_such_day", said=doubt.said), (), facts)


def _day_answered(hearing: Hearing, asked: Asked, said: str) -> bool:
    wrong = re.compile(rf"(?:\bon\s+(?:the\s+)?)?{re.escape(asked.facts['said'])}", re.IGNORECASE)
    day = _as_day(said, asked.facts["said"], hearing)
    again = wrong.sub(lambda _: day, asked.facts["text"], count=1)
    if not day or again == asked.facts["text"]:
        if yes_or_no(said) is False:
            hearing.say(text("doubts.left_out"), about="left out")
            return True
        return False
    reading = hearing.read(again, asked.person, asked.at, hearing.kennel, ())
    for entry in reading.entries:
        hearing.post(entry)
    if reading.entries:
        hearing.mark()
    return bool(reading.entries)


def _as_day(said: str, wrong: str, hearing: Hearing) -> str:
    """The answer as words that name a day ("28" after "31 February" is 28 February), "" where it names none."""
    plain_day = DAY_ALONE.fullmatch(said)
    tries = [said, f"on {said}"]
    if plain_day and any(c.isalpha() for c in wrong):
        tries.insert(0, re.sub(r"\d+(?:st|nd|rd|th)?", plain_day[1], wrong, count=1, flags=re.IGNORECASE))
    today = hearing.kennel.day_of(hearing.at)
    for words in tries:
        if days_in(words, today, hearing.kennel.day_first):
            return words if words.startswith("on ") else f"on {words}" if words[:1].isdigit() else words
    return ""


ANSWERS: dict[str, Answered] = {
    "dog": _dog_answered,
    "value": _value_answered,
    "unit": _unit_answered,
    "day": _day_answered,
}
