"""What changed since last week, in at most eight lines: worst first, what was not written down said as that."""

from __future__ import annotations

from bot.replies import alert, say_units
from bot.replies.answers import ears as ears_words
from bot.replies.answers.asker import Asker
from bot.replies.cite import because
from core.changes import DogWeek, Week, week
from core.roster import Dog
from shared.texts import listed, text

MOST_LINES, MOST_DOGS, MOST_NAMES, MOST_NEWBORN = 8, 5, 6, 3


def lines(asker: Asker, dogs: tuple[Dog, ...] = ()) -> list[str]:
    """The lines of the week that ends today; of some dogs alone where any are given."""
    found = week(asker.kennel, asker.ledger, asker.on, dogs or None)
    changed = sorted((d for d in found.dogs if d.changed), key=lambda d: _pressing(d))
    told = [text("changed.dog", dog=d.dog, what=", ".join(_parts(d, asker))) for d in changed[:MOST_DOGS]]
    if len(changed) > MOST_DOGS:
        told.append(text("changed.also", dogs=_names([d.dog for d in changed[MOST_DOGS:]])))
    same = [d.dog for d in found.dogs if d.as_expected and not d.changed]
    if same:
        told.append(text("changed.as_expected", dogs=_names(same)))
    told += _gaps(found)
    return told[:MOST_LINES] or [text("changed.nothing_told")]


def answer(asker: Asker, dogs: tuple[Dog, ...] = ()) -> tuple[str, str]:
    """The answer to "what changed?" and the reasons kept for "why?"."""
    young = [] if dogs else alert.newborn_lines(asker)[:MOST_NEWBORN]  # the litters have a digest of their own
    return "\n".join([*young, *lines(asker, dogs)][:MOST_LINES]), because(text("changed.why"))


def _pressing(d: DogWeek) -> tuple[int, str]:
    warned = d.growth.warnings if d.growth else ()
    rank = min((alert.PRESSING[w] for w in warned if w in alert.PRESSING), default=alert.LOOK)
    return (min(rank, alert.POORLY) if d.signs or d.concerns else rank, "")


def _parts(d: DogWeek, asker: Asker) -> list[str]:
    said = []
    if d.gone:
        said.append(text("changed.gone"))
    if d.new:
        said.append(text("changed.new"))
    if d.moved and d.gain_kg is not None and d.since is not None:
        said.append(_weight(d, asker))
    said += [text("changed.sign", sign=text(f"kept.sign.{name}"), times=say_units.times(n)) for name, n in d.signs]
    said += [
        text("changed.sign", sign=text(f"kept.concern.{name}"), times=say_units.times(n)) for name, n in d.concerns
    ]
    if d.ears is not None:
        said.append(text(f"changed.ears.{d.ears.trend}", counts=ears_words.counts(d.ears)))
    if d.hands is not None:
        was, now = (say_units.number(h) for h in d.hands)
        said.append(text("changed.hands", was=was, now=now))
    if d.cups is not None:
        was, now = (say_units.eighths(c) for c in d.cups)
        said.append(text("changed.cups", was=was, now=now))
    if d.teeth and d.ears is not None:
        said.append(text("changed.tooth"))
    return said


def _weight(d: DogWeek, asker: Asker) -> str:
    assert d.gain_kg is not None
    gain = say_units.signed(d.gain_kg, asker.unit)
    grown = d.growth
    if grown is None or grown.expected_gain_g_per_day is None or grown.last is None or grown.gain_since is None:
        return text("changed.weight_since", gain=gain, day=say_units.day(d.since or asker.on, asker.on, asker.kennel))
    dog = asker.kennel.dog(d.dog)
    if dog is None or not dog.is_pup(asker.on):
        return text("changed.weight_since", gain=gain, day=say_units.day(d.since or asker.on, asker.on, asker.kennel))
    days = (grown.last[1] - grown.gain_since).days
    expected = say_units.difference(grown.expected_gain_g_per_day * days / 1000, asker.unit)
    return text("changed.weight", gain=gain, days=say_units.days(days), expected=expected)


def _gaps(found: Week) -> list[str]:
    told = []
    for what in ("weigh", "ears"):
        silent = [d.dog for d in found.dogs if what in d.silent]
        if silent:
            told.append(text(f"changed.silent.{what}", dogs=_names(silent)))
    watched = [(d.dog, d.ears_scored) for d in found.dogs if d.ears_scored]
    if watched:
        told.append(
            text("changed.ears_scored", dogs=listed([text("changed.of_seven", dog=n, n=s) for n, s in watched[:4]]))
        )
    if found.bowls_planned:
        told.append(text("changed.bowls", had=found.bowls, planned=found.bowls_planned))
    return told


def _names(dogs: list[str]) -> str:
    return listed(dogs) if len(dogs) <= MOST_NAMES else text("answers.due.dogs", n=len(dogs))
