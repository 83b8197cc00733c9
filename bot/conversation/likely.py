"""The likely answers to "Which dog?": living dogs that the record fits, at most four, or none where many would do."""

from __future__ import annotations

from collections.abc import Iterable

from bot.conversation.hearing import Hearing
from core import breeding, plausible
from core.entries import Ears, Entry, Mating, Progesterone, Season, Temperature, Tooth, Weight, Whelping
from core.roster import Dog

MOST = 4
RIPE_DAYS = 150  # no bitch is in season before about five months; common practice, no source
EARS_DAYS = (21, 252)  # ears come up from three weeks on and are set by about nine months; common practice, no source
TEETH_DAYS = (84, 210)  # milk teeth change between about 12 and 30 weeks; common practice, no source

CARRIES = (breeding.NEAR, breeding.CARRYING, breeding.MATED)
PHASES: dict[type[Entry], tuple[str, ...]] = {
    Mating: (breeding.IN_SEASON, breeding.MATED),
    Progesterone: (breeding.IN_SEASON, breeding.MATED),
    Season: (breeding.RESTING, breeding.NONE),
    Whelping: CARRIES,
    Temperature: (breeding.NEAR, breeding.NURSING),
}


def dogs(entry: Entry | None, offered: tuple[str, ...], hearing: Hearing) -> tuple[str, ...]:
    """The names for the buttons: those that the reader offered where they fit, else the dogs that the record fits."""
    if isinstance(entry, Mating | Progesterone | Season | Whelping):
        offered = tuple(n for n in offered if (d := hearing.kennel.dog(n)) and d.sex == "f")
    if offered or entry is None:
        return offered
    fit = list(_fit(entry, hearing))
    if len(fit) > MOST and not isinstance(entry, Ears | Tooth):
        return ()
    return tuple(d.name for d in fit[:MOST])


def only(entry: Entry, hearing: Hearing) -> str | None:
    """The one dog that such a record can be of: the only bitch in season, the only dog whose ears are watched."""
    if isinstance(entry, Mating | Progesterone):
        fit = [d for d in _fit(entry, hearing) if d.name != getattr(entry, "with_", None)]
    elif isinstance(entry, Ears):
        fit = [d for d in hearing.kennel.at_home() or hearing.kennel.living() if d.ear_watch]
    else:
        return None
    return fit[0].name if len(fit) == 1 else None


def _fit(entry: Entry, hearing: Hearing) -> Iterable[Dog]:
    on = hearing.on
    home = hearing.kennel.at_home() or hearing.kennel.living()
    phases = PHASES.get(type(entry))
    if phases is not None:
        bitches = [d for d in home if d.sex == "f" and not d.neutered and d.age_days(on) >= RIPE_DAYS]
        return [d for d in bitches if breeding.status(d, hearing.ledger, hearing.kennel, on).phase in phases]
    if isinstance(entry, Ears):
        return _aged(home, EARS_DAYS, hearing, watched=True)
    if isinstance(entry, Tooth):
        return _aged(home, TEETH_DAYS, hearing)
    if isinstance(entry, Weight):
        return [d for d in home if plausible.weight_fits(d, entry.kg, on)]
    return [d for d in home if not d.is_newborn(on)]


def _aged(home: Iterable[Dog], days: tuple[int, int], hearing: Hearing, watched: bool = False) -> list[Dog]:
    young = [d for d in home if days[0] <= d.age_days(hearing.on) <= days[1]]
    return [d for d in young if watched and d.ear_watch] or young
