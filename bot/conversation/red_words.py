"""Red words: answered at once and before anything else, with the stored vet's number; the breeder hears of it too.

A note that is itself such a sign, though no red word told it, is answered in the same way.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime, time

from bot.conversation import alarms
from bot.conversation.about import dog_of_pronoun, dogs_written_of
from bot.conversation.heard import phrases
from bot.conversation.hearing import Hearing
from core import breeding, care
from core.entries import Entry, Sign
from core.ledger import Ledger
from core.messages import URGENT
from core.patient import Who, named
from core.roster import BREEDER, Kennel
from core.swallowed import is_harmless, names_an_object
from core.urgent import NOW, Alarm, alarm
from core.wording import words
from shared.tables import facts
from shared.texts import text

# When a practice answers its day number; outside it the night number comes first. Common practice, no source.
OPEN, CLOSED, LAST_DAY = time(8), time(18), 5
LONGEST_QUOTE = 200

# What is said of a sign that was read; of vomiting and runs in a young pup the last.
SIGN_TEXTS = {"seizure": "urgent.seizure", "swallowed": "urgent.poison"}
ILL_PUP = "urgent.young_pup"


def answer(hearing: Hearing) -> bool:
    """Answer red words; the message is still read, and what it records is kept, but nothing else is said."""
    found = _alarm(hearing)
    if found is not None:
        ring(found, hearing)
    return False


def of_notes(entries: Iterable[Entry], hearing: Hearing) -> None:
    """Ring for what a message is about to note and means the vet at once: swallowed, a seizure, a young pup that is
    sick and has the runs. It comes before they are posted, so that nothing is asked beside it."""
    signs = [e for e in entries if isinstance(e, Sign) and not e.replaces]
    if signs and not hearing.only_keep:
        _ring_for(signs, hearing.book_with(signs), hearing)


def of_posts(hearing: Hearing) -> None:
    """Ring for what was posted in any other way: the answer to a question, an edit."""
    signs = [p.entry for p in hearing.posts if isinstance(p.entry, Sign) and p.replaces is None]
    if signs and not hearing.only_keep:
        _ring_for(signs, hearing.book(), hearing)


def _ring_for(signs: Iterable[Sign], ledger: Ledger, hearing: Hearing) -> None:
    said = hearing.message.text
    for entry in signs:
        dog = hearing.kennel.dog(entry.dog)
        watches = care.signs(dog, ledger, hearing.on) if dog is not None else ()
        watch = next((w for w in watches if w.sign == entry.sign), None)
        if entry.sign == "swallowed" and (is_harmless(said) or names_an_object(said)):
            continue
        if watch is not None and watch.level == NOW and entry.on >= watch.since:
            key = SIGN_TEXTS.get(entry.sign, ILL_PUP)
            words = entry.said or text(f"kept.sign.{entry.sign}")
            ring(Alarm(id=entry.sign, level=NOW, text_key=key, dog=entry.dog, words=words), hearing)
            return


def ring(found: Alarm, hearing: Hearing) -> None:
    """The one line, at once; what the message records is kept, and nothing else is said."""
    line = _line(found, hearing)
    hearing.only_keep = True
    hearing.say(line, about="urgent", priority=URGENT)
    if found.level == NOW:
        alarms.raised(hearing, line, found.id, found.dog, found)
    hearing.because(text("why.red_words", words=found.words), hearing.message.room)
    if not hearing.is_breeder:
        quote = " ".join(hearing.message.text.split())[:LONGEST_QUOTE]
        hearing.tell_breeder(
            text("urgent.told_breeder", who=hearing.person.name, said=quote, line=line), about="urgent", priority=URGENT
        )


def _alarm(hearing: Hearing) -> Alarm | None:
    said = hearing.message.text
    if not said:
        return None
    if hearing.person.role == "buyer":
        return _alarm_of(said, hearing.kennel, hearing.person.dogs, hearing)
    found = _in_family(said, hearing)
    if found is None or _is_usual(found, hearing):
        return None
    if found.dog:
        return found
    return found if _names_another(said, found, hearing) else replace(found, dog=_meant(found, hearing))


def _in_family(said: str, hearing: Hearing) -> Alarm | None:
    """The alarm of a helper's message; the dog spoken of last counts where the words have no subject of their own."""
    kennel, lately = hearing.kennel, dogs_written_of(hearing)
    bare = _alarm_of(said, kennel, (), hearing)
    if bare is None:
        unnamed = _alarm_of(said, _without_namesakes(hearing), (), hearing)
        return unnamed or _alarm_of(said, kennel, lately, hearing)
    if bare.dog or _has_subject(said, hearing) or _names_another(said, bare, hearing):
        return bare
    return _alarm_of(said, kennel, lately, hearing)


