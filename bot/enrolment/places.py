"""A place in a person's words as time zones: a city of the zone database, a country with its zones, a zone's name."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from zoneinfo import available_timezones

from bot.enrolment.heard import phrases, plain

MOST = 6  # zones offered as buttons


def zones_of(said: str) -> tuple[str, ...]:
    """The IANA names of the zones that the place may mean, likeliest first; at most six, none where it is unknown."""
    low = plain(said)
    names = _names()
    whole = low.replace(" ", "_")
    if whole in names:
        return (names[whole],)
    for part in (low, *[p.strip() for p in low.split(",")], *low.split()):
        if part in phrases()["places"]:
            named = phrases()["places"][part]
            return (named,) if isinstance(named, str) else tuple(named)
        if part.replace(" ", "_") in _cities():
            return _cities()[part.replace(" ", "_")][:MOST]
        if part in _countries():
            return _countries()[part][:MOST]
    return ()


@cache
def _names() -> dict[str, str]:
    return {zone.casefold(): zone for zone in available_timezones()}


@cache
def _cities() -> dict[str, tuple[str, ...]]:
    """Zones by the city in their names."""
    found: dict[str, tuple[str, ...]] = {}
    for zone in sorted(_listed()):
        city = zone.rpartition("/")[2].casefold()
        found[city] = (*found.get(city, ()), zone)
    return found


@cache
def _listed() -> frozenset[str]:
    """The zones of the database's own table: without old names for the same place."""
    return frozenset(zone for _, zone in _table()) or frozenset(available_timezones())


@cache
def _countries() -> dict[str, tuple[str, ...]]:
    """Zones by the country's name, the first of the table first (its most peopled one)."""
    names = {}
    for line in _lines("iso3166.tab"):
        code, _, name = line.partition("\t")
        names[code] = name.strip().casefold()
    found: dict[str, tuple[str, ...]] = {}
    for codes, zone in _table():
        for code in codes.split(","):
            if code in names:
                found[names[code]] = (*found.get(names[code], ()), zone)
    return found


@cache
def _table() -> tuple[tuple[str, str], ...]:
    rows = (line.split("\t") for line in _lines("zone.tab"))
    return tuple((row[0], row[2].strip()) for row in rows if len(row) >= 3)


def _lines(name: str) -> list[str]:
    """The lines of a table of the tzdata package (IANA, public domain), without its remarks."""
    text = (files("tzdata") / "zoneinfo" / name).read_text(encoding="utf-8")
    return [line for line in text.splitlines() if line and not line.startswith("#")]
