"""When does she whelp, by the best evidence in the book; and when did a dog last whelp, eat or have a sign."""

from __future__ import annotations

from collections.abc import Callable

from bot.conversation.about import dog_meant, found
from bot.conversation.hearing import Hearing
from bot.replies import bitches, given
from core import breeding
from core.entries import Concern, Entry, Meal, Sign, Whelping
from shared.texts import text

# What "when did she last …" asks for, in the words' own names (`last_seen`): the entries that answer it.
LAST: dict[str, Callable[[Entry], bool]] = {
    "whelping": lambda e: isinstance(e, Whelping),
    "meal": lambda e: isinstance(e, Meal) and e.eaten != "none",
    "vomit": lambda e: isinstance(e, Sign) and e.sign in ("vomit", "bile"),
    "diarrhoea": lambda e: isinstance(e, Sign) and e.sign == "diarrhoea",
    "limp": lambda e: isinstance(e, Sign) and e.sign == "limp",
    "cough": lambda e: isinstance(e, Sign) and e.sign == "cough",
    "seizure": lambda e: isinstance(e, Sign) and e.sign == "seizure",
    "ill": lambda e: isinstance(e, Sign | Concern),
}


def answer(hearing: Hearing) -> bool:
    """True where it was asked when a bitch whelps, or when something was last written down of a dog."""
    return _last(hearing) or _whelps(hearing)


def _last(hearing: Hearing) -> bool:
    asked = ((name, match) for name in LAST if (match := found(f"last_seen.{name}", hearing)))
    name, match = next(asked, ("", None))
    dog = dog_meant(hearing) if match else None
    if match is None or dog is None:
        return False
    hearing.took(match)
    newest = next((p for p in reversed(hearing.book().of(dog.name, until=hearing.on)) if LAST[name](p.entry)), None)
    hearing.say(given.last(name, {dog.name: newest}, hearing.kennel, hearing.on))
    return True


def _whelps(hearing: Hearing) -> bool:
    asked = found("whelps", hearing) if hearing.person.role != "buyer" else None
    dog = dog_meant(hearing) if asked else None
    if asked is None or dog is None or dog.sex == "m":
        return False
    hearing.took(asked)
    status = breeding.status(dog, hearing.book(), hearing.house, hearing.on)
    said = bitches.stands(status, hearing.kennel, hearing.on) if status.due else ""
    hearing.say(said or text("bitches.not_mated", dog=dog.name))
    hearing.because(bitches.why(status, hearing.kennel, hearing.on))
    return True
