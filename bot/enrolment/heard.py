"""Plain words of a set-up as values: names, dates, times of day, people with their roles, foods.

The words are data (`shared/phrases/setup.yaml`); everything here takes a short text and gives back what it says, None
or nothing where it says something else.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from bot.enrolment.yaml_fields import MAX_NAME
from core.roster import Kennel, Person

LONGEST = 2_000  # characters of an answer; a longer one is no answer
CHILD_YEARS = 12  # up to this age a family member is a child, who is never reminded; own choice
MOST_WORDS = 3  # of a call name; longer ones are talk

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_CHUNKS = re.compile(r"\s*[,;\n]\s*")
_CLOCK = re.compile(r"\b(\d{1,2})(?:[:.h](\d{2}))?\s*(am|pm|a\.m\.|p\.m\.)?(?![\d/.-]*\d)", re.IGNORECASE | re.ASCII)
_NUMERIC_DATE = re.compile(r"\b(\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[./-]\d{1,2}[./-]\d{2,4})\b", re.ASCII)
_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]{0,6}\.?"
_WORDED_DATE = re.compile(
    rf"\b(?:(\d{{1,2}})(?:st|nd|rd|th)?\s+(?:of\s+)?({_MONTH})|({_MONTH})\s+(\d{{1,2}})(?:st|nd|rd|th)?)(?:,?\s+(\d{{4}}))?\b",
    re.IGNORECASE | re.ASCII,
)
_AGE = re.compile(
    r"\b(\d{1,3})\s*(days?|weeks?|wks?|months?|mths?|years?|yrs?|y)(?:\s+old)?\b", re.IGNORECASE | re.ASCII
)
_BORN = re.compile(r"\b(?:born|dob|birthday|whelped)(?:\s+on)?\b[:\s]*", re.IGNORECASE)
_KCAL = re.compile(
    r"(\d{2,4}(?:[.,]\d)?)\s*k?cals?(?:ories)?(?:\s*(?:/|a|per)\s*(kg|kilo|100\s*g))?", re.IGNORECASE | re.ASCII
)
_GRAMS = re.compile(r"(\d{2,3}(?:[.,]\d)?)\s*(?:g|gr|gram|grams|grammes)\b", re.IGNORECASE | re.ASCII)
_PER_CUP = re.compile(
    r"\b(?:a|per|in\s+a|one|each|the|level|cups?|and|has|have|with|is|are|food|we\s+feed|they\s+eat|called)\b|[:,;()/]",
    re.IGNORECASE,
)
_IN_BRACKETS = re.compile(r"\([^()]{0,60}\)")
_YEARS = re.compile(
    r"\W*(?:(?:she|he)(?:.?s|\s+is)\s+|aged?\s+)?\b(\d{1,2})(?:\s*(?:years?(?:\s+old)?|yrs?|y/o))?\W*",
    re.IGNORECASE | re.ASCII,
)
_AGED = re.compile(
    r"\b(?:(?:she|he)(?:.?s|\s+is)|aged?)\s+\d{1,2}\b|\b\d{1,2}\s*(?:years?|yrs?|y/o)\b|\(\s*\d{1,2}\s*\)",
    re.IGNORECASE,
)
_IS_WHO = re.compile(
    r"^\s*([^\W\d_][\w'’-]*(?:\s+[^\W\d_][\w'’-]*)??)(\s+(?:is|my|our)\b|\s*[(:=-])\s*(.+)$", re.IGNORECASE
)
_PHONE = re.compile(r"\+?\d[\d\s()/-]{4,20}\d", re.ASCII)


@cache
def phrases() -> Mapping[str, Any]:
    """The words that are heard in a set-up."""
    text = (files("shared") / "phrases" / "setup.yaml").read_text(encoding="utf-8")
    loaded: Mapping[str, Any] = yaml.load(text, Loader=_Loader)
    return loaded


def plain(said: str) -> str:
    """The words in small letters without marks at their ends, for comparing whole messages."""
    return " ".join(said.casefold().replace("’", "'").strip(" \t\n.!,;:").split())


def means(what: str, said: str) -> bool:
    """True where the whole message is one of the phrases of that name."""
    return plain(said) in _set(what)


@cache
def _set(what: str) -> frozenset[str]:
    return frozenset(str(p) for p in phrases()[what])


@cache
def _finder(table: str) -> tuple[re.Pattern[str], Mapping[str, str]]:
    """A pattern for every word of a table (longest first), and what each word means."""
    meaning = {str(word): str(key) for key, words in phrases()[table].items() for word in words}
    ordered = sorted(meaning, key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(re.escape(w) for w in ordered)})(?!\w)"), meaning


def found(table: str, said: str) -> str | None:
    """What the first word of that table in the text means, None where there is none."""
    pattern, meaning = _finder(table)
    hit = pattern.search(plain(said))
    return meaning[hit[0]] if hit else None


def without_age(said: str) -> str:
    """The text without how old somebody is ("she's 9", "9 years old")."""
    return tidy(_AGED.sub(" ", said))


def without_day(said: str) -> str:
    """The text without a day or an age, and without the word for birth before it."""
    for pattern in (_BORN, _NUMERIC_DATE, _WORDED_DATE, _AGE):
        said = pattern.sub(" ", said)
    return tidy(said)


def without(table: str, said: str) -> str:
    """The text without the words of that table."""
    return tidy(re.sub(_finder(table)[0].pattern, " ", said, flags=re.IGNORECASE))


def chunks(said: str) -> list[str]:
    """The text cut at commas, semicolons, line ends and "and"."""
    parts = [p for c in _CHUNKS.split(said) for p in re.split(r"\s+(?:and|&|\+)\s+", c, flags=re.IGNORECASE)]
    return [p.strip(" .") for p in parts if p.strip(" .")]


def name_said(said: str) -> str | None:
    """A name: one to sixty letters on one line, without numbers; None for anything else."""
    name = " ".join(said.split()).strip(' .,;:!"“”')
    fits = 0 < len(name) <= MAX_NAME and name.isprintable() and not re.search(r"\d", name)
    return name if fits and any(c.isalpha() for c in name) else None


def call_name_said(said: str) -> str | None:
    """A dog's or a person's name: at most three words; one typed in small letters gets its capitals."""
    name = name_said(said)
    if name is None or len(name.split()) > MOST_WORDS or set(plain(name).split()) & _set("not_a_name"):
        return None
    return name.title() if name == name.lower() else name


def is_note(said: str) -> bool:
    """True for a question, and for words that tell what happened: a note, never an answer to a set-up's question."""
    return any(re.search(p, said, re.IGNORECASE) for p in phrases()["not_a_change"])


