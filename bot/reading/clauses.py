"""The message cut into clauses, and for each clause: which dogs, how it is meant, on which day.

A clause runs from one comma, "and", full stop or line break to the next, and is cut again between dogs that
each have their own figure ("nug 9.3 junie 8.1"). Lists of names without anything said of them are joined to
the clause that says it. A clause without a dog takes the one spoken of before.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field
from datetime import date

from bot.reading.amounts import Amount
from bot.reading.dates import When
from bot.reading.dogs import Mention, Roster
from bot.reading.lexicon import words_of
from bot.reading.tokens import Words

_ANYONE_DID = words_of("cues", "anyone_did")
_ASKED_SUBJECTS = words_of("cues", "asked_subjects")
_ASKING_OF_DOGS = words_of("cues", "asking_of_dogs")
_BEFORE_QUESTION = words_of("cues", "before_question")
_BEGGING_VERBS = words_of("cues", "begging_verbs")
_DENIALS = words_of("cues", "denials")
_DID_DOG = words_of("cues", "did_dog")
_MAY_WE = words_of("cues", "may_we")
_NO_OPENING_BEFORE = words_of("cues", "no_opening_before")
_OPENING_VERBS = words_of("cues", "opening_verbs")
_RELATIVE_WORDS = words_of("cues", "relative_words")
_STRANGERS_DOG = words_of("cues", "strangers_dog")
_TELLING_AFTER_DID = words_of("cues", "telling_after_did")

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
_CUTS = words_of("cues", "clause_joins")
_MARKS = frozenset({",", ":", "(", ")", "|", "–", "—", "-", "[", "]", "=", ">", "~"})


@dataclass(slots=True, eq=False)
class Clause:
    """One clause.

    Attributes:
        lo, hi: its words, hi not included. number: its place among the clauses of the message.
        sep: what stood before it: "start", "stop", "line", ",", ":", "and", …
        mentions, amounts, whens: what was found in it. dogs: whom it is about. newborns: newborns left out of a
            group, taken in by acts that fit them. how: where the dogs came from: `own`, `list`, `carried`, `ahead`,
            `before` (an earlier message) or "". pronoun: one that stands in it. unsure: "one of the pups".
        ask, plan, wish, near, quote, joke, human, other: how it is meant. plan_at: first word from which it is plan.
        meanings: where each meaning first stands in it. sentence: number of its
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
    meanings: dict[str, int] = field(default_factory=dict)

    @property
    def told(self) -> bool:
        """True where something is told as having happened."""
        return not (self.ask or self.wish or self.quote or self.joke or self.near)


def cut(
    words: Words, roster: Roster, mentions: list[Mention], amounts: list[Amount], whens: list[When]
) -> list[Clause]:
    """The clauses of a message, in order, with dogs and mood."""
    clauses = _split(words, mentions, amounts, whens)
    _fill(clauses, mentions, amounts, whens)
    clauses = _split_pairs(words, clauses)
    for number, c in enumerate(clauses):
        c.number = number
        c.meanings = _meanings(words, c)
    for c in clauses:
        _look(words, c)
    _sentences(words, clauses)
    _topics(words, clauses)
    _recipe(words, clauses)
    _lists(words, clauses)
    _carry(words, roster, clauses)
    return clauses


def _split(words: Words, mentions: list[Mention], amounts: list[Amount], whens: list[When]) -> list[Clause]:
    shut: set[int] = set()  # words inside something that is not cut
    for a in amounts:
        shut.update(range(a.i, a.end))
    for when in whens:
        shut.update(range(when.i, when.end))
    for m in mentions:
        shut.update(range(m.i, m.end))
    out: list[Clause] = []
    lo, sep = 0, "start"
    phrase_end = 0
    for i in range(len(words)):
        kind, word = words.kind[i], words.w[i]
        tags = words.tags[i]
        if tags:
            for meaning, (_, n) in tags.items():
                if n > 2 and i + n > phrase_end and meaning not in ("ask", "between"):
                    phrase_end = i + n
        cut_here = ""
        if i in shut:
            continue
        if kind == "s":
            # a stop inside an abbreviation or a number never comes here; "e.g." does no harm
            cut_here = "stop" if word[0] != "?" and "?" not in word else "ask"
        elif kind == "l":
            cut_here = "line"
        elif kind == "p":
            if word in _MARKS:
                if word == "-" and not _spaced(words, i):
                    continue
                if word in ("=", "-", "–", "—", ">") and i + 1 in shut and words.kind[i + 1] in "nf":
                    continue
                cut_here = word
            elif word in ("&", "+"):
                cut_here = "and"
            elif word == "/" and not _tight(words, i):
                cut_here = ","
        elif kind == "w" and i > lo and i + 1 < len(words) and _opens(words, i, lo):
            out.append(Clause(lo, i, sep))
            sep, lo = "and", i
            continue
        elif word in _CUTS and i >= phrase_end:
            cut_here = "and" if word in ("and", "n", "nd", "plus") else word
        if cut_here:
            if i > lo:
                out.append(Clause(lo, i, sep))
                sep = cut_here
            elif cut_here in ("stop", "line", "ask") or sep not in ("stop", "line", "ask", "start"):
                if not (sep in ("stop", "line", "ask", "start") and cut_here in ("and", ",")):
                    sep = cut_here if sep != "start" or cut_here in ("ask",) else sep
            if cut_here == "ask" and out and out[-1].hi == i:
                out[-1].ask = True
            lo = i + 1
    if lo < len(words):
        out.append(Clause(lo, len(words), sep))
    return out