def _alarm_of(said: str, kennel: Kennel, dogs: Sequence[str], hearing: Hearing) -> Alarm | None:
    return alarm(said, kennel, hearing.on, dogs, _after_season(hearing), hearing.ledger)


def _has_subject(said: str, hearing: Hearing) -> bool:
    """True where the words name one of ours, by name or as "one of the babies"."""
    return any(s.who is Who.OURS and not s.owner for s in named(words(said), hearing.kennel))


def _names_another(said: str, found: Alarm, hearing: Hearing) -> bool:
    """True where an unknown word stands alone in the subject's place, as the collar of a pup without a name: "pink
    won't suck" is not of the dog spoken of last."""
    if found.text_key in alarms.SWALLOWED:
        return False  # who ate it was looked for where the eating stands
    text_, sign = [w.text for w in words(said)], found.words.split()
    at = next((i for i in range(len(text_)) if text_[i : i + len(sign)] == sign), 0)
    rules = facts("urgent")
    small = {*rules["words"]["light"], *rules["who"]["pronouns"], *rules["words"]["joins"], "she", "he", "shes", "hes"}
    before = [w for w in text_[:at] if w not in small]
    return len(before) == 1


def _without_namesakes(hearing: Hearing) -> Kennel:
    """The kennel without the older dogs whose name may be a newborn's collar here: "blue won't suck"."""
    newborn = any(d.is_newborn(hearing.on) for d in hearing.kennel.at_home())
    colours = set(phrases()["night"]["colours"]) if newborn else set()
    dogs = tuple(
        d for d in hearing.kennel.dogs if d.is_newborn(hearing.on) or d.name.casefold() not in colours
    )
    return replace(hearing.kennel, dogs=dogs)


def _is_usual(found: Alarm, hearing: Hearing) -> bool:
    """True for green discharge between pups: it is a sign before the first one alone (the kennel's own lines)."""
    night = hearing.scene.memory[BREEDER].facts.get("night") if BREEDER in hearing.scene.memory else None
    return found.id == "green discharge" and bool(night and not night.get("done") and night.get("births"))


def _after_season(hearing: Hearing) -> frozenset[str]:
    """The bitches that were in season lately, in whom thirst or a discharge is for the vet the same day."""
    kennel, ledger, on = hearing.kennel, hearing.ledger, hearing.on
    return frozenset(d.name for d in kennel.living() if breeding.after_season(d, ledger, kennel, on))


def _meant(found: Alarm, hearing: Hearing) -> str:
    """Whom an alarm without a name is of: the dam of this whelping night, or "he" who was named just now; else ""."""
    night = hearing.scene.memory[BREEDER].facts.get("night") if BREEDER in hearing.scene.memory else None
    if found.text_key == "urgent.whelping" and night and night.get("dam"):
        return str(night["dam"])
    dog = dog_of_pronoun(hearing)
    return dog.name if dog is not None else ""


def _line(found: Alarm, hearing: Hearing) -> str:
    what = text(found.text_key)
    level = "now" if found.level == NOW else "today"
    if hearing.person.role == "buyer":
        breeder = hearing.kennel.breeder.name if hearing.kennel.breeder else text("urgent.the_breeder")
        line = text(f"urgent.buyer_{level}", what=what, breeder=breeder)
    else:
        line = text(f"urgent.{level}", what=what, vet=vet(hearing.scene.kennel, hearing.at))
    return text("urgent.named", dog=found.dog, line=line) if found.dog else line


def vet(kennel: Kennel, at: datetime) -> str:
    """The stored vet with the number that answers at this hour first."""
    stored = kennel.vet
    if not stored.day and not stored.night:
        return text("urgent.no_number")
    local = kennel.local(at)
    by_day = _is_open(local.date(), local.time())
    first, second = (stored.day, stored.night) if by_day else (stored.night, stored.day)
    first, second = (first, second) if first else (second, "")
    if second and second != first:
        return text("urgent.vet_both", name=stored.name, number=first, other=second).strip()
    return text("urgent.vet", name=stored.name, number=first).strip()


def _is_open(on: date, clock: time) -> bool:
    return on.weekday() < LAST_DAY and OPEN <= clock < CLOSED
