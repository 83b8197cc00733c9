"""One clause of a message: its words, what was found in it, whom it is about and how it is meant."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from bot.reading.amounts import Amount
from bot.reading.mention import Mention
from bot.reading.tokens import Words
from bot.reading.when import When

# Meanings that say something of a dog.
SAYING = frozenset(
    {
        "weigh",
        "earp",
        "eaten",
        "fed",
        "groom",
        "sign",
        "swallow",
        "dose",
        "temp",
        "height",
        "prog",
        "cond",
        "ribs",
        "season",
        "mate",
        "whelp",
        "tooth",
        "toothw",
        "treat",
        "earw",
        "give",
    }
)


_MEASURED = ("temp", "cond", "height")


@dataclass(slots=True, eq=False)
class Clause:
    """One clause.

    Attributes:
        lo, hi: its words, hi not included. number: its place among the clauses of the message.
        sep: what stood before it: "start", "stop", "line", ",", ":", "and", …
        mentions, amounts, whens: what was found in it. dogs: whom it is about. newborns: newborns left out of a
            group, taken in by acts that fit them. how: where the dogs came from: `own`, `list`, `carried`, `ahead`,
            `before` (an earlier message) or "". taken, joined: its dogs went to the clause before it, or after it.
            pronoun: one that stands in it. unsure: "one of the pups".
        ask, plan, wish, near, quote, joke, human, other: how it is meant. plan_at: first word from which it is plan.
        also: "so has Saffy". meanings: where each meaning first stands in it. sentence: number of its
            sentence. on: its day. since: the day is when something began.
    """

    lo: int
    hi: int
    sep: str = "start"
    number: int = 0
    mentions: list[Mention] = field(default_factory=list)
    amounts: list[Amount] = field(default_factory=list)
    whens: list[When] = field(default_factory=list)
    dogs: tuple[str, ...] = ()
    newborns: tuple[str, ...] = ()
    named: tuple[str, ...] = ()
    how: str = ""
    group: str = ""
    pronoun: Mention | None = None
    unsure: bool = False
    saying: bool = False
    first_saying: int = -1
    ask: bool = False
    plan_at: int = -1
    neg_at: int = -1
    wish: bool = False
    near: bool = False
    quote: bool = False
    joke: bool = False
    human: bool = False
    other: bool = False
    elsewhere: bool = False
    sentence: int = 0
    on: date | None = None
    since: bool = False
    topic: str = ""
    joined: bool = False
    taken: bool = False
    also: bool = False
    meanings: dict[str, int] = field(default_factory=dict)

    def named_at(self, i: int) -> bool:
        """True where word i is part of a dog's name or of a group of dogs."""
        return any(m.i <= i < m.end and m.kind in ("name", "group") for m in self.mentions)

    def mentioned_at(self, i: int) -> bool:
        """True where word i is part of any mention, pronouns too."""
        return any(m.i <= i < m.end for m in self.mentions)


def is_last(words: Words, c: Clause, m: Mention) -> bool:
    """True where nothing but a day, a filler or what was measured ("temps") stands after the mention."""
    return all(words.kind[i] not in "wnf" or words.has(i, "day", "between", *_MEASURED) for i in range(m.end, c.hi))


def ends_in_dog(words: Words, c: Clause) -> bool:
    """True where the last thing said is a dog ("gave Simba", "washed Otis today")."""
    named = [m for m in c.mentions if m.kind in ("name", "group")]
    return bool(named) and is_last(words, c, named[-1])


def _adds_nothing(words: Words, c: Clause, i: int) -> bool:
    """ "Today at the" before the names, "as well" behind them: they say nothing of a dog by themselves."""
    if words.has(i, "fix same") or (words.w[i] == "well" and i > 0 and words.w[i - 1] == "as"):
        return True
    return bool(c.mentions) and i < c.mentions[0].i and words.has(i, "between", "day")


def is_bare(words: Words, c: Clause) -> bool:
    """True where a clause holds little more than names."""
    covered = sum(m.n for m in c.mentions)
    extra = [
        i for i in range(c.lo, c.hi) if words.kind[i] == "w" and (c.mentioned_at(i) or not _adds_nothing(words, c, i))
    ]
    return len(extra) - covered <= 2 or (c.group != "" and len(extra) - covered <= 3)
