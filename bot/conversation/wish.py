"""What a message asks for, taken apart: dogs, people, days, figures, and the words that are left.

A topic is asked only where every word of the message is known to belong to it, so that talk stays talk.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from bot.conversation.about import dog_of_pronoun, dogs_named
from bot.conversation.heard import LONGEST, phrases, plain
from bot.conversation.hearing import Hearing
from bot.reading import amounts, dates, tokens
from bot.reading.dogs import Mention, mark, mentions, roster_of, slips
from bot.reading.tokens import Words
from bot.reading.when import When
from core.roster import Dog, Person

MOST_WORDS = 16  # a longer message tells a story
OF_A_LITTER = ("litter", "newborns")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A message taken apart.

    Attributes:
        words: the small words left, in order; loose: those that name dogs, days or a sign and so need not be known.
        asks: it opens as a question, or ends as one. dogs: those named, one by one or by a group.
        group: the kind of group they were named by ("" where by name): `litter`, `newborns`, `pups`, …
        pronoun: "she" or "his" stands for the dog. people: those named. days: each day named, in order.
        figures: bare numbers. sign: the sign of illness asked about, "" for none.
    """

    words: tuple[str, ...]
    loose: frozenset[str] = frozenset()
    asks: bool = False
    dogs: tuple[Dog, ...] = ()
    group: str = ""
    pronoun: bool = False
    people: tuple[Person, ...] = ()
    days: tuple[When, ...] = ()
    figures: tuple[float, ...] = ()
    sign: str = ""

    @property
    def said(self) -> frozenset[str]:
        """All its words, the loose ones too."""
        return frozenset(self.words) | self.loose

    @property
    def dog(self) -> Dog | None:
        """The one dog that it names, None for none or several."""
        return self.dogs[0] if len(self.dogs) == 1 else None

    def says(self, name: str) -> bool:
        """True where one of the words of that list of `record.yaml` is said."""
        return bool(self.said & set(phrases()["record"][name]))

    @property
    def meal(self) -> str:
        """The meal that it names, "" for none."""
        meals: Mapping[str, list[str]] = phrases()["record"]["meals"]
        return next((m for m, words in meals.items() if self.said & set(words)), "")


def read(hearing: Hearing, said: str = "") -> Wish | None:
    """The message (or other words) taken apart; None for what is too long to be a question to Fettle."""
    said = said or hearing.message.text
    if not said or len(said) > LONGEST or len(said.split()) > MOST_WORDS or "\n" in said.strip():
        return None
    cut = tokens.cut(said)
    roster = roster_of(hearing.kennel)
    mark(cut, roster)
    slips(cut, roster)
    found = amounts.find(cut)
    days = tuple(dates.find(cut, found, hearing.on, hearing.kennel.day_first))
    named = [m for m in mentions(cut, roster, hearing.on) if not any(_touch(m, d) for d in days)]
    dogs, group = _dogs(named, hearing)
    gone = {i for d in days for i in range(d.i, d.end)} | {i for m in named for i in _placed(m)}
    bare = _bare_names(cut, hearing)
    left = [i for i in range(len(cut)) if cut.kind[i] == "w" and i not in gone | bare and "person" not in cut.tags[i]]
    sign = next((cut.tags[i]["sign"] for i in range(len(cut)) if "sign" in cut.tags[i]), None)
    loose = {cut.w[i] for m in named if m.kind == "group" for i in range(m.i, m.end)}
    words = tuple(_word(cut, i) for i in left)
    pronoun = any(m.kind == "pronoun" and not m.plural and m.sex for m in named)
    if not dogs and pronoun and (meant := dog_of_pronoun(hearing)) is not None:
        dogs = (meant,)
    return Wish(
        words=words,
        loose=frozenset(loose),
        asks=plain(said).split(" ")[0] in phrases()["record"]["opens"] or said.rstrip().endswith("?"),
        dogs=dogs or tuple(d for d in dogs_named(said, hearing) if bare),
        group=group,
        pronoun=pronoun,
        people=_people(cut, hearing),
        days=days,
        figures=tuple(a.value for a in found if a.other is None and a.form == "digits"),
        sign=str(sign[0]) if sign else "",
    )


def fits(name: str, wish: Wish) -> bool:
    """True where the message asks for this topic and says nothing else."""
    own, beside, asking, telling = _topic(name)
    if not wish.said & own[0] and not (name == "sign" and wish.sign):
        return False
    if name == "sign" and wish.said & frozenset(phrases()["record"]["advice"]):
        return False  # "should I cut his dinner" asks of no wound in the book
    if not wish.asks and (wish.said & (telling - own[0] - own[1]) or wish.figures):
        return False
    known = own[0] | own[1] | beside | (asking if wish.asks else frozenset())
    return set(wish.words) <= known | wish.loose | (_signs() if wish.sign and name in ("sign", "ill") else frozenset())


@cache
def _topic(name: str) -> tuple[tuple[frozenset[str], frozenset[str]], frozenset[str], frozenset[str], frozenset[str]]:
    record: Mapping[str, Any] = phrases()["record"]
    own = record["topics"][name]
    beside = frozenset(record["beside"])
    asking = frozenset((*record["asking"], *record["opens"]))
    return (frozenset(own["any"]), frozenset(own["with"])), beside, asking, frozenset(record["telling"])


@cache
def _signs() -> frozenset[str]:
    """Every word of the phrases for signs."""
    from bot.reading.lexicon import book

    return frozenset(w for said in book()["signs"].values() for phrase in said for w in phrase.split())


@cache
def _every_word() -> frozenset[str]:
    """Every word that belongs to a topic."""
    record: Mapping[str, Any] = phrases()["record"]
    return frozenset(w for t in record["topics"].values() for words in t.values() for w in words)


def _word(cut: Words, i: int) -> str:
    """The word as it was written where that is one of ours, else as the reader mended it."""
    written = cut.text[cut.start[i] : cut.end[i]].casefold().replace("'", "").replace("’", "")
    return written if written in _every_word() else cut.w[i]


def _touch(m: Mention, day: When) -> bool:
    return m.i < day.end and day.i < m.end


def _placed(m: Mention) -> range:
    """The places of the words that name dogs; a pronoun stays a word."""
    return range(m.i, m.end) if m.kind in ("name", "group") else range(0)


def _bare_names(cut: Words, hearing: Hearing) -> set[int]:
    """Where a word is a dog's name and nothing else ("moss", where the reader would rather see a plant)."""
    called = {n.casefold() for d in hearing.kennel.dogs for n in (d.name, *d.also)}
    return {i for i, w in enumerate(cut.w) if w in called or (cut.owner[i] and w.removesuffix("s") in called)}


def _dogs(named: list[Mention], hearing: Hearing) -> tuple[tuple[Dog, ...], str]:
    names: dict[str, None] = {}
    group = ""
    for m in named:
        if m.kind in ("name", "group"):
            names |= dict.fromkeys((*m.names, *m.newborns))
            group = m.group if m.kind == "group" else group
    return tuple(d for n in names if (d := hearing.kennel.dog(n)) is not None), group


def _people(cut: Words, hearing: Hearing) -> tuple[Person, ...]:
    known = (hearing.kennel.person(cut.tags[i]["person"][0]) for i in range(len(cut)) if "person" in cut.tags[i])
    return tuple(dict.fromkeys(p for p in known if p is not None))
