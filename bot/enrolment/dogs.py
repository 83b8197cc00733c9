"""Dogs as they are listed: one a line with what is said of each, or a litter's pups ("boys Oak and Elm, girls Ivy")."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date

from bot.enrolment import heard
from core.units import KG_PER_OZ

GRAMS = (60.0, 1500.0)  # what a pup weighs at birth, of the smallest breeds and the largest; wide on purpose
_FIGURE = re.compile(r"\b(\d{1,4}(?:[.,]\d{1,2})?)\s*(g|gr|grams?|grammes?|oz|ounces?)?\b", re.IGNORECASE | re.ASCII)
_MOST = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class DogSaid:
    """A dog as far as it was said; `born` is None where the birth was not."""

    name: str
    sex: str = ""
    born: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PupSaid:
    """One pup: name and sex as far as they were said, and its weight in kg; None where none was."""

    name: str
    sex: str = ""
    kg: float | None = None


def pups_said(said: str, ounces: bool = False) -> list[PupSaid]:
    """The pups of the text; empty where any part of it is something else. `ounces`: a bare figure is in ounces."""
    found: list[PupSaid] = []
    sex = ""
    for part in heard.chunks(said):
        several, rest = _leading(part)
        sex = several or sex
        pup = _pup(rest, ounces)
        if pup is None:
            if several and not rest:
                continue  # "boys: Oak, Elm"
            return []
        found.append(pup if pup.sex else replace(pup, sex=sex))
    return found if len({p.name.casefold() for p in found}) == len(found) <= _MOST else []


def sexed(said: str, today: date, day_first: bool) -> list[DogSaid]:
    """Two or more dogs of one line, each with its sex ("Oak m, Elm m, born 9 March"); empty for any other line.

    A day of birth that is said once is of all of them.
    """
    born = heard.day_said(said, today, day_first)
    found = []
    for part in heard.chunks(heard.without_day(said)):
        pup = _pup(part, ounces=False)
        if pup is not None and pup.sex and pup.kg is None:
            found.append(DogSaid(name=pup.name, sex=pup.sex, born=born))
        elif heard.found("sex", part) is None and heard.call_name_said(part) is not None:
            return []  # a bare name among them: the line is another kind of list
    return found if len(found) > 1 else []


def _leading(part: str) -> tuple[str, str]:
    """ "girls Ivy": the sex of those that follow, and the rest."""
    first, _, rest = part.partition(" ")
    word = heard.plain(first)
    for sex, words in heard.phrases()["sexes"].items():
        if word in words:
            return str(sex), rest.strip(" :")
    return "", part


def _pup(part: str, ounces: bool) -> PupSaid | None:
    figure = _FIGURE.search(part)
    kg = _kg(figure, ounces) if figure else None
    if figure and (kg is None or not GRAMS[0] <= kg * 1000 <= GRAMS[1]):
        return None
    words = f"{part[: figure.start()]} {part[figure.end() :]}" if figure else part
    words = words.replace("(", " ").replace(")", " ")
    sex = heard.found("sex", words) or ""
    name = heard.call_name_said(heard.without("sex", words) if sex else words)
    return PupSaid(name=name, sex=sex, kg=kg) if name else None


def _kg(figure: re.Match[str], ounces: bool) -> float | None:
    value, unit = float(figure[1].replace(",", ".")), (figure[2] or "").casefold()
    return value * KG_PER_OZ if unit.startswith("o") or (ounces and not unit) else value / 1000


def dogs_said(said: str, today: date, day_first: bool) -> list[DogSaid]:
    """The dogs of the text: one a line (or between semicolons) with what is said of each, or bare names with commas."""
    told: list[DogSaid] = []
    for line in re.split(r"[\n;]+", said[:heard.LONGEST]):
        if not line.strip():
            continue
        several = sexed(line, today, day_first)
        if several:
            told.extend(several)
            continue
        dog = _dog(line, today, day_first)
        if dog is not None and (dog.sex or dog.born):
            told.append(dog)
        else:
            bare = [part for part in heard.chunks(line) if not heard.found("roles", part)]  # "Tom my husband" is no dog
            told.extend(DogSaid(name=n) for part in bare if (n := heard.call_name_said(heard.tidy(part))))
    return told


def _dog(line: str, today: date, day_first: bool) -> DogSaid | None:
    born = heard.day_said(line, today, day_first)
    rest = heard.without_day(line)
    first, *more = [p.strip() for p in re.split(r"[,(]", rest) if p.strip(" ).")] or [""]
    sex = heard.found("sex", " ".join(more)) or ""
    if not sex:  # "Bran boy born …" without commas: the last word says it
        words = first.split()
        if len(words) > 1 and (sex := heard.found("sex", words[-1]) or ""):
            first = " ".join(words[:-1])
    name = heard.call_name_said(first)
    return DogSaid(name=name, sex=sex, born=born) if name else None


