"""The whelping that is on, as it is kept in mind in the breeder's line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from bot.conversation.hearing import Hearing
from core.roster import BREEDER, Dog
from core.turns import Memory
from core.whelping import WhelpingClock, clock

OVER_AFTER = timedelta(hours=36)  # nobody has written of it for so long: the night is over


@dataclass(frozen=True, slots=True)
class Night:
    """One whelping as it is remembered."""

    told: Mapping[str, Any]

    @property
    def dam(self) -> str:
        """Her name."""
        return str(self.told["dam"])

    @property
    def births(self) -> list[dict[str, Any]]:
        """The births so far, each with its message, moment, pup ("" for a stillborn one) and whether it lives."""
        return list(self.told.get("births", []))

    def clock(self, at: datetime) -> WhelpingClock:
        """The clock at a moment."""

        def when(name: str) -> datetime | None:
            return datetime.fromisoformat(self.told[name]) if self.told.get(name) else None

        return clock(
            at,
            [datetime.fromisoformat(b["at"]) for b in self.births],
            counted=self.told.get("counted"),
            pushing_since=when("pushing"),
            dropped_at=when("dropped"),
            done=bool(self.told.get("done")),
        )


def of(memory: Mapping[str, Memory], at: datetime) -> Night | None:
    """The whelping that is on at that moment, None where there is none."""
    told = memory[BREEDER].facts.get("night") if BREEDER in memory else None
    if not told or told.get("done") or at - datetime.fromisoformat(told["heard"]) > OVER_AFTER:
        return None
    return Night(told)


def begin(hearing: Hearing, dam: Dog, dropped: datetime | None = None) -> Night:
    """The night of this dam is on from now."""
    litter = next((x for x in hearing.house.litters if x.dam == dam.name and x.born is None), None)
    told: dict[str, Any] = {
        "dam": dam.name,
        "heard": hearing.at.isoformat(),
        "room": hearing.message.room,
        "dropped": dropped.isoformat() if dropped else None,
        "births": [],
        "counted": litter.counted if litter else None,
    }
    hearing.keep(BREEDER, night=told)
    return Night(told)


def on_now(hearing: Hearing) -> Night | None:
    """The whelping that is on while this message is heard."""
    return of({**hearing.scene.memory, **hearing.memory}, hearing.at)


def keep(hearing: Hearing, on: Night, **changed: Any) -> None:
    """Keep the night with these facts changed."""
    told = {**(hearing.mind(BREEDER).facts.get("night") or on.told), **changed}
    hearing.keep(BREEDER, night=told)