def is_once(said: str) -> bool:
    """True for words of a single day ("tomorrow", "on Saturday"), which no line of the rota is made of."""
    return any(re.search(p, said, re.IGNORECASE) for p in phrases()["once"]) and not any(
        re.search(p, said, re.IGNORECASE) for p in phrases()["again_and_again"]
    )


def is_standing(said: str) -> bool:
    """True for words of every week or day ("on Sundays", "from now on"): a change of the rota, no note of today."""
    return any(re.search(p, said, re.IGNORECASE) for p in phrases()["again_and_again"])


# Times


def clock_said(said: str, evening: bool = False) -> time | None:
    """The time of day in the text: "7", "7:15", "7.15 am", "17:30"; `evening` takes a bare 5:30 for 17:30."""
    late = evening or any(re.search(rf"\b{w}\b", said, re.IGNORECASE) for w in phrases()["late"])
    if hit := _worded_clock().search(said):
        return _in_words(hit, late)
    hit = _CLOCK.search(said)
    return _clock(hit, late) if hit else None


@cache
def _worded_clock() -> re.Pattern[str]:
    """ "half past five", "quarter to 6", "seven o'clock"."""
    words = "|".join(phrases()["hours"])
    hour = rf"(?P<hour>{words}|\d{{1,2}})"
    return re.compile(
        rf"\b(?:(?P<part>half|quarter|twenty|ten|five)\s+(?P<way>past|to)\s+{hour}|(?P<whole>{words})(?:\s+o.?clock)?)\b",
        re.IGNORECASE | re.ASCII,
    )