_SUBJECTS = words_of("cues", "opening_subjects")
_JOINS = words_of("cues", "no_opening_after")


def _opens(words: Words, i: int, lo: int) -> bool:
    """True where a new statement or question starts without a mark: "… in season I noticed", "… crying can i give"."""
    w, before, after = words.w[i], words.w[i - 1], words.w[i + 1]
    if words.kind[i - 1] != "w" or asks(words, lo, i):
        return False
    if (
        w in _SUBJECTS
        and before not in _JOINS
        and before not in _SUBJECTS
        and words.kind[i + 1] == "w"
        and (i - lo >= 3)
        and after not in _NO_OPENING_BEFORE
    ):
        return True
    if w == "so" and (after in _SUBJECTS or "dog" in words.tags[i + 1]):
        return True
    return (
        w in _OPENING_VERBS
        and after in _ASKED_SUBJECTS
        and before not in _JOINS
        and i - lo >= (1 if w in _MAY_WE else 2)
        and (w in _MAY_WE or before not in _SUBJECTS)
        and not (w in ("is", "has") and after in ("that", "it"))
    )


def _spaced(words: Words, i: int) -> bool:
    before = i == 0 or words.end[i - 1] < words.start[i]
    after = i + 1 >= len(words) or words.end[i] < words.start[i + 1]
    return before or after


def _tight(words: Words, i: int) -> bool:
    return (
        (i > 0 and words.end[i - 1] == words.start[i])
        and (i + 1 < len(words) and words.end[i] == words.start[i + 1])
        and (words.kind[i - 1] == "n" or len(words.w[i - 1]) == 1)
    )


def _fill(clauses: list[Clause], mentions: list[Mention], amounts: list[Amount], whens: list[When]) -> None:
    for c in clauses:
        c.mentions = [m for m in mentions if c.lo <= m.i < c.hi]
        c.amounts = [a for a in amounts if c.lo <= a.i < c.hi and not any(m.i <= a.i < m.end for m in mentions)]
        c.whens = [w for w in whens if c.lo <= w.i < c.hi]
        for m in c.mentions:  # a mention or an amount may reach over the cut
            c.hi = max(c.hi, m.end)


def _says(words: Words, i: int) -> bool:
    tags = words.tags[i]
    return bool(tags) and (bool(SAYING.intersection(tags)) or any(m[:3] == "gv " for m in tags))


def _split_pairs(words: Words, clauses: list[Clause]) -> list[Clause]:
    """Cuts between dogs that each have something of their own said."""
    out: list[Clause] = []
    for c in clauses:
        named = [m for m in c.mentions if m.kind in ("name", "group")]
        if len(named) < 2:
            out.append(c)
            continue
        if any("mate" in words.tags[i] for i in range(c.lo, c.hi)):
            out.append(c)
            continue
        cuts: list[int] = []
        last_is_dog = _last_is(words, c, named[-1])
        first = next((i for i in range(c.lo, named[0].i) if _says(words, i) or any(a.i == i for a in c.amounts)), None)
        dog_after = first is not None and last_is_dog
        for left, right in itertools.pairwise(named):
            between = range(left.end, right.i)
            says = [i for i in between if _says(words, i) or any(a.i == i for a in c.amounts)]
            if not says:
                continue
            cuts.append(left.end if dog_after else right.i)
        lo = c.lo
        for at in [*cuts, c.hi]:
            if at <= lo:
                continue
            piece = Clause(lo, at, c.sep if lo == c.lo else ",")
            piece.ask = c.ask
            piece.mentions = [m for m in c.mentions if lo <= m.i < at]
            piece.amounts = [a for a in c.amounts if lo <= a.i < at]
            piece.whens = [w for w in c.whens if lo <= w.i < at]
            out.append(piece)
            lo = at
    return out


