"""Times of day as they are spoken, written as figures: "at half five" as "at 5:30", "quarter to seven" as "6:45"."""

from __future__ import annotations

import re

_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_HOUR = rf"(?:{'|'.join(_WORDS)}|\d{{1,2}})"
_NUMBER = {word: n for n, word in enumerate(_WORDS, 1)}
_MINUTES = {"half": 30, "quarter": 15, "five": 5, "ten": 10, "twenty": 20, "twenty five": 25}
_NO_CLOCK = (  # "half 2 cups" and "at six weeks" are no times of day
    r"(?!\s*(?:cups?|scoops?|tablets?|pills?|ml|k?g|lbs?|oz|minutes?|mins?|hours?|hrs?|days?|weeks?|months?|years?|of|to"
    r"|per\s?cent|%)\b)"
)
_PART = r"half|(?:an?\s+)?quarter|five|ten|twenty(?:[\s-]five)?"
_SPOKEN = re.compile(
    rf"\b(?P<part>{_PART})\s+(?P<side>past|to|after)\s+(?P<hour>{_HOUR})\b{_NO_CLOCK}"
    rf"|(?<!and\s)(?<!a\s)\bhalf\s+(?P<half>{_HOUR})\b{_NO_CLOCK}"
    rf"|\bat\s+(?P<bare>{'|'.join(_WORDS)})\b{_NO_CLOCK}"
    r"|\bat\s+(?P<named>noon|midday|midnight)\b"
    rf"|\b(?P<clock>{_HOUR})\s+o['’]?\s?clock\b",
    re.IGNORECASE,
)


def as_figures(said: str) -> str:
    """The text with every spoken time of day in figures; everything else stays as it was."""
    return _SPOKEN.sub(_figures, said)


def _figures(hit: re.Match[str]) -> str:
    told = {name: value.casefold() for name, value in hit.groupdict().items() if value}
    at = hit[0][:3] if hit[0][:3].casefold() == "at " else ""
    if "named" in told:
        return f"{at}{'0:00' if told['named'] == 'midnight' else '12:00'}"
    word = next(told[name] for name in ("hour", "half", "bare", "clock") if name in told)
    hour = _NUMBER.get(word) or int(word)
    if "half" in told:
        return f"{hour}:30"
    if "part" not in told:
        return f"{at}{hour}"
    minutes = _MINUTES[re.sub(r"^an?\s+", "", " ".join(told["part"].replace("-", " ").split()))]
    if told["side"] == "to":
        hour, minutes = (hour - 1 if hour > 1 else 12), 60 - minutes
    return f"{hour}:{minutes:02d}"