def _in_words(hit: re.Match[str], evening: bool) -> time | None:
    said = (hit["hour"] or hit["whole"]).casefold()
    hour = int(said) if said.isdigit() else int(phrases()["hours"][said])
    minutes = int(phrases()["parts_of_hour"][hit["part"].casefold()]) if hit["part"] else 0
    if evening and 1 <= hour < 12:
        hour += 12
    total = hour * 60 + (minutes if (hit["way"] or "past").casefold() == "past" else -minutes)
    return time(total // 60, total % 60) if 0 <= total < 24 * 60 else None


def clocks_said(said: str) -> tuple[time, ...]:
    """Every time of day that follows an "at" or stands beside one with "and": "at 8 and 20:00"."""
    told = re.search(r"\bat\s+(.*)", said, re.IGNORECASE)
    parts = re.split(r"\s*(?:,|and|&)\s*(?:at\s+)?", told[1], flags=re.IGNORECASE) if told else []
    found_ = [re.match(_CLOCK.pattern, part, _CLOCK.flags) for part in parts]
    clocks = (_clock(hit, False) for hit in found_ if hit)
    return tuple(dict.fromkeys(c for c in clocks if c is not None))


def span_said(said: str, today: date, day_first: bool) -> tuple[str, date | None]:
    """"… for 7 days", "… until 21 March": the words without it, and the last day."""
    hit = re.search(r"\bfor\s+(?:(\d{1,3})|an?|one|two|three)\s+(days?|weeks?)\b", said, re.IGNORECASE)
    if hit is None:
        return until_said(said, today, day_first)
    words = {"two": 2, "three": 3}
    count = int(hit[1]) if hit[1] else words.get(hit[0].split()[1].casefold(), 1)
    days = count * (7 if hit[2].casefold().startswith("week") else 1)
    return said[: hit.start()] + said[hit.end() :], today + timedelta(days=days - 1)


def _clock(hit: re.Match[str], evening: bool) -> time | None:
    hour, minute, half = int(hit[1]), int(hit[2] or 0), (hit[3] or "").casefold().replace(".", "")
    if half and not 1 <= hour <= 12:
        return None
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    elif evening and 1 <= hour < 12:
        hour += 12
    return time(hour, minute) if hour < 24 and minute < 60 else None


def day_said(said: str, today: date, day_first: bool) -> date | None:
    """The day in the text: "15.11.2025", "15 Nov 2025", "Nov 15", or an age as "17 weeks"; None where there is none.

    A day without its year is the latest one past.
    """
    if hit := _NUMERIC_DATE.search(said):
        return _numeric(hit[1], today, day_first)
    if hit := _WORDED_DATE.search(said):
        month = _MONTHS[(hit[2] or hit[3])[:3].casefold()]
        day, year = int(hit[1] or hit[4]), int(hit[5]) if hit[5] else None
        return _day(year, month, day, today)
    if hit := _AGE.search(said):
        return _born_ago(int(hit[1]), hit[2][0].casefold(), today)
    return None


_MONTHS = {
    "jan": 1, "feb": 2, "mar": 3, "apr": 4, "may": 5, "jun": 6, "jul": 7, "aug": 8, "sep": 9, "oct": 10, "nov": 11,
    "dec": 12,
}  # fmt: skip


def _numeric(said: str, today: date, day_first: bool) -> date | None:
    parts = [int(p) for p in re.split(r"[./-]", said)]
    if len(re.split(r"[./-]", said)[0]) == 4:
        return _day(parts[0], parts[1], parts[2], today)
    day, month = (parts[0], parts[1]) if day_first else (parts[1], parts[0])
    if month > 12 >= day:
        day, month = month, day  # only one order can be meant
    return _day(parts[2] + 2000 if parts[2] < 100 else parts[2], month, day, today)


def _day(year: int | None, month: int, day: int, today: date) -> date | None:
    try:
        if year is not None:
            at = date(year, month, day)
            return at if at <= today else None
        at = date(today.year, month, day)
        return at if at <= today else date(today.year - 1, month, day)
    except ValueError:
        return None


def _born_ago(number: int, unit: str, today: date) -> date | None:
    days = {"d": 1.0, "w": 7.0, "m": 365.25 / 12, "y": 365.25}[unit] * number
    return today - timedelta(days=round(days)) if days < 30 * 366 else None


# People


def people_said(said: str, kennel: Kennel) -> list[Person]:
    """The people of the text with their roles: "Alex my partner, Gran Ivy, Max (the kid)"; an age tells a child."""
    told: list[Person] = []
    for part in chunks(_IN_BRACKETS.sub(lambda m: m[0].replace(",", " "), said[:LONGEST])):
        if told and (old := _YEARS.fullmatch(part)):  # "our daughter Isla, she's 9"
            told[-1] = _aged(told[-1], int(old[1]))
            continue
        years = _YEARS.search(part)
        part = _YEARS.sub(" ", part) if years else part
        if person := _who_is(part):
            told.append(_aged(person, int(years[1])) if years else person)
            continue
        words = part.replace("(", " ").replace(")", " ").replace(":", " ")
        role = found("roles", words)
        bare = without("roles", words) if role else words
        if told and role and not _named(bare):  # "Kit, the kid": what follows the comma is who Kit is
            told[-1] = replace(told[-1], role=role)
            continue
        name = _named(bare)
        if role and not name:  # "Gran" is a name too
            name = call_name_said(words)
        if not name:
            continue
        also = _titles(words, name, kennel) if role == "gran" else ()
        person = Person(name=name, role=role or "family", also=also)
        told.append(_aged(person, int(years[1])) if years else person)
    return told


def _who_is(part: str) -> Person | None:
    """ "Nan is my mum", "Isla (daughter)": the name first, then who that is; a name may be a title too."""
    hit = _IS_WHO.match(part)
    role, name = (found("roles", hit[3]), call_name_said(hit[1])) if hit else (None, None)
    return Person(name=name, role=role) if role and name else None


def _aged(person: Person, years: int) -> Person:
    return replace(person, role="child") if years <= CHILD_YEARS and person.role == "family" else person


def _named(bare: str) -> str | None:
    return call_name_said(" ".join(w for w in bare.split() if w.casefold() not in _set("filler")))


def _titles(words: str, name: str, kennel: Kennel) -> tuple[str, ...]:
    """What else a gran answers to: "Gran Ivy", and "Gran" where nobody else does."""
    whole = " ".join(words.split())
    if plain(whole) == plain(name) or len(whole.split()) != 2:
        return ()
    title = whole.split()[0]
    return (whole,) if kennel.person(title) or title.casefold() == name.casefold() else (title, whole)


def person_said(said: str, kennel: Kennel, speaker: Person | None = None) -> Person | None:
    """The person of the kennel whom a few words name; for "me" who speaks, the breeder where nobody is given."""
    if means("me", said):
        return speaker or kennel.breeder
    return kennel.person(" ".join(said.split()).strip(" .,"))


def until_said(said: str, today: date, day_first: bool) -> tuple[str, date | None]:
    """"Percy, sitter until 22 March": the words without the last day, and that day (today or later)."""
    rest, _, end = said.partition(" until ")
    if not end:
        rest, _, end = said.partition(" till ")
    day = day_said(end, today + timedelta(days=364), day_first) if end else None
    return (rest, day) if day is not None and day >= today else (said, None)


# Food and the vet


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodSaid:
    """A food as far as it was said; None where a figure was not."""

    name: str
    kcal: float | None = None
    grams: float | None = None


def food_said(said: str) -> FoodSaid:
    """A food's name with the kcal and grams of a level cup; kcal a kilogram or 100 g are turned into a cup's."""
    grams = None
    rest = said[:LONGEST]
    kcal_hit = _KCAL.search(rest)
    if kcal_hit:
        rest = rest[: kcal_hit.start()] + " " + rest[kcal_hit.end() :]
    if grams_hit := _GRAMS.search(rest):
        grams = float(grams_hit[1].replace(",", "."))
        rest = rest[: grams_hit.start()] + " " + rest[grams_hit.end() :]
    kcal = float(kcal_hit[1].replace(",", ".")) if kcal_hit else None
    if kcal_hit and kcal_hit[2] and kcal is not None:
        per = 100.0 if "100" in kcal_hit[2] else 1000.0
        kcal = round(kcal * grams / per, 1) if grams else None
    name = tidy(_PER_CUP.sub(" ", rest))
    return FoodSaid(name=name if len(name) <= MAX_NAME else "", kcal=kcal, grams=grams)


def phones_said(said: str) -> list[str]:
    """The phone numbers of the text, as they were written."""
    return [tidy(p) for p in _PHONE.findall(said[:LONGEST])]


def tidy(said: str) -> str:
    """The words with single spaces, without marks at their ends."""
    return " ".join(said.split()).strip(' .,;:-–"“”')