def _meanings(words: Words, c: Clause) -> dict[str, int]:
    first: dict[str, int] = {}
    tags = words.tags
    for i in range(c.lo, min(c.hi, len(tags))):
        for meaning in tags[i]:
            if meaning not in first:
                first[meaning] = i
    return first


def _last_is(words: Words, c: Clause, m: Mention) -> bool:
    return all(words.kind[i] not in "wnf" or words.has(i, "day", "between") for i in range(m.end, c.hi))


def _look(words: Words, c: Clause) -> None:
    """Mood, people and what is said, from the words of one clause."""
    names: list[str] = []
    newborns: list[str] = []
    for m in c.mentions:
        if m.kind in ("name", "group"):
            names += [n for n in m.names if n not in names]
            newborns += m.newborns
            if m.kind == "group":
                c.group = m.group
        elif m.kind == "pronoun":
            c.pronoun = c.pronoun or m
        elif m.kind == "unsure":
            c.unsure = True
    c.dogs = c.named = tuple(names)
    c.newborns = tuple(newborns)
    if names or newborns:
        c.how = "own"
    phrase = 0  # words inside an eaten or sign phrase carry no mood of their own ("not interested")
    in_mention = {i for m in c.mentions for i in range(m.i, m.end)}
    for i in range(c.lo, c.hi):
        tags = words.tags[i]
        if not tags or i in in_mention:
            continue
        if SAYING.intersection(tags):
            if not c.saying:
                c.first_saying = i
            c.saying = True
            for meaning in ("eaten", "sign", "ribs", "tooth", "earp", "weigh", "groom", "dose", "season", "whelp"):
                if meaning in tags and tags[meaning][1] > 1:
                    phrase = max(phrase, i + tags[meaning][1])
        if "late" in tags:
            phrase = max(phrase, i + tags["late"][1])
            continue
        if i < phrase and "plan" not in tags:
            continue
        if i < phrase and any("late" in words.tags[j] and j + words.tags[j]["late"][1] > i for j in range(c.lo, i)):
            continue
        if "neg" in tags and c.neg_at < 0:
            c.neg_at = i
        if "plan" in tags and c.plan_at < 0 and not _later_on(words, i):
            c.plan_at = i
        if "day" in tags and tags["day"][0] > 0 and c.plan_at < 0:
            c.plan_at = i
        if ("wish" in tags and words.w[i] not in ("if",)) or (words.w[i] == "if" and i <= c.lo + 2):
            c.wish = True if c.first_saying < 0 else c.wish
        if "near" in tags:
            if words.w[i] not in ("nearly", "almost") or not _near_number(words, i):
                c.near = True
        if "quote" in tags:
            c.quote = True
        if "joke" in tags:
            c.joke = True
        if i in in_mention:
            continue
        if "otherdog" in tags and words.w[i] not in ("her", "his", "their"):
            c.other = True
        if "self" in tags or "kin" in tags or "person" in tags:
            c.human = True
            if words.owner[i] and "self" not in tags and i + 1 < c.hi and words.w[i + 1] in _STRANGERS_DOG:
                c.other = True
        if "else" in tags:
            c.elsewhere = True
    for w in c.whens:
        if w.ahead and c.plan_at < 0:
            c.plan_at = w.i
    if not c.saying:
        _pair_said(words, c)
    if c.amounts:
        c.saying = True
        if c.first_saying < 0 or c.amounts[0].i < c.first_saying:
            c.first_saying = c.amounts[0].i


def _pair_said(words: Words, c: Clause) -> None:
    """A verb and its thing ("did … teeth") say something together."""
    seen: dict[str, int] = {}
    for i in range(c.lo, c.hi):
        for meaning in words.tags[i]:
            if meaning[:3] in ("gv ", "go "):
                seen.setdefault(meaning, i)
    for meaning, i in seen.items():
        if meaning[:3] == "gv " and "go " + meaning[3:] in seen:
            c.saying, c.first_saying = True, min(i, seen["go " + meaning[3:]])
            return


