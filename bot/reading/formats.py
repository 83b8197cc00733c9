"""The reading format's rosters and messages as the types of the core."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from core.entries import Reading, as_format
from core.messages import Message
from core.roster import Dog, Kennel, KnownWeight, Person


class BadInput(ValueError):
    """A roster or a message is not as the reading format says; the message names what was found."""


def kennel_of(roster: Any) -> Kennel:
    """The kennel that a roster (one JSON object) describes.

    Raises:
        BadInput: something is missing or of the wrong kind.
    """
    if not isinstance(roster, Mapping):
        raise BadInput("the roster is not one JSON object")
    try:
        zone = str(roster["time_zone"])
        ZoneInfo(zone)
        unit = roster.get("weight_unit", "kg")
        if unit not in ("kg", "lb"):
            raise BadInput(f"weight_unit is kg or lb, not {unit!r}")
        return Kennel(
            name=str(roster.get("kennel", "")),
            zone=zone,
            weight_unit=unit,
            day_first=bool(roster.get("day_first", True)),
            people=tuple(Person(name=str(p)) for p in roster.get("people", ())),
            dogs=tuple(_dog(d) for d in roster["dogs"]),
        )
    except (ZoneInfoNotFoundError, OSError) as e:
        raise BadInput(f"no such time zone: {roster.get('time_zone')!r}") from e
    except KeyError as e:
        raise BadInput(f"the roster lacks {e.args[0]!r}") from e
    except (TypeError, AttributeError, ValueError) as e:
        if isinstance(e, BadInput):
            raise
        raise BadInput(f"the roster is not as it should be: {e}") from e


def _dog(d: Mapping[str, Any]) -> Dog:
    last = d.get("last_weight")
    return Dog(
        name=str(d["name"]),
        also=tuple(str(a) for a in d.get("also") or ()),
        sex=str(d.get("sex") or ""),
        born=date.fromisoformat(d["born"]),
        breed=str(d.get("breed") or ""),
        litter=d.get("litter"),
        last_weight=KnownWeight(kg=float(last["kg"]), on=date.fromisoformat(last["on"])) if last else None,
    )


def message_of(line: Any, room: str = "family") -> tuple[Message, tuple[Message, ...]]:
    """The message of one line, and the earlier ones it names.

    Raises:
        BadInput: something is missing or of the wrong kind.
    """
    if not isinstance(line, Mapping):
        raise BadInput("not a JSON object")
    try:
        before = tuple(_one(b, f"{line['id']}-{k}", room) for k, b in enumerate(line.get("before") or ()))
        return _one(line, str(line["id"]), room), before
    except KeyError as e:
        raise BadInput(f"lacks {e.args[0]!r}") from e
    except (TypeError, ValueError, AttributeError) as e:
        raise BadInput(str(e)) from e


def _one(line: Mapping[str, Any], key: str, room: str) -> Message:
    text = line["text"]
    if not isinstance(text, str):
        raise BadInput("text is not a string")
    sent_at = datetime.fromisoformat(line["sent_at"])
    if sent_at.tzinfo is None:
        raise BadInput(f"sent_at has no offset: {line['sent_at']!r}")
    return Message(key=key, room=room, sender=str(line["sender"]), sent_at=sent_at, text=text)


def as_line(key: Any, reading: Reading) -> dict[str, Any]:
    """One reading as the format writes it: one doubt for each `about`, however many records are behind it."""
    doubts = {d["about"]: d for d in (as_format(d) for d in reversed(reading.doubts))}
    return {
        "id": key,
        "entries": [as_format(e) for e in reading.entries],
        "questions": [as_format(q) for q in reading.questions],
        "doubts": list(reversed(doubts.values())),
    }
