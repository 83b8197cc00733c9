"""How long ago it was: "two days ago", "a month and two weeks back" to a local day."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from bot.reading.days import days_in, months_back
from bot.reading.tokens import Words
from bot.reading.when import When


def long_ago(words: Words, j: int, today: date) -> When | None:
    """'a month and two weeks ago', 'a year and a half ago': what the common rules do not know, by dateparser.

    It is handed only words that are already known to tell a length of time, with today as its base.
    """
    i = j
    while (
        i > 0
        and j - i < 8
        and (
            words.kind[i - 1] in "nf"
            or words.w[i - 1] in ("a", "an", "and")
            or words.has(i - 1, "num", "s half")
            or words.tags[i - 1].get("ounit", ("",))[0] == "duration"
        )
    ):
        i -= 1
    said = [w for w in words.w[i:j] if w != "and"]
    if not any(words.tags[k].get("ounit", ("",))[0] == "duration" for k in range(i, j)) or len(said) < 2:
        return None
    if words.has(j - 1, "s half") and words.w[j - 2] in ("a", "one") and "and" in words.w[i:j]:
        said = ["1.5" if said[0] in ("a", "an", "one") else f"{said[0]}.5", said[1]]  # "a year and a half"
        length = days_in(said[1])
        if length is not None and length >= 7:
            return When(i, j + 1 - i, today - timedelta(days=round(float(said[0]) * length)))
        return None
    import dateparser  # costs a quarter of a second at its first call

    base = datetime.combine(today, time(12))
    found = dateparser.parse(" ".join([*said, "ago"]), languages=["en"], settings={"RELATIVE_BASE": base})
    if found is None or found.date() > today:
        return None
    return When(i, j + 1 - i, found.date())


def ago(words: Words, i: int, value: float, j: int, today: date) -> When | None:
    """'a week ago', 'a couple of days ago', 'one day back'."""
    if j >= len(words) or "ounit" not in words.tags[j] or words.tags[j]["ounit"][0] != "duration":
        return None
    return ago_from(words, i, value, words.w[j], j + 1, today)


def ago_from(words: Words, i: int, value: float, unit: str, j: int, today: date) -> When | None:
    if j >= len(words) or "t ago" not in words.tags[j]:
        # "day 3 of her season" is read by the season's reader
        return None
    length = days_in(unit)
    if length is None:
        return None
    if length == 30:
        on = months_back(today, round(value))
    elif length == 365:
        on = months_back(today, round(value * 12))
    else:
        on = today - timedelta(days=round(value * length))
    end = j + words.tags[j]["t ago"][1]
    if end < len(words) and words.w[end] in ("today", "yesterday"):
        if words.w[end] == "yesterday":
            on -= timedelta(days=1)
        end += 1
    return When(i, end - i, on)