def _near_number(words: Words, i: int) -> bool:
    return any(i + k < len(words) and (words.kind[i + k] in "nf" or "num" in words.tags[i + k]) for k in (1, 2)) or (
        words.has(i + 1, "earp")
    )


def _later_on(words: Words, i: int) -> bool:
    """'later on': only when it was, no plan."""
    return words.w[i] == "later" and i + 1 < len(words) and words.w[i + 1] == "on"


_WHO = words_of("cues", "asked_whom")
_AUX = words_of("cues", "asking_verbs")
_OPEN = words_of("cues", "question_openers")


def asks(words: Words, lo: int, hi: int) -> bool:
    """True where the words from lo start like a question ("how much …", "has anyone …")."""
    i = lo
    while i < hi and (words.kind[i] != "w" or words.w[i] in _BEFORE_QUESTION or "person" in words.tags[i]):
        i += 1
    if i >= hi:
        return False
    if "late" in words.tags[i]:
        return False  # "would you believe …" tells
    w = words.w[i]
    if (
        w in _RELATIVE_WORDS
        and lo > 0
        and words.w[lo - 1] in (",", "(", "of")
        and ("?" not in words.text[words.start[i] :])
    ):
        return False  # ", which was 25 g": a relative clause
    if w in ("anyone", "anybody") and i + 1 < hi and words.w[i + 1] in _ANYONE_DID:
        return True
    if w in _OPEN:
        return not (w == "what" and i + 1 < hi and words.w[i + 1] in ("a", "an"))  # "what a lump"
    if w in _AUX and i + 1 < hi:
        nxt = words.w[i + 1]
        if nxt in _WHO or "person" in words.tags[i + 1]:
            return not (w in ("did", "do") and nxt in _TELLING_AFTER_DID) or (
                "?" in words.text[words.start[hi - 1] :][:40]
            )
        if "dog" in words.tags[i + 1] and w in _ASKING_OF_DOGS:
            return True
        if "dog" in words.tags[i + 1] and w == "did":
            # "did nug eat" asks, "did nuggets teeth" and "did red 476" tell
            k = i + 1 + words.tags[i + 1]["dog"][1]
            return k < hi and not words.owner[k - 1] and words.w[k] in _DID_DOG
    return False


def _sentences(words: Words, clauses: list[Clause]) -> None:
    number = 0
    for k, c in enumerate(clauses):
        if k and c.sep in ("stop", "line", "ask"):
            number += 1
        c.sentence = number
    for left, right in itertools.pairwise(clauses):
        if left.other and right.sentence == left.sentence and not right.named and right.pronoun is None:
            right.other = True
    # a question mark asks back to where the question starts
    for k, c in enumerate(clauses):
        if c.ask:
            j = k
            while j > 0 and clauses[j - 1].sentence == c.sentence and not asks(words, clauses[j].lo, clauses[j].hi):
                if (
                    clauses[j - 1].amounts
                    and clauses[j - 1].named
                    and not asks(words, clauses[j - 1].lo, clauses[j - 1].hi)
                ):
                    break  # "Pepper 7.6 kg this morning, is she too heavy?"
                j -= 1
                clauses[j].ask = True
    for k, c in enumerate(clauses):
        if (
            not c.ask
            and asks(words, c.lo, c.hi)
            and (c.sep in ("start", "stop", "line", "ask", ",", ":", "-", "and") or k == 0)
        ):
            c.ask = True
            begs = words.w[c.lo] in _BEGGING_VERBS
            for later in clauses[k + 1 :]:
                if later.sentence != c.sentence or (later.sep not in ("and", ",") or (later.named and not begs)):
                    break
                later.ask = True
    # "if …" and "I wish …" reach to the end of the sentence; so does what is planned over a plain list
    for k, c in enumerate(clauses):
        if (c.wish and words.w[c.lo] in ("if", "when", "unless")) or (c.wish and c.first_saying < 0):
            for later in clauses[k + 1 :]:
                if later.sentence != c.sentence or later.sep in ("but",):
                    break
                later.wish = True


_TOPICS = (
    ("cond", "condition"),
    ("temp", "temperature"),
    ("prog", "progesterone"),
    ("height", "height"),
    ("weigh", "weight"),
    ("earw", "ears"),
    ("meal", "meal"),
    ("treat", "treat"),
    ("dose", "dose"),
    ("groom", "groom"),
)


