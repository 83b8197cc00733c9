"""When it happened: "yesterday", "Sunday", "3/4", "two days ago" to a local day, "at 04:10" to a clock time."""

from __future__ import annotations

from datetime import date, timedelta

from bot.reading.ago import ago, long_ago
from bot.reading.amounts import Amount
from bot.reading.days import latest_of_month
from bot.reading.lexicon import words_of
from bot.reading.tokens import Words
from bot.reading.when import When
from bot.reading.written import from_amount, full_date, month_first, spoken_date

_BY_THAT_DAY = words_of("cues", "by_that_day")
_NO_DAY_AFTER = words_of("cues", "no_day_after")
_NO_DAY_BEFORE = words_of("cues", "no_day_before")
_SHORT_WEEKDAYS = words_of("cues", "short_weekdays")
_COMPARING = words_of("cues", "comparing")
_COMPARING_WORDS = 3  # words before the day in which it may be compared (own choice)
_SINCE_BETWEEN = words_of("cues", "since_between")
_WEEKDAY_LEADS = words_of("cues", "weekday_leads")


def find(words: Words, amounts: list[Amount], today: date, day_first: bool) -> list[When]:
    """Every day that is named, in order; amounts that turned out to be dates are marked `other="date"`."""
    out: list[When] = []
    starts = {a.i: a for a in amounts}
    i, end = 0, len(words)
    while i < end:
        found = None
        tags = words.tags[i]
        if words.kind[i] == "n":
            found = full_date(words, amounts, i, day_first)
        if found is None and i in starts:
            found = from_amount(words, starts, i, today, day_first)
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
                found = spoken_date(words, i, today)
            elif "month" in tags:
                found = month_first(words, starts, i, today)
            elif words.w[i] in _WEEKDAY_LEADS and words.has(i + 1, "weekday"):
                found = _weekday(words, i + 1, today, words.w[i])
            elif words.w[i] in ("a", "an", "one") and i + 2 < end:
                found = ago(words, i, 1.0, i + 1, today)
            if found is None and "t ago" in tags and words.w[i] == "ago":
                found = long_ago(words, i, today)
        if found is not None and found.weekday:
            found = _with_its_date(words, starts, found, today, day_first) or found
        if found is None or _compared(words, found):
            i += 1 if found is None else found.n
            continue
        _say_since(words, found)
        out.append(found)
        i = max(found.end, i + 1)
    return out


def _compared(words: Words, when: When) -> bool:
    """'twenty one up on yesterday', 'heavier than Sunday': a day to compare with, not the day of what is told."""
    lead = words.w[when.i - 1] if when.i else ""
    near = words.w[max(0, when.i - _COMPARING_WORDS) : max(0, when.i - 1)]
    return lead == "than" or (lead in ("on", "from") and bool(_COMPARING.intersection(near[-2:])))


def _say_since(words: Words, when: When) -> None:
    """Marks "since Sunday", "from 1 March" (small words such as "on" or "the" may stand between)."""
    j = when.i - 1
    while j >= 0 and words.w[j] in _SINCE_BETWEEN:
        j -= 1
    if j >= 0 and "t since" in words.tags[j]:
        when.since = True


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
        more = from_amount(words, starts, j, today, day_first)
        if more is None and a.ordinal:
            on = latest_of_month(int(a.value), today)
            more = When(j, a.n, on) if on is not None else None
            if more is not None:
                a.other = "date"
    elif "month" in words.tags[j]:
        more = month_first(words, starts, j, today)
    elif "ordinal" in words.tags[j]:
        on = latest_of_month(words.tags[j]["ordinal"][0], today)
        more = spoken_date(words, j, today) or (When(j, words.tags[j]["ordinal"][1], on) if on is not None else None)
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
