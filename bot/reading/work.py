"""The bench on which one message lies while the subjects' readers take their entries out of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, time

from bot.reading import clocks
from bot.reading.clause import Clause
from bot.reading.lexicon import words_of
from bot.reading.roster import Roster
from bot.reading.tokens import Words
from bot.reading.when import When
from core.entries import Dose, Doubt, Entry
from core.roster import Dog, Kennel

_LONGEST_LINE = 7  # words and figures of "Barley flea drops 8/3" (own choice)
_GAVE = words_of("cues", "gave")

PAIRS_READ = 9  # how many of the phrases' grooming pairs are read as tasks; the rest only show that something is said
_PAIRS = tuple((p, f"gv {p}", f"go {p}") for p in range(PAIRS_READ))
# Acts that fit a newborn, so that "everyone" and "all the pups" take newborns in (the reading format).
FIT_NEWBORNS = frozenset({"weight", "wormer", "temperature"})


@dataclass(slots=True)
class Work:
    """One message being read.

    Attributes:
        words, clauses, roster, kennel, today: what is read, and for which day and dogs.
        found: entries with the clause that gave them. doubts: by what they are about.
        before_dogs: finds the dogs that an earlier message gives (None where none does).
        topic: what an earlier message asked for ("weight", "ears", …), "" otherwise.
        perhaps: values in doubt that are only asked about where the message has a sure record of the same kind.
        asked_meal: the meal that an earlier message asked about.
        after_other_talk: the message right before was about no dog.
        posted: what `post` has kept, to keep it once.
        no_day: a day named that the calendar does not have ("31 February"), "" otherwise.
        meanings: every meaning that stands in a clause. figures: true where a quantity was said.
        dated: the clauses that name a day. newborn_sentences: the sentences that take in newborns by name.
    """

    words: Words
    clauses: list[Clause]
    roster: Roster
    kennel: Kennel
    today: date
    found: list[tuple[Entry, Clause]] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    before_dogs: Callable[[Clause], tuple[str, ...] | None] = lambda _c: None
    topic: str = ""
    perhaps: list[tuple[Entry, Clause, tuple[str, ...]]] = field(default_factory=list)
    posted: set[Entry] = field(default_factory=set)
    after_other_talk: bool = False
    asked_meal: str | None = None
    no_day: str = ""
    meanings: frozenset[str] = field(init=False)
    figures: bool = field(init=False)
    dated: list[Clause] = field(init=False)
    newborn_sentences: set[int] = field(init=False)

    def __post_init__(self) -> None:
        self.meanings = frozenset().union(*(c.meanings for c in self.clauses))
        self.figures = any(c.amounts for c in self.clauses)
        self.dated = [c for c in self.clauses if c.whens]
        self.newborn_sentences = {
            c.sentence for c in self.clauses if c.neg_at < 0 and any(m.group == "newborns" for m in c.mentions)
        }

    def clock(self, c: Clause) -> time | None:
        """The time of day said in the clause, None where none was."""
        return clocks.clock_in(self.words, c.lo, c.hi, c.amounts)

    def said(self, c: Clause) -> str:
        """The clause in the sender's own words."""
        return self.words.said(c.lo, c.hi)

    def says(self, c: Clause, heard: frozenset[str] | set[str]) -> bool:
        """True where one of these words stands in the clause."""
        return not heard.isdisjoint(self.words.w[c.lo : c.hi])

    def where(self, c: Clause, *meanings: str) -> int:
        """The first word of the clause with one of these meanings, -1 where none has."""
        index = c.meanings
        if len(meanings) == 1:
            return index.get(meanings[0], -1)
        found = [index[m] for m in meanings if m in index]
        return min(found) if found else -1

    def is_under(self, c: Clause, meaning: str, told: bool = False) -> bool:
        """True where a clause before it, in its sentence or the one before, has that meaning ("Temps: …").

        Args:
            told: only where that clause asks nothing.
        """
        if meaning not in self.meanings:
            return False
        for o in reversed(self.clauses[: c.number]):
            if c.sentence - o.sentence > 1:
                return False
            if meaning in o.meanings and not (told and o.ask):
                return True
        return False

    def pairs(self, c: Clause) -> Iterator[tuple[int, int, int]]:
        """Each pair of a grooming verb and its thing ("did … teeth") in the clause: its number, and the two places."""
        for p, verb, thing in _PAIRS:
            if verb in c.meanings and thing in c.meanings and c.meanings[verb] != c.meanings[thing]:
                yield p, c.meanings[verb], c.meanings[thing]

    def day(self, c: Clause, began: bool = False) -> date:
        """The local day of what the clause says; with `began`, "since Sunday" counts too."""
        own = [w for w in c.whens if not w.ahead and (c.plan_at < 0 or w.i < c.plan_at or w.on < self.today)]
        pick = self._pick(own, began)
        if pick is not None:
            return pick
        same = [o for o in self.dated if o.sentence == c.sentence and o is not c]
        for o in sorted(same, key=lambda o: (o.lo > c.lo, abs(o.lo - c.lo))):
            if o.plan_at >= 0 and (not o.whens or o.whens[0].i > o.plan_at):
                continue
            if o.lo > c.lo and (o.saying and o.amounts != [] and o.named):
                continue
            if o.lo > c.lo and o.first_saying >= 0 and o.named and o.named != c.named:
                continue
            if o.lo > c.lo and c.amounts and _has_own_figure(o):
                continue  # "24.1 (24.8 three weeks ago)"
            if o.lo < c.lo and c.amounts and _has_own_figure(o) and "s up_or_down" in o.meanings:
                continue  # "lost 12 g overnight, 558"
            pick = self._pick([w for w in o.whens if not w.ahead], began)
            if pick is not None:
                return pick
        first = self.clauses[0]
        if first.whens and not first.saying and first is not c and first.plan_at < 0:
            pick = self._pick([w for w in first.whens if not w.ahead], False)
            if pick is not None:
                return pick
        return self.today

    def _pick(self, whens: list[When], began: bool) -> date | None:
        for w in whens:
            if w.on > self.today:
                continue
            if w.since and not began:
                continue
            return w.on
        return None

    def shut(self, c: Clause, i: int, naming: bool = False) -> bool:
        """True where what stands at word i is not told as having happened (asked, wished, planned, denied …).

        Args:
            naming: the word only names the thing ("bath"); a plan after it counts too ("bath tomorrow").
        """
        if c.ask or c.wish or c.quote or c.near:
            return True
        if 0 <= c.neg_at < i:
            return True
        return bool(c.plan_at >= 0 and (c.plan_at < i or naming))

    def dated_line(self, c: Clause) -> bool:
        """True for "Mustard bath 13/3": a dog, a thing and a day gone by, as a list has them."""
        last = c.whens[-1] if c.whens else None
        short = sum(1 for i in range(c.lo, c.hi) if self.words.kind[i] in "wn") <= _LONGEST_LINE
        return (
            last is not None
            and not last.weekday
            and last.on < self.today
            and bool(c.named)
            and short
            and c.mentions[0].i == c.lo
        )

    def whom(self, c: Clause, kind: str) -> tuple[str, ...]:
        """The dogs that the clause is about, for an entry of that kind; empty where none is known."""
        dogs = c.dogs
        if not dogs and not c.newborns and not c.unsure:
            found = self.before_dogs(c)
            if found:
                c.dogs, c.how = found, "before"
                dogs = found
        if c.newborns and (kind in FIT_NEWBORNS or not c.dogs or self.takes_newborns(c)):
            dogs = tuple(dict.fromkeys((*dogs, *c.newborns)))
        return dogs

    def takes_newborns(self, c: Clause) -> bool:
        """True where the words of the clause or its sentence take in newborns by name."""
        return c.group == "newborns" or c.sentence in self.newborn_sentences

    def dogs(self, c: Clause, kind: str) -> list[Dog]:
        """The same as roster dogs."""
        return [d for d in (self.kennel.dog(n) for n in self.whom(c, kind)) if d is not None]

    def put(self, entry: Entry, c: Clause) -> None:
        """Keeps an entry, with its words."""
        if entry.said == "":
            entry = replace(entry, said=self.said(c).strip())
        self.found.append((entry, c))

    def post(self, c: Clause, entry: Entry, sure: bool) -> None:
        """Keeps an entry of care for each dog of the clause, once a day for each dog and thing told.

        Args:
            sure: the words themselves belong to dogs; see `no_dog`.
        """
        of = entry.dose if isinstance(entry, Dose) else entry.kind
        dogs = self.whom(c, of)
        if not dogs:
            self.no_dog(c, entry, sure)
            return
        for name in dogs:
            told = replace(entry, dog=name, said="", clock=None)
            if told not in self.posted:
                self.posted.add(told)
                self.put(replace(entry, dog=name), c)

    def doubt(self, about: str, entry: Entry | None, c: Clause, choices: tuple[str, ...] = ()) -> None:
        """Asks back, once for each `about`; for values once for each record of a dog."""
        if all(d.about != about or (about == "value" and _is_other(d.entry, entry)) for d in self.doubts):
            self.doubts.append(Doubt(about=about, entry=entry, choices=choices, said=self.said(c).strip()))

    def no_dog(self, c: Clause, entry: Entry, sure: bool) -> None:
        """A record without a dog: asked back where it can only be one of ours, left alone otherwise.

        Args:
            sure: the words themselves belong to dogs ("wormed", "nails clipped").
        """
        if c.pronoun is not None and c.pronoun.group == "pup":
            sure = True
        elif sure and c.pronoun is None and not c.unsure and self.is_stranger(c):
            sure = False
        if not c.unsure and any(o.other and o.sentence == c.sentence for o in self.clauses):
            return  # "her puppy was 6.1 kilos and she's had it wormed"
        nobody = not any(o.named or o.newborns for o in self.clauses)
        if (
            nobody
            and not c.unsure
            and not self.is_unsure_near(c)
            and c.pronoun is None
            and any(o.human and abs(o.sentence - c.sentence) <= 1 for o in self.clauses)
        ):
            return
        if (
            c.unsure
            or self.is_unsure_near(c)
            or (c.pronoun is not None and sure)
            or (sure and not c.human and not c.elsewhere)
        ):
            if c.other or (c.elsewhere and not c.unsure):
                return
            names = tuple(self._likely())
            self.doubt("dog", entry, c, names)

    def is_stranger(self, c: Clause) -> bool:
        """True where a word that nobody here knows stands where the subject would ("Little Anya has …")."""
        words = self.words
        at = c.first_saying if c.first_saying >= 0 else c.hi
        return any(words.kind[i] == "w" and not words.tags[i] and len(words.w[i]) > 2 for i in range(c.lo, at))

    def is_unsure_near(self, c: Clause) -> bool:
        """True where the sentence or one beside it does not know which dog ("one of the pups")."""
        return any(o.unsure and abs(o.sentence - c.sentence) <= 1 for o in self.clauses)

    def _likely(self) -> list[str]:
        return [n for c in self.clauses for n in c.named]

    def _only_done(self, o: Clause) -> bool:
        """'Otso nails: done', 'nail trim for Piper's three, done in ten minutes'."""
        return not o.named and self.words.w[o.lo] in ("done", "finished") and (o.sep == "," or o.hi - o.lo == 1)

    def done(self, c: Clause) -> bool:
        """True where the clause (or the one joined to it) says that something was done."""
        for o in self.clauses[max(0, c.number - 1) : c.number + 2]:
            both = c.how == "ahead" and o.number == c.number + 1 and o.sep == "and"
            if o is c or both or (o.sentence == c.sentence and (not o.saying or self._only_done(o))):
                for i in range(o.lo, o.hi):
                    if self.words.w[i] == "has" and any(w.weekday for w in c.whens):
                        return False  # "has his bath Thursday" is the plan
                    if self.words.w[i] in _DONE or "give" in self.words.tags[i] or "fix yes" in self.words.tags[i]:
                        return True
                    if self.words.w[i] in _TICKS:
                        return True
        if c.how == "carried" and c.sep == "and":
            # "had a bath on the 26th and a full brush out yesterday"
            k = c.number
            before = self.clauses[k - 1] if k else None
            if before is not None and self.says(before, _GAVE) and before.neg_at < 0 and before.plan_at < 0:
                return True
        after = c.hi
        return after < len(self.words) and self.words.w[after] in _TICKS


def _has_own_figure(c: Clause) -> bool:
    """True where a quantity stands in the clause that is not its day ("three weeks")."""
    return any(a.other is None and not any(w.i <= a.i < w.end for w in c.whens) for a in c.amounts)


_DONE = words_of("cues", "done")
_TICKS = frozenset("✅✔☑👍💪✓")


def _is_other(known: Entry | None, entry: Entry | None) -> bool:
    """True where both are known, and of another dog or another kind."""
    return known is not None and entry is not None and (known.dog, known.kind) != (entry.dog, entry.kind)
