"""When it happened: "yesterday", "Sunday", "3/4", "two days ago" to a local day, "at 04:10" to a clock time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from bot.reading.amounts import Amount
from bot.reading.days import days_in, latest, latest_of_month, months_back
from bot.reading.lexicon import words_of
from bot.reading.tokens import Words

_BY_THAT_DAY = words_of("cues", "by_that_day")
_DATE_LEADS = words_of("cues", "date_leads")
_AFTER_HEADING_DATE = frozenset(":,(–—|")
_HEADING_OF_DAY = ("groom", "go 0", "meal", "cond", "temp", "weigh", "dose", "earw", "height", "prog")
_DOTTED_DATE_LEADS = words_of("cues", "dotted_date_leads")
_MONTH_DAY_LEADS = words_of("cues", "month_day_leads")
_NAMED_MONTH_LEADS = words_of("cues", "named_month_leads")
_NO_DAY_AFTER = words_of("cues", "no_day_after")
_NO_DAY_BEFORE = words_of("cues", "no_day_before")
_NTH_LEADS = words_of("cues", "nth_leads")
_SCORES = words_of("cues", "scores")
_SHORT_WEEKDAYS = words_of("cues", "short_weekdays")
_SINCE_BETWEEN = words_of("cues", "since_between")
_WEEKDAY_LEADS = words_of("cues", "weekday_leads")


@dataclass(slots=True)
class When:
    """One expression of a day in the message.

    Attributes:
        i, n: its words. on: the local day. since: it says when something began. ahead: it lies in the future.
        weekday: true where only a weekday was said.
    """

    i: int
    n: int
    on: date
    since: bool = False
    ahead: bool = False
    weekday: bool = False

    @property
    def end(self) -> int:
        """The first word after it."""
        return self.i + self.n


def find(words: Words, amounts: list[Amount], today: date, day_first: bool) -> list[When]:
    """Every day that is named, in order; amounts that turned out to be dates are marked `other="date"`."""
    out: list[When] = []
    starts = {a.i: a for a in amounts}
    i, end = 0, len(words)
    while i < end:
        found = None
        tags = words.tags[i]
        if words.kind[i] == "n":
            found = _full_date(words, amounts, i, day_first)
        if found is None and i in starts:
            found = _from_amount(words, starts, i, today, day_first)
        if found is None and tags:
            if "day" in tags:
                shift, n = tags["day"]
                found = When(i, n, today + timedelta(days=shift), ahead=shift > 0)
                if shift == 0 and words.w[i] == "just":
                    found = None
                elif i + n < end and words.w[i + n] == "week" and shift == 0:
                    found = None  # "today week"
            elif "weekday" in tags:
                found = _weekday(words, i, today)
            elif "ordinal" in tags:
                found = _spoken_date(words, i, today)
            elif "month" in tags:
                found = _month_first(words, starts, i, today)
            elif words.w[i] in _WEEKDAY_LEADS and words.has(i + 1, "weekday"):
                found = _weekday(words, i + 1, today, words.w[i])
            elif words.w[i] in ("a", "an", "one") and i + 2 < end:
                found = _ago(words, i, 1.0, i + 1, today)
            if found is None and "t ago" in tags and words.w[i] == "ago":
                found = _long_ago(words, i, today)
        if found is not None and found.weekday:
            found = _with_its_date(words, starts, found, today, day_first) or found
        if found is None:
            i += 1
            continue
        _say_since(words, found)
        out.append(found)
        i = max(found.end, i + 1)
    return out


def _say_since(words: Words, when: When) -> None:
    """Marks "since Sunday", "from 1 March" (small words such as "on" or "the" may stand between)."""
    j = when.i - 1
    while j >= 0 and words.w[j] in _SINCE_BETWEEN:
        j -= 1
    if j >= 0 and "t since" in words.tags[j]:
        when.since = True


def full_parts(words: Words, i: int, day_first: bool) -> tuple[int, int, int, int] | None:
    """'2026-07-01' (ISO 8601), '28.6.2026', '28-06-2026' as day, month and year, and how many words it takes."""
    parts, n = words.w[i].split("."), 1
    if len(parts) == 1 and i + 4 < len(words) and words.w[i + 1] == words.w[i + 3] == "-":
        if all(words.end[k] == words.start[k + 1] for k in range(i, i + 4)):
            parts, n = [words.w[i], words.w[i + 2], words.w[i + 4]], 5
    if len(parts) != 3 or not all(p.isascii() and p.isdigit() for p in parts):
        return None
    first, second, third = (int(p) for p in parts)
    if first >= 1990:
        year, month, day = first, second, third
    elif third >= 1990:
        day, month, year = (first, second, third) if day_first or first > 12 or n == 1 else (second, first, third)
    else:
        return None
    return day, month, year, n


def _full_date(words: Words, amounts: list[Amount], i: int, day_first: bool) -> When | None:
    parts = full_parts(words, i, day_first)
    if parts is None:
        return None
    day, month, year, n = parts
    try:
        on = date(year, month, day)
    except ValueError:
        return None
    for a in amounts:
        if i <= a.i < i + n:
            a.other = "date"
    return When(i, n, on)


def _with_its_date(words: Words, starts: dict[int, Amount], found: When, today: date, day_first: bool) -> When | None:
    """'Sunday 28 June', 'Sunday the 28th', 'Sunday 28/6': the date counts, not the weekday."""
    j = found.end
    while j < len(words) and words.w[j] in (",", "the"):
        j += 1
    if j >= len(words):
        return None
    more: When | None = None
    a = starts.get(j)
    if a is not None:
        more = _from_amount(words, starts, j, today, day_first)
        if more is None and a.ordinal:
            on = latest_of_month(int(a.value), today)
            more = When(j, a.n, on) if on is not None else None
            if more is not None:
                a.other = "date"
    elif "month" in words.tags[j]:
        more = _month_first(words, starts, j, today)
    elif "ordinal" in words.tags[j]:
        on = latest_of_month(words.tags[j]["ordinal"][0], today)
        more = _spoken_date(words, j, today) or (When(j, words.tags[j]["ordinal"][1], on) if on is not None else None)
    if more is None or more.on.weekday() != found.on.weekday():
        return None
    return When(found.i, more.end - found.i, more.on)


def _weekday(words: Words, i: int, today: date, lead: str = "") -> When | None:
    wanted, n = words.tags[i]["weekday"]
    word = words.w[i]
    before = words.w[i - 1] if i else ""
    if word in _SHORT_WEEKDAYS:
        # "the sun", "he sat down", "sat on my foot": only where a day can stand
        if word in ("sun", "sat") and not _day_place(words, i):
            return None
    if words.owner[i] and before in _BY_THAT_DAY:
        return None  # "dosed off Saturday's weights"
    back = (today.weekday() - wanted) % 7
    start, length = i, n
    if lead in ("last", "past"):
        start, length = i - 1, n + 1
        back = back or 7
    elif lead == "next":
        return When(i - 1, n + 1, today + timedelta(days=7 - back if back else 7), ahead=True, weekday=True)
    elif back == 0 and before in ("on", "since", "from"):
        back = 7
    after = words.w[i + n] if i + n < len(words) else ""
    if after == "before" and i + n + 1 < len(words) and words.w[i + n + 1] == "last":
        back += 7
        length += 2
    elif after == "last":
        back = back or 7
        length += 1
    elif after == "week" and i + n + 1 < len(words) and words.w[i + n + 1] == "gone":
        back += 7
        length += 2
    return When(start, length, today - timedelta(days=back), weekday=True)


def _day_place(words: Words, i: int) -> bool:
    before = words.w[i - 1] if i else ""
    after = words.w[i + 1] if i + 1 < len(words) else ""
    if before in _NO_DAY_AFTER:
        return False
    return after not in _NO_DAY_BEFORE


def _from_amount(words: Words, starts: dict[int, Amount], i: int, today: date, day_first: bool) -> When | None:
    a = starts[i]
    j = a.end
    end = len(words)
    before = words.w[i - 1] if i else ""
    # "3/3", "11/3/2026", "3/15"
    if (
        a.of is not None
        and a.form == "digits"
        and a.unit is None
        and a.whole
        and a.of == int(a.of)
        and (before in _DATE_LEADS or a.other == "date" or _date_like(words, a))
    ):
        first, second = int(a.value), int(a.of)
        year = None
        if a.other == "date" and a.n >= 5:
            year = int(words.w[a.end - 1]) if words.w[a.end - 1].isdigit() else None
            if year is not None and year < 100:
                year += 2000
        day, month = (first, second) if day_first else (second, first)
        if month > 12 >= day:
            day, month = month, day
        on = latest(day, month, year, today)
        if on is not None:
            a.other = "date"
            return When(i, a.n, on)
        return None
    if a.other == "duration":
        if i > 1 and words.w[i - 1] == "and" and words.tags[i - 2].get("ounit", ("",))[0] == "duration":
            return None  # "a month and two weeks ago" is one length
        unit = words.w[a.end - 1]
        return _ago_from(words, i, a.value, unit, a.end, today)
    # "1 March", "15 November 2025", "3rd of March", "the 9th"
    if a.whole and a.form == "digits" and a.unit is None and 1 <= a.value <= 31:
        k = j
        if k < end and words.w[k] == "of":
            k += 1
        if k < end and "month" in words.tags[k] and words.kind[i] == "n" and "." not in words.w[i]:
            if (
                words.w[k] in ("may", "mar", "march")
                and words.w[k] == "may"
                and k == j
                and not a.ordinal
                and not _year(words, k + 1)
                and before not in _MONTH_DAY_LEADS
            ):
                return None
            month, n = words.tags[k]["month"]
            year, took = _year(words, k + n) or (None, 0)
            on = latest(int(a.value), month, year, today)
            if on is not None:
                a.other = "date"
                return When(i, k + n + took - i, on)
        if a.ordinal and before in ("the", "on"):
            on = latest_of_month(int(a.value), today)
            if on is not None and (before == "on" or (i > 1 and words.w[i - 2] in _NTH_LEADS)):
                a.other = "date"
                return When(i, a.n, on)
    # "13.3." and "on 13.3" as a date with dots
    if words.kind[i] == "n" and words.w[i].count(".") == 1 and a.unit is None and a.n == 1:
        left, _, right = words.w[i].partition(".")
        dotted = (
            j < end
            and words.w[j] == "."
            and words.start[j] == words.end[i]
            and (j + 1 < end and words.kind[j + 1] != "l")
        )
        leading = before in _DOTTED_DATE_LEADS or (day_first and _heads(words, i))
        if left.isdigit() and right.isdigit() and 1 <= int(left) <= 31 and 1 <= int(right) <= 12 and len(right) <= 2:
            if leading or (dotted and before in ("the", "on")):
                on = latest(int(left), int(right), None, today)
                if (on is not None and on != today) or leading:
                    if on is not None:
                        a.other = "date"
                        return When(i, a.n, on)
    return None


def _heads(words: Words, i: int) -> bool:
    """'Nails 22.10: Storm, Saga', '19.10: 2,9', '01.11' on a line alone, "whelped 13.10": a date with a dot."""
    start = next((k + 1 for k in range(i - 1, -1, -1) if words.kind[k] in "ls"), 0)
    after = words.w[i + 1] if i + 1 < len(words) else ""
    closes = after in _AFTER_HEADING_DATE or (i + 1 < len(words) and words.kind[i + 1] == "l")
    if i and words.has(i - 1, "whelp", "mate", "season"):
        return True
    if i == start:
        alone = len(words.w[i]) == 5 and i + 2 < len(words) and words.kind[i + 1] == "l"
        return after == ":" or alone  # "9.4" on a line alone is a weight
    heading = range(start, i)
    named = any(words.has(k, "dog", "dogs") for k in heading)
    return closes and not named and i - start <= 4 and any(words.has(k, *_HEADING_OF_DAY) for k in heading)


def _spoken_date(words: Words, i: int, today: date) -> When | None:
    """'the twelfth of January', 'on the ninth'."""
    day, n = words.tags[i]["ordinal"]
    k = i + n
    if k < len(words) and words.w[k] == "of":
        k += 1
    if k < len(words) and "month" in words.tags[k]:
        month, m = words.tags[k]["month"]
        year, took = _year(words, k + m) or (None, 0)
        on = latest(day, month, year, today)
        return When(i, k + m + took - i, on) if on is not None else None
    if i > 1 and words.w[i - 1] == "the" and words.w[i - 2] in ("on", "since", "from"):
        if k < len(words) and words.kind[k] == "w" and not words.has(k, "between", "dog"):
            return None
        on = latest_of_month(day, today)
        return When(i, n, on) if on is not None else None
    return None


def _date_like(words: Words, a: Amount) -> bool:
    """'Biscuit 8.6 (3/3)', '3/14: …' at the start of a line, or a plain "6/12" that is no score and no part."""
    if a.of not in (2, 4, 5, 8, 9, 10) or a.value > a.of:
        near = range(max(0, a.i - 6), min(len(words), a.end + 4))
        if a.of is not None and a.of <= 31 and not any(words.has(k, "cond", "ribs", "unit", "prog") for k in near):
            if not any(words.w[k] in _SCORES for k in near):
                return True
    at_start = a.i == 0 or words.kind[a.i - 1] in "ls"
    after = words.w[a.end] if a.end < len(words) else ""
    return at_start and after in (":", "-", "–", "—", "|", "")


def _month_first(words: Words, starts: dict[int, Amount], i: int, today: date) -> When | None:
    """'March 3rd', 'Nov 15, 2025'."""
    month, n = words.tags[i]["month"]
    j = i + n
    if j < len(words) and j in starts and starts[j].whole and 1 <= starts[j].value <= 31 and starts[j].unit is None:
        a = starts[j]
        if a.other not in (None, "date") or "." in words.w[j] or "," in words.w[j]:
            return None
        if "dog" in words.tags[i] and not a.ordinal and not (i and words.w[i - 1] in _NAMED_MONTH_LEADS):
            return None  # a dog called June: "June 14" is her number, "on June 14" a date
        k = a.end
        if k < len(words) and words.w[k] == "," and _year(words, k + 1):
            k += 1
        year, took = _year(words, k) or (None, 0)
        on = latest(int(a.value), month, year, today)
        if on is not None:
            a.other = "date"
            return When(i, (k + took if took else a.end) - i, on)
    return None


def _year(words: Words, k: int) -> tuple[int, int] | None:
    if k < len(words) and words.kind[k] == "n" and len(words.w[k]) == 4 and words.w[k].isdigit():
        year = int(words.w[k])
        if 1990 <= year <= 2100:
            return year, 1
    return None


def _long_ago(words: Words, j: int, today: date) -> When | None:
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


def _ago(words: Words, i: int, value: float, j: int, today: date) -> When | None:
    """'a week ago', 'a couple of days ago', 'one day back'."""
    if j >= len(words) or "ounit" not in words.tags[j] or words.tags[j]["ounit"][0] != "duration":
        return None
    return _ago_from(words, i, value, words.w[j], j + 1, today)


def _ago_from(words: Words, i: int, value: float, unit: str, j: int, today: date) -> When | None:
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
