"""Red words: what in a message means "ring the vet", decided before anything else is done with it.

The list (`shared/reference/urgent.toml`) is the breeder's: swallowed poisons and objects (`core.swallowed`), and signs
(`core.red_signs`). A hit is believed for a dog of ours, for "he" and "the pup", and where nobody is named; it is
dropped where it is denied, told of people or other people's animals, long ago, or talk about a subject. Unsure counts
as yes. No answer ever holds a dose or tells how to make a dog vomit.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from core.ledger import Ledger
from core.red_scene import scene
from core.red_signs import sign
from core.roster import Kennel
from core.swallowed import swallowed

NOW, TODAY = "now", "today"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """A red word was said.

    Attributes:
        id: which line of the list. level: `now` (ring the vet now, at any hour) or `today`.
        dog: the dog's name where one is known, else "". text_key: the short answer in the texts.
        words: the words that raised it, for "why?".
    """

    id: str
    level: str
    text_key: str
    dog: str = ""
    words: str = ""


def alarm(
    text: str, kennel: Kennel, on: date, dogs: Sequence[str] = (), after_season: Collection[str] = (),
    ledger: Ledger | None = None,
) -> Alarm | None:  # fmt: skip
    """The worst alarm that a message raises, None where it raises none.

    `dogs` are the dogs' names that the message is already known to be about (from its context); `after_season` the
    bitches that were in season two to eight weeks ago; `ledger` the book, for a whelping that is only there.
    Source: the breeder's red words; poisons as in `toxins.csv` (any amount counts: no dose is weighed here).
    """
    seen = scene(text, kennel, on, dogs, after_season, ledger)
    if not seen.said:
        return None
    found = [h for h in (swallowed(seen), sign(seen)) if h is not None]
    if not found:
        return None
    hit = min(found, key=lambda h: (h.rule.get("level", NOW) != NOW, found.index(h)))
    return Alarm(
        id=hit.rule["id"],
        level=hit.rule.get("level", NOW),
        text_key=hit.rule["text"],
        dog=seen.dog(hit.who),
        words=seen.quote(hit.start, hit.end),
    )