def _topics(words: Words, clauses: list[Clause]) -> None:
    """A heading without a dog gives its topic to the list under it ("Condition scores out of 9: Sorrel 4 …")."""
    topic, sentence = "", -1
    for k, c in enumerate(clauses):
        following = clauses[k + 1] if k + 1 < len(clauses) else None
        heading = (
            not c.named
            and not c.ask
            and following is not None
            and (
                following.sep in (":", "-", "–", "—", "=")
                or (following.sep == "line" and c.sep in ("start", "line"))
                or (following.sep in ("stop", ",") and c.sep == "start" and c.hi - c.lo <= 6)
            )
        )
        if heading:
            for meaning, name in _TOPICS:
                if meaning in c.meanings:
                    topic, sentence = name, c.sentence
                    break
            else:
                topic = ""
            continue
        if (
            topic
            and (c.sentence == sentence or c.sep == "line" or c.sentence == sentence + 1)
            and (c.named or c.how or not c.saying or c.amounts)
        ):
            c.topic = topic
            sentence = c.sentence
        else:
            topic = ""


def _recipe(words: Words, clauses: list[Clause]) -> None:
    """Where most of a message is about something else, a name that is an ordinary word is that word."""
    if sum(1 for c in clauses if c.elsewhere) >= 2:
        for c in clauses:
            named = [m for m in c.mentions if m.kind == "name"]
            told = any(
                {"groom", "dose", "sign", "fed", "weigh", "earw", "temp"} & set(words.tags[i])
                for i in range(c.lo, c.hi)
            )
            k = c.number
            measured = c.amounts or (k + 1 < len(clauses) and not clauses[k + 1].named and clauses[k + 1].amounts)
            if named and measured and not told and not any(m.surely for m in named):
                c.elsewhere = True
                if not c.human:
                    c.dogs = c.named = ()
                    c.how = ""
                    c.mentions = [m for m in c.mentions if m.kind != "name"]


def _lists(words: Words, clauses: list[Clause]) -> None:
    """Joins lists of names to the clause that says something of them, and denials over a list of signs."""
    k = 0
    while k < len(clauses):
        c = clauses[k]
        if not c.named or (c.saying and not _handing(words, c)) or not _bare(words, c):
            k += 1
            continue
        run = [c]
        j = k + 1
        while (
            j < len(clauses)
            and clauses[j].sentence == c.sentence
            and clauses[j].named
            and (not clauses[j].saying and _bare(words, clauses[j]))
            and clauses[j].sep in ("and", ",", "-", "|", "then")
        ):
            run.append(clauses[j])
            j += 1
        before = clauses[k - 1] if k and clauses[k - 1].sentence == c.sentence else None
        after = clauses[j] if j < len(clauses) and clauses[j].sentence == c.sentence else None
        if (
            after is None
            and before is None
            and j < len(clauses)
            and (
                clauses[j].sep == "line"
                or (
                    clauses[j].sep == "stop"
                    and not clauses[j].named
                    and clauses[j].saying
                    and _fragment(words, clauses[j])
                )
            )
        ):
            after = clauses[j]  # a name on its own line over what is said of it
        if (
            after is None
            and before is None
            and k
            and clauses[k - 1].saying
            and not clauses[k - 1].dogs
            and (c.sentence - clauses[k - 1].sentence == 1)
        ):
            before = clauses[k - 1]  # "did the baths!! sunny then hope then scout"
            before.sep = before.sep or "start"
        names = tuple(dict.fromkeys(n for r in run for n in r.dogs))
        newborns = tuple(n for r in run for n in r.newborns)
        group = next((r.group for r in run if r.group), "")
        open_before = (
            before is not None
            and before.saying
            and (
                c.sentence != before.sentence
                or c.sep in (":", "-", "–", "—")
                or (not before.dogs and (before.pronoun is None or not before.pronoun.plural) and not before.human)
                or (c.sep in ("and", ",", "+") and _ends_in_dog(words, before))
            )
        )
        if open_before and before is not None:
            before.dogs = tuple(dict.fromkeys((*before.dogs, *names)))
            before.newborns += newborns
            before.group = before.group or group
            before.how = before.how or "list"
        elif (
            after is not None
            and after.saying
            and (not after.named or (after.mentions and after.mentions[0].i <= after.first_saying))
        ):
            if after.sep == ":" and after.named:
                pass  # "Heather's three this morning: White 452 …": a heading
            elif after.how != "own" or after.sep in ("and", ",", "-", "|", "line", ":"):
                for r in run:
                    r.joined = True
                after.dogs = tuple(dict.fromkeys((*names, *after.dogs)))
                after.newborns = (*newborns, *after.newborns)
                after.group = after.group or group
                after.how = after.how or "list"
        k = j
    for left, right in itertools.pairwise(clauses):
        if (
            left.neg_at >= 0
            and right.neg_at < 0
            and right.sentence == left.sentence
            and right.sep in ("and", ",", "/")
            and (not right.named and words.w[left.neg_at] in _DENIALS)
        ):
            if right.first_saying == right.lo or (right.first_saying - right.lo <= 1 and right.first_saying >= 0):
                if not right.amounts and not right.pronoun:
                    right.neg_at = right.lo


