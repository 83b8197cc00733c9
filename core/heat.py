"""A dog's body heat at its age: one table for newborns and grown dogs alike."""

from __future__ import annotations

from shared.tables import facts

COLD, LOW, HIGH, HOT = "cold", "low", "high", "hot"


def band(celsius: float, age_days: int) -> str | None:
    """`cold`, `low`, `high` or `hot` for a rectal temperature in °C at an age in days; None where it is usual.

    `cold` and `hot` are the vet's. Which figure is published and which is common practice stands in `schedule.toml`.
    """
    rule = facts("schedule")["temperature"]
    i = next(i for i, until in enumerate(rule["until_day"]) if age_days < until)
    if celsius < rule["cold"][i]:
        return COLD
    if celsius >= rule["hot"][i]:
        return HOT
    if celsius < rule["low"][i]:
        return LOW
    return HIGH if celsius > rule["high"][i] else None