def _fragment(words: Words, c: Clause) -> bool:
    """'Brack. 90g. Finished.': a few words without a subject of their own."""
    return sum(1 for i in range(c.lo, c.hi) if words.kind[i] in "wn") <= 5 and not c.human and c.pronoun is None


def _handing(words: Words, c: Clause) -> bool:
    """'I gave Mallee', with what was given after the next dog ("and Gumnut a cup each")."""
    if c.amounts or not _ends_in_dog(words, c):
        return False
    return all(
        not SAYING.intersection(words.tags[i]) or set(words.tags[i]) & SAYING == {"give"} for i in range(c.lo, c.hi)
    )


def _bare(words: Words, c: Clause) -> bool:
    """True where a clause holds little more than names."""
    covered = sum(m.n for m in c.mentions)
    extra = [i for i in range(c.lo, c.hi) if words.kind[i] == "w"]
    return len(extra) - covered <= 2 or (c.group != "" and len(extra) - covered <= 3)


def _ends_in_dog(words: Words, c: Clause) -> bool:
    named = [m for m in c.mentions if m.kind in ("name", "group")]
    return bool(named) and _last_is(words, c, named[-1])


def _carry(words: Words, roster: Roster, clauses: list[Clause]) -> None:
    """Gives a clause without a dog the one spoken of before it in the message, or right after it."""
    kennel = roster.kennel
    spoken: list[tuple[str, ...]] = []
    groups: dict[tuple[str, ...], tuple[tuple[str, ...], str]] = {}
    for k, c in enumerate(clauses):
        if c.named or c.newborns:
            spoken.append(c.dogs)
            groups[c.dogs] = (c.newborns, c.group)
            continue
        if c.dogs:  # joined from a list
            spoken.append(c.dogs)
            groups[c.dogs] = (c.newborns, c.group)
            continue
        if not c.saying and c.pronoun is None:
            continue
        if c.unsure:
            continue
        chosen = _whom(c, spoken, kennel)
        if chosen is not None:
            quiet = not any(o.saying for o in clauses[:k]) and _bare(
                words, [o for o in clauses[:k] if o.named or o.dogs][-1]
            )
            c.dogs, c.how = chosen, "list" if quiet and _fragment(words, c) else "carried"
            c.newborns, c.group = groups.get(chosen, ((), ""))
        elif k + 1 < len(clauses) and c.sep != ":" and c.pronoun is None:
            after = clauses[k + 1]
            if (
                after.named
                and not after.saying
                and after.sentence == c.sentence
                and after.sep not in ("but",)
                and (not after.joined)
            ):
                c.dogs, c.newborns, c.group, c.how = after.dogs, after.newborns, after.group, "ahead"


def _whom(c: Clause, spoken: list[tuple[str, ...]], kennel: object) -> tuple[str, ...] | None:
    if not spoken:
        return None
    p = c.pronoun
    if p is not None and p.group == "rest":
        # "Story left some; the other three finished": the last group without those named since
        since: set[str] = set()
        for names in reversed(spoken):
            if len(names) > 1:
                rest = tuple(n for n in names if n not in since)
                return rest if rest and (not p.count or p.count == len(rest)) else None
            since.update(names)
        return None
    if p is not None and p.plural:
        if len(spoken[-1]) > 1 and (not p.count or p.count == len(spoken[-1])):
            return spoken[-1]
        together: list[str] = []
        for names in spoken:
            together += [n for n in names if n not in together]
        if len(together) > 1 and p.count and len(together) > p.count:
            together = together[-p.count :]
        return tuple(together) if len(together) > 1 else spoken[-1]
    if p is not None and p.sex:
        for names in reversed(spoken):
            fits = tuple(n for n in names if getattr(kennel.dog(n), "sex", "") in (p.sex, ""))  # type: ignore[attr-defined]
            if len(fits) == 1:
                return fits
            if fits:
                return fits if len(names) == 1 else None
        return None
    return spoken[-1]
